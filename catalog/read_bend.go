package catalog

import (
	"fmt"

	"billwright/catalog/formula"
	"billwright/catalog/unit"
)

// bent checks that straights and bends follow one another.
func (r *productReading) bent(b branch, part *Part, section *Section) {
	bends, inside, runs := 0, false, part.Steel.Bent.Runs
	for i := range runs {
		run, s := &runs[i], b.s.in("runs").item(i)
		if run.bend() {
			bends++
			inside = inside || run.Inside != nil
			r.bend(s, run, bends == 1)
		} else {
			s.straightRun(run, i > 0 && !runs[i-1].bend())
		}
		r.lengths(s, namedExpr{"straight", run.Straight}, namedExpr{"outside", run.Outside}, namedExpr{"radius", run.Radius}, namedExpr{"inside", run.Inside})
		r.jig(s, b, part, run)
	}
	if bends == 0 {
		b.s.in("runs").fault("nothing is bent", "write a straight piece as straight")
	}
	r.kFactor(b.s, part.Steel.Bent, inside, section)
}

// bend tells a bend from a straight.
func (run *Run) bend() bool { return run.Angle != 0 || run.Radius != nil || run.Inside != nil }

func (s spot) straightRun(run *Run, after bool) {
	switch {
	case (run.Straight == nil) == (run.Outside == nil):
		s.fault("a run is a straight, a leg over the outside, or an angle with its radius", "write exactly one of straight, outside and angle")
	case after:
		s.fault("two straights follow one another", "write them as one")
	}
	if run.Turn != 0 {
		s.in("turn").fault("a straight is not turned", "write it on the bend before which the piece is turned")
	}
}

func (r *productReading) bend(s spot, run *Run, first bool) {
	switch {
	case run.Straight != nil || run.Outside != nil:
		s.fault("a run is a straight or an angle with its radius", "write exactly one of the two")
	case run.Radius == nil && run.Inside == nil:
		s.fault("a bend needs its centre-line radius", "write radius, or for a flat its inside radius under inside")
	case run.Radius != nil && run.Inside != nil:
		s.fault("a bend has one radius", "write radius on the centre line, or inside for a flat with its k_factor")
	case (run.Angle < 1 || run.Angle > 360*deg) && !s.in("angle").unread():
		s.in("angle").fault(fmt.Sprintf("nothing is bent by %s degrees", run.Angle), "write 1 to 360")
	}
	switch {
	case first && run.Turn != 0:
		s.in("turn").fault("the first bend has no bend before it to be turned from", "leave it out; the first bend sets the plane")
	case run.Turn < -180*deg || run.Turn > 180*deg:
		s.in("turn").fault(fmt.Sprintf("a piece is not turned by %s degrees", run.Turn), "write -180 to 180")
	}
}

// kFactor checks the K-factor against the bends that go by it.
func (r *productReading) kFactor(s spot, bent *Bent, inside bool, section *Section) {
	switch {
	case inside && bent.K == nil:
		s.fault("a bend by its inside radius needs the K-factor", "write k_factor, such as standard.k_flat")
	case !inside && bent.K != nil:
		s.in("k_factor").fault("no bend goes by the K-factor", "leave it out, or give a bend its inside radius under inside")
	}
	if inside && section != nil && section.Shape != "" && section.Shape != "flat" {
		s.fault(fmt.Sprintf("%s is of the shape %s, and the K-factor is for flats", section.Code, section.Shape), "write radius on the centre line, which bar and tube keep their length on")
	}
	if !r.known.compile(s.in("k_factor"), bent.K, formula.Number) {
		return
	}
	if value, fixed := r.fixed(bent.K); fixed && !KFactor(value.Number()) {
		s.in("k_factor").at(bent.K.Pos).fault(fmt.Sprintf("the formula comes to a K-factor of %s", value), "the neutral line lies between the inside and the middle: write more than 0 and up to 1/2")
	}
}

// KFactor tells that a number is a K-factor: more than 0 and up to 1/2, since
// the neutral line of a bend never lies outside the middle (handbook F-28).
func KFactor(k unit.Ratio) bool { return k.Sign() > 0 && 2*k.Num() <= k.Den() }
