package main

import (
	"strings"

	"billwright/bom"
	"billwright/catalog/unit"
)

// What a bill's text says of tops: shapes, edges, weights and overhang.

func shapedWith(in bom.Units, shape string, length, width, ends unit.Length) string {
	text := in.Shaped(shape, length, width)
	if ends > 0 {
		text += ", ends " + in.Length(ends)
	}
	return text
}

// woodEdge tells the edge of each profile where sides differ, the mating edge,
// the overhang and what the piece is matched with.
func woodEdge(r *bom.WoodRow, in bom.Units) string {
	parts := []string{in.Tape(r.EdgeRun) + " " + r.Edge}
	if len(r.Edges) > 0 {
		parts = parts[:0]
	}
	for _, e := range r.Edges {
		parts = append(parts, in.Tape(e.Length)+" "+e.Profile)
	}
	if r.Mating > 0 {
		parts = append(parts, in.Tape(r.Mating)+" mating")
	}
	if r.Overhang != nil {
		parts = append(parts, "overhang "+overhang(r.Overhang, in))
	}
	for _, made := range []string{r.Sawing, r.Climate} {
		if made != "" {
			parts = append(parts, made)
		}
	}
	if r.MatchSet != "" {
		parts = append(parts, "matched with "+r.MatchSet)
	}
	return strings.Join(parts, "; ")
}

// paneExtra is what stands on a pane's order beside size, glass and edge.
func paneExtra(r *bom.GlassRow, in bom.Units) string {
	text := ""
	if r.EdgeRun > 0 {
		text += ", " + in.Tape(r.EdgeRun)
	}
	for _, w := range r.Work {
		text += "; " + strings.TrimSpace(w.Do+" "+w.Note) + " by the " + w.By
	}
	if r.AreaClass != "" {
		text += "; " + r.AreaClass
	}
	if r.Billed > 0 {
		text += "; billed " + r.Billed.In(in)
	}
	if r.Overhang != nil {
		text += "; overhang " + overhang(r.Overhang, in)
	}
	return text
}

func weighs(weight bom.Weight, between *bom.WeightRange, in bom.Units) string {
	if between == nil {
		return weight.In(in)
	}
	return weight.In(in) + " (" + between.Least.In(in) + " to " + between.Most.In(in) + ")"
}

func overhang(o *bom.Overhang, in bom.Units) string {
	if o == nil {
		return ""
	}
	return "ends " + in.Tape(o.Ends) + ", sides " + in.Tape(o.Sides)
}
