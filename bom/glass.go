package bom

import (
	"billwright/catalog"
	"billwright/catalog/unit"
)

// Glass.
//
//	weight = area · thickness · glass_density (handbook: 13.0 lb/ft2 an inch,
//	         good to 10 %)
//	safety glass is called for when the pane is a horizontal surface under
//	         glass_safety_height (ASTM F2813: 44 in)
//
// The size is the finished size: a tempered pane is never cut, drilled or edged
// after tempering.
//
// Worked: a round pane of 48 in, 1/2 in thick: pi·4 = 12.57 ft2, at 6.5 lb/ft2
// 81.7 lb.

// GlassRow is one pane.
type GlassRow struct {
	Path      string      `json:"path"`
	Name      string      `json:"name"`
	Glass     string      `json:"glass"`
	Shape     string      `json:"shape"`
	Each      int         `json:"each"`
	Pieces    int         `json:"pieces"`
	Length    unit.Length `json:"length"`
	Width     unit.Length `json:"width"`
	Thickness unit.Length `json:"thickness"`
	Edge      string      `json:"edge"`
	Safety    string      `json:"safety"`
	Reason    string      `json:"safety_reason"`
	Weight    Weight      `json:"weight"`
	Area      Surface     `json:"area"`
}

func (r *reckoning) glass(p *catalog.Part, each int) {
	g := p.Glass
	code, okGlass := r.text(p.Path, "glass", &g.Glass)
	shape, okShape := r.outline(p.Path, g.Shape, "", &g.Length, g.Width)
	height, okHeight := r.length(p.Path, "height", &g.Height)
	edge, okEdge := r.text(p.Path, "edge", &g.Edge)
	if !okGlass || !okShape || !okHeight || !okEdge {
		return
	}
	glass, found := r.cat.Glass.Get(code)
	if !found {
		r.refuse("glass.unknown", p.Path, "there is no glass %q", code)
		return
	}
	reason, ok := r.safetyReason(p.Path, glass, height)
	if !ok || !r.withinVendor(p.Path, glass, shape) {
		return
	}
	var x exact
	mass, err := r.cat.DensityOf("glass_density").Mass(x.volume(shape.area, glass.Thickness))
	x.keep(err)
	pieces := r.all(each)
	row := GlassRow{
		Path: p.Path, Name: name(p), Glass: r.said(&g.Glass, glass.Name), Shape: outlineName(g.Shape), Each: each, Pieces: pieces,
		Length: shape.length, Width: shape.width, Thickness: glass.Thickness, Edge: edge, Safety: glass.Safety, Reason: reason,
		Weight: Weight(x.times(int64(mass), pieces)), Area: Surface(x.times(int64(shape.area), pieces)),
	}
	unitMass := x.times(int64(mass), each)
	if !r.settled(p.Path, &x) {
		return
	}
	if r.trace {
		r.note(p.Path, "weight", "%s · %s · glass density · %d pieces = %s", Surface(shape.area), glass.Thickness, pieces, row.Weight)
	}
	r.bill.Glass = append(r.bill.Glass, row)
	item := glass.Code + " " + r.units.Shaped(row.Shape, shape.length, shape.width) + " " + edge
	r.need(p.Path, KindGlass, item, pieces, int64(pieces), Each)
	r.weigh(p.Path, unit.Mass(unitMass))
}

func (r *reckoning) safetyReason(path string, glass *catalog.Glass, height unit.Length) (string, bool) {
	limit := r.cat.Length("glass_safety_height")
	if height >= limit {
		return "at " + r.units.Length(limit) + " or higher: not called for by height", true
	}
	if glass.Safety == "none" {
		r.refuse("glass.not-safe", path, "%s is no safety glass, and a pane %s over the floor lies under %s: choose a tempered or laminated one", glass.Name, height, limit)
		return "", false
	}
	return "a horizontal pane under " + r.units.Length(limit), true
}

func (r *reckoning) withinVendor(path string, glass *catalog.Glass, shape outline) bool {
	limit := glass.Largest
	if limit == nil {
		return true
	}
	if max(shape.length, shape.width) <= limit.Length && min(shape.length, shape.width) <= limit.Width {
		return true
	}
	r.refuse("glass.too-large", path, "%s x %s of %s is over the vendor's limit of %s x %s", shape.length, shape.width, glass.Name, limit.Length, limit.Width)
	return false
}
