package bom

import (
	"math"
	"strings"

	"billwright/catalog"
	"billwright/catalog/unit"
)

// What welds weigh and take.
//
//	fillet         A = leg²/2, or throat²
//	square groove  A = depth · gap
//	bevel groove   A = depth · gap + (depth - root face)² · tan(angle)/2
//	V groove       A = depth · gap + (depth - root face)² · tan(angle/2)
//	plug           V = pi·hole²/4 · depth
//	deposit        = A · length · sides · (1 + reinforcement) · density of the weld
//	wire           = deposit / deposition efficiency
//	arc minutes    = deposit / deposit rate
//
// Areas are rounded once to 1 um2, the deposit of one joint once to 1 ug; that
// of several joints is a multiple of it, so that the rows add up again. Source:
// handbook checks W-11 to W-16 (fillet), W-19 to W-21 (wire); the grooves by
// geometry.
//
// Worked: a 1/4 in fillet is 1/32 in2, 12 in of it at 0.283 lb/in3 are 0.1061
// lb, and of solid wire at 90 % 0.1179 lb.

// deposit is the mass of weld at one joint, all its sides.
func (r *reckoning) deposit(j *joint, sides int, density catalog.Density, x *exact) unit.Mass {
	volume, shape := r.weldVolume(j, sides, x)
	mass, err := density.Mass(volume)
	x.keep(err)
	share, err := unit.RatioOf(1).Add(j.weld.Reinforcement)
	x.keep(err)
	one := unit.Mass(x.ratio(int64(mass), share.Num(), share.Den()))
	if r.trace && x.err == nil {
		over := ""
		if j.weld.Reinforcement.Sign() > 0 {
			over = " · (1 + " + j.weld.Reinforcement.String() + ")"
		}
		r.note(j.path, "deposit", "%s%s at %s = %s each", shape, over, r.density(density), Weight(one))
	}
	return one
}

// weldVolume is the volume of the weld at one joint before its reinforcement,
// with how it came about.
func (r *reckoning) weldVolume(j *joint, sides int, x *exact) (unit.Volume, string) {
	if j.weld.Kind == catalog.Plug {
		area := x.floatArea(math.Pi / 4 * square(*j.weld.Hole) / 1e6)
		return unit.Volume(x.times(int64(x.volume(area, *j.weld.Depth)), sides)),
			r.says("pi·%s²/4 · %s · %d side", *j.weld.Hole, *j.weld.Depth, sides)
	}
	area, err := WeldSection(j.weld)
	x.keep(err)
	return x.volume(area, unit.Length(x.times(int64(j.length), sides))),
		r.says("%s · %s · %d side", crossSection(area), j.length, sides)
}

// WeldSection is the cross-section of a fillet or groove, without what is laid
// over it, to 1 um2. Errors: unit.ErrOverflow.
func WeldSection(w *catalog.Weld) (unit.Area, error) {
	switch {
	case w.Leg != nil:
		um2, err := unit.MulDivRound(int64(*w.Leg), int64(*w.Leg), 2_000_000, unit.Nearest)
		return unit.Area(um2), err
	case w.Throat != nil:
		return w.Throat.Times(*w.Throat)
	case w.Kind == catalog.SquareGroove:
		return w.Depth.Times(w.Gap)
	}
	open := float64(float64(w.Angle) * math.Pi / 180)
	wedge := math.Tan(open / 2)
	if w.Kind == catalog.BevelGroove {
		wedge = math.Tan(open) / 2
	}
	nm2 := float64(float64(*w.Depth)*float64(w.Gap)) + float64(square(*w.Depth-w.RootFace)*wedge)
	return unit.AreaFromFloat(nm2 / 1e6)
}

// square is in square nanometres.
func square(l unit.Length) float64 { return float64(float64(l) * float64(l)) }

// WireMass is the wire of which a share ends in the weld: deposit / efficiency,
// to the nearest microgram. Errors: unit.ErrOverflow, unit.ErrDivideByZero.
func WireMass(deposit unit.Mass, efficiency unit.Ratio) (unit.Mass, error) {
	ug, err := unit.MulDivRound(int64(deposit), efficiency.Den(), efficiency.Num(), unit.Nearest)
	return unit.Mass(ug), err
}

// weldSize is the measure that a weld is called by.
func weldSize(w *catalog.Weld) (of string, size unit.Length) {
	switch {
	case w.Leg != nil:
		return "leg", *w.Leg
	case w.Throat != nil:
		return "throat", *w.Throat
	case w.Hole != nil:
		return "hole", *w.Hole
	}
	return "depth", *w.Depth
}

// weldForm tells the further measures of a weld.
func (r *reckoning) weldForm(w *catalog.Weld) string {
	var list []string
	if w.Hole != nil {
		list = append(list, r.says("depth %s", *w.Depth))
	}
	if w.Angle != 0 {
		list = append(list, r.says("%d°", w.Angle))
	}
	if w.Gap != 0 {
		list = append(list, r.says("gap %s", w.Gap))
	}
	if w.RootFace != 0 {
		list = append(list, r.says("root face %s", w.RootFace))
	}
	return strings.Join(list, ", ")
}

// crossSection is the area of a weld, written in in2 or mm2.
type crossSection unit.Area

var crossSections = scales{{"in2", int64(unit.SquareInch), 4}, {"mm2", 1_000_000, 2}}

// In writes "0.0313 in2" or "20.16 mm2".
func (a crossSection) In(u Units) string { return string(crossSections.in(u).text(nil, int64(a))) }

// density writes a density in the workshop's units.
func (r *reckoning) density(d catalog.Density) string {
	if r.units != Metric {
		return d.String()
	}
	mass, err := d.Mass(unit.CubicMetre)
	if err != nil {
		return d.String()
	}
	return r.units.Density(mass, unit.CubicMetre)
}

// arcMinutes is in tenths of a minute; any weld takes at least one.
func arcMinutes(deposit unit.Mass, perMinute unit.Ratio, x *exact) Minutes {
	tenths := x.ratio(int64(deposit), 10*perMinute.Den(), perMinute.Num())
	if tenths == 0 && deposit > 0 {
		return 1
	}
	return Minutes(tenths)
}
