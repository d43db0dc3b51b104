package bom

import (
	"fmt"
	"math"

	"billwright/catalog"
	"billwright/catalog/unit"
)

// Bent pieces.
//
//	arc        on the centre line, for bar and tube: radius·angle·pi/180
//	           (handbook: centre-line arc L = theta·CLR)
//	           by the K-factor, for flats over their thickness t:
//	           (inside radius + K·t)·angle·pi/180 (handbook F-27, F-28)
//	setback    (inside radius + t)·tan(angle/2) up to 90°, beyond it inside
//	           radius + t, where a rule laid over the bend ends; a bend by its
//	           centre line has its outside at radius + depth/2
//	straight   a leg over the outside less the setbacks of the bends beside it
//	developed  straights and arcs added up
//	bend at    straights and arcs before it, summed exactly and rounded by
//	           steel_finished
//
// so that two legs a and b over the outside of a right angle develop to a + b -
// 2 (r + t) + arc, as handbook F-29 has it.
//
// Worked (F-29): legs of 3 in over the outside of 1/4 in flat on an inside radius
// of 1/4 in, K 0.42: arc = pi/2·0.355 = 0.5576, setback 1/2 each: 5.5576 in.

// Bend is one bend of a bent piece: a line of its bend schedule. At is where it
// starts, along the piece from the datum end, to the fraction that finished
// lengths are given to.
type Bend struct {
	At unit.Length `json:"at"`
	// Angle is in degrees, whole or half ones.
	Angle float64 `json:"angle"`
	// Radius is that of the centre line.
	Radius unit.Length `json:"radius"`
	// Inside is the inside radius of a bend that goes by the K-factor KFactor.
	Inside  *unit.Length `json:"inside_radius,omitempty"`
	KFactor string       `json:"k_factor,omitempty"`
	// Until is where the bend ends, given where At alone does not say it: for
	// bends by the K-factor and in a piece that is turned.
	Until *unit.Length `json:"until,omitempty"`
	// Turn is how far the piece is turned about its own axis before this bend, in
	// degrees clockwise seen from the datum end; Plane is how far its plane then
	// lies from that of the first bend.
	Turn  float64 `json:"turn,omitempty"`
	Plane float64 `json:"plane,omitempty"`
	Jig   string  `json:"jig,omitempty"`
}

// ArcLength is the centre-line length in nanometres of a bend.
func ArcLength(radius unit.Length, degrees float64) float64 {
	return float64(float64(radius)*float64(degrees*math.Pi)) / 180
}

// BendAllowance is the length in nanometres of the neutral line of a bend of a
// flat of some thickness: (inside + K·thickness)·degrees·pi/180.
func BendAllowance(inside, thickness unit.Length, k unit.Ratio, degrees float64) float64 {
	neutral := float64(inside) + float64(fraction(k)*float64(thickness))
	return float64(neutral*float64(degrees*math.Pi)) / 180
}

// Setback is how far in nanometres a bend whose outside has a radius reaches
// along a leg measured over the outside: radius·tan(degrees/2) to where the two
// outsides would meet, from 90 degrees on radius, which the leg spans itself.
func Setback(outside float64, degrees float64) float64 {
	if degrees >= 90 {
		return outside
	}
	return float64(outside * math.Tan(float64(degrees*math.Pi)/360))
}

// bentRun is a run whose formulas are reckoned.
type bentRun struct {
	length  unit.Length // of a straight, of a leg over the outside or of an arc
	outside bool        // a leg over the outside
	bend    *Bend
	setback unit.Length // of a bend
}

func (r *reckoning) bent(path string, bent *catalog.Bent, section *catalog.Section) (shaped, bool) {
	k, ok := r.kFactor(path, bent)
	if !ok {
		return shaped{}, false
	}
	var x exact
	runs := make([]bentRun, len(bent.Runs))
	for i := range runs {
		if runs[i], ok = r.run(path, i, &bent.Runs[i], radialDepth(section), k, &x); !ok {
			return shaped{}, false
		}
	}
	for i := range runs {
		if runs[i].outside && !r.leg(path, i, runs) {
			return shaped{}, false
		}
	}
	return r.schedule(runs, &x), r.settled(path, &x)
}

// kFactor is nought where the catalog gives none.
func (r *reckoning) kFactor(path string, bent *catalog.Bent) (k unit.Ratio, ok bool) {
	if bent.K == nil {
		return k, true
	}
	value, ok := r.value(path, "K-factor", bent.K)
	if !ok {
		return k, false
	}
	if k = value.Number(); !catalog.KFactor(k) {
		r.refuseFormula("bend.k-factor", path, "K-factor", bent.K, "is not more than 0 and up to 1/2, between the inside of the bend and its middle")
		return k, false
	}
	return k, true
}

// run reckons the formulas of run i of a piece that is depth deep in its bends.
func (r *reckoning) run(path string, i int, run *catalog.Run, depth unit.Length, k unit.Ratio, x *exact) (bentRun, bool) {
	switch {
	case run.Straight != nil:
		length, ok := r.length(path, fmt.Sprintf("straight %d", i+1), run.Straight)
		return bentRun{length: length}, ok
	case run.Outside != nil:
		length, ok := r.length(path, fmt.Sprintf("leg %d over the outside", i+1), run.Outside)
		return bentRun{length: length, outside: true}, ok
	case run.Inside != nil:
		return r.flatBend(path, i, run, depth, k, x)
	}
	radius, ok := r.length(path, fmt.Sprintf("radius %d", i+1), run.Radius)
	if !ok {
		return bentRun{}, false
	}
	if 2*radius < depth {
		r.refuse("bend.too-tight", path, "a bar %s deep does not bend to a centre-line radius of %s; %s is the least", depth, radius, (depth+1)/2)
		return bentRun{}, false
	}
	angle := run.Angle.Float()
	arc := x.float(ArcLength(radius, angle))
	if r.trace {
		r.note(path, fmt.Sprintf("arc %d", i+1), "%s·%s°·pi/180 = %s", radius, run.Angle, arc)
	}
	return bentRun{length: arc, setback: x.float(Setback(float64(radius)+float64(float64(depth)/2), angle)),
		bend: &Bend{Angle: angle, Radius: radius, Turn: run.Turn.Float(), Jig: r.jigName(run.Jig)}}, true
}

// flatBend is a bend of a flat by its inside radius and the K-factor.
func (r *reckoning) flatBend(path string, i int, run *catalog.Run, depth unit.Length, k unit.Ratio, x *exact) (bentRun, bool) {
	inside, ok := r.length(path, fmt.Sprintf("inside radius %d", i+1), run.Inside)
	if !ok {
		return bentRun{}, false
	}
	angle := run.Angle.Float()
	arc := x.float(BendAllowance(inside, depth, k, angle))
	setback := x.float(Setback(float64(inside+depth), angle))
	if r.trace {
		r.note(path, fmt.Sprintf("arc %d", i+1), "(%s + %s·%s)·%s°·pi/180 = %s", inside, k, depth, run.Angle, arc)
		r.note(path, fmt.Sprintf("bend deduction %d", i+1), "2·%s - %s = %s", setback, arc, 2*setback-arc)
	}
	return bentRun{length: arc, setback: setback,
		bend: &Bend{Angle: angle, Radius: inside + depth/2, Inside: &inside, KFactor: plain(k), Turn: run.Turn.Float(), Jig: r.jigName(run.Jig)}}, true
}

// leg takes the setbacks of the bends beside it off a leg over the outside.
func (r *reckoning) leg(path string, i int, runs []bentRun) bool {
	var before, after unit.Length
	if i > 0 {
		before = runs[i-1].setback
	}
	if i+1 < len(runs) {
		after = runs[i+1].setback
	}
	over := runs[i].length
	straight := over - before - after
	if straight <= 0 {
		r.refuse("length.not-positive", path, "the bends beside leg %d take %s, which leaves nothing of %s over the outside; it must be longer than that", i+1, before+after, over)
		return false
	}
	if r.trace {
		r.note(path, fmt.Sprintf("straight %d", i+1), "%s - %s - %s = %s", over, before, after, straight)
	}
	runs[i].length = straight
	return true
}

// schedule adds the runs up and places their bends.
func (r *reckoning) schedule(runs []bentRun, x *exact) shaped {
	shape := shaped{name: "bent", ends: "square, square"}
	by := r.cat.Rounding("steel_finished")
	whole, plane := wholeSchedule(runs), 0.0
	for i := range runs {
		if bend := runs[i].bend; bend != nil {
			bend.At = x.round(by, shape.developed)
			if plane = around(plane + bend.Turn); whole {
				until := x.round(by, shape.developed+runs[i].length)
				bend.Until, bend.Plane = &until, plane
			}
			shape.bends = append(shape.bends, *bend)
		}
		shape.developed += runs[i].length
	}
	return shape
}

// wholeSchedule tells that a bend goes by the K-factor or out of the plane.
func wholeSchedule(runs []bentRun) bool {
	for i := range runs {
		if bend := runs[i].bend; bend != nil && (bend.Inside != nil || bend.Turn != 0) {
			return true
		}
	}
	return false
}

// around is an angle from more than -180 to 180 degrees.
func around(degrees float64) float64 {
	switch {
	case degrees > 180:
		return degrees - 360
	case degrees <= -180:
		return degrees + 360
	}
	return degrees
}

// jigName is how the shop calls a jig; nothing where there is none.
func (r *reckoning) jigName(code string) string {
	if jig, found := r.cat.Jigs.Get(code); found {
		return jig.Name
	}
	return ""
}
