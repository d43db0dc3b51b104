package picture

import (
	"fmt"
	"math"

	"billwright/bom"
	"billwright/catalog"
	"billwright/catalog/unit"
)

// A blank to scale: the rectangle that is glued up, its strips with their
// joints, the grain, and in chain lines the finished top that is cut out of its
// middle. The grain runs along the blank's length, which lies across the picture.
//
// Worked: a blank of 85 x 37 in on 360 pt: its length 360 pt, its width 37/85 of
// that, 156.71 pt.

const (
	blankWidth  = 380 * Pt
	blankHeight = 150 * Pt
	blankLeft   = 10 * Pt
	blankTop    = 18 * Pt
	small       = 9 * Pt
)

// Blank draws the blank of a row of wood.
func Blank(row *bom.WoodRow, units bom.Units) *Picture {
	along, across := row.Blank.Length, row.Blank.Width
	scale := Within(along, across, blankWidth, blankHeight)
	long, high := scale.Dots(along), scale.Dots(across)
	p := &Picture{Width: 532 * Pt, Height: blankTop + high + 46*Pt, Title: "Blank of " + row.Name}
	p.Box(Thick, White, blankLeft, blankTop, long, high)
	p.strips(row, scale, long, units)
	p.finished(row, scale, blankLeft+long/2, blankTop+high/2)
	p.grain(blankLeft, blankTop, long, high)
	p.Measure(blankLeft, blankLeft+long, blankTop+high, blankTop+high+20*Pt, "blank "+units.Length(along))
	p.MeasureDown(blankTop, blankTop+high, blankLeft+long, blankLeft+long+80*Pt, units.Length(across))
	p.Write(blankLeft, blankTop-5*Pt, small, false, Start, blankHead(row, units))
	p.Write(blankLeft, blankTop+high+40*Pt, small, false, Start, "chain line: the finished outline in the middle of the blank; arrow: grain")
	p.Says = blankSays(row, units)
	return p
}

func blankHead(row *bom.WoodRow, units bom.Units) string {
	if len(row.Strips) == 0 {
		return "one piece, no joints"
	}
	return fmt.Sprintf("%d strips, each joint a line", len(row.Strips))
}

// strips draws the joints between strips, and the width of each where there is
// room for its words.
func (p *Picture) strips(row *bom.WoodRow, scale Scale, long Dot, units bom.Units) {
	at := unit.Length(0)
	for i, strip := range row.Strips {
		top, bottom := blankTop+scale.Dots(at), blankTop+scale.Dots(at+strip)
		if i > 0 {
			p.Line(Thin, blankLeft, top, blankLeft+long, top)
		}
		if bottom-top >= small {
			p.Write(blankLeft+long+4*Pt, (top+bottom)/2+3*Pt, small, false, Start, units.Length(strip))
		}
		at += strip
	}
}

// finished draws a finished outline around a middle.
func (p *Picture) finished(row *bom.WoodRow, scale Scale, x, y Dot) {
	length, width := row.Length, row.Width
	if grainAcross(row) {
		length, width = width, length
	}
	end := row.EndWidth
	points := outline(row.Shape, float64(scale.Dots(length)), float64(scale.Dots(width)), float64(scale.Dots(end)))
	if grainAcross(row) && row.Shape == "boat" {
		points = outline(row.Shape, float64(scale.Dots(width)), float64(scale.Dots(length)), float64(scale.Dots(end)))
		for i := range points {
			points[i].X, points[i].Y = points[i].Y, points[i].X
		}
	}
	for i := range points {
		points[i].X += x
		points[i].Y += y
	}
	p.Outline(Chain, NoFill, points...)
}

// grainAcross tells that the finished width lies along the blank's length.
func grainAcross(row *bom.WoodRow) bool {
	return row.Grain == "along the width" || row.Grain == "width"
}

// outline is a shape around the origin, of sides in dots; curves are chords of 3
// degrees or less.
func outline(shape string, length, width, end float64) []Point {
	switch shape {
	case catalog.Round, "ellipse":
		return arc(0, 0, length/2, width/2, 0, 360)
	case "racetrack":
		straight := (length - width) / 2
		right := arc(straight, 0, width/2, width/2, -90, 90)
		return append(right, arc(-straight, 0, width/2, width/2, 90, 270)...)
	case "boat":
		return boat(length, width, end)
	}
	return []Point{dot(-length/2, -width/2), dot(length/2, -width/2), dot(length/2, width/2), dot(-length/2, width/2)}
}

// boat has straight ends and sides that are arcs over the length with a rise of
// half of what the middle is wider.
func boat(length, width, end float64) []Point {
	rise := (width - end) / 2
	if rise <= 0 {
		return outline("", length, width, 0)
	}
	radius := length*length/(8*rise) + rise/2
	half := math.Asin(length/2/radius) * 180 / math.Pi
	below := arc(0, width/2-radius, radius, radius, 90-half, 90+half)
	return append(below, arc(0, radius-width/2, radius, radius, 270-half, 270+half)...)
}

func arc(x, y, rx, ry, from, to float64) []Point {
	steps := max(2, int(math.Ceil((to-from)/3)))
	points := make([]Point, 0, steps+1)
	for i := range steps + 1 {
		a := (from + (to-from)*float64(i)/float64(steps)) * math.Pi / 180
		points = append(points, dot(x+float64(rx*math.Cos(a)), y+float64(ry*math.Sin(a))))
	}
	return points
}

func dot(x, y float64) Point { return Point{Dot(math.Round(x)), Dot(math.Round(y))} }

// grain draws an arrow with two heads along the length.
func (p *Picture) grain(x, y, long, high Dot) {
	middle, left, right := y+high/2, x+long*3/8, x+long*5/8
	p.Line(Thick, left, middle, right, middle)
	for _, end := range []struct{ at, back Dot }{{left, 8 * Pt}, {right, -8 * Pt}} {
		p.Path(Thick, Point{end.at + end.back, middle - 4*Pt}, Point{end.at, middle}, Point{end.at + end.back, middle + 4*Pt})
	}
}

func blankSays(row *bom.WoodRow, units bom.Units) string {
	says := fmt.Sprintf("Blank %s, grain along its length.", units.Sides(row.Blank.Length, row.Blank.Width))
	if len(row.Strips) > 0 {
		says += " Strips, from one side to the other: " + list(row.Strips, units) + "."
	}
	return says + " Out of its middle comes " + units.Shaped(row.Shape, row.Length, row.Width) + "."
}

// list is lengths in words, like ones that follow one another counted.
func list(lengths []unit.Length, units bom.Units) string {
	text := ""
	for i := 0; i < len(lengths); {
		n := i
		for n < len(lengths) && lengths[n] == lengths[i] {
			n++
		}
		if text != "" {
			text += ", "
		}
		text += fmt.Sprintf("%d of %s", n-i, units.Length(lengths[i]))
		i = n
	}
	return text
}
