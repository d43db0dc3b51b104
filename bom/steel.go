package bom

import (
	"cmp"

	"billwright/catalog"
	"billwright/catalog/unit"
)

// Steel cut list. Each shape has its own file: mitre.go, ring.go, bend.go,
// hoop.go, scroll.go, twist.go, and drawn.go and upset.go for what is forged.
//
//	straight   developed = length
//	finished   developed rounded by steel_finished
//	cut        developed, or the bar that becomes the piece, + allowance,
//	           rounded by steel_cut; the allowance is ring_allowance for a ring
//	           and the hot cut of a forged piece, else nothing
//	weight     the section's mass by length times the bar that weighs what the
//	           piece does
//	coated     perimeter·that bar + 2·cross-section; a closed ring or hoop has no
//	           ends, so that its cross-section is not added
//
// Lengths are in nanometres. Whatever needs pi or a tangent is reckoned in
// float64 and rounded once to 1 nm; a product is written float64(a*b) so that
// no machine fuses it with an addition and rounds differently.
//
// Worked: 72 in of 1 in square bar weigh 72 / 12 · 3.4028 = 20.417 lb.

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
	Form    string      `json:"form,omitempty"`
	Forging *ForgingRow `json:"forging,omitempty"`
	// Trim is what is cut off after the piece was rolled: the straight ends that
	// the rolls leave.
	Trim   *unit.Length   `json:"trim,omitempty"`
	Work   []OperationRow `json:"work,omitempty"`
	Weight Weight         `json:"weight"`
	Coated Surface        `json:"coated_area"`
	// SubstitutedFor is the item whose place the material of the row takes.
	SubstitutedFor string `json:"substituted_for,omitempty"`
}

// shaped is a piece's developed length and what its shape adds to the row.
type shaped struct {
	name       string
	developed  unit.Length
	allowance  unit.Length
	shortPoint *unit.Length
	ends       string
	bends      []Bend
	closed     bool         // a ring or hoop: no ends to coat
	trim       *unit.Length // cut off after rolling
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
	r.notePiece(p.Path, section, &shape, finished, mass, coated)
	pieces := r.all(each)
	row := SteelRow{
		Path: p.Path, Name: name(p), Section: section.Code, Material: section.Name, Shape: shape.name, Each: each, Pieces: pieces,
		Finished: finished, Cut: cut, ShortPoint: shape.shortPoint, Ends: shape.ends, Bends: shape.bends,
		Form: shape.form, Forging: shape.forging, Trim: shape.trim,
		Work:   operations(p.Steel.Work, pieces, shape.worked(finished), &x),
		Weight: Weight(x.times(int64(mass), pieces)),
		Coated: Surface(x.times(int64(coated), pieces)),
	}
	r.noteWork(p.Path, p.Steel.Work, row.Work, pieces, shape.worked(finished))
	r.hot = r.hot || shape.forging != nil
	row.Bar, row.SubstitutedFor = from.row(), r.inPlace(section.InPlaceOf)
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
	r.noteSteel(&row, mass, coated)
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

func (r *reckoning) shape(p *catalog.Part, section *catalog.Section) (shaped, bool) {
	switch s := p.Steel; {
	case s.Straight != nil:
		length, ok := r.length(p.Path, "length", &s.Straight.Length)
		return shaped{name: "straight", developed: length, ends: "square, square"}, ok
	case s.Mitred != nil:
		return r.mitred(p.Path, s.Mitred, section)
	case s.Ring != nil:
		return r.ring(p.Path, s.Ring, section)
	case s.Bent != nil:
		return r.bent(p.Path, s.Bent, section)
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
