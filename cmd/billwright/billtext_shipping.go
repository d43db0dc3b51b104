package main

import (
	"fmt"

	"billwright/bom"
)

// shipping writes how a line's cartons travel and are lifted, where the catalog
// says.
func (t *textWriter) shipping(b *bom.LineBill) {
	in := t.units
	var shipped []*bom.CartonRow
	for i := range b.Cartons {
		if b.Cartons[i].Outside != nil {
			shipped = append(shipped, &b.Cartons[i])
		}
	}
	t.section("Shipping", "outside\tpackage\tship\tbilled\tstacked", len(shipped), func(i int) []string {
		r := shipped[i]
		billed := ""
		if r.Parcel != nil {
			billed = r.Parcel.Billed.In(in) + ", " + r.Parcel.Terms
		}
		return []string{in.Sides(r.Outside.Length, r.Outside.Width, r.Outside.Depth), r.Package, r.Ship, billed, fmt.Sprintf("%d high", r.Stack.Layers)}
	})
	t.section("Handling units", "units\tpallet\tcartons on each\tsize\tweight of each\tdensity\tclass", len(b.Units), func(i int) []string {
		u := &b.Units[i]
		return []string{fmt.Sprint(u.Units), u.Pallet, fmt.Sprintf("%d in %d layers", u.Cartons, u.Layers), in.Sides(u.Length, u.Width, u.Height), u.Weight.In(in), u.Density, u.Class}
	})
	t.section("Lifts", "of\tweight\tlimit\tindex\thow", len(b.Lifts), func(i int) []string {
		l := &b.Lifts[i]
		return []string{l.Path, l.Weight.In(in), l.Limit.In(in), l.Index, l.Lift}
	})
}
