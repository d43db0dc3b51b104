package bom_test

import (
	"fmt"
	"strings"

	"billwright/bom"
)

// shippingBlock writes how a carton travels, where its handling says.
func shippingBlock(out *strings.Builder, r *bom.CartonRow, in bom.Units) {
	if r.Outside == nil {
		return
	}
	fmt.Fprintf(out, "  outside  %s  %s package\n", in.Sides(r.Outside.Length, r.Outside.Width, r.Outside.Depth), quoted(r.Package))
	if s := r.Stack; s.Reason != "" {
		fmt.Fprintf(out, "  stack    %d layers  up to %s  %s\n", s.Layers, in.Length(s.Height), quoted(s.Reason))
	} else {
		fmt.Fprintf(out, "  stack    %d layers  up to %s  bears %s  safely %s\n", s.Layers, in.Length(s.Height), s.Strength.In(in), s.SafeLoad.In(in))
	}
	fmt.Fprintf(out, "  ship     %s\n", quoted(r.Ship))
	if p := r.Parcel; p != nil {
		fmt.Fprintf(out, "  parcel   %s  rule %s  sides %s  with girth %s\n", quoted(p.Terms), quoted(p.RuleFrom), in.Sides(p.Length, p.Width, p.Height), in.Length(p.Girth))
		fmt.Fprintf(out, "  billed   dimensional %s  billed %s\n", p.Dimensional.In(in), p.Billed.In(in))
	}
}

func unitTable(rows []bom.UnitRow, in bom.Units) string {
	if len(rows) == 0 {
		return ""
	}
	cells := [][]string{{"unit", "pallet", "units", "cartons on each", "layers", "size", "weight of each", "density", "class", "scale"}}
	for i := range rows {
		r := &rows[i]
		cells = append(cells, []string{r.Path, quoted(r.Pallet), count(r.Units), count(r.Cartons), count(r.Layers), in.Sides(r.Length, r.Width, r.Height),
			r.Weight.In(in), r.Density, "class " + r.Class, quoted(r.Scale)})
	}
	return table(cells)
}

func liftTable(rows []bom.LiftRow, in bom.Units) string {
	if len(rows) == 0 {
		return ""
	}
	cells := [][]string{{"lift of", "how", "weight", "limit", "index"}}
	for i := range rows {
		r := &rows[i]
		cells = append(cells, []string{r.Path, quoted(r.Lift), r.Weight.In(in), r.Limit.In(in), "index " + r.Index})
	}
	return table(cells)
}
