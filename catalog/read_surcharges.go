package catalog

import (
	"fmt"
	"slices"

	"billwright/catalog/source"
	"billwright/catalog/unit"
)

// surcharges checks percentages, days and what they are charged on.
func (r *reading) surcharges() {
	var before []*Surcharge
	entries(r.spot("surcharges"), r.cat.Surcharges, func(s spot, code string, x *Surcharge) {
		x.Code = code
		s = s.at(x.Pos)
		s.percent(x.Percent)
		if x.To != nil && x.To.Before(x.From) {
			s.in("to").fault(fmt.Sprintf("the surcharge ends on %s, before it begins on %s", x.To, x.From), "swap them")
		}
		s.chargedOn(x.Where)
		for _, other := range before {
			if other.For == x.For && x.overlaps(other, r.cat) {
				s.warn(fmt.Sprintf("it is charged on days on which %s is charged as well, for the same: %s", other.Code, x.For), "end one the day before the other begins, or name them differently if both are meant")
			}
		}
		before = append(before, x)
	})
}

func (s spot) percent(p Percent) {
	s = s.in("percent")
	least := unit.RatioOf(-1)
	switch {
	case p.share.Sign() == 0:
		s.fault("nothing is charged", "leave the surcharge out, or write its percentage")
	case p.share.Cmp(least) <= 0 || p.share.Cmp(unit.RatioOf(10)) > 0:
		s.fault(fmt.Sprintf("%s is not a surcharge", p), "write more than -100 and up to 1000, in percent")
	case p.small():
		s.warn(fmt.Sprintf("only %s is charged", p), "a surcharge is in percent: write 6.5 for six and a half of a hundred")
	}
}

func (s spot) chargedOn(where *SurchargeWhere) {
	if where == nil {
		return
	}
	s = s.in("where")
	if len(where.Products) == 0 && len(where.Collections) == 0 {
		s.fault("it is charged on nothing", "name products or collections, or leave where out, which charges everything")
	}
	s.in("products").twice(values(where.Products))
	for _, product := range where.Products {
		s.in("products").at(product.Pos).from("products", product.Value)
	}
	s.in("collections").twice(values(where.Collections))
	for _, collection := range where.Collections {
		s.in("collections").at(collection.Pos).known("collection", collection.Value, s.r.collections())
	}
}

// collections are the collections that products belong to.
func (r *reading) collections() (list []string) {
	for _, p := range r.cat.Products.All() {
		if p.Collection != "" && !slices.Contains(list, p.Collection) {
			list = append(list, p.Collection)
		}
	}
	return list
}

// overlaps tells that two surcharges are charged on one product on one day.
func (x *Surcharge) overlaps(other *Surcharge, cat *Catalog) bool {
	if after(x.To, other.From) || after(other.To, x.From) {
		return false
	}
	for _, p := range cat.Products.All() {
		if x.on(p) && other.on(p) {
			return true
		}
	}
	return false
}

// on tells that the surcharge is charged on a product.
func (x *Surcharge) on(p *Product) bool {
	if x.Where == nil {
		return true
	}
	return has(x.Where.Products, p.Code) || p.Collection != "" && has(x.Where.Collections, p.Collection)
}

func has(list []source.Text, word string) bool {
	return slices.ContainsFunc(list, func(t source.Text) bool { return t.Value == word })
}
