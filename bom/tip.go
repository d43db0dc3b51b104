package bom

import (
	"fmt"
	"math"

	"billwright/catalog"
	"billwright/catalog/unit"
)

// Static tip check: the load at radius r from the middle at which a product of
// weight W begins to tip over the edge of its base (handbook, section 13):
//
//	P = W·rb / (r - rb)
//	rb = radius of the base; over n feet, radius · cos(180° / n), the line
//	     between two of them
//
// P is rounded down. It is a warning and no certificate: it knows of no blow,
// no slope and no soft floor, and takes the weight to be in the middle. A load
// that stands within the base tips nothing, and has no row.
//
// Worked: 120 lb on a ring of 12 in, a top of 24 in: 120·12 / (24 - 12) = 120 lb.

// tipping is a tip check that waits for the weight of the whole.
type tipping struct {
	path        string
	base, reach unit.Length
}

// tip notes a tip check of a top whose greatest radius, if none is written, is
// half of its longer side.
func (r *reckoning) tip(path string, o *outline, t *catalog.Tip) bool {
	if t == nil {
		return true
	}
	reach := (max(o.length, o.width) + 1) / 2
	base, ok := r.length(path, "radius of the base", &t.Base)
	if ok && t.Reach != nil {
		reach, ok = r.length(path, "radius of the load", t.Reach)
	}
	if ok && t.Feet != nil {
		base, ok = r.betweenFeet(path, base, t.Feet)
	}
	if ok && reach > base {
		r.tips = append(r.tips, tipping{path, base, reach})
	}
	return ok
}

// betweenFeet is how near the middle the line between two feet comes.
func (r *reckoning) betweenFeet(path string, radius unit.Length, e *catalog.Expr) (unit.Length, bool) {
	n, ok := r.count(path, "feet", e)
	if !ok {
		return 0, false
	}
	if n < 3 || n > 100 {
		r.refuseFormula("tip.feet", path, "feet", e, fmt.Sprintf("comes to %d; a base stands on 3 to 100", n))
		return 0, false
	}
	var x exact
	base := x.float(math.Floor(TipRadius(radius, n)))
	if !r.settled(path, &x) {
		return 0, false
	}
	r.note(path, "tipping line", "%s·cos(180°/%d) = %s", radius, n, base)
	return base, true
}

// TipRadius is the distance in nanometres from the middle to the line between
// two of n feet that stand evenly on the radius.
func TipRadius(radius unit.Length, feet int) float64 {
	return float64(float64(radius) * math.Cos(math.Pi/float64(feet)))
}

// TipLoad is W·rb / (r - rb), rounded down to 1 µg; r is more than rb.
func TipLoad(weight unit.Mass, base, reach unit.Length) (unit.Mass, error) {
	load, err := unit.MulDivRound(int64(weight), int64(base), int64(reach-base), unit.Down)
	return unit.Mass(load), err
}
