package bom

import (
	"math"

	"billwright/catalog"
	"billwright/catalog/unit"
)

// Rolled rings.
//
//	developed  pi·(outside diameter - bar)
//	allowance  ring_allowance: the straight ends that the rolls leave, cut off
//	           once the ring is rolled
//
// Source: handbook, ring stock = pi (OD - bar).
//
// Worked: 12 in outside of 3/4 in bar: pi·11.25 = 35.343 in, and with 12 in for
// the rolls 47.343 in are cut.

// RingLength is the developed length in nanometres of a closed ring of the
// given outside diameter rolled from a bar of the given radial depth:
// pi·(outside - bar).
func RingLength(outside, bar unit.Length) float64 { return math.Pi * float64(outside-bar) }

func (r *reckoning) ring(path string, ring *catalog.Ring, section *catalog.Section) (shaped, bool) {
	outside, ok := r.length(path, "outside diameter", &ring.Outside)
	if !ok {
		return shaped{}, false
	}
	bar := radialDepth(section)
	if outside <= 2*bar {
		r.refuse("ring.too-small", path, "a ring of %s outside cannot be rolled from a bar %s deep", outside, bar)
		return shaped{}, false
	}
	var x exact
	developed := x.float(RingLength(outside, bar))
	if !r.settled(path, &x) {
		return shaped{}, false
	}
	if r.trace {
		r.note(path, "developed length", "pi·(%s - %s) = %s", outside, bar, developed)
	}
	shape := shaped{name: "rolled ring", developed: developed, ends: "closed", closed: true}
	if trim := r.cat.Length("ring_allowance"); trim > 0 {
		shape.allowance, shape.trim = trim, &trim
	}
	return shape, true
}

// radialDepth is how deep a section is along a ring's radius; a flat or a
// rectangular tube is rolled the easy way, over its thin side.
func radialDepth(s *catalog.Section) unit.Length {
	for _, side := range []*unit.Length{s.Size, s.Thickness, s.Height, s.Width} {
		if side != nil {
			return *side
		}
	}
	return 0
}
