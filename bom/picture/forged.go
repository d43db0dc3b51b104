package picture

import (
	"fmt"
	"math"
	"strings"

	"billwright/bom"
	"billwright/catalog/unit"
)

// A forged, rolled or twisted piece: below, the bar as it is cut, above, what it
// becomes, both lengths to one scale. Thickness is not to scale, and the words
// say so. A ring is drawn by its outside diameter where its working tells it.

// Figures are lengths of a row by the name of the figure, such as taper, as the
// working of its bill tells them.
type Figures map[string]unit.Length

const (
	barHigh  = 16 * Pt
	ringHigh = 110 * Pt
)

// Forged draws the piece of a row of steel that is neither straight, mitred nor
// bent.
func Forged(row *bom.SteelRow, made Figures, units bom.Units) *Picture {
	p := &Picture{Width: 532 * Pt, Title: row.Shape + " " + row.Name}
	y := Dot(0)
	if outside, known := made["outside diameter"]; known && row.Shape == "rolled ring" {
		y = p.ring(outside, units)
	}
	scale := Scale{max(row.Cut, row.Finished), pieceWidth}
	p.Write(pieceLeft, y+11*Pt, small, false, Start, "as finished, lengths to scale, thickness not")
	y += 16 * Pt
	p.worked(row, made, scale, y, units)
	y += barHigh + 52*Pt
	p.Write(pieceLeft, y-6*Pt, small, false, Start, "as cut")
	p.Box(Thick, White, pieceLeft, y, scale.Dots(row.Cut), barHigh)
	if row.Trim != nil {
		p.Box(Thin, Cross, pieceLeft+scale.Dots(row.Cut-*row.Trim), y, scale.Dots(row.Cut)-scale.Dots(row.Cut-*row.Trim), barHigh)
	}
	p.Measure(pieceLeft, pieceLeft+scale.Dots(row.Cut), y+barHigh, y+barHigh+18*Pt, units.Length(row.Cut)+" cut")
	p.Height = y + barHigh + 28*Pt
	p.Says = forgedSays(row, made, units)
	return p
}

// ring draws a ring to its own scale and gives the height that it takes.
func (p *Picture) ring(outside unit.Length, units bom.Units) Dot {
	radius := ringHigh / 2
	x, y := pieceLeft+radius, radius+4*Pt
	p.Round(Thick, White, x, y, radius)
	p.Round(Thick, NoFill, x, y, radius-7*Pt)
	p.Line(Chain, x-radius-4*Pt, y, x+radius+4*Pt, y)
	p.Line(Chain, x, y-radius-4*Pt, x, y+radius+4*Pt)
	p.MeasureDown(y-radius, y+radius, x, x+radius+24*Pt, units.Length(outside)+" outside")
	p.Line(Heavy, x, y+radius-8*Pt, x, y+radius+3*Pt)
	p.Write(x+10*Pt, y+radius+10*Pt, small, false, Start, "joint")
	return ringHigh + 20*Pt
}

// worked draws the finished piece: a straight part and, where the working tells
// it, a taper and a smaller bar at one end.
func (p *Picture) worked(row *bom.SteelRow, made Figures, scale Scale, y Dot, units bom.Units) {
	whole := scale.Dots(row.Finished)
	right := pieceLeft + whole
	taper, tapered := made["taper"]
	both := strings.HasSuffix(row.Form, ", both ends")
	if !tapered || taper <= 0 || taper >= row.Finished || both {
		p.Box(Thick, White, pieceLeft, y, whole, barHigh)
		p.Measure(pieceLeft, right, y+barHigh, y+barHigh+18*Pt, units.Length(row.Finished)+" finished")
		return
	}
	smaller := made["smaller bar"]
	shoulder := pieceLeft + scale.Dots(row.Finished-taper-smaller)
	tip := pieceLeft + scale.Dots(row.Finished-smaller)
	end := barHigh / 4 // half the bar's thickness is left
	if strings.Contains(row.Form, "a point") || strings.Contains(row.Form, "an edge") {
		end = barHigh / 2
	}
	p.Outline(Thick, White, Point{pieceLeft, y}, Point{shoulder, y}, Point{tip, y + end}, Point{right, y + end},
		Point{right, y + barHigh - end}, Point{tip, y + barHigh - end}, Point{shoulder, y + barHigh}, Point{pieceLeft, y + barHigh})
	p.Line(Chain, pieceLeft-6*Pt, y+barHigh/2, right+6*Pt, y+barHigh/2)
	p.Measure(shoulder, tip, y+barHigh, y+barHigh+14*Pt, units.Length(taper))
	p.Measure(pieceLeft, right, y+barHigh, y+barHigh+30*Pt, units.Length(row.Finished)+" finished")
}

func forgedSays(row *bom.SteelRow, made Figures, units bom.Units) string {
	says := fmt.Sprintf("%s: finished %s, cut %s.", row.Shape, units.Length(row.Finished), units.Length(row.Cut))
	if row.Form != "" {
		says += " " + row.Form + "."
	}
	for _, name := range []string{"outside diameter", "taper", "smaller bar"} {
		if l, known := made[name]; known && l > 0 {
			says += fmt.Sprintf(" %s %s.", name, units.Length(l))
		}
	}
	if row.Trim != nil {
		says += " " + units.Length(*row.Trim) + " is cut off after rolling."
	}
	return says
}

// FiguresOf reads the lengths of a row out of its bill's working: what stands
// behind the last equals sign of each text.
func FiguresOf(working []bom.Working, line int, path string) Figures {
	made := Figures{}
	for i := range working {
		w := &working[i]
		if w.Line != line || w.Path != path {
			continue
		}
		text := w.Text
		if at := strings.LastIndex(text, "= "); at >= 0 {
			text = text[at+2:]
		}
		if l, err := unit.ParseLength(text); err == nil && l > 0 && l < math.MaxInt64/4 {
			made[w.Figure] = l
		}
	}
	return made
}
