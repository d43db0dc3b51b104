package bom

import (
	"math"

	"billwright/catalog"
	"billwright/catalog/unit"
)

// Lifting by hand: the lifting equation of NIOSH (handbook, section 13; checks
// N-02 to N-05; the metric constants and the coupling multipliers but 0.95 from
// memory).
//
//	limit = 51 lb · HM · VM · DM · AM · FM · CM         metric: 23 kg
//	HM = 10 in / horizontal, at most 1                          25 cm / horizontal
//	VM = 1 - 0.0075 · |vertical - 30 in|                        1 - 0.003 · |vertical - 75 cm|
//	DM = 0.82 + 1.8 in / travel, at most 1                      0.82 + 4.5 cm / travel
//	AM = 1 - 0.0032 · degrees
//	FM = the catalog's, from the equation's frequency table
//	CM = good 1.00; fair 0.95, and 1.00 from a vertical of 30 in or 75 cm on; poor 0.90
//	index = weight / limit
//
// The index over 1 asks for two persons or a device, over 3 for another way of
// lifting. The metric form is an equation of its own: 23 kg are 50.7 lb.
//
// Worked: 15 in forwards, from 30 in, over 20 in, unturned, fair, FM 0.94: 51 · 2/3
// · 1 · 0.91 · 1 · 0.94 · 1 = 29.08 lb.

// Multipliers are those of the lifting equation, each from 0 to 1.
type Multipliers struct{ Horizontal, Vertical, Distance, Asymmetry, Frequency, Coupling float64 }

// LiftRow is the lift index of one carton or of one piece.
type LiftRow struct {
	Path   string `json:"path"`
	Lift   string `json:"lift"`
	Weight Weight `json:"weight"`
	Limit  Weight `json:"recommended_limit"`
	Index  string `json:"lift_index"` // two decimals, rounded up
	of     string // path of the carton or of the part
	over   int64  // index times 100, rounded up
}

// MultipliersOf are the multipliers of a lift, by the metric form or by that in
// inches.
func MultipliersOf(l *catalog.Lift, metric bool) Multipliers {
	grain, reach, height, slope, travel := float64(unit.Inch), 10.0, 30.0, 0.0075, 1.8
	if metric {
		grain, reach, height, slope, travel = float64(unit.Centimetre), 25, 75, 0.003, 4.5
	}
	vertical := float64(l.Vertical) / grain
	m := Multipliers{
		Horizontal: min(1, reach/max(reach, float64(l.Horizontal)/grain)),
		Vertical:   max(0, 1-float64(slope*math.Abs(vertical-height))),
		Distance:   min(1, 0.82+travel/max(reach, float64(l.Travel)/grain)),
		Asymmetry:  max(0, 1-float64(0.0032*quotient(l.Angle))),
		Frequency:  quotient(l.Frequency),
		Coupling:   1,
	}
	switch {
	case l.Coupling == "poor":
		m.Coupling = 0.90
	case l.Coupling == "fair" && vertical < height:
		m.Coupling = 0.95
	}
	return m
}

func quotient(r unit.Ratio) float64 { return float64(r.Num()) / float64(r.Den()) }

// LiftLimit is the recommended weight limit of a lift. Errors: unit.ErrOverflow.
func LiftLimit(l *catalog.Lift, metric bool) (unit.Mass, error) {
	load := 51 * unit.Pound
	if metric {
		load = 23 * unit.Kilogram
	}
	m := MultipliersOf(l, metric)
	limit := float64(load)
	for _, by := range []float64{m.Horizontal, m.Vertical, m.Distance, m.Asymmetry, m.Frequency, m.Coupling} {
		limit = float64(limit * by)
	}
	return unit.MassFromFloat(limit)
}

// liftPart reckons the lift index of one piece of a part with all below it.
func (r *reckoning) liftPart(p *catalog.Part, each int) {
	if p.Lift == "" || len(r.findings) > 0 {
		return
	}
	var sum unit.Mass
	for _, w := range r.weights {
		if within(w.path, p.Path) {
			sum += w.mass
		}
	}
	var x exact
	one := x.ratio(int64(sum), 1, int64(each))
	if r.settled(p.Path, &x) && one > 0 {
		r.lift(p.Path, p.Lift, unit.Mass(one))
	}
}

// lift reckons a lift index, and tells whether it is over 1.
func (r *reckoning) lift(path, code string, weight unit.Mass) (over bool) {
	l, _ := r.cat.Lifts.Get(code) // Read made sure of it
	var x exact
	limit, err := LiftLimit(l, r.units == Metric)
	x.keep(err)
	if limit <= 0 {
		r.refuse("lift.none", path, "the lifting equation leaves nothing that may be lifted %s: bring it nearer, or let the catalog name another lift", l.Name)
		return false
	}
	hundredths, err := unit.MulDivRound(int64(weight), 100, int64(limit), unit.Up)
	x.keep(err)
	if !r.settled(path, &x) {
		return false
	}
	row := LiftRow{Path: path + "/lift", of: path, Lift: l.Name, Weight: Weight(weight), Limit: Weight(limit), Index: string(unit.AppendDecimal(nil, hundredths, 100, 2)), over: hundredths}
	r.bill.Lifts = append(r.bill.Lifts, row)
	if r.trace {
		m := MultipliersOf(l, r.units == Metric)
		load := Weight(51 * unit.Pound)
		if r.units == Metric {
			load = Weight(23 * unit.Kilogram)
		}
		r.note(row.Path, "recommended lift", "%s x HM %.4g x VM %.4g x DM %.4g x AM %.4g x FM %.4g x CM %.4g = %s", load, m.Horizontal, m.Vertical, m.Distance, m.Asymmetry, m.Frequency, m.Coupling, row.Limit)
		r.note(row.Path, "lift index", "%s / %s, rounded up = %s", row.Weight, row.Limit, row.Index)
	}
	return hundredths > 100
}
