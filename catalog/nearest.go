package catalog

import (
	"cmp"
	"fmt"
	"slices"

	"billwright/catalog/calendar"
	"billwright/catalog/choices"
	"billwright/catalog/unit"
)

// Change is one attribute of the nearest order that can be built, other than it
// was picked or than its default.
type Change struct {
	Attribute *Attribute
	// Value is what to write; empty with Leave, which says to leave it out, and
	// with Unlisted, of what is to be written in other words.
	Value string
	Leave bool
	// Says is the change as a sentence.
	Says string
}

// NearestBuildable is what to change of picks to have what can be built and
// changes the fewest of them, defaults kept where they can be. Proven tells that
// nothing changes fewer. There is none where nothing of the product can be built,
// or where it was not found within its bound.
func (c *Catalog) NearestBuildable(product string, picks []Pick, day calendar.Date) (changes []Change, proven bool) {
	p, found := c.Products.Get(product)
	if !found || len(picks) > mostPicks {
		return nil, false
	}
	made, err := c.Choosing(p, day)
	if err != nil {
		return nil, false
	}
	k := checking{product: p, scope: p.scope, day: day}
	k.read(picks)
	asker := made.Rules.Asker()
	defer asker.Done()
	return made.nearest(asker, k.entries)
}

// nearest asks for the nearest that can be built and tells what it changes.
func (c *Choosing) nearest(asker *choices.Asker, entries []entry) (changes []Change, proven bool) {
	wish := choices.Wish{Picks: c.entered(entries), Usual: c.usual(entries), Weights: c.keeping(entries)}
	order, err := asker.Nearest(&wish)
	if err != nil {
		return nil, false
	}
	c.onStep(asker, &order, entries)
	for i, a := range c.base.scope.attributes {
		f := c.base.fields[i]
		if f == choices.None {
			continue
		}
		was := wish.Picks[f]
		if was == choices.None {
			was = wish.Usual[f]
		}
		if order.Picks[f] == was || order.Picks[f] == c.notAsked(i, f) && wish.Picks[f] == choices.None && !entries[i].given {
			continue
		}
		changes = append(changes, c.change(i, a, f, order.Picks[f], &entries[i]))
	}
	return changes, order.Proven
}

// keeping weighs picks that are to be kept above all others together; nil where
// there are none.
func (c *Choosing) keeping(entries []entry) []int64 {
	if !slices.ContainsFunc(entries, func(e entry) bool { return e.keep }) {
		return nil
	}
	weights := make([]int64, c.Rules.Fields())
	for i := range weights {
		weights[i] = 1
	}
	for i := range entries {
		if f := c.base.fields[i]; f != choices.None && entries[i].keep {
			weights[f] = 1 + mostPicks
		}
	}
	return weights
}

// onStep moves sizes that were changed to the nearest that lies on the step of
// the unit they were entered in, where there is one that goes with the rest.
func (c *Choosing) onStep(asker *choices.Asker, order *choices.Order, entries []entry) {
	may := c.Rules.NoValues()
	for i, a := range c.base.scope.attributes {
		f := c.base.fields[i]
		if a.Size == nil || f == choices.None || !slices.Contains(order.Changed, f) {
			continue
		}
		step := a.Size.step(c.unitOf(&entries[i]))
		now, is := c.Rules.Number(f, order.Picks[f])
		if !is || unit.Length(now)%step == 0 || asker.MayChange(order.Picks, may) != nil {
			continue
		}
		wanted, best := entries[i].value.Length(), choices.None
		for v := range c.Rules.Each(may, f) {
			n, is := c.Rules.Number(f, v)
			if !is || unit.Length(n)%step != 0 {
				continue
			}
			if before, _ := c.Rules.Number(f, max(best, 0)); best == choices.None || apart(unit.Length(n), wanted) < apart(unit.Length(before), wanted) {
				best = v
			}
		}
		if best != choices.None {
			order.Picks[f] = best
		}
	}
}

func (c *Choosing) change(i int, a *Attribute, f, v int32, e *entry) Change {
	change := Change{Attribute: a, Value: c.text(i, f, v, c.unitOf(e))}
	switch {
	case v == c.notAsked(i, f):
		change.Leave = true
		change.Says = fmt.Sprintf("%s left out", a.Name)
	case a.Choose != nil && int(v) == len(a.options):
		change.Says = fmt.Sprintf("%s: something unlisted", a.Name)
	case a.Choose != nil:
		change.Says = fmt.Sprintf("%s %s", a.Name, a.options[v].named())
	default:
		change.Says = fmt.Sprintf("%s %s", a.Name, change.Value)
	}
	if e.given && e.sound {
		change.Says += " instead of " + a.was(e, change.Value)
	}
	return change
}

// was is what was picked before a change to a value: a choice by its name, a
// size in the units of what takes its place.
func (a *Attribute) was(e *entry, now string) string {
	switch {
	case a.Choose != nil && !e.open:
		return a.options[e.chosen].named()
	case a.Size != nil:
		if to, err := unit.ParseEntry(now); err == nil && to.Unit != e.unit {
			return lengthText(e.value.Length(), to.Unit)
		}
	}
	return shortened(e.text)
}

// Completed fills picks in to a configuration that keeps all rules, every pick
// kept and defaults taken where they can be. Free text that has no default and
// is asked for is left to whoever orders. The error tells that there is none.
func (c *Catalog) Completed(product string, picks []Pick, day calendar.Date) ([]Pick, error) {
	p, found := c.Products.Get(product)
	if !found {
		return nil, fmt.Errorf("there is no product %q", product)
	}
	made, err := c.Choosing(p, day)
	if err != nil {
		return nil, err
	}
	k := checking{product: p, scope: p.scope, day: day}
	k.read(picks)
	asker := made.Rules.Asker()
	defer asker.Done()
	wish := choices.Wish{Picks: made.entered(k.entries), Usual: made.usual(k.entries)}
	order, err := asker.Nearest(&wish)
	switch {
	case err != nil:
		return nil, err
	case len(order.Changed) > 0:
		return nil, choices.ErrContradiction
	}
	whole := slices.Clone(picks)
	for i, a := range p.scope.attributes {
		f := made.base.fields[i]
		if f == choices.None || k.entries[i].given || order.Picks[f] == made.notAsked(i, f) {
			continue
		}
		text := made.text(i, f, order.Picks[f], p.scope.unit)
		if a.Choose != nil && int(order.Picks[f]) == len(a.options) {
			text = "as in our letter of the day"
		}
		whole = append(whole, Pick{Attribute: a.Code, Text: text})
	}
	return whole, nil
}

// usual are the defaults of what is not picked.
func (c *Choosing) usual(entries []entry) choices.Picks {
	usual := c.Rules.Picks()
	for i, a := range c.base.scope.attributes {
		if f := c.base.fields[i]; f != choices.None && a.byDefault.sound && !entries[i].stale && !(entries[i].given && entries[i].sound) {
			usual[f] = c.base.value(i, &a.byDefault)
		}
	}
	return usual
}

// Random draws a configuration that keeps all rules, limits of the bill among
// them: attribute by attribute, each value left alike. Free text is left to its
// default, or written. The dice give a whole number from 0 to below n.
func (c *Choosing) Random(dice func(n int) int) ([]Pick, error) { return c.Draw(nil, dice) }

// Draw draws a configuration as Random does among those that a row holds of. The
// error is choices.ErrContradiction where none was met.
func (c *Choosing) Draw(row choices.Row, dice func(n int) int) ([]Pick, error) {
	asker := c.Rules.Asker()
	defer asker.Done()
	picks, left := c.Rules.Picks(), c.Rules.NoValues()
	for _, f := range c.inTurn(row, dice) {
		if err := asker.Remaining(picks, left); err != nil {
			return nil, err
		}
		var may []int32
		for v := range c.Rules.Each(left, f) {
			if c.meets(row, f, v) {
				may = append(may, v)
			}
		}
		if len(may) == 0 {
			return nil, choices.ErrContradiction
		}
		picks[f] = may[dice(len(may))]
	}
	return c.written(picks), nil
}

// inTurn are the fields in a random order, those of a row first.
func (c *Choosing) inTurn(row choices.Row, dice func(n int) int) (order []int32) {
	for f := range int32(c.Rules.Fields()) {
		order = append(order, f)
	}
	for i := len(order) - 1; i > 0; i-- {
		j := dice(i + 1)
		order[i], order[j] = order[j], order[i]
	}
	named := func(f int32) int {
		return slices.IndexFunc(row, func(t choices.Term) bool { return t.Field == c.Rules.Code(f) })
	}
	slices.SortStableFunc(order, func(a, b int32) int { return cmp.Compare(min(named(b), 0), min(named(a), 0)) })
	return order
}

// meets tells that a value of a field is one that a row holds of.
func (c *Choosing) meets(row choices.Row, f, v int32) bool {
	at := slices.IndexFunc(row, func(t choices.Term) bool { return t.Field == c.Rules.Code(f) })
	if at < 0 {
		return true
	}
	set := row[at].Set
	n, is := c.Rules.Number(f, v)
	in := !is && slices.Contains(set.Values, c.Rules.Name(f, v)) ||
		is && slices.ContainsFunc(set.Numbers, func(i choices.Interval) bool { return i.From <= n && n <= i.To })
	return in != set.Except
}

// written are complete picks of the base as people would enter them.
func (c *Choosing) written(picks choices.Picks) (list []Pick) {
	for i, a := range c.base.scope.attributes {
		f := c.base.fields[i]
		switch {
		case f == choices.None && a.Default == nil && a.AskedWhen == nil:
			list = append(list, Pick{a.Code, "written"})
			continue
		case f == choices.None, picks[f] == c.notAsked(i, f):
			continue
		}
		text := c.text(i, f, picks[f], c.base.scope.unit)
		if a.Choose != nil && int(picks[f]) == len(a.options) {
			text = "as in our letter of the day"
		}
		list = append(list, Pick{a.Code, text})
	}
	return list
}
