package bom

import (
	"fmt"
	"strings"

	"billwright/catalog/unit"
)

// The quantities of a bill row are exact inside and are written as the trade
// writes them, with the unit, to two decimals. Exact amounts to buy stand in
// Material.

// Pounds is a mass written in pounds.
type Pounds unit.Mass

// BoardFeet is a volume of lumber written in board feet (144 in3).
type BoardFeet unit.Volume

// SquareFeet is an area written in square feet.
type SquareFeet unit.Area

// Yards is a length of cloth written in yards.
type Yards unit.Length

// Gallons is a volume of liquid written in US gallons.
type Gallons unit.Volume

// Minutes is work time in tenths of a minute.
type Minutes int64

// MarshalText writes "12.50 lb".
func (m Pounds) MarshalText() ([]byte, error) { return []byte(m.String()), nil }
func (m Pounds) String() string               { return unit.Mass(m).Pounds(2) + " lb" }

// UnmarshalText reads what MarshalText wrote.
func (m *Pounds) UnmarshalText(text []byte) error {
	mass, err := unit.ParseMass(string(text))
	*m = Pounds(mass)
	return err
}

// MarshalText writes "11.67 bf".
func (v BoardFeet) MarshalText() ([]byte, error) { return []byte(v.String()), nil }
func (v BoardFeet) String() string               { return unit.Volume(v).BoardFeet(2) + " bf" }

// UnmarshalText reads what MarshalText wrote.
func (v *BoardFeet) UnmarshalText(text []byte) error {
	n, err := unscale(text, "bf", int64(unit.BoardFoot))
	*v = BoardFeet(n)
	return err
}

// MarshalText writes "9.87 ft2".
func (a SquareFeet) MarshalText() ([]byte, error) { return []byte(a.String()), nil }
func (a SquareFeet) String() string               { return unit.Area(a).SquareFeet(2) + " ft2" }

// UnmarshalText reads what MarshalText wrote.
func (a *SquareFeet) UnmarshalText(text []byte) error {
	n, err := unscale(text, "ft2", int64(unit.SquareFoot))
	*a = SquareFeet(n)
	return err
}

// MarshalText writes "2.25 yd".
func (l Yards) MarshalText() ([]byte, error) { return []byte(l.String()), nil }
func (l Yards) String() string               { return unit.Length(l).Yards(2) + " yd" }

// UnmarshalText reads what MarshalText wrote.
func (l *Yards) UnmarshalText(text []byte) error {
	n, err := unscale(text, "yd", int64(unit.Yard))
	*l = Yards(n)
	return err
}

// MarshalText writes "0.31 gal".
func (v Gallons) MarshalText() ([]byte, error) { return []byte(v.String()), nil }
func (v Gallons) String() string               { return unit.Volume(v).Gallons(2) + " gal" }

// UnmarshalText reads what MarshalText wrote.
func (v *Gallons) UnmarshalText(text []byte) error {
	n, err := unscale(text, "gal", int64(unit.Gallon))
	*v = Gallons(n)
	return err
}

// MarshalText writes "7.5 min".
func (m Minutes) MarshalText() ([]byte, error) { return []byte(m.String()), nil }
func (m Minutes) String() string               { return fmt.Sprintf("%d.%d min", m/10, m%10) }

// UnmarshalText reads what MarshalText wrote.
func (m *Minutes) UnmarshalText(text []byte) error {
	n, err := unscale(text, "min", 10)
	*m = Minutes(n)
	return err
}

func unscale(text []byte, name string, grain int64) (int64, error) {
	number, found := strings.CutSuffix(string(text), " "+name)
	if !found {
		return 0, fmt.Errorf("%q: expected a number and %q", text, name)
	}
	r, err := unit.ParseRatio(number)
	if err != nil {
		return 0, err
	}
	return unit.MulDivRound(grain, r.Num(), r.Den(), unit.Nearest)
}

// Measure tells what an amount to buy is counted in, always in the grain of the
// unit package: pieces, nm, um2, nl or ug.
type Measure string

// The measures.
const (
	Each   Measure = "each"
	Length Measure = "length"
	Area   Measure = "area"
	Volume Measure = "volume"
	Mass   Measure = "mass"
)
