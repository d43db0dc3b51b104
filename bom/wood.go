package bom

import (
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
//	movement   = that of the width across the grain (movement.go); the row shows
//	             it rounded up to 1/64 in or 0.1 mm
//	slot       = shank + movement of half the width + clearance, rounded by
//	             slot_rounding; a fastener sits at most half the width from the
//	             fixed centre line
//	edge       = perimeter (outline.go);  finished area = both faces + edge
//
// Two halves of a top are two pieces, each blanked and glued up by itself; where
// they meet they have a mating edge, which is finished and has no profile.
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
	Path string `json:"path"`
	Name string `json:"name"`
	// MatchSet is the path of the top whose grain and strips the pieces of it and
	// of its leaves match: they are laid out and finished together.
	MatchSet  string      `json:"match_set,omitempty"`
	Species   string      `json:"species"`
	Finish    string      `json:"finish"`
	Shape     string      `json:"shape"`
	Each      int         `json:"each"`
	Pieces    int         `json:"pieces"`
	Length    unit.Length `json:"length"`
	Width     unit.Length `json:"width"`
	EndWidth  unit.Length `json:"end_width,omitzero"`
	Thickness unit.Length `json:"thickness"`
	Grain     string      `json:"grain"`
	// Rough, Strips, RipWidth, Net and Gross are not there for a blank that is
	// Bought; Strips is not there for a one-piece panel.
	Rough  string    `json:"rough_thickness,omitempty"`
	Blank  BlankSize `json:"blank"`
	Bought bool      `json:"blank_bought,omitzero"`
	// Sheet is there where a bought blank is cut from a sheet in the workshop.
	Sheet    *SheetCut     `json:"sheet,omitempty"`
	Strips   []unit.Length `json:"strips,omitempty"`
	RipWidth unit.Length   `json:"rip_width,omitzero"`
	Edge     string        `json:"edge"`
	EdgeRun  unit.Length   `json:"edge_length"`
	// Edges is there where sides have profiles of their own. Mating is where the
	// halves of a top or its leaves meet.
	Edges    []SideEdge  `json:"edges,omitempty"`
	Mating   unit.Length `json:"mating_edge,omitzero"`
	Overhang *Overhang   `json:"overhang,omitempty"`
	Net      Lumber      `json:"lumber_net,omitzero"`
	Gross    Lumber      `json:"lumber_gross,omitzero"`
	// Movement is rounded up to what a shop can see; slots take it exact.
	Movement unit.Length `json:"seasonal_movement"`
	// Sawing and Climate are there where the part names them.
	Sawing  string  `json:"sawing,omitempty"`
	Climate string  `json:"climate,omitempty"`
	Weight  Weight  `json:"weight"`
	Area    Surface `json:"finished_area"`

	movement unit.Length
}

// BlankSize is the size of a blank; its grain runs along Length.
type BlankSize struct {
	Length unit.Length `json:"length"`
	Width  unit.Length `json:"width"`
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
	edges     []SideEdge
	overhang  *Overhang
	matched   string // path of the top that it matches
	seasons   seasons
}

// board reckons a wood part's formulas; a top of two halves gives one of them.
func (r *reckoning) board(p *catalog.Part) (board, bool) {
	w := p.Wood
	shape, okShape := r.outline(p.Path, w.Grain, w.Outline())
	overhang, okOverhang := (*Overhang)(nil), true
	if okShape {
		overhang, okOverhang = r.overhang(p.Path, shape.length, shape.width, w.Support)
		okOverhang = r.tip(p.Path, &shape, w.Tip) && okOverhang
		r.noteOutline(p.Path, &shape)
		if w.Halves {
			half := shape.half(w.Grain)
			r.noteHalf(p.Path, &shape, &half)
			shape = half
		}
	}
	b, ok := r.boardOf(p.Path, w, shape)
	b.overhang = overhang
	return b, ok && okShape && okOverhang
}

// boardOf reckons what a piece of the given shape is made of.
func (r *reckoning) boardOf(path string, w *catalog.WoodPart, shape outline) (board, bool) {
	species, okSpecies := r.species(path, &w.Species)
	finish, okFinish := r.woodFinish(path, &w.Finish)
	thickness, okThickness := r.length(path, "thickness", &w.Thickness)
	edge, okEdge := r.text(path, "edge", &w.Edge)
	if !okSpecies || !okFinish || !okThickness || !okEdge {
		return board{}, false
	}
	b := board{species: species, finish: finish, shape: shape, thickness: thickness, edge: edge}
	edges, okEdges := r.edges(path, &shape, edge, w.Edges)
	seasons, okSeasons := r.seasons(path, w)
	b.edges, b.seasons = edges, seasons
	if !okEdges || !okSeasons || species.Bought() {
		return b, okEdges && okSeasons
	}
	rough, ok := r.roughFor(path, species, thickness)
	b.rough = rough
	return b, ok
}

func (r *reckoning) wood(p *catalog.Part, each int) {
	b, ok := r.board(p)
	if !ok {
		return
	}
	if p.Wood.Halves {
		each *= 2
	}
	r.woodOf(p, p.Wood, &b, each)
}

// woodOf adds the row of a part that is made as w says, a top or a leaf of it.
func (r *reckoning) woodOf(p *catalog.Part, w *catalog.WoodPart, b *board, each int) {
	species, shape := b.species, &b.shape
	pieces := r.all(each)
	row := WoodRow{
		Path: p.Path, Name: name(p), MatchSet: b.matched, Species: r.said(&w.Species, species.Name), Finish: r.said(&w.Finish, b.finish.Name), Shape: shape.shape, Each: each, Pieces: pieces,
		Length: shape.length, Width: shape.width, EndWidth: shape.endWidth, Thickness: b.thickness, Grain: grainName(w.Grain),
		Blank: BlankSize{shape.along + r.cat.Length("blank_length_allowance"), shape.across + r.cat.Length("blank_width_allowance")},
		Edge:  b.edge, EdgeRun: shape.perimeter, Edges: b.edges, Mating: shape.mating, Overhang: b.overhang,
	}
	if w.Sawing != "" {
		row.Sawing = w.Sawing + "-sawn"
	}
	if b.seasons.climate != nil {
		row.Climate = b.seasons.climate.Name
	}
	var x exact
	r.lumber(&row, b, &x)
	movement, how, moves := r.movement(p.Path, shape.across, species, w, b.seasons, &x)
	if !moves {
		return
	}
	mass, err := species.Density.Mass(x.volume(shape.area, b.thickness))
	x.keep(err)
	area := int64(2*shape.area + x.area(shape.edges(), b.thickness))
	row.movement, row.Movement = movement, x.round(r.units.tape(unit.Up), movement)
	row.Weight, row.Area = Weight(x.times(int64(mass), pieces)), Surface(x.times(area, pieces))
	unitMass, unitArea := x.times(int64(mass), each), x.times(area, each)
	if !r.settled(p.Path, &x) {
		return
	}
	r.noteWood(&row, b, how)
	if row.Bought {
		row.Sheet = r.fromSheet(sheetPiece{path: p.Path, kind: KindBlank, item: species.Code, sheets: species.Sheets, thickness: &row.Thickness, length: row.Blank.Length, width: row.Blank.Width, pieces: pieces})
	}
	r.bill.Wood = append(r.bill.Wood, row)
	switch {
	case row.Sheet != nil:
	case row.Bought:
		r.need(p.Path, KindBlank, species.Code+" "+r.units.Sides(row.Blank.Length, row.Blank.Width, row.Thickness), pieces, int64(pieces), Each)
	default:
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

func (r *reckoning) noteWood(row *WoodRow, b *board, moves string) {
	if !r.trace {
		return
	}
	for _, e := range row.Edges {
		r.note(row.Path, "edge length by profile", "%s: %s", e.Profile, e.Length)
	}
	r.note(row.Path, "blank", "%s + %s by %s + %s = %s by %s", b.shape.along, r.cat.Length("blank_length_allowance"), b.shape.across, r.cat.Length("blank_width_allowance"), row.Blank.Length, row.Blank.Width)
	if len(row.Strips) > 0 {
		r.note(row.Path, "strips", "%s in %d strips of up to %s, laid out to %s = %s", row.Blank.Width, len(row.Strips), b.species.Strip, r.cat.Length("strip_fraction"), r.units.plus(row.Strips))
	}
	if b.rough != nil {
		r.note(row.Path, "lumber net", "%s nominal · %s rip width · %s · %d pieces = %s", b.rough.Nominal, row.RipWidth, row.Blank.Length, row.Pieces, row.Net)
		r.note(row.Path, "lumber gross", "%s / %s yield = %s", row.Net, b.species.Yield, row.Gross)
	}
	r.note(row.Path, "seasonal movement", "%s = %s, shown as %s", moves, row.movement, row.Movement)
	r.note(row.Path, "weight", "%s · %s · density of the species · %d pieces = %s", Surface(b.shape.area), b.thickness, row.Pieces, row.Weight)
	r.note(row.Path, "finished area", "(2·%s + %s edge · %s) · %d pieces = %s", Surface(b.shape.area), b.shape.edges(), b.thickness, row.Pieces, row.Area)
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

// slot is the length of a fastening slot under the wood part at path, sized
// from the movement of half the top's width.
func (r *reckoning) slot(path, top string, shank unit.Length) (unit.Length, bool) {
	if i := r.woodRow(top); i >= 0 {
		row := &r.bill.Wood[i]
		var x exact
		slot := x.round(r.cat.Rounding("slot_rounding"), shank+(row.movement+1)/2+r.cat.Length("slot_clearance"))
		if !r.settled(path, &x) {
			return 0, false
		}
		r.note(path, "slot", "%s shank + %s/2 movement + %s clearance, rounded = %s", shank, row.movement, r.cat.Length("slot_clearance"), slot)
		return slot, true
	}
	r.refuse("fastener.no-top", path, "it fastens %s, which this configuration has not: put the condition of the top on the fastener, and the fastener after the top", r.partNamed(top))
	return 0, false
}
