package api

import (
	"maps"
	"slices"

	"billwright/bom/demand"
	"billwright/bom/order"
	"billwright/catalog"
	"billwright/catalog/unit"
)

// dispositionOf says what becomes of what was used up of a kind of material: what
// the override of its lock says, else it goes to stock.
func dispositionOf(cat *catalog.Catalog, overrides []order.Override, kind string) string {
	for _, o := range overrides {
		lock, found := cat.Locks.Get(o.Lock)
		if !found {
			continue
		}
		if e, found := cat.ShopEvent(lock.Event); found && e.UsesUp(kind) {
			return o.Disposition
		}
	}
	return "stock"
}

// numbered puts what was surplus before behind the needs and numbers all.
func numbered(needs, was []demand.Requirement) []demand.Requirement {
	for i := range was {
		if was[i].Surplus {
			needs = append(needs, was[i])
		}
	}
	for i := range needs {
		needs[i].Seq = i + 1
	}
	return needs
}

// needsOf is what the changed order needs; pieces spoiled before are needed once
// more still, where their row is left as it was.
func (a *acting) needsOf(c *order.Changed, events []order.ShopEvent, was []demand.Requirement) ([]demand.Requirement, error) {
	firm := func(line int, kind string) bool { return c.After.Firm(c.Catalog, line, kind) }
	needs, err := demand.Requirements(c.Catalog, c.Bill, c.After.Promise, firm)
	if err != nil {
		return nil, conflict(sentence(err.Error()))
	}
	for _, e := range events {
		if kind, found := a.cat.ShopEvent(e.Event); found && kind.Scraps {
			again, _ := demand.Again(needs, e.Line, e.Unit, e.Path, e.Pieces)
			for _, r := range again {
				same := func(o demand.Requirement) bool {
					return o.Line == r.Line && o.Path == r.Path && o.Kind == r.Kind && o.Item == r.Item && o.Length == r.Length && o.Width == r.Width && !o.Surplus
				}
				if slices.ContainsFunc(was, same) {
					needs = append(needs, r)
				}
			}
		}
	}
	return needs, nil
}

func pricesChanged(was, is *order.Document) []priceChange {
	net := func(d *order.Document) map[int]*unit.Money {
		nets := map[int]*unit.Money{0: d.Net}
		for i := range d.Lines {
			if p := d.Lines[i].Price; p != nil {
				nets[d.Lines[i].Line] = p.Net
			}
		}
		return nets
	}
	before, after := net(was), net(is)
	numbers := slices.Collect(maps.Keys(before))
	for n := range after {
		if _, both := before[n]; !both {
			numbers = append(numbers, n)
		}
	}
	slices.Sort(numbers)
	changes := []priceChange{}
	for _, n := range numbers {
		a, b := before[n], after[n]
		if (a == nil) != (b == nil) || a != nil && *a != *b {
			changes = append(changes, priceChange{n, a, b})
		}
	}
	return changes
}
