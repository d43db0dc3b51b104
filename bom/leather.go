package bom

import (
	"billwright/catalog"
	"billwright/catalog/unit"
)

// Leather.
//
//	area      = sum of pieces·along·across, times the leather's factor
//	hides     = area / area of a hide, rounded up
//
// Each piece fits the clear rectangle of a hide, either way round. A piece that
// may be joined is cut in the fewest parts that fit, all alike, each join taking
// a seam on both sides.
//
// Worked: 4 plates of 500 x 600 mm are 1.2 m2; at a factor of 1.5 that is
// 1.8 m2, from hides of 4.5 m2 one hide.

// mostParts bounds how often a piece of leather is joined.
const mostParts = 100

// fitsHide refuses a piece that no hide holds, and measures it with its joins.
func (r *reckoning) fitsHide(path string, panel *Panel, mayJoin bool, fabric *catalog.Fabric) bool {
	hide, seams := fabric.Leather, 2*r.cat.Length("seam")
	var x exact
	for parts := unit.Length(1); parts == 1 || mayJoin && parts <= mostParts; parts++ {
		// parts of one size joined measure parts·size - (parts-1)·seams.
		joined := panel.Across + (parts-1)*seams
		size := (joined + parts - 1) / parts
		if max(panel.Along, size) <= max(hide.Length, hide.Width) && min(panel.Along, size) <= min(hide.Length, hide.Width) {
			panel.Joined = parts > 1
			panel.leather = x.area(panel.Along, joined)
			return r.settled(path, &x)
		}
	}
	r.refuse("leather.too-small", path, "a piece of %s x %s is larger than the clear part of a hide of %s, which is %s x %s: choose a smaller size, another leather, or a form that joins it",
		panel.Along, panel.Across, fabric.Name, hide.Length, hide.Width)
	return false
}

// leather sums the pieces of one leather by area.
func (r *reckoning) leather(row *ClothRow) bool {
	hide, panels := row.sewn.fabric.Leather, row.cuts
	var x exact
	var pieces unit.Area
	for i := range panels {
		sum, err := pieces.Add(unit.Area(x.times(int64(panels[i].leather), panels[i].Pieces)))
		x.keep(err)
		pieces = sum
	}
	area, err := pieces.Scale(hide.Factor, unit.Nearest)
	x.keep(err)
	hides, err := unit.DivRound(int64(area), int64(hide.Hide), unit.Up)
	x.keep(err)
	if !r.settled(row.Path, &x) {
		return false
	}
	row.Area, row.Hides = Surface(area), int(hides)
	r.note(row.Path, "leather", "%s of pieces · %s = %s", Surface(pieces), hide.Factor, row.Area)
	r.note(row.Path, "hides", "%s / %s a hide, rounded up = %d", row.Area, Surface(hide.Hide), row.Hides)
	return true
}
