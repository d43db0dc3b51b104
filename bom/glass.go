package bom

import (
	"strings"

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
// after tempering. What is worked on it beside its outline is done by the
// vendor and stands on the order; work in the shop on a tempered pane is refused.
//
//	billed = the outline's area, or that of the rectangle around it
//	range  = weight within the glass's share (weightrange.go)
//	class  = over the glass's large_over, or up to it
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
	EndWidth  unit.Length `json:"end_width,omitzero"`
	Thickness unit.Length `json:"thickness"`
	Edge      string      `json:"edge"`
	// EdgeRun is there for a shape beyond rectangle and round, and where the
	// vendor bills by it.
	EdgeRun   unit.Length  `json:"edge_length,omitzero"`
	Work      []PaneWork   `json:"work,omitempty"`
	Safety    string       `json:"safety"`
	Reason    string       `json:"safety_reason"`
	Weight    Weight       `json:"weight"`
	Range     *WeightRange `json:"weight_range,omitempty"`
	Area      Surface      `json:"area"`
	AreaClass string       `json:"area_class,omitempty"`
	Billed    Surface      `json:"billed_area,omitzero"`
	Overhang  *Overhang    `json:"overhang,omitempty"`
	// Sheet is there where the pane is cut from a sheet in the workshop.
	Sheet *SheetCut `json:"sheet,omitempty"`
}

// PaneWork is work on a pane beside outline and edge.
type PaneWork struct {
	Do   string `json:"do"`
	By   string `json:"by"`
	Note string `json:"note,omitempty"`
}

func (r *reckoning) glass(p *catalog.Part, each int) {
	g := p.Glass
	code, okGlass := r.text(p.Path, "glass", &g.Glass)
	shape, okShape := r.outline(p.Path, "", g.Outline())
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
	overhang, okOverhang := r.overhang(p.Path, shape.length, shape.width, g.Support)
	reason, ok := r.safetyReason(p.Path, glass, g.Position, height, overhang)
	okTip := r.tip(p.Path, &shape, g.Tip)
	if !ok || !okOverhang || !okTip || !r.workable(p.Path, glass, g.Work) || !r.withinVendor(p.Path, glass, shape) {
		return
	}
	var x exact
	mass, err := r.cat.DensityOf("glass_density").Mass(x.volume(shape.area, glass.Thickness))
	x.keep(err)
	pieces := r.all(each)
	row := GlassRow{
		Path: p.Path, Name: name(p), Glass: r.said(&g.Glass, glass.Name), Shape: shape.shape, Each: each, Pieces: pieces,
		Length: shape.length, Width: shape.width, EndWidth: shape.endWidth, Thickness: glass.Thickness, Edge: edge, Safety: glass.Safety, Reason: reason,
		Weight: Weight(x.times(int64(mass), pieces)), Area: Surface(x.times(int64(shape.area), pieces)), Overhang: overhang,
	}
	r.ordered(&row, glass, &shape, &x)
	unitMass := x.times(int64(mass), each)
	if !r.settled(p.Path, &x) {
		return
	}
	if r.trace {
		r.noteOutline(p.Path, &shape)
		r.note(p.Path, "area", "%s · %d pieces = %s", Surface(shape.area), pieces, row.Area)
		r.note(p.Path, "weight", "%s · %s · glass density · %d pieces = %s", Surface(shape.area), glass.Thickness, pieces, row.Weight)
		r.noteRange(p.Path, row.Weight, row.Range, glass.Within)
	}
	item := glass.Code + " " + shape.text(r.units) + " " + edge
	for _, work := range g.Work {
		row.Work = append(row.Work, PaneWork(work))
		if work.By == catalog.ByVendor {
			item += ", " + strings.TrimSpace(work.Do+" "+work.Note)
		}
	}
	row.Sheet = r.paneFromSheet(p, glass, &shape, pieces)
	r.bill.Glass = append(r.bill.Glass, row)
	if row.Sheet == nil {
		r.need(p.Path, KindGlass, item, pieces, int64(pieces), Each)
	}
	r.weigh(p.Path, unit.Mass(unitMass))
}

// paneFromSheet has a pane cut in the workshop where its glass comes in sheets
// and nothing is worked on it by the vendor.
func (r *reckoning) paneFromSheet(p *catalog.Part, glass *catalog.Glass, shape *outline, pieces int) *SheetCut {
	for _, work := range p.Glass.Work {
		if work.By == catalog.ByVendor {
			return nil
		}
	}
	return r.fromSheet(sheetPiece{path: p.Path, kind: KindGlass, item: glass.Code, sheets: glass.Sheets, length: shape.length, width: shape.width, pieces: pieces})
}

// ordered adds what the catalog says of how the vendor sells the glass.
func (r *reckoning) ordered(row *GlassRow, glass *catalog.Glass, shape *outline, x *exact) {
	row.Range = x.weightRange(row.Weight, glass.Within)
	if glass.Large > 0 {
		row.AreaClass = "up to " + Surface(glass.Large).In(r.units)
		if shape.area > glass.Large {
			row.AreaClass = "over " + Surface(glass.Large).In(r.units)
		}
	}
	if glass.Billed != "" || shape.shape != catalog.Rectangle && shape.shape != catalog.Round {
		row.EdgeRun = shape.perimeter
	}
	switch glass.Billed {
	case "outline":
		row.Billed = row.Area
	case "bounding rectangle":
		row.Billed = Surface(x.times(int64(x.area(shape.length, shape.width)), row.Pieces))
		r.note(row.Path, "billed area", "%s · %s · %d pieces = %s", shape.length, shape.width, row.Pieces, row.Billed)
	}
}

// safetyReason tells why a pane is or need not be of safety glass. Only a
// horizontal one is called for by its height (ASTM F2813); one that reaches past
// its support is besides not fully supported.
func (r *reckoning) safetyReason(path string, glass *catalog.Glass, position string, height unit.Length, overhang *Overhang) (string, bool) {
	limit := r.cat.Length("glass_safety_height")
	switch {
	case position == catalog.Upright:
		return "an upright pane: what is said of horizontal ones does not call for it", true
	case height >= limit:
		return "at " + r.units.Length(limit) + " or higher: not called for by height", true
	}
	because := ""
	if overhang != nil && overhang.greatest() > 0 {
		because = ", not fully supported: it overhangs by " + r.units.Tape(overhang.greatest())
	}
	if glass.Safety == "none" {
		r.refuse("glass.not-safe", path, "%s is no safety glass, and a pane %s over the floor lies under %s%s: choose a tempered or laminated one", glass.Name, height, limit, because)
		return "", false
	}
	return "a horizontal pane under " + r.units.Length(limit) + because, true
}

// workable refuses work in the shop on a pane that is tempered.
func (r *reckoning) workable(path string, glass *catalog.Glass, work []catalog.GlassWork) bool {
	if !glass.Tempered() {
		return true
	}
	for _, w := range work {
		if w.By == catalog.ByWorkshop {
			r.refuse("glass.tempered", path, "%s is tempered, and a tempered pane is never cut, drilled, notched or edged in the workshop: have the vendor %s it before tempering, or choose another glass", glass.Name, w.Do)
			return false
		}
	}
	return true
}

func (r *reckoning) withinVendor(path string, glass *catalog.Glass, shape outline) bool {
	limit := glass.Largest
	if fitsIn(limit, &shape) {
		return true
	}
	r.refuse("glass.too-large", path, "%s x %s of %s is over the vendor's limit of %s x %s", shape.length, shape.width, glass.Name, limit.Length, limit.Width)
	return false
}
