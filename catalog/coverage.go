package catalog

import (
	"fmt"
	"math"
	"strings"

	"billwright/catalog/unit"
)

// Coverage is what one coat goes over as a data sheet prints it, exact: an area
// by volume of a liquid, or by mass of a powder. It is kept as the amount for an
// area, in nanolitres or micrograms by square micrometre.
type Coverage struct {
	amount unit.Ratio
	powder bool
	text   string
}

// coverageUnits are the grains of amount and area of one unit of text; those
// that are written as an amount by area are marked.
var coverageUnits = map[string]struct {
	amount, area   int64
	powder, byArea bool
}{
	"ft2/gal": {int64(unit.Gallon), int64(unit.SquareFoot), false, false},
	"m2/L":    {int64(unit.Litre), int64(unit.SquareMetre), false, false},
	"ft2/lb":  {int64(unit.Pound), int64(unit.SquareFoot), true, false},
	"m2/kg":   {int64(unit.Kilogram), int64(unit.SquareMetre), true, false},
	"lb/ft2":  {int64(unit.Pound), int64(unit.SquareFoot), true, true},
	"g/m2":    {int64(unit.Kilogram) / 1000, int64(unit.SquareMetre), true, true},
}

// UnmarshalText reads "400 ft2/gal" or "10 m2/L" of a liquid, and "60 ft2/lb",
// "12 m2/kg", "0.02 lb/ft2" or "90 g/m2" of a powder.
func (c *Coverage) UnmarshalText(text []byte) error {
	number, name, found := strings.Cut(strings.TrimSpace(string(text)), " ")
	per, ok := coverageUnits[strings.TrimSpace(name)]
	if !found || !ok {
		return fmt.Errorf("%q is not a coverage: write a number, a space and one of ft2/gal, m2/L for a liquid, or ft2/lb, m2/kg, lb/ft2, g/m2 for a powder", text)
	}
	value, err := unit.ParseRatio(number)
	if err != nil {
		return err
	}
	if value.Sign() <= 0 {
		return fmt.Errorf("%q: a coverage is more than zero", text)
	}
	one, err := unit.NewRatio(per.amount, per.area)
	if err != nil {
		return err
	}
	amount, err := value.Mul(one)
	if !per.byArea {
		amount, err = one.Div(value)
	}
	if err != nil {
		return err
	}
	*c = Coverage{amount: amount, powder: per.powder, text: strings.TrimSpace(string(text))}
	return nil
}

// Powder tells that it is of a powder.
func (c Coverage) Powder() bool { return c.powder }

// Amount is what an area takes where all of it reaches the work, in nanolitres
// or micrograms by square micrometre.
func (c Coverage) Amount() unit.Ratio { return c.amount }

// String is the coverage as written.
func (c Coverage) String() string { return c.text }

// sized writes an amount for an area as a coverage of the same unit, to four
// significant digits, never better than it is.
func (c Coverage) sized(amount unit.Ratio) string {
	_, name, _ := strings.Cut(c.text, " ")
	name = strings.TrimSpace(name)
	per := coverageUnits[name]
	value := float64(amount.Num()) / float64(amount.Den()) * float64(per.area) / float64(per.amount)
	toward := math.Ceil
	if !per.byArea {
		value, toward = 1/value, math.Floor
	}
	digit := math.Pow10(3 - int(math.Floor(math.Log10(value))))
	return fmt.Sprintf("%.4g %s", toward(value*digit)/digit, name)
}
