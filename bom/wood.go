package bom

import (
	"math"

	"billwright/catalog"
	"billwright/catalog/unit"
)

// Wood tops.
//
//	blank      = finished + blank_length_allowance, finished + blank_width_allowance
//	rough      = least rough thickness of the species whose surfaced thickness
//	             reaches the finished one
//	strips     n = blank width / widest strip, rounded up; their widths are
//	             multiples of strip_fraction but for the last, and sum to the
//	             blank exactly
//	rip width  = blank width + n·strip_joint_allowance
//	net        = nominal thickness · rip width · blank length (1 bf = 144 in3)
//	gross      = net / yield (a loss divides; it is never added)
//	movement   = width across the grain · coefficient · (moist - dry), the
//	             moisture in percent (USDA Wood Handbook eq. 13-2, 6 to 14 %);
//	             the row shows it rounded up to 1/64 in or 0.1 mm
//	slot       = shank + movement of half the width + clearance, rounded by
//	             slot_rounding; a fastener sits at most half the width from the
//	             fixed centre line
//	edge       = perimeter;  finished area = both faces + edge
//
// A species without a widest strip makes one-piece panels: n = 0, rip width =
// blank width. One whose blanks are bought has no lumber; the blanks are bought
// in their size, finished in thickness.
//
// The grain runs along the blank's length; for grain along the width, length
// and width change places in all of the above.
//
// Worked: a top 72 x 36 in, 1-1/2 in thick, allowances 1 and 1/2 in, 5 in
// strips, 1/4 in a joint: blank 73 x 36-1/2, n = 8, rip width 38-1/2, from 8/4
// (2 in): 2·38.5·73/144 = 39.03 bf net; at 70 % yield 55.76 bf gross.

// WoodRow is one wood top, shelf or seat.
type WoodRow struct {
	Path      string      `json:"path"`
	Name      string      `json:"name"`
	Species   string      `json:"species"`
	Finish    string      `json:"finish"`
	Shape     string      `json:"shape"`
	Each      int         `json:"each"`
	Pieces    int         `json:"pieces"`
	Length    unit.Length `json:"length"`
	Width     unit.Length `json:"width"`
	Thickness unit.Length `json:"thickness"`
	Grain     string      `json:"grain"`
	// Rough, Strips, RipWidth, Net and Gross are not there for a blank that is
	// Bought; Strips is not there for a one-piece panel.
	Rough    string        `json:"rough_thickness,omitempty"`
	Blank    BlankSize     `json:"blank"`
	Bought   bool          `json:"blank_bought,omitzero"`
	Strips   []unit.Length `json:"strips,omitempty"`
	RipWidth unit.Length   `json:"rip_width,omitzero"`
	Edge     string        `json:"edge"`
	EdgeRun  unit.Length   `json:"edge_length"`
	Net      Lumber        `json:"lumber_net,omitzero"`
	Gross    Lumber        `json:"lumber_gross,omitzero"`
	// Movement is rounded up to what a shop can see; slots take it exact.
	Movement unit.Length `json:"seasonal_movement"`
	Weight   Weight      `json:"weight"`
	Area     Surface     `json:"finished_area"`

	movement unit.Length
}

// BlankSize is the size of a blank; its grain runs along Length.
type BlankSize struct {
	Length unit.Length `json:"length"`
	Width  unit.Length `json:"width"`
}

// outline is a finished shape: along and across are the sides of its bounding
// rectangle along and across the grain.
type outline struct {
	length, width unit.Length
	along, across unit.Length
	area          unit.Area
	perimeter     unit.Length
}

// board is what the formulas of a wood part come to; rough is nil where the
// blank is bought.
type board struct {
	species   *catalog.Species
	rough     *catalog.Rough
	finish    *catalog.Finish
	shape     outline
	thickness unit.Length
	edge      string
}

func (r *reckoning) board(p *catalog.Part) (board, bool) {
	w := p.Wood
	species, okSpecies := r.species(p.Path, &w.Species)
	finish, okFinish := r.woodFinish(p.Path, &w.Finish)
	shape, okShape := r.outline(p.Path, w.Shape, w.Grain, &w.Length, w.Width)
	thickness, okThickness := r.length(p.Path, "thickness", &w.Thickness)
	edge, okEdge := r.text(p.Path, "edge", &w.Edge)
	if !okSpecies || !okFinish || !okShape || !okThickness || !okEdge {
		return board{}, false
	}
	b := board{species: species, finish: finish, shape: shape, thickness: thickness, edge: edge}
	if species.Bought() {
		return b, true
	}
	rough, ok := r.roughFor(p.Path, species, thickness)
	b.rough = rough
	return b, ok
}

func (r *reckoning) wood(p *catalog.Part, each int) {
	b, ok := r.board(p)
	if !ok {
		return
	}
	species, shape := b.species, &b.shape
	pieces := r.all(each)
	row := WoodRow{
		Path: p.Path, Name: name(p), Species: r.said(&p.Wood.Species, species.Name), Finish: r.said(&p.Wood.Finish, b.finish.Name), Shape: outlineName(p.Wood.Shape), Each: each, Pieces: pieces,
		Length: shape.length, Width: shape.width, Thickness: b.thickness, Grain: grainName(p.Wood.Grain),
		Blank:   BlankSize{shape.along + r.cat.Length("blank_length_allowance"), shape.across + r.cat.Length("blank_width_allowance")},
		Edge:    b.edge,
		EdgeRun: shape.perimeter,
	}
	var x exact
	r.lumber(&row, &b, &x)
	movement, err := Movement(shape.across, species.Movement, r.cat.Ratio("moisture_low"), r.cat.Ratio("moisture_high"))
	x.keep(err)
	mass, err := species.Density.Mass(x.volume(shape.area, b.thickness))
	x.keep(err)
	area := int64(2*shape.area + x.area(shape.perimeter, b.thickness))
	row.movement, row.Movement = movement, x.round(r.units.tape(unit.Up), movement)
	row.Weight, row.Area = Weight(x.times(int64(mass), pieces)), Surface(x.times(area, pieces))
	unitMass, unitArea := x.times(int64(mass), each), x.times(area, each)
	if !r.settled(p.Path, &x) {
		return
	}
	r.noteWood(&row, &b)
	r.bill.Wood = append(r.bill.Wood, row)
	if row.Bought {
		r.need(p.Path, KindBlank, species.Code+" "+r.units.Sides(row.Blank.Length, row.Blank.Width, row.Thickness), pieces, int64(pieces), Each)
	} else {
		r.need(p.Path, KindLumber, species.Code+" "+row.Rough, pieces, int64(row.Gross), Volume)
	}
	r.weigh(p.Path, unit.Mass(unitMass))
	r.finish(p, b.finish, each, unit.Area(unitArea))
}

// lumber is what the row's blanks are made of, unless they are bought.
func (r *reckoning) lumber(row *WoodRow, b *board, x *exact) {
	if b.rough == nil {
		row.Bought = true
		return
	}
	row.Rough = b.rough.Code
	row.Strips = Strips(row.Blank.Width, b.species.Strip, r.cat.Length("strip_fraction"))
	row.RipWidth = row.Blank.Width + unit.Length(len(row.Strips))*r.cat.Length("strip_joint_allowance")
	net := x.times(int64(x.volume(x.area(row.RipWidth, row.Blank.Length), b.rough.Nominal)), row.Pieces)
	row.Net, row.Gross = Lumber(net), Lumber(x.ratio(net, b.species.Yield.Den(), b.species.Yield.Num()))
}

func (r *reckoning) noteWood(row *WoodRow, b *board) {
	if !r.trace {
		return
	}
	if b.rough != nil {
		r.note(row.Path, "lumber net", "%s nominal · %s rip width · %s · %d pieces = %s", b.rough.Nominal, row.RipWidth, row.Blank.Length, row.Pieces, row.Net)
		r.note(row.Path, "lumber gross", "%s / %s yield = %s", row.Net, b.species.Yield, row.Gross)
	}
	r.note(row.Path, "seasonal movement", "%s across the grain · %s a percent · (%s - %s) = %s, shown as %s",
		b.shape.across, b.species.Movement, r.cat.Ratio("moisture_high"), r.cat.Ratio("moisture_low"), row.movement, row.Movement)
}

func (r *reckoning) species(path string, e *catalog.Expr) (*catalog.Species, bool) {
	code, ok := r.text(path, "species", e)
	if !ok {
		return nil, false
	}
	species, found := r.cat.Species.Get(code)
	if !found {
		r.refuse("species.unknown", path, "there is no species %q", code)
	}
	return species, found
}

func (r *reckoning) woodFinish(path string, e *catalog.Expr) (*catalog.Finish, bool) {
	code, ok := r.text(path, "finish", e)
	if !ok {
		return nil, false
	}
	finish, found := r.cat.WoodFinishes.Get(code)
	if !found {
		r.refuse("finish.unknown", path, "there is no wood finish %q", code)
	}
	return finish, found
}

// outline reckons a rectangle or a round; for a round, length is the diameter
// and width is nil.
func (r *reckoning) outline(path, shape, grain string, lengthExpr, widthExpr *catalog.Expr) (outline, bool) {
	length, ok := r.length(path, "length", lengthExpr)
	if !ok {
		return outline{}, false
	}
	var x exact
	var o outline
	if shape == round {
		o = outline{length: length, width: length}
		o.area = x.floatArea(CircleArea(length))
		o.perimeter = x.float(float64(math.Pi * float64(length)))
	} else {
		width, ok := r.length(path, "width", widthExpr)
		if !ok {
			return outline{}, false
		}
		o = outline{length: length, width: width, area: x.area(length, width), perimeter: 2 * (length + width)}
	}
	o.along, o.across = o.length, o.width
	if grain == "width" {
		o.along, o.across = o.width, o.length
	}
	return o, r.settled(path, &x)
}

// CircleArea is pi·d²/4 in square micrometres, d in nanometres.
func CircleArea(diameter unit.Length) float64 {
	d := float64(diameter) / 1000
	return float64(math.Pi*float64(d*d)) / 4
}

// round is the shape of a round pane or top.
const round = "round"

func outlineName(shape string) string {
	if shape == "" {
		return "rectangle"
	}
	return shape
}

func grainName(grain string) string {
	if grain == "width" {
		return "along the width"
	}
	return "along the length"
}

// roughFor is the least rough thickness of the species that surfaces to the
// finished thickness.
func (r *reckoning) roughFor(path string, species *catalog.Species, finished unit.Length) (*catalog.Rough, bool) {
	var best *catalog.Rough
	var thickest unit.Length
	for _, code := range species.Rough {
		rough, found := r.cat.Rough.Get(code)
		if !found {
			continue
		}
		thickest = max(thickest, rough.Surfaced)
		if rough.Surfaced >= finished && (best == nil || rough.Nominal < best.Nominal) {
			best = rough
		}
	}
	if best == nil {
		r.refuse("wood.too-thick", path, "%s lumber surfaces to %s at most; a top of %s must be glued up from layers, which is not offered", species.Name, thickest, finished)
		return nil, false
	}
	return best, true
}

// Strips lays a blank out in the fewest strips of at most widest. All but the
// last are multiples of fraction, no two differ by more than twice the
// fraction, and they sum to the blank exactly.
func Strips(blank, widest, fraction unit.Length) []unit.Length {
	if blank <= 0 || widest <= 0 || fraction <= 0 {
		return nil
	}
	n := (blank + widest - 1) / widest
	strips := make([]unit.Length, n)
	left := blank
	for i := range strips {
		remaining := n - unit.Length(i)
		if remaining == 1 {
			strips[i] = left
			break
		}
		width := (left + remaining - 1) / remaining
		width = (width + fraction - 1) / fraction * fraction
		// Rounding up keeps the last strip the narrowest, but never wider than
		// the widest that is bought.
		if width > widest {
			width = widest
		}
		strips[i] = width
		left -= width
	}
	return strips
}

// Movement is how much a width across the grain changes between two moisture
// contents given as fractions (0.06 for 6 %), rounded to 1 nm. The coefficient
// is by percent of moisture.
func Movement(across unit.Length, coefficient, low, high unit.Ratio) (unit.Length, error) {
	change, err := high.Sub(low)
	if err != nil {
		return 0, err
	}
	hundred, err := unit.NewRatio(100, 1)
	if err != nil {
		return 0, err
	}
	percent, err := change.Mul(hundred)
	if err != nil {
		return 0, err
	}
	share, err := percent.Mul(coefficient)
	if err != nil {
		return 0, err
	}
	return across.Scale(share, unit.Nearest)
}

// slot is the length of a fastening slot under the wood part at path, sized
// from the movement of half the top's width.
func (r *reckoning) slot(path, top string, shank unit.Length) (unit.Length, bool) {
	for i := range r.bill.Wood {
		row := &r.bill.Wood[i]
		if row.Path != top {
			continue
		}
		var x exact
		slot := x.round(r.cat.Rounding("slot_rounding"), shank+(row.movement+1)/2+r.cat.Length("slot_clearance"))
		if !r.settled(path, &x) {
			return 0, false
		}
		r.note(path, "slot", "%s shank + %s/2 movement + %s clearance, rounded = %s", shank, row.movement, r.cat.Length("slot_clearance"), slot)
		return slot, true
	}
	r.refuse("fastener.no-top", path, "it fastens %s, which this configuration has not: put the condition of the top on the fastener, and the fastener after the top", top)
	return 0, false
}
