package bom

import (
	"cmp"
	"fmt"
	"math"

	"billwright/catalog"
	"billwright/catalog/unit"
)

// Steel cut list.
//
//	straight   developed = length
//	mitred     developed = length over the long points;
//	           short point = long point - across·tan(first) - across·tan(second)
//	bent       developed = sum of straights + sum of radius·angle·pi/180, on the
//	           centre line (handbook: centre-line arc L = theta·CLR)
//	ring       developed = pi·(outside diameter - bar)
//	finished   = developed rounded by steel_finished
//	bend at    = straights and arcs before it, summed exactly and rounded by
//	             steel_finished
//	hoop, scroll, twisted  see shape.go; drawn, upset: see forging.go
//	cut        = developed + allowance rounded by steel_cut; the allowance is
//	             ring_allowance for a ring, else nothing
//	coated     = perimeter·developed + 2·cross-section; a closed ring has no
//	           ends, so that its cross-section is not added
//
// Lengths are in nanometres. Whatever needs pi or a tangent is reckoned in
// float64 and rounded once to 1 nm; a product is written float64(a*b) so that
// no machine fuses it with an addition and rounds differently.
//
// Worked: a 30 in frame member 1-1/2 in deep, mitred 45° at both ends:
// short point = 30 - 1.5 - 1.5 = 27 in.

// SteelRow is one row of the cut list.
type SteelRow struct {
	Path     string      `json:"path"`
	Name     string      `json:"name"`
	Section  string      `json:"section"`
	Material string      `json:"material"`
	Shape    string      `json:"shape"`
	Each     int         `json:"each"`
	Pieces   int         `json:"pieces"`
	Finished unit.Length `json:"finished_length"`
	Cut      unit.Length `json:"cut_length"`
	// ShortPoint is given for a mitred piece, whose lengths are over the long
	// points.
	ShortPoint *unit.Length `json:"short_point,omitempty"`
	Ends       string       `json:"ends"`
	Bends      []Bend       `json:"bends,omitempty"`
	// Bar is the bar that it is cut from where that is to be ordered first.
	Bar *BarToOrder `json:"bar_to_order,omitempty"`
	// Form tells what the shape takes beside its lengths, such as its turns.
	Form    string         `json:"form,omitempty"`
	Forging *ForgingRow    `json:"forging,omitempty"`
	Work    []OperationRow `json:"work,omitempty"`
	Weight  Weight         `json:"weight"`
	Coated  Surface        `json:"coated_area"`
}

// Bend is one bend of a bent piece. At is where it starts, along the centre
// line from the datum end, to the fraction that finished lengths are given to.
type Bend struct {
	At     unit.Length `json:"at"`
	Angle  int         `json:"angle"`
	Radius unit.Length `json:"radius"`
}

// OperationRow is one operation on the pieces of a row; Minutes are for all of
// them.
type OperationRow struct {
	Work    string  `json:"do"`
	Minutes Minutes `json:"minutes"`
	Note    string  `json:"note,omitempty"`
}

// shaped is a piece's developed length and what its shape adds to the row.
type shaped struct {
	name       string
	developed  unit.Length
	allowance  unit.Length
	shortPoint *unit.Length
	ends       string
	bends      []Bend
	closed     bool // a ring or hoop: no ends to coat
	form       string
	forging    *ForgingRow
	parent     unit.Length // bar that weighs what the piece does; 0: developed
	blank      unit.Length // bar that goes into it before the allowance; 0: developed
	surface    *unit.Area  // what is coated, where it is not a bar of one section
}

// bars are the lengths of bar that the piece weighs and that goes into it.
func (s *shaped) bars() (parent, blank unit.Length) {
	return cmp.Or(s.parent, s.developed), cmp.Or(s.blank, s.developed)
}

func (r *reckoning) steel(p *catalog.Part, each int) {
	section, found := r.cat.Sections.Get(p.Steel.Section)
	if !found {
		r.refuse("section.unknown", p.Path, "there is no section %q", p.Steel.Section)
		return
	}
	shape, finished, cut, ok := r.cutOf(p, section)
	if !ok {
		return
	}
	var x exact
	from, ok := r.bar(p, section, cut)
	if !ok {
		return
	}
	mass, coated := weightAndSurface(section, &shape, &x)
	pieces := r.all(each)
	row := SteelRow{
		Path: p.Path, Name: name(p), Section: section.Code, Material: section.Name, Shape: shape.name, Each: each, Pieces: pieces,
		Finished: finished, Cut: cut, ShortPoint: shape.shortPoint, Ends: shape.ends, Bends: shape.bends,
		Form: shape.form, Forging: shape.forging,
		Work:   operations(p.Steel.Work, pieces, &x),
		Weight: Weight(x.times(int64(mass), pieces)),
		Coated: Surface(x.times(int64(coated), pieces)),
	}
	r.hot = r.hot || shape.forging != nil
	row.Bar = from.row()
	if from.cuts != nil {
		r.spliced(p, section, row, &shape, from.cuts)
		return
	}
	r.addSteel(row, section, mass, coated, &x)
}

// addSteel adds a row of steel whose pieces weigh mass and are coated over an
// area each, with the material that it takes.
func (r *reckoning) addSteel(row SteelRow, section *catalog.Section, mass unit.Mass, coated unit.Area, x *exact) bool {
	issued := x.times(int64(row.Cut), row.Pieces)
	unitMass := x.times(int64(mass), row.Each)
	unitArea := unit.Area(x.times(int64(coated), row.Each))
	if !r.settled(row.Path, x) {
		return false
	}
	r.bill.Steel = append(r.bill.Steel, row)
	need := Material{Line: r.line.Number, Path: row.Path, Kind: KindSteel, Item: section.Code,
		Pieces: row.Pieces, PieceLength: row.Cut, Amount: issued, Measure: Length}
	if row.Bar != nil {
		need.LeadDays, need.Vendor = row.Bar.LeadDays, row.Bar.Vendor
	}
	r.bill.materials = append(r.bill.materials, need)
	r.weigh(row.Path, unit.Mass(unitMass))
	if n := len(r.assemblies); n > 0 {
		r.assemblies[n-1].area += unitArea
	}
	return true
}

// cutOf is the shape of a piece with its finished and its cut length.
func (r *reckoning) cutOf(p *catalog.Part, section *catalog.Section) (shape shaped, finished, cut unit.Length, ok bool) {
	if shape, ok = r.shape(p, section); !ok {
		return shape, 0, 0, false
	}
	var x exact
	finished = x.round(r.cat.Rounding("steel_finished"), shape.developed)
	_, blank := shape.bars()
	cut = x.round(r.cat.Rounding("steel_cut"), blank+shape.allowance)
	if !r.settled(p.Path, &x) {
		return shape, 0, 0, false
	}
	if r.trace {
		r.note(p.Path, "cut length", "%s + %s allowance, rounded = %s", blank, shape.allowance, cut)
	}
	return shape, finished, cut, true
}

// weightAndSurface are the mass and the coated area of one piece.
func weightAndSurface(section *catalog.Section, shape *shaped, x *exact) (unit.Mass, unit.Area) {
	parent, _ := shape.bars()
	mass, err := section.Mass(parent)
	x.keep(err)
	if shape.surface != nil {
		return mass, *shape.surface
	}
	perimeter, err := section.Perimeter()
	x.keep(err)
	coated := x.area(perimeter, parent)
	if !shape.closed {
		crossSection, err := section.CrossSection()
		x.keep(err)
		coated += 2 * crossSection
	}
	return mass, coated
}

func operations(work []catalog.Operation, pieces int, x *exact) []OperationRow {
	if len(work) == 0 {
		return nil
	}
	rows := make([]OperationRow, len(work))
	for i, op := range work {
		rows[i] = OperationRow{Work: op.Work, Minutes: minutes(op.Minutes, pieces, x), Note: op.Note}
	}
	return rows
}

// minutes is in tenths of a minute; what takes any time takes at least one.
func minutes(each unit.Ratio, pieces int, x *exact) Minutes {
	tenths := x.ratio(int64(pieces)*10, each.Num(), each.Den())
	if tenths == 0 && each.Sign() > 0 {
		return 1
	}
	return Minutes(tenths)
}

func (r *reckoning) shape(p *catalog.Part, section *catalog.Section) (shaped, bool) {
	switch s := p.Steel; {
	case s.Straight != nil:
		length, ok := r.length(p.Path, "length", &s.Straight.Length)
		return shaped{name: "straight", developed: length, ends: "square, square"}, ok
	case s.Mitred != nil:
		return r.mitred(p.Path, s.Mitred)
	case s.Ring != nil:
		return r.ring(p.Path, s.Ring, section)
	case s.Bent != nil:
		return r.bent(p.Path, s.Bent)
	case s.Hoop != nil:
		return r.hoop(p.Path, s.Hoop, section)
	case s.Scroll != nil:
		return r.scroll(p.Path, s.Scroll, section)
	case s.Drawn != nil:
		return r.drawn(p, section)
	case s.Upset != nil:
		return r.upset(p, section)
	default:
		return r.twisted(p.Path, s.Twisted)
	}
}

func (r *reckoning) mitred(path string, m *catalog.Mitred) (shaped, bool) {
	long, ok := r.length(path, "length over the long points", &m.LongPoint)
	if !ok {
		return shaped{}, false
	}
	var x exact
	short := long - x.float(mitreLoss(m.Across, m.First)) - x.float(mitreLoss(m.Across, m.Second))
	if !r.settled(path, &x) {
		return shaped{}, false
	}
	if short <= 0 {
		r.refuse("length.not-positive", path, "mitres of %d and %d degrees across %s leave nothing of %s over the long points", m.First, m.Second, m.Across, long)
		return shaped{}, false
	}
	if r.trace {
		r.note(path, "short point", "%s - %s·tan %d° - %s·tan %d° = %s", long, m.Across, m.First, m.Across, m.Second, short)
	}
	return shaped{name: "mitred", developed: long, shortPoint: &short, ends: fmt.Sprintf("%s, %s", end(m.First), end(m.Second))}, true
}

// mitreLoss is how much shorter, in nanometres, one mitre makes the other side.
func mitreLoss(across unit.Length, degrees int) float64 {
	return float64(float64(across) * math.Tan(float64(float64(degrees)*math.Pi)/180))
}

func end(degrees int) string {
	if degrees == 0 {
		return "square"
	}
	return fmt.Sprintf("%d° off square", degrees)
}

func (r *reckoning) ring(path string, ring *catalog.Ring, section *catalog.Section) (shaped, bool) {
	outside, ok := r.length(path, "outside diameter", &ring.Outside)
	if !ok {
		return shaped{}, false
	}
	bar := radialDepth(section)
	if outside <= 2*bar {
		r.refuse("ring.too-small", path, "a ring of %s outside cannot be rolled from a bar %s deep", outside, bar)
		return shaped{}, false
	}
	var x exact
	developed := x.float(RingLength(outside, bar))
	if !r.settled(path, &x) {
		return shaped{}, false
	}
	if r.trace {
		r.note(path, "developed length", "pi·(%s - %s) = %s", outside, bar, developed)
	}
	return shaped{name: "rolled ring", developed: developed, allowance: r.cat.Length("ring_allowance"), ends: "closed", closed: true}, true
}

// RingLength is the developed length in nanometres of a closed ring of the
// given outside diameter rolled from a bar of the given radial depth:
// pi·(outside - bar).
func RingLength(outside, bar unit.Length) float64 { return math.Pi * float64(outside-bar) }

// radialDepth is how deep a section is along a ring's radius; a flat or a
// rectangular tube is rolled the easy way, over its thin side.
func radialDepth(s *catalog.Section) unit.Length {
	for _, side := range []*unit.Length{s.Size, s.Thickness, s.Height, s.Width} {
		if side != nil {
			return *side
		}
	}
	return 0
}

func (r *reckoning) bent(path string, bent *catalog.Bent) (shaped, bool) {
	shape := shaped{name: "bent", ends: "square, square"}
	var x exact
	for i := range bent.Runs {
		run := &bent.Runs[i]
		if run.Straight != nil {
			length, ok := r.length(path, fmt.Sprintf("straight %d", i+1), run.Straight)
			if !ok {
				return shaped{}, false
			}
			shape.developed += length
			continue
		}
		radius, ok := r.length(path, fmt.Sprintf("radius %d", i+1), run.Radius)
		if !ok {
			return shaped{}, false
		}
		arc := x.float(ArcLength(radius, run.Angle))
		if r.trace {
			r.note(path, fmt.Sprintf("arc %d", i+1), "%s·%d°·pi/180 = %s", radius, run.Angle, arc)
		}
		at := x.round(r.cat.Rounding("steel_finished"), shape.developed)
		shape.bends = append(shape.bends, Bend{At: at, Angle: run.Angle, Radius: radius})
		shape.developed += arc
	}
	return shape, r.settled(path, &x)
}

// ArcLength is the centre-line length in nanometres of a bend.
func ArcLength(radius unit.Length, degrees int) float64 {
	return float64(float64(radius)*float64(float64(degrees)*math.Pi)) / 180
}

func (r *reckoning) trimmedEnds() int {
	switch r.cat.Choice("bar_trim_ends") {
	case "both":
		return 2
	case "one":
		return 1
	default:
		return 0
	}
}
