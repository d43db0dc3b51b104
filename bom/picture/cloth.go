package picture

import (
	"fmt"
	"strings"

	"billwright/bom"
	"billwright/catalog/unit"
)

// Cloth as it is cut, to scale: the goods lie with the roll from left to right
// and the usable width from top to bottom, every piece where the layout puts it,
// with the number of its kind. Goods that are much longer than wide are drawn in
// lengths one under another.
//
// Worked: 54 in goods, 125 in long, on 500 pt: the scale is 4 pt to the inch, so
// that the goods are 216 pt wide.

const (
	goodsWidth = 500 * Pt
	goodsLeft  = 10 * Pt
	goodsTop   = 16 * Pt
	// goodsHigh is the most that the width of the goods takes; longAs is how many
	// widths of goods are drawn on one row.
	goodsHigh = 130 * Pt
	longAs    = 5
	// mostLengths is on how many rows goods are drawn at most.
	mostLengths = 3
)

// Cloth draws a layout.
func Cloth(layout *bom.Layout, units bom.Units) *Picture {
	row := min(layout.Net, max(longAs*layout.Usable, (layout.Net+mostLengths-1)/mostLengths))
	scale := Within(row, layout.Usable, goodsWidth, goodsHigh)
	kinds := kindsOf(layout)
	p := &Picture{Width: 532 * Pt, Title: "Layout of " + layout.Cloth + " on the goods"}
	p.Write(goodsLeft, goodsTop-5*Pt, small, false, Start, fmt.Sprintf("roll from left to right, usable width %s, net length %s", units.Length(layout.Usable), units.Length(layout.Net)))
	y := goodsTop
	high := scale.Dots(layout.Usable)
	for from := unit.Length(0); from < layout.Net; from += row {
		until := min(layout.Net, from+row)
		p.Box(Thick, White, goodsLeft, y, scale.Dots(until-from), high)
		for i := range layout.Pieces {
			p.clothPiece(&layout.Pieces[i], kinds, scale, from, until, y)
		}
		p.Write(goodsLeft, y+high+11*Pt, small, false, Start, units.Length(from))
		p.Write(goodsLeft+scale.Dots(until-from), y+high+11*Pt, small, false, End, units.Length(until))
		y += high + 22*Pt
	}
	for _, kind := range kinds {
		y += 12 * Pt
		p.Write(goodsLeft, y, 10*Pt, false, Start, kind.text(units))
	}
	p.Height = y + 6*Pt
	p.Says = clothSays(layout, kinds, units)
	return p
}

// kind is pieces that are cut alike.
type kind struct {
	number        int
	piece         string
	along, across unit.Length
	turned        bool
	count         int
}

func (k *kind) of(piece *bom.Placed) bool {
	return k.piece == piece.Piece && k.along == piece.Along && k.across == piece.Across && k.turned == piece.Turned
}

func (k *kind) text(units bom.Units) string {
	turned := ""
	if k.turned {
		turned = ", railroaded"
	}
	return fmt.Sprintf("%d: %d %s, %s along the roll x %s across%s", k.number, k.count, k.piece, units.Length(k.along), units.Length(k.across), turned)
}

func kindsOf(layout *bom.Layout) []*kind {
	var kinds []*kind
	for i := range layout.Pieces {
		k := find(kinds, &layout.Pieces[i])
		if k == nil {
			piece := &layout.Pieces[i]
			k = &kind{len(kinds) + 1, piece.Piece, piece.Along, piece.Across, piece.Turned, 0}
			kinds = append(kinds, k)
		}
		k.count++
	}
	return kinds
}

func find(kinds []*kind, piece *bom.Placed) *kind {
	for _, k := range kinds {
		if k.of(piece) {
			return k
		}
	}
	return nil
}

// clothPiece draws what of a piece lies between two places on the roll.
func (p *Picture) clothPiece(piece *bom.Placed, kinds []*kind, scale Scale, from, until unit.Length, top Dot) {
	start, end := max(piece.X, from), min(piece.X+piece.Along, until)
	if start >= end {
		return
	}
	x, y := goodsLeft+scale.Dots(start-from), top+scale.Dots(piece.Y)
	width, height := goodsLeft+scale.Dots(end-from)-x, top+scale.Dots(piece.Y+piece.Across)-y
	p.Box(Thin, White, x, y, width, height)
	if piece.Turned {
		p.Line(Thin, x, y+height, x+width, y)
	}
	number := fmt.Sprint(find(kinds, piece).number)
	if wide(number, small) < width && small < height {
		p.Write(x+width/2, y+height/2+3*Pt, small, true, Middle, number)
	}
}

func clothSays(layout *bom.Layout, kinds []*kind, units bom.Units) string {
	texts := make([]string, len(kinds))
	for i, k := range kinds {
		texts[i] = k.text(units)
	}
	return fmt.Sprintf("%s, usable width %s, net length %s. %s.", layout.Cloth, units.Length(layout.Usable), units.Length(layout.Net), strings.Join(texts, "; "))
}
