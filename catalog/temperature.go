package catalog

import (
	"fmt"
	"strings"

	"billwright/catalog/unit"
)

// Temperature is exact, in degrees Celsius. The scale is always written: steel
// that is worked at 1200 C is cold at 1200 F.
type Temperature struct{ celsius unit.Ratio }

// UnmarshalText reads "1200 C" or "2192 F".
func (t *Temperature) UnmarshalText(text []byte) error {
	number, scale, _ := strings.Cut(strings.TrimSpace(string(text)), " ")
	value, err := unit.ParseRatio(number)
	scale = strings.TrimPrefix(strings.TrimSpace(scale), "°")
	if err != nil || scale != "C" && scale != "F" {
		return fmt.Errorf("%q is not a temperature: write a number, a space and its scale, such as 1200 C or 2192 F", text)
	}
	if scale == "F" {
		if value, err = fromFahrenheit(value); err != nil {
			return err
		}
	}
	t.celsius = value
	return nil
}

// fromFahrenheit is (F - 32)·5/9.
func fromFahrenheit(f unit.Ratio) (unit.Ratio, error) {
	above, err := f.Sub(unit.RatioOf(32))
	if err != nil {
		return above, err
	}
	if above, err = above.Mul(unit.RatioOf(5)); err != nil {
		return above, err
	}
	return above.Div(unit.RatioOf(9))
}

// Celsius is the temperature to the nearest whole degree.
func (t Temperature) Celsius() int64 {
	n, _ := t.celsius.Round(unit.Nearest)
	return n
}

// Fahrenheit is the temperature to the nearest whole degree: C·9/5 + 32.
func (t Temperature) Fahrenheit() int64 {
	n, err := unit.MulDivRound(t.celsius.Num(), 9, t.celsius.Den()*5, unit.Nearest)
	if err != nil {
		return 0
	}
	return n + 32
}

// String writes "1200 C".
func (t Temperature) String() string { return fmt.Sprintf("%d C", t.Celsius()) }

// The range in which plain carbon steel is forged: from the lower end of the
// handbook's forging range, 1600 F (F-20), to its white heat, 2400 F (F-24).
const (
	coldestForging = 1600
	hottestForging = 2400
)

// heat faults a temperature at which steel is not forged.
func (s spot) heat(t *Temperature) {
	if t == nil || s.unread() {
		return
	}
	f := t.Fahrenheit()
	switch {
	case f < coldestForging:
		s.fault(fmt.Sprintf("%s is %d F, below the forging range, which begins at %d F", t, f, coldestForging),
			"1200 C is usual; was the scale mistaken?")
	case f > hottestForging:
		s.fault(fmt.Sprintf("%s is %d F, above white heat at %d F, where steel burns", t, f, hottestForging), "1200 C is usual")
	}
}
