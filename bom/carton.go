package bom

import (
	"strings"

	"billwright/catalog"
	"billwright/catalog/unit"
)

// Cartons: one of each for every unit, of the regular slotted form (FEFCO 0201
// type).
//
//	panels    L' = inside length + length gain, W' = inside width + length gain
//	depth     D' = inside depth + depth gain
//	blank     2·(L' + W') + joint, by D' + 2·(W'/2)
//	tare      = blank area · board weight
//	gross     = contents + tare + packing
//	grade     = the first whose gross weight and outside length + width + depth
//	            hold it
//	class     = the step of the freight scale for gross / (L'·W'·D'), never
//	            rounded before the look-up; low <= density < high
//
// Worked: a blank for panels 24 + 3/8 and 18 + 3/8 with a 1-1/4 in joint is
// 2·42.75 + 1.25 = 86-3/4 in long.

// CartonRow is one kind of carton of a line, one for every unit.
type CartonRow struct {
	Path    string      `json:"path"`
	Packs   []string    `json:"packs"`
	Pieces  int         `json:"pieces"`
	Length  unit.Length `json:"inside_length"`
	Width   unit.Length `json:"inside_width"`
	Depth   unit.Length `json:"inside_depth"`
	Blank   Sheet       `json:"blank"`
	Board   string      `json:"board"`
	Grade   string      `json:"grade"`
	Tare    Pounds      `json:"tare"`
	Gross   Pounds      `json:"gross"`
	Density string      `json:"density"`
	Class   string      `json:"freight_class"`
	TwoLift bool        `json:"two_person_lift"`
}

// Sheet is a flat size.
type Sheet struct {
	Length unit.Length `json:"length"`
	Width  unit.Length `json:"width"`
}

// CartonBlank is the flat size of a regular slotted carton. The outer sizes
// are those over the panels, in the order length, width, depth.
func CartonBlank(length, width, depth unit.Length, b *catalog.Board) (blank Sheet, outside [3]unit.Length) {
	l, w, d := length+b.LengthGain, width+b.LengthGain, depth+b.DepthGain
	return Sheet{Length: 2*(l+w) + b.Joint, Width: d + w}, [3]unit.Length{l, w, d}
}

func (r *reckoning) carton(c *catalog.Carton) {
	path := "carton/" + c.Code
	if !r.holds(path, c.When) {
		return
	}
	length, okLength := r.length(path, "inside length", &c.Length)
	width, okWidth := r.length(path, "inside width", &c.Width)
	depth, okDepth := r.length(path, "inside depth", &c.Depth)
	board, found := r.cat.Boards.Get(c.Board)
	if !okLength || !okWidth || !okDepth {
		return
	}
	if !found {
		r.refuse("board.unknown", path, "there is no board %q", c.Board)
		return
	}
	row := CartonRow{Path: path, Pieces: r.line.Quantity, Length: length, Width: width, Depth: depth, Board: board.Name}
	contents := r.contents(&row, c)
	var outside [3]unit.Length
	row.Blank, outside = CartonBlank(length, width, depth, board)
	var x exact
	blank := x.area(row.Blank.Length, row.Blank.Width)
	tare, err := board.Weight.Mass(blank)
	x.keep(err)
	gross := contents + tare + c.Packing
	row.Tare, row.Gross = Pounds(tare), Pounds(gross)
	volume := x.volume(x.area(outside[0], outside[1]), outside[2])
	bought := x.times(int64(blank), row.Pieces)
	if !r.settled(path, &x) {
		return
	}
	grade, ok := r.grade(path, board, gross, outside[0]+outside[1]+outside[2])
	if !ok {
		return
	}
	row.Grade = grade
	row.Class, row.Density = FreightClass(gross, volume, r.cat.Freight.Classes)
	limit, err := unit.Pound.Scale(r.cat.Ratio("two_person_lift"), unit.Nearest)
	row.TwoLift = err == nil && gross > limit
	r.note(path, "gross", "%s contents + %s tare + %s packing = %s", Pounds(contents), row.Tare, Pounds(c.Packing), row.Gross)
	r.note(path, "freight class", "%s over %s x %s x %s = %s: class %s", row.Gross, outside[0], outside[1], outside[2], row.Density, row.Class)
	r.bill.Cartons = append(r.bill.Cartons, row)
	r.need(path, KindCarton, board.Code+" "+grade+" "+length.String()+" x "+width.String()+" x "+depth.String(), row.Pieces, bought, Area)
}

// contents is the mass of what goes into one carton; parts that this
// configuration has not are left out of the row.
func (r *reckoning) contents(row *CartonRow, c *catalog.Carton) unit.Mass {
	var sum unit.Mass
	for _, pack := range c.Packs {
		there := false
		for _, w := range r.weights {
			if w.path == pack.Value || strings.HasPrefix(w.path, pack.Value+"/") {
				sum += w.mass
				there = true
			}
		}
		if there {
			row.Packs = append(row.Packs, pack.Value)
		}
	}
	return sum
}

func (r *reckoning) grade(path string, board *catalog.Board, gross unit.Mass, united unit.Length) (string, bool) {
	for _, g := range board.Grades {
		if gross <= g.Gross && united <= g.United {
			return g.Grade, true
		}
	}
	strongest := board.Grades[len(board.Grades)-1]
	r.refuse("carton.too-large", path, "%s gross and %s outside length, width and depth together are over the strongest %s, which holds %s and %s: pack it in a stronger board, in parts or in a crate",
		Pounds(gross), united, board.Name, Pounds(strongest.Gross), strongest.United)
	return "", false
}

// FreightClass looks a density up in a scale: the first step that it lies
// below. The text is the density in lb/ft3 to two decimals, for people.
func FreightClass(gross unit.Mass, volume unit.Volume, scale []catalog.FreightClass) (class, density string) {
	if volume <= 0 {
		return "", ""
	}
	for _, step := range scale {
		if step.Below == nil || lighter(gross, volume, *step.Below) {
			class = step.Class
			break
		}
	}
	hundredths, err := unit.MulDivRound(int64(gross), int64(unit.CubicFoot), int64(volume), unit.Nearest)
	if err != nil {
		return class, ""
	}
	return class, unit.Mass(hundredths).Pounds(2) + " lb/ft3"
}

// lighter tells whether gross/volume < below, exactly: the mass that the volume
// would have at that density is never less than gross.
func lighter(gross unit.Mass, volume unit.Volume, below catalog.Density) bool {
	limit, err := unit.MulDivRound(int64(volume), below.Ratio().Num(), below.Ratio().Den(), unit.Up)
	// A limit beyond what a mass can be is above any gross weight.
	return err != nil || int64(gross) < limit
}
