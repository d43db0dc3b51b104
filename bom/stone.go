package bom

import (
	"billwright/catalog"
	"billwright/catalog/unit"
)

// Stone tops and shelves, bought to size in the thickness of their slab.
//
//	weight = area of the outline · thickness · density of the stone, within its
//	         share (weightrange.go)
//
// Worked: a round of 30 in, 1-1/4 in thick at 168 lb/ft3: pi·30²/4 = 706.86 in2,
// 883.57 in3, 85.90 lb; within 5 %, 81.6 to 90.2 lb.

// StoneRow is one stone top or shelf.
type StoneRow struct {
	Path      string       `json:"path"`
	Name      string       `json:"name"`
	Stone     string       `json:"stone"`
	Shape     string       `json:"shape"`
	Each      int          `json:"each"`
	Pieces    int          `json:"pieces"`
	Length    unit.Length  `json:"length"`
	Width     unit.Length  `json:"width"`
	EndWidth  unit.Length  `json:"end_width,omitzero"`
	Thickness unit.Length  `json:"thickness"`
	Edge      string       `json:"edge"`
	EdgeRun   unit.Length  `json:"edge_length"`
	Weight    Weight       `json:"weight"`
	Range     *WeightRange `json:"weight_range,omitempty"`
	Area      Surface      `json:"area"`
	Overhang  *Overhang    `json:"overhang,omitempty"`
	// Sheet is there where it is cut from a slab in the workshop.
	Sheet *SheetCut `json:"sheet,omitempty"`

	heaviest unit.Mass // one piece, at its most
}

func (r *reckoning) stone(p *catalog.Part, each int) {
	t := p.Stone
	code, okStone := r.text(p.Path, "stone", &t.Stone)
	shape, okShape := r.outline(p.Path, "", t.Outline())
	edge, okEdge := r.text(p.Path, "edge", &t.Edge)
	if !okStone || !okShape || !okEdge {
		return
	}
	stone, found := r.cat.Stone.Get(code)
	if !found {
		r.refuse("stone.unknown", p.Path, "there is no stone %q", code)
		return
	}
	if !r.withinSlab(p.Path, stone, &shape) {
		return
	}
	overhang, ok := r.overhang(p.Path, shape.length, shape.width, t.Support)
	if !r.tip(p.Path, &shape, t.Tip) || !ok {
		return
	}
	var x exact
	mass, err := stone.Density.Mass(x.volume(shape.area, stone.Thickness))
	x.keep(err)
	pieces := r.all(each)
	row := StoneRow{
		Path: p.Path, Name: name(p), Stone: r.said(&t.Stone, stone.Name), Shape: shape.shape, Each: each, Pieces: pieces,
		Length: shape.length, Width: shape.width, EndWidth: shape.endWidth, Thickness: stone.Thickness, Edge: edge, EdgeRun: shape.perimeter,
		Weight: Weight(x.times(int64(mass), pieces)), Area: Surface(x.times(int64(shape.area), pieces)), Overhang: overhang, heaviest: mass,
	}
	row.Range = x.weightRange(row.Weight, stone.Within)
	if one := x.weightRange(Weight(mass), stone.Within); one != nil {
		row.heaviest = unit.Mass(one.Most)
	}
	unitMass := x.times(int64(mass), each)
	if !r.settled(p.Path, &x) {
		return
	}
	if r.trace {
		r.noteOutline(p.Path, &shape)
		r.note(p.Path, "area", "%s · %d pieces = %s", Surface(shape.area), pieces, row.Area)
		r.note(p.Path, "weight", "%s · %s · density of the stone · %d pieces = %s", Surface(shape.area), stone.Thickness, pieces, row.Weight)
	}
	r.noteRange(p.Path, row.Weight, row.Range, stone.Within)
	row.Sheet = r.fromSheet(sheetPiece{path: p.Path, kind: KindStone, item: stone.Code, sheets: stone.Sheets, length: shape.length, width: shape.width, pieces: pieces})
	r.bill.Stone = append(r.bill.Stone, row)
	if row.Sheet == nil {
		r.need(p.Path, KindStone, stone.Code+" "+shape.text(r.units)+" "+edge, pieces, int64(pieces), Each)
	}
	r.weigh(p.Path, unit.Mass(unitMass))
}

func (r *reckoning) withinSlab(path string, stone *catalog.Stone, shape *outline) bool {
	if fitsIn(stone.Largest, shape) {
		return true
	}
	r.refuse("stone.too-large", path, "%s x %s of %s is over the largest piece of a slab, %s x %s: make it smaller, or of another stone", shape.length, shape.width, stone.Name, stone.Largest.Length, stone.Largest.Width)
	return false
}

// fitsIn tells that a shape's rectangle fits in a vendor's largest piece, either
// way round; nil is no limit.
func fitsIn(largest *catalog.GlassLimit, shape *outline) bool {
	return largest == nil || max(shape.length, shape.width) <= largest.Length && min(shape.length, shape.width) <= largest.Width
}

func (r *reckoning) noteRange(path string, weight Weight, between *WeightRange, share unit.Ratio) {
	if between != nil {
		r.note(path, "weight range", "%s less and more %s = %s to %s", weight, share, between.Least, between.Most)
	}
}
