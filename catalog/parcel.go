package catalog

import (
	"billwright/catalog/calendar"
	"billwright/catalog/source"
	"billwright/catalog/unit"
)

// Parcel is a carrier's terms for parcels.
type Parcel struct {
	Code     string       `yaml:"-"`
	Name     string       `yaml:"name,required" doc:"Name as printed."`
	Heaviest unit.Mass    `yaml:"heaviest,required" doc:"Heaviest gross weight of a parcel."`
	Longest  unit.Length  `yaml:"longest,required" doc:"Longest side of a parcel."`
	Girth    unit.Length  `yaml:"length_and_girth,required" doc:"Most of the longest side and the girth together, the girth being twice the two other sides together."`
	Rules    []ParcelRule `yaml:"rules,required" doc:"How sides and weights are taken, each from a day on, from the oldest. The day that the order counts for picks the rule; an order before the first goes by the first."`
	Source   string       `yaml:"source,required" doc:"Where the limits are published."`
	Pos      source.Pos   `yaml:"-"`
}

// ParcelRule is how a carrier reckons what a parcel is billed as.
type ParcelRule struct {
	From    calendar.Date `yaml:"from,required" doc:"First day on which the rule holds."`
	Divisor Divisor       `yaml:"divisor,required" doc:"Volume that counts for a unit of weight, such as 139 in3/lb or 5000 cm3/kg: the dimensional weight is the product of the rounded sides over it."`
	Sides   Rounding      `yaml:"sides,required" doc:"How each outside side is rounded before anything is reckoned from it, such as {mode: up, to: 1 in}."`
	Weights unit.Mass     `yaml:"weights_to,required" doc:"Step that the gross and the dimensional weight are rounded up to, such as 1 lb; the greater is billed."`
	Source  string        `yaml:"source,required" doc:"Where the rule is published."`
}

// On is the rule that holds on a day.
func (p *Parcel) On(day calendar.Date) *ParcelRule {
	rule := &p.Rules[0]
	for i := range p.Rules {
		if !day.Before(p.Rules[i].From) {
			rule = &p.Rules[i]
		}
	}
	return rule
}

// Divisor is the volume that counts for a weight, exact, in nanolitres by
// microgram.
type Divisor struct{ perMass unit.Ratio }

var divisorUnits = map[string][2]int64{
	"in3/lb": {int64(unit.CubicInch), int64(unit.Pound)},
	"cm3/kg": {int64(unit.Millilitre), int64(unit.Kilogram)},
}

// UnmarshalText reads "139 in3/lb" or "5000 cm3/kg".
func (d *Divisor) UnmarshalText(text []byte) error {
	r, err := ratioWithUnit(string(text), "divisor", divisorUnits, "in3/lb or cm3/kg")
	if err == nil {
		d.perMass = r
	}
	return err
}

// String writes the divisor as Density.String does a density.
func (d Divisor) String() string { return textWithUnit(d.perMass, divisorUnits, "in3/lb", "cm3/kg") }

// Mass is the weight that a volume counts for, rounded up to the microgram.
func (d Divisor) Mass(v unit.Volume) (unit.Mass, error) {
	n, err := unit.MulDivRound(int64(v), d.perMass.Den(), d.perMass.Num(), unit.Up)
	return unit.Mass(n), err
}
