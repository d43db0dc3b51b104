package picture

import (
	"fmt"
	"math"
	"strings"

	"billwright/bom"
	"billwright/catalog/unit"
)

// A bend schedule to scale: above, the piece as it is cut, laid out straight,
// with a mark where each bend begins, measured from the datum end; below, where
// all bends lie in one plane, the bent piece seen from the side by its centre
// line. A bend of radius r and angle a takes r·a·pi/180 of the piece; by the
// K-factor it takes from At to Until.
//
// Worked: a piece of 34 27/32 in with a bend of 90 degrees at 24 5/8 in: on 480 pt
// the mark stands at 480 · 24.625 / 34.84375 = 339.23 pt.

const (
	pieceWidth = 480 * Pt
	pieceLeft  = 20 * Pt
	pieceTop   = 26 * Pt
	pieceHigh  = 10 * Pt
	bentHigh   = 120 * Pt
)

// Bends draws the bend schedule of a row of steel that has bends.
func Bends(row *bom.SteelRow, units bom.Units) *Picture {
	scale := Scale{max(row.Cut, row.Finished), pieceWidth}
	p := &Picture{Width: 532 * Pt, Title: "Bend schedule of " + row.Name, Says: bendsSay(row, units)}
	p.Box(Thick, White, pieceLeft, pieceTop, scale.Dots(row.Finished), pieceHigh)
	p.Line(Chain, pieceLeft-6*Pt, pieceTop+pieceHigh/2, pieceLeft+scale.Dots(row.Finished)+6*Pt, pieceTop+pieceHigh/2)
	p.Write(pieceLeft, pieceTop-14*Pt, small, false, Start, "datum end")
	y := pieceTop + pieceHigh + 16*Pt
	for i := range row.Bends {
		b := &row.Bends[i]
		x := pieceLeft + scale.Dots(b.At)
		p.Line(Thick, x, pieceTop-4*Pt, x, pieceTop+pieceHigh+4*Pt)
		p.Write(x, pieceTop-6*Pt, small, true, Middle, fmt.Sprint(i+1))
		if end := bendEnd(row, i); end > b.At {
			p.Box(Thin, Hatch, x, pieceTop, scale.Dots(end-b.At), pieceHigh)
		}
		p.Measure(pieceLeft, x, pieceTop+pieceHigh, y, units.Length(b.At))
		y += 16 * Pt
	}
	p.Measure(pieceLeft, pieceLeft+scale.Dots(row.Finished), pieceTop+pieceHigh, y, units.Length(row.Finished)+" developed")
	y += 12 * Pt
	if bent := p.side(row, y); bent > 0 {
		y += bent
	}
	p.Height = y + 6*Pt
	return p
}

// bendEnd is where bend i ends along the piece.
func bendEnd(row *bom.SteelRow, i int) unit.Length {
	b := &row.Bends[i]
	if b.Until != nil {
		return *b.Until
	}
	return b.At + lengthOf(bom.ArcLength(b.Radius, b.Angle))
}

// side draws the bent piece by its centre line below y, and gives the height that
// it takes; 0 where its bends lie in several planes.
func (p *Picture) side(row *bom.SteelRow, y Dot) Dot {
	run, flat := centreLine(row)
	if !flat || len(run) < 2 {
		return 0
	}
	low, high := run[0], run[0]
	for _, at := range run {
		low.x, low.y, high.x, high.y = min(low.x, at.x), min(low.y, at.y), max(high.x, at.x), max(high.y, at.y)
	}
	scale := min(float64(pieceWidth)/max(1, high.x-low.x), float64(bentHigh)/max(1, high.y-low.y))
	points := make([]Point, len(run))
	for i, at := range run {
		points[i] = dot(float64(pieceLeft)+float64((at.x-low.x)*scale), float64(y+8*Pt)+float64((at.y-low.y)*scale))
	}
	p.Path(Heavy, points...)
	p.Round(Thin, Black, points[0].X, points[0].Y, 3*Pt)
	return Dot(math.Round(float64((high.y-low.y)*scale))) + 16*Pt
}

type place struct{ x, y float64 } // nanometres

// centreLine is the centre line of a piece whose bends lie in one plane, in steps
// of 5 degrees or less.
func centreLine(row *bom.SteelRow) (run []place, flat bool) {
	at, heading, done := place{}, 0.0, unit.Length(0)
	run = []place{at}
	ahead := func(nm float64) {
		at.x += float64(nm * math.Cos(heading))
		at.y -= float64(nm * math.Sin(heading))
		run = append(run, at)
	}
	for i := range row.Bends {
		b := &row.Bends[i]
		side := 1.0
		switch math.Abs(b.Plane) {
		case 0:
		case 180:
			side = -1
		default:
			return nil, false
		}
		ahead(float64(b.At - done))
		steps := max(1, int(math.Ceil(b.Angle/5)))
		turn := side * b.Angle / float64(steps) * math.Pi / 180
		chord := 2 * float64(b.Radius) * math.Sin(math.Abs(turn)/2)
		for range steps {
			heading += turn / 2
			ahead(chord)
			heading += turn / 2
		}
		done = bendEnd(row, i)
	}
	if rest := row.Finished - done; rest > 0 {
		ahead(float64(rest))
	}
	return run, true
}

func bendsSay(row *bom.SteelRow, units bom.Units) string {
	texts := make([]string, len(row.Bends))
	for i := range row.Bends {
		texts[i] = fmt.Sprintf("bend %d: %s", i+1, BendText(&row.Bends[i], units))
	}
	return fmt.Sprintf("%s developed, cut %s. From the datum end, %s.", units.Length(row.Finished), units.Length(row.Cut), strings.Join(texts, "; "))
}

// BendText is a line of a bend schedule in words.
func BendText(b *bom.Bend, units bom.Units) string {
	text := fmt.Sprintf("at %s, %g degrees", units.Length(b.At), b.Angle)
	if b.Inside != nil {
		text += fmt.Sprintf(", inside radius %s, K %s", units.Length(*b.Inside), b.KFactor)
	} else {
		text += ", radius " + units.Length(b.Radius) + " on the centre line"
	}
	if b.Until != nil {
		text += ", to " + units.Length(*b.Until)
	}
	if b.Turn != 0 {
		text += fmt.Sprintf(", after a turn of %g degrees", b.Turn)
	}
	if b.Plane != 0 {
		text += fmt.Sprintf(", in a plane %g degrees from the first", b.Plane)
	}
	if b.Jig != "" {
		text += ", on " + b.Jig
	}
	return text
}
