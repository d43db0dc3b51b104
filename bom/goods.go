package bom

import (
	"math"

	"billwright/catalog/unit"
)

// Rows across the goods: how pieces of one kind lie, and the squares that
// strips on the bias are cut from.
//
//	pitch     = size across, or with match across rounded up to whole repeats
//	            across: pieces beside each other start at the same place
//	in a row  = (usable width - size across) / pitch, rounded down, + 1
//	rows      = pieces / in a row, rounded up
//	run       = size along; with a pattern to match, rounded up to whole repeats
//	joined    = full widths of usable - 2·seam each and a rest, each sewn with a
//	            seam on both sides
//	bias      side = sqrt(strip width · length of all strips) + seam, rounded as
//	            the form says; where that is more than the usable width, as many
//	            squares of the largest side as are full, and one of the rest
//
// Source: rows and seams common practice; the bias square handbook checks C-16
// to C-18 (quilters' tables), of which C-16 is cut 23 in.
//
// Worked: 4 plates 21 x 21 in from 54 in usable: 2 in a row, 2 rows, 42 in; in a
// 13-1/2 in repeat each run is 27 in, so 54 in; in a repeat across of 20 in the
// second plate would start at 40 in and not fit: 1 in a row, 4 rows. 250 in of
// strip 2 in wide: sqrt(500) = 22.36 in, + 1/2 in = 22.86, cut 23 in.

// Goods is what pieces are cut from.
type Goods struct {
	Usable unit.Length
	// Repeat is the pattern's along the roll, Across that across it; 0 for none.
	Repeat unit.Length
	Across unit.Length
	Seam   unit.Length
}

// band is a number of like rows with what lies in them.
type band struct {
	CutRow
	pieces               int // that lie in these rows
	along, across, pitch unit.Length
	part                 bandPart
	widths               int // full widths of one joined piece
}

type bandPart uint8

const (
	wholePieces bandPart = iota
	fullWidths
	restWidths
	biasSquares
)

// CutRows lays one kind of piece in rows across the usable width. A joined
// piece gives its full widths and its remainder, strips on the bias their
// squares. The panel must fit (see reckoning.panel).
func CutRows(p *Panel, goods Goods, units Units) []CutRow {
	bands := bandsOf(p, goods, units)
	rows := make([]CutRow, len(bands))
	for i := range bands {
		rows[i] = bands[i].CutRow
	}
	return rows
}

func bandsOf(p *Panel, goods Goods, units Units) []band {
	switch {
	case p.Bias:
		return biasBands(p, goods, units)
	case p.Joined:
		return joinedBands(p, goods, units)
	}
	return []band{goods.band(p, p.Name, p.Pieces, p.Across, wholePieces)}
}

// band lays pieces of a size across, which is not more than the usable width.
func (g *Goods) band(p *Panel, name string, pieces int, across unit.Length, part bandPart) band {
	run, pitch := p.Along, across
	if p.Match && g.Repeat > 0 {
		run = (run + g.Repeat - 1) / g.Repeat * g.Repeat
	}
	if p.Beside && g.Across > 0 {
		pitch = (pitch + g.Across - 1) / g.Across * g.Across
	}
	inRow := int((g.Usable-across)/pitch) + 1
	return band{
		CutRow: CutRow{Piece: name, InRow: inRow, Rows: (pieces + inRow - 1) / inRow, Run: run},
		pieces: pieces, along: p.Along, across: across, pitch: pitch, part: part,
	}
}

// gain is what one full width adds to a joined piece; 0 or less where no width
// can be joined.
func (g *Goods) gain(p *Panel) unit.Length {
	gain := g.Usable - 2*g.Seam
	if p.Beside && g.Across > 0 {
		gain = gain / g.Across * g.Across
	}
	return gain
}

func joinedBands(p *Panel, goods Goods, units Units) []band {
	// k widths joined measure k·gain + 2·seam.
	gain := goods.gain(p)
	full := int((p.Across - 2*goods.Seam) / gain)
	rest := p.Across - unit.Length(full)*gain
	widths := goods.band(p, p.Name, full*p.Pieces, gain+2*goods.Seam, fullWidths)
	widths.InRow, widths.Rows, widths.widths = 1, full*p.Pieces, full
	bands := []band{widths}
	if rest > 2*goods.Seam {
		bands = append(bands, goods.band(p, p.Name+", rest of "+units.Length(rest), p.Pieces, rest, restWidths))
	}
	return bands
}

// BiasSquare is the side of the square of goods that strips on the bias are cut
// from, in nanometres before it is rounded: width is that of a strip, length
// that of all strips sewn together.
func BiasSquare(length, width, seam unit.Length) (float64, error) {
	area, err := length.Times(width)
	return biasSide(area) + float64(seam), err
}

// biasSide is the root of an area, in nanometres.
func biasSide(area unit.Area) float64 {
	return float64(math.Sqrt(float64(area)) * float64(unit.Micrometre))
}

// largest is the largest bias square of the goods and the area of strips that it
// gives; 0 where the goods are too narrow for any.
func (g *Goods) largest(p *Panel) (side unit.Length, strips unit.Area) {
	if p.square.To <= 0 {
		return 0, 0
	}
	side = g.Usable / p.square.To * p.square.To
	if side-g.Seam <= p.Along {
		return 0, 0
	}
	area, err := (side - g.Seam).Times(side - g.Seam)
	if err != nil {
		return 0, 0
	}
	return side, area
}

func biasBands(p *Panel, goods Goods, units Units) []band {
	side, full := goods.largest(p)
	need, err := p.strips()
	if side <= 0 || err != nil {
		return nil // refused by reckoning.panel
	}
	var bands []band
	name := p.Name + ", bias square"
	square := func(count int, side unit.Length) {
		bands = append(bands, band{CutRow: CutRow{Piece: name + " of " + units.Length(side), InRow: 1, Rows: count, Run: side},
			pieces: count, along: side, across: side, pitch: side, part: biasSquares})
	}
	if n := int(need / full); n > 0 {
		square(n, side)
	}
	if rest := need % full; rest > 0 {
		bare, _ := unit.LengthFromFloat(biasSide(rest) + float64(goods.Seam)) // less than side
		rounded, err := p.square.Round(bare)
		if err != nil || rounded > side {
			rounded = side
		}
		square(1, rounded)
	}
	return bands
}

// strips is the area of all strips of a panel.
func (p *Panel) strips() (unit.Area, error) {
	length, err := p.Across.Mul(int64(p.Pieces))
	if err != nil {
		return 0, err
	}
	return length.Times(p.Along)
}
