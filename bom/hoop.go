package bom

import (
	"math"

	"billwright/catalog"
	"billwright/catalog/unit"
)

// Hoops: closed rounded rectangles.
//
//	L' = outside length - bar, W' = outside width - bar
//	developed = 2 (L' + W') - 8 R + 2 pi R, R the corners' centre-line radius
//
// without allowance for the joint, which stands in the middle of a side along
// the length (common practice). Source: centre-line arcs as in bend.go.
//
// Worked: 12 x 8 in outside of 1/2 in bar on corners of 2 in: 2 (11.5 + 7.5) -
// 16 + 4 pi = 34.566 in.

// HoopLength is the developed length in nanometres of a closed rounded
// rectangle: outside length and width, depth of the bar, centre-line radius of
// the corners, of which none may be more than the sides hold.
func HoopLength(length, width, bar, radius unit.Length) float64 {
	sides := 2*(length-bar+width-bar) - 8*radius
	return float64(sides) + float64(2*math.Pi*float64(radius))
}

func (r *reckoning) hoop(path string, h *catalog.Hoop, section *catalog.Section) (shaped, bool) {
	length, ok1 := r.length(path, "outside length", &h.Length)
	width, ok2 := r.length(path, "outside width", &h.Width)
	radius, ok3 := r.length(path, "radius", &h.Radius)
	if !ok1 || !ok2 || !ok3 {
		return shaped{}, false
	}
	bar := radialDepth(section)
	long, short := length-bar-2*radius, width-bar-2*radius
	if long < 0 || short < 0 || 2*radius < bar {
		r.refuse("hoop.too-tight", path, "corners of radius %s, from a bar %s deep, do not fit a hoop of %s by %s outside", radius, bar, length, width)
		return shaped{}, false
	}
	var x exact
	developed := x.float(HoopLength(length, width, bar, radius))
	arc := x.float(ArcLength(radius, 90))
	shape := shaped{name: "hoop", developed: developed, ends: "closed", closed: true}
	jig := r.jigName(h.Jig)
	for i, before := range []unit.Length{long / 2, long/2 + short, long/2 + short + long, long/2 + 2*short + long} {
		at := x.round(r.cat.Rounding("steel_finished"), before+unit.Length(i)*arc)
		shape.bends = append(shape.bends, Bend{At: at, Angle: 90, Radius: radius, Jig: jig})
	}
	if r.trace {
		r.note(path, "developed length", "2·(%s - %s + %s - %s) - 8·%s + 2·pi·%s = %s", length, bar, width, bar, radius, radius, developed)
	}
	return shape, r.settled(path, &x)
}
