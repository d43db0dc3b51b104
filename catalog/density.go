package catalog

import (
	"fmt"
	"strings"

	"billwright/catalog/unit"
)

// Density is a mass by volume, exact, in micrograms by nanolitre (which is
// grams by millilitre).
type Density struct{ perVolume unit.Ratio }

// densityUnits are micrograms and nanolitres of one unit of text.
var densityUnits = map[string][2]int64{
	"lb/ft3": {int64(unit.Pound), int64(unit.CubicFoot)},
	"lb/in3": {int64(unit.Pound), int64(unit.CubicInch)},
	"kg/m3":  {1, 1000},
	"g/cm3":  {1, 1},
}

// UnmarshalText reads "490 lb/ft3", "0.2833 lb/in3", "7850 kg/m3" or
// "7.85 g/cm3".
func (d *Density) UnmarshalText(text []byte) error {
	r, err := ratioWithUnit(string(text), "density", densityUnits, "lb/ft3, lb/in3, kg/m3 or g/cm3")
	if err != nil {
		return err
	}
	d.perVolume = r
	return nil
}

// Ratio is the density in micrograms by nanolitre.
func (d Density) Ratio() unit.Ratio { return d.perVolume }

// Mass is the mass of a volume, rounded to the nearest microgram.
func (d Density) Mass(v unit.Volume) (unit.Mass, error) {
	n, err := unit.MulDivRound(int64(v), d.perVolume.Num(), d.perVolume.Den(), unit.Nearest)
	return unit.Mass(n), err
}

// LinearMass is a mass by length, exact, in micrograms by nanometre.
type LinearMass struct{ perLength unit.Ratio }

var linearUnits = map[string][2]int64{
	"lb/ft": {int64(unit.Pound), int64(unit.Foot)},
	"lb/in": {int64(unit.Pound), int64(unit.Inch)},
	"kg/m":  {1, 1},
}

// UnmarshalText reads "1.5995 lb/ft" or "2.38 kg/m".
func (m *LinearMass) UnmarshalText(text []byte) error {
	r, err := ratioWithUnit(string(text), "weight by length", linearUnits, "lb/ft, lb/in or kg/m")
	if err != nil {
		return err
	}
	m.perLength = r
	return nil
}

// Mass is the mass of a length, rounded to the nearest microgram.
func (m LinearMass) Mass(l unit.Length) (unit.Mass, error) {
	n, err := unit.MulDivRound(int64(l), m.perLength.Num(), m.perLength.Den(), unit.Nearest)
	return unit.Mass(n), err
}

// AreaMass is a mass by area, exact, in micrograms by square micrometre.
type AreaMass struct{ perArea unit.Ratio }

var areaUnits = map[string][2]int64{
	"lb/ft2": {int64(unit.Pound), int64(unit.SquareFoot)},
	"g/m2":   {1_000_000, int64(unit.SquareMetre)},
	"kg/m2":  {1_000_000_000, int64(unit.SquareMetre)},
}

// UnmarshalText reads "0.14 lb/ft2", "700 g/m2" or "0.7 kg/m2".
func (m *AreaMass) UnmarshalText(text []byte) error {
	r, err := ratioWithUnit(string(text), "weight by area", areaUnits, "lb/ft2, g/m2 or kg/m2")
	if err != nil {
		return err
	}
	m.perArea = r
	return nil
}

// Mass is the mass of an area, rounded to the nearest microgram.
func (m AreaMass) Mass(a unit.Area) (unit.Mass, error) {
	n, err := unit.MulDivRound(int64(a), m.perArea.Num(), m.perArea.Den(), unit.Nearest)
	return unit.Mass(n), err
}

func ratioWithUnit(text, what string, units map[string][2]int64, known string) (unit.Ratio, error) {
	number, name, found := strings.Cut(strings.TrimSpace(text), " ")
	per, ok := units[strings.TrimSpace(name)]
	if !found || !ok {
		return unit.Ratio{}, fmt.Errorf("%q is not a %s: write a number, a space and one of %s", text, what, known)
	}
	value, err := unit.ParseRatio(number)
	if err != nil {
		return unit.Ratio{}, err
	}
	if value.Sign() <= 0 {
		return unit.Ratio{}, fmt.Errorf("%q: a %s is more than zero", text, what)
	}
	factor, err := unit.NewRatio(per[0], per[1])
	if err != nil {
		return unit.Ratio{}, err
	}
	return value.Mul(factor)
}

// String writes the density in the unit in which it comes out finite, pounds by
// cubic foot before kilograms by cubic metre.
func (d Density) String() string { return textWithUnit(d.perVolume, densityUnits, "lb/ft3", "kg/m3") }

// String writes the mass by length as Density.String does a density.
func (m LinearMass) String() string { return textWithUnit(m.perLength, linearUnits, "lb/ft", "kg/m") }

// String writes the mass by area as Density.String does a density.
func (m AreaMass) String() string { return textWithUnit(m.perArea, areaUnits, "lb/ft2", "kg/m2") }

// textWithUnit writes a ratio in the first of the named units in which it has
// finitely many decimals, else as a fraction of the first.
func textWithUnit(r unit.Ratio, units map[string][2]int64, names ...string) string {
	fraction := ""
	for _, name := range names {
		one, err := unit.NewRatio(units[name][1], units[name][0])
		if err != nil {
			continue
		}
		in, err := r.Mul(one)
		if err != nil {
			continue
		}
		if text, finite := in.Decimal(); finite {
			return text + " " + name
		}
		if fraction == "" {
			fraction = in.String() + " " + name
		}
	}
	return fraction
}
