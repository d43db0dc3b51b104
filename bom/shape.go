package bom

import (
	"math"

	"billwright/catalog"
	"billwright/catalog/unit"
)

// Hoops, scrolls and twisted bars.
//
//	hoop     L' = outside length - bar, W' = outside width - bar;
//	         developed = 2 (L' + W') - 8 R + 2 pi R, R the corners' centre-line
//	         radius; no allowance for the joint, which stands in the middle of
//	         a side along the length (common practice)
//	scroll   r = a + b·theta: b = (last - first) / (2 pi turns) and
//	         L = b/2 [x sqrt(1 + x²) + asinh x] from x = first/b to last/b
//	twisted  bar = finished length / (1 - shortening); mass and surface are the
//	         bar's (common practice)
//
// Lengths are in nanometres, reckoned in float64 and rounded once to 1 nm.
// Source: handbook checks F-34, F-40 and F-41 (Archimedean closed form) and
// centre-line arcs as in steel.go.
//
// Worked: an open scroll of 5-1/2 in to 1-1/2 in diameter in 1-1/2 turns is
// 16.6303 in long; the mean diameter's rule, pi·turns·(D + d)/2, gives 16.4934
// in, 0.83 % short, and is never used.

// HoopLength is the developed length in nanometres of a closed rounded
// rectangle: outside length and width, depth of the bar, centre-line radius of
// the corners, of which none may be more than the sides hold.
func HoopLength(length, width, bar, radius unit.Length) float64 {
	sides := 2*(length-bar+width-bar) - 8*radius
	return float64(sides) + float64(2*math.Pi*float64(radius))
}

// ScrollLength is the developed length in nanometres of an Archimedean scroll
// of turns between two centre-line radii, whichever is larger.
//
// It is the closed form with the differences of nearly equal numbers taken out,
// so that a tight coil, whose b is next to nothing, comes out as true as an open
// scroll. With s = sqrt(r² + b²) and theta = 2 pi turns:
//
//	L = theta/2 (s2 + r1 (r1 + r2)/(s1 + s2)) + b/2 ln((r2 + s2)/(r1 + s1))
func ScrollLength(first, last unit.Length, turns float64) float64 {
	r1, r2 := float64(min(first, last)), float64(max(first, last))
	theta := float64(2 * math.Pi * turns)
	b := (r2 - r1) / theta
	s1, s2 := root(r1, b), root(r2, b)
	along := float64(theta/2) * (s2 + float64(r1*(r1+r2))/(s1+s2))
	return float64(along) + float64(b/2*math.Log((r2+s2)/(r1+s1)))
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
	for i, before := range []unit.Length{long / 2, long/2 + short, long/2 + short + long, long/2 + 2*short + long} {
		at := x.round(r.cat.Rounding("steel_finished"), before+unit.Length(i)*arc)
		shape.bends = append(shape.bends, Bend{At: at, Angle: 90, Radius: radius})
	}
	if r.trace {
		r.note(path, "developed length", "2·(%s - %s + %s - %s) - 8·%s + 2·pi·%s = %s", length, bar, width, bar, radius, radius, developed)
	}
	return shape, r.settled(path, &x)
}

func (r *reckoning) scroll(path string, s *catalog.Scroll, section *catalog.Section) (shaped, bool) {
	first, ok1 := r.length(path, "first radius", &s.First)
	last, ok2 := r.length(path, "last radius", &s.Last)
	if !ok1 || !ok2 {
		return shaped{}, false
	}
	bar := radialDepth(section)
	if 2*min(first, last) < bar {
		r.refuse("scroll.too-tight", path, "a bar %s deep does not bend to a centre-line radius of %s", bar, min(first, last))
		return shaped{}, false
	}
	turns := fraction(s.Turns)
	if turns > 1 && float64(max(first, last)-min(first, last)) < float64(turns*float64(bar)) {
		r.refuse("scroll.turns-touch", path, "%s turns between radii of %s and %s leave no room for a bar %s deep: one turn would lie in the next", plain(s.Turns), first, last, bar)
		return shaped{}, false
	}
	var x exact
	developed := x.float(ScrollLength(first, last, turns))
	if !r.settled(path, &x) {
		return shaped{}, false
	}
	if r.trace {
		r.note(path, "developed length", "scroll from radius %s to %s over %s turns: b/2·[x·sqrt(1 + x²) + asinh x] = %s", first, last, plain(s.Turns), developed)
	}
	return shaped{name: "scroll", developed: developed, ends: "square, square", form: r.says("%s turns, radius %s to %s on the centre line", plain(s.Turns), first, last)}, true
}

func (r *reckoning) twisted(path string, t *catalog.Twisted) (shaped, bool) {
	length, ok := r.length(path, "length", &t.Length)
	if !ok {
		return shaped{}, false
	}
	bar, err := BeforeLoss(length, t.Shortening)
	x := exact{err: err}
	if !r.settled(path, &x) {
		return shaped{}, false
	}
	if r.trace {
		r.note(path, "bar before twisting", "%s / (1 - %s) = %s", length, t.Shortening, bar)
	}
	return shaped{name: "twisted", developed: length, parent: bar, blank: bar, ends: "square, square", form: r.says("%s turns", plain(t.Turns))}, true
}

// fraction is a ratio for what needs pi or a root.
func fraction(n unit.Ratio) float64 { return float64(n.Num()) / float64(n.Den()) }

// root is sqrt(a² + b²). math.Hypot would do, but is not written alike for
// every machine.
func root(a, b float64) float64 { return math.Sqrt(float64(a*a) + float64(b*b)) }

// plain is a ratio as people write turns: 1.5 rather than 3/2, where it can be.
func plain(n unit.Ratio) string {
	if text, ok := n.Decimal(); ok {
		return text
	}
	return n.String()
}
