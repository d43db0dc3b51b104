package bom

import (
	"fmt"

	"billwright/catalog/unit"
)

// Layouts of cloth: where each piece lies on the goods, so that it can be drawn.
// A layout is the rows of its cloth row one after another along the roll, so
// that its length is the row's net. Leather has none: its hides differ.

// Layout is how the pieces of one cloth lie on the goods.
type Layout struct {
	// Line is 0 for cloth that is cut for several lines together.
	Line   int         `json:"line"`
	Path   string      `json:"path"`
	Cloth  string      `json:"cloth"`
	Usable unit.Length `json:"usable_width"`
	Net    unit.Length `json:"net_length"`
	Pieces []Placed    `json:"pieces"`
}

// Placed is one piece of cloth on the goods. X is measured along the roll from
// the first cut, Y across it from the edge of the usable width; both are of the
// piece's nearest corner.
type Placed struct {
	Piece  string      `json:"piece"`
	Row    int         `json:"row"`
	X      unit.Length `json:"x"`
	Y      unit.Length `json:"y"`
	Along  unit.Length `json:"along"`
	Across unit.Length `json:"across"`
	// Turned tells that the piece is railroaded: its width runs along the roll.
	Turned bool `json:"turned"`
	// Line and For are whose the piece is: the line and the path of a cushion.
	// A bias square is of the first that its strips are for.
	Line int    `json:"line"`
	For  string `json:"for"`
}

// Layouts gives a layout for each cloth of a bill that Explode made, lines
// first and what is cut for several of them after. A bill that was read back
// has none: it has to be exploded again.
func (b *Bill) Layouts() []Layout {
	var layouts []Layout
	for i := range b.Lines {
		for k := range b.Lines[i].Cloth {
			if row := &b.Lines[i].Cloth[k]; row.Pooled == "" && row.Net > 0 && len(row.cuts) > 0 {
				layouts = append(layouts, layoutOf(b.Lines[i].Line, row, b.Units))
			}
		}
	}
	for i := range b.Pooled {
		if row := &b.Pooled[i].ClothRow; row.Net > 0 && len(row.cuts) > 0 {
			layouts = append(layouts, layoutOf(0, row, b.Units))
		}
	}
	return layouts
}

func layoutOf(line int, row *ClothRow, units Units) Layout {
	layout := Layout{Line: line, Path: row.Path, Cloth: row.Cloth, Usable: row.Usable, Net: row.Net, Pieces: []Placed{}}
	goods := row.sewn.laidOn()
	at, n := unit.Length(0), 0
	for i := range row.cuts {
		c := &row.cuts[i]
		bands := bandsOf(&c.Panel, goods, units)
		for k := range bands {
			for placed, inBand := 0, 0; inBand < bands[k].Rows; inBand++ {
				n++
				for j := 0; j < bands[k].InRow && placed < bands[k].pieces; j++ {
					piece := bands[k].place(c, placed, len(bands))
					piece.Row, piece.X, piece.Y = n, at, unit.Length(j)*bands[k].pitch
					layout.Pieces = append(layout.Pieces, piece)
					placed++
				}
				at += bands[k].Run
			}
		}
	}
	return layout
}

// place is the i-th piece of a band without its place.
func (b *band) place(c *cut, i, bands int) Placed {
	piece := Placed{Piece: c.Name, Along: b.along, Across: b.across, Turned: c.Railroaded}
	of := i
	switch b.part {
	case fullWidths:
		of = i / b.widths
		piece.Piece = fmt.Sprintf("%s, width %d of %d", c.Name, i%b.widths+1, b.widths+bands-1)
	case restWidths, biasSquares:
		piece.Piece = b.Piece
	}
	owner := c.owner(of)
	piece.Line, piece.For = owner.line, owner.path
	return piece
}

// owner is whose the i-th piece is.
func (c *cut) owner(i int) cutFor {
	for _, of := range c.of {
		if i < of.pieces {
			return of
		}
		i -= of.pieces
	}
	return c.of[0]
}
