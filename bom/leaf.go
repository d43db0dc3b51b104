package bom

import (
	"billwright/catalog"
	"billwright/catalog/unit"
)

// Extension leaves: a leaf is a rectangle, its width by the catalog's formula
// along the table and the width of the top across it, of the top's species,
// finish, thickness and grain. It is blanked, glued up, weighed and finished as
// any top (wood.go), and is matched with its top: strips that run along the
// table are as wide in the leaf as in the top, since both blanks are equally
// wide, so that their joints meet.
//
//	edge         2 · width of the leaf, at front and back, in the top's profiles
//	mating edge  2 · width of the top, where it meets the halves or other leaves

func (r *reckoning) leaf(p *catalog.Part, each int) {
	top := p.Leaf.Top()
	at := r.woodRow(top.Path)
	if at < 0 {
		if len(r.findings) == 0 { // else the top's own finding tells
			r.refuse("leaf.no-top", p.Path, "it is a leaf of %s, which this configuration has not: put the condition of the top on the leaf", name(top))
		}
		return
	}
	width, ok := r.length(p.Path, "width of the leaf", &p.Leaf.Width)
	if !ok {
		return
	}
	var x exact
	row := &r.bill.Wood[at]
	shape := leafOutline(width, row.Width, top.Wood.Grain, &x)
	b, ok := r.boardOf(p.Path, top.Wood, shape)
	if !r.settled(p.Path, &x) || !ok {
		return
	}
	if r.trace {
		r.note(p.Path, "width", "as wide as its top = %s", shape.width)
		r.note(p.Path, "edge length", "2·%s = %s", width, shape.perimeter)
		r.note(p.Path, "mating edge", "2·%s = %s", shape.width, shape.mating)
	}
	row.MatchSet = top.Path
	b.matched = top.Path
	r.woodOf(p, top.Wood, &b, each)
}

// leafOutline is the rectangle of a leaf; its ends mate.
func leafOutline(width, across unit.Length, grain string, x *exact) outline {
	o := outline{shape: catalog.Rectangle, length: width, width: across, area: x.area(width, across),
		perimeter: 2 * width, side: width, mating: 2 * across}
	o.along, o.across = width, across
	if grain == "width" {
		o.along, o.across = across, width
	}
	return o
}

// woodRow is the place of a wood row by its path, -1 if there is none.
func (r *reckoning) woodRow(path string) int {
	for i := range r.bill.Wood {
		if r.bill.Wood[i].Path == path {
			return i
		}
	}
	return -1
}
