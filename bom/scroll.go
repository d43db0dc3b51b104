package bom

import (
	"math"

	"billwright/catalog"
	"billwright/catalog/unit"
)

// Scrolls of Archimedes.
//
//	r = a + b·theta: b = (last - first) / (2 pi turns) and
//	L = b/2 [x sqrt(1 + x²) + asinh x] from x = first/b to last/b
//
// Lengths are in nanometres, reckoned in float64 and rounded once to 1 nm.
// Source: handbook checks F-34, F-40 and F-41 (Archimedean closed form).
//
// Worked: an open scroll of 5-1/2 in to 1-1/2 in diameter in 1-1/2 turns is
// 16.6303 in long; the mean diameter's rule, pi·turns·(D + d)/2, gives 16.4934
// in, 0.83 % short, and is never used.

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
