package bom

import (
	"slices"
	"strings"

	"billwright/catalog"
	"billwright/catalog/source"
	"billwright/catalog/unit"
)

// Cartons: one of each for every unit, of the regular slotted form (FEFCO 0201
// type).
//
//	panels    L' = inside length + length gain, W' = inside width + length gain
//	depth     D' = inside depth + depth gain
//	outside   the panels, or, where the board's caliper is given, inside + 2
//	          calipers in length and width and + 4 in depth, where two flaps lie
//	          on one another at either end (calipers: check K-06), rounded up
//	          to 1/64 in or 0.1 mm
//	blank     2·(L' + W') + joint, by D' + 2·(W'/2)
//	tare      = blank area · board weight
//	gross     = contents + tare + packing
//	grade     = the first whose gross weight and outside length + width + depth
//	            hold it
//	class     = the step of the freight scale of the order's day for gross /
//	            outside volume, never rounded before the look-up; low <= density
//	            < high
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
	Tare    Weight      `json:"tare"`
	Gross   Weight      `json:"gross"`
	Density string      `json:"density"`
	Class   string      `json:"freight_class"`
	TwoLift bool        `json:"two_person_lift"`
	// The following are there where the catalog names a handling. Class is then
	// empty: a parcel has none, and that of freight is its handling unit's.
	Outside *Outside   `json:"outside,omitempty"`
	Package string     `json:"package_type,omitempty"`
	Ship    string     `json:"ship,omitempty"`
	Parcel  *ParcelRow `json:"parcel,omitempty"`
	Stack   *StackRow  `json:"stack,omitempty"`
	// Sheet is there where the blank is cut from a sheet of board in the workshop.
	Sheet *SheetCut `json:"sheet,omitempty"`

	lifted bool // by a lift of the catalog
}

// Sheet is a flat size.
type Sheet struct {
	Length unit.Length `json:"length"`
	Width  unit.Length `json:"width"`
}

// CartonBlank is the flat size of a regular slotted carton, and the sizes of its
// panels, in the order length, width, depth.
func CartonBlank(length, width, depth unit.Length, b *catalog.Board) (blank Sheet, panels [3]unit.Length) {
	l, w, d := length+b.LengthGain, width+b.LengthGain, depth+b.DepthGain
	return Sheet{Length: 2*(l+w) + b.Joint, Width: d + w}, [3]unit.Length{l, w, d}
}

// CartonOutside is the outside of a carton in the order length, width, depth:
// its panels, or by the board's caliper, rounded by shown, up to what a tape shows.
func CartonOutside(inside, panels [3]unit.Length, b *catalog.Board, shown unit.Rounding) (outside [3]unit.Length, err error) {
	if b.Caliper == nil {
		return panels, nil
	}
	for i, boards := range [3]unit.Length{2, 2, 4} {
		if outside[i], err = shown.Round(inside[i] + boards**b.Caliper); err != nil {
			return outside, err
		}
	}
	return outside, nil
}

func (r *reckoning) carton(c *catalog.Carton) {
	path := "carton/" + c.Code
	if !r.holds(path, c.When) || r.line.Part != "" && !r.packsAny(c) {
		return
	}
	sides, ok := r.inside(path, c)
	if !ok {
		return
	}
	row := CartonRow{Path: path, Pieces: r.line.Quantity, Length: sides[0], Width: sides[1], Depth: sides[2]}
	contents := r.contents(&row, c)
	made, ok := r.box(&row, c, contents+c.Packing)
	if !ok || !r.liftCarton(&row, c, made.gross) {
		return
	}
	if r.trace {
		r.note(path, "gross", "%s contents + %s tare + %s packing = %s", Weight(contents), row.Tare, Weight(c.Packing), row.Gross)
		r.note(path, "freight class", "%s over %s x %s x %s = %s: class %s", row.Gross, made.outside[0], made.outside[1], made.outside[2], row.Density, row.Class)
	}
	if handling, named := r.cat.Handling.Get(c.Handling); named && !r.ship(&row, &made, handling) {
		return
	}
	r.noteCarton(&row)
	row.Sheet = r.fromSheet(sheetPiece{path: path, kind: KindCarton, item: made.board.Code + " " + row.Grade, sheets: made.grade.Sheets, length: made.blank.Length, width: made.blank.Width, pieces: row.Pieces})
	r.bill.Cartons = append(r.bill.Cartons, row)
	if row.Sheet != nil {
		return
	}
	r.need(path, KindCarton, made.board.Code+" "+row.Grade+" "+r.units.Sides(sides[0], sides[1], sides[2]), row.Pieces, made.bought, Area)
}

// liftCarton tells whether it takes two persons: by its lift, or by the standard.
func (r *reckoning) liftCarton(row *CartonRow, c *catalog.Carton, gross unit.Mass) bool {
	if row.lifted = c.Lift != ""; row.lifted {
		before := len(r.findings)
		row.TwoLift = r.lift(row.Path, c.Lift, gross)
		return len(r.findings) == before
	}
	limit, err := r.cat.TwoPersonLift()
	row.TwoLift = err == nil && gross > limit
	return true
}

// box is a carton made of one board.
type box struct {
	board   *catalog.Board
	blank   Sheet
	grade   *catalog.BoardGrade
	panels  [3]unit.Length
	outside [3]unit.Length
	tare    unit.Mass
	gross   unit.Mass
	volume  unit.Volume
	bought  int64 // square micrometres, for all cartons of the row
}

// box takes the first board, in the carton's order of preference, that has a
// grade for the carton made of it, and fills the row.
func (r *reckoning) box(row *CartonRow, c *catalog.Carton, load unit.Mass) (box, bool) {
	var made box
	for _, code := range c.Board {
		board, found := r.cat.Boards.Get(code.Value)
		if !found {
			r.refuse("board.unknown", row.Path, "there is no board %q", code.Value)
			return box{}, false
		}
		var x exact
		made = boxOf(board, row, load, r.units, &x)
		if !r.settled(row.Path, &x) {
			return box{}, false
		}
		if made.grade = made.graded(); made.grade == nil {
			continue
		}
		row.Blank, row.Board, row.Grade, row.Tare, row.Gross = made.blank, board.Name, made.grade.Grade, Weight(made.tare), Weight(made.gross)
		scale := r.cat.Freight.On(r.line.Config.Day())
		row.Class, row.Density = FreightClass(made.gross, made.volume, scale.Classes), r.units.Density(made.gross, made.volume)
		return made, true
	}
	strongest := made.board.Grades[len(made.board.Grades)-1]
	r.refuse("carton.too-large", row.Path, "%s gross and %s outside length, width and depth together are over the strongest %s, which holds %s and %s: pack it in a stronger board, in parts or in a crate",
		Weight(made.gross), made.united(), made.board.Name, Weight(strongest.Gross), strongest.United)
	return box{}, false
}

// boxOf reckons the carton of a row as made of a board; load is what goes into
// it with its packing.
func boxOf(board *catalog.Board, row *CartonRow, load unit.Mass, units Units, x *exact) box {
	made := box{board: board}
	made.blank, made.panels = CartonBlank(row.Length, row.Width, row.Depth, board)
	outside, err := CartonOutside([3]unit.Length{row.Length, row.Width, row.Depth}, made.panels, board, units.tape(unit.Up))
	x.keep(err)
	made.outside = outside
	blank := x.area(made.blank.Length, made.blank.Width)
	tare, err := board.Weight.Mass(blank)
	x.keep(err)
	made.tare, made.gross = tare, load+tare
	made.volume = x.volume(x.area(made.outside[0], made.outside[1]), made.outside[2])
	made.bought = x.times(int64(blank), row.Pieces)
	return made
}

// united is the outside length, width and depth together.
func (b *box) united() unit.Length { return b.outside[0] + b.outside[1] + b.outside[2] }

// graded is the first grade of the board that holds the carton's weight and size;
// nil where none does.
func (b *box) graded() *catalog.BoardGrade {
	for i := range b.board.Grades {
		if g := &b.board.Grades[i]; b.gross <= g.Gross && b.united() <= g.United {
			return g
		}
	}
	return nil
}

// packsAny tells that something of what a carton packs is made.
func (r *reckoning) packsAny(c *catalog.Carton) bool {
	return slices.ContainsFunc(r.weights, func(w weighed) bool {
		return slices.ContainsFunc(c.Packs, func(pack source.Text) bool { return within(w.path, pack.Value) })
	})
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

// FreightClass looks a density up in a scale: the first step that it lies
// below.
func FreightClass(gross unit.Mass, volume unit.Volume, scale []catalog.FreightClass) string {
	if volume <= 0 {
		return ""
	}
	for _, step := range scale {
		if step.Below == nil || lighter(gross, volume, *step.Below) {
			return step.Class
		}
	}
	return ""
}

// lighter tells whether gross/volume < below, exactly: the mass that the volume
// would have at that density is never less than gross.
func lighter(gross unit.Mass, volume unit.Volume, below catalog.Density) bool {
	limit, err := unit.MulDivRound(int64(volume), below.Ratio().Num(), below.Ratio().Den(), unit.Up)
	// A limit beyond what a mass can be is above any gross weight.
	return err != nil || int64(gross) < limit
}
