package catalog

import (
	"fmt"
	"strings"

	"billwright/catalog/unit"
)

// Degrees is an angle in half degrees, the finest that a saw stop or a bending
// jig is set to here: 45 degrees are 90.
type Degrees int

// UnmarshalText reads "45", "22.5", "22 1/2" or "-90".
func (d *Degrees) UnmarshalText(text []byte) error {
	angle, err := unit.ParseRatio(strings.TrimSpace(string(text)))
	if err != nil {
		return fmt.Errorf("%q is not an angle: write degrees as a number alone, such as 45 or 22.5", text)
	}
	halves, err := angle.Mul(unit.RatioOf(2))
	if err != nil || halves.Den() != 1 || halves.Num() < -farAngle || halves.Num() > farAngle {
		return fmt.Errorf("%q is not an angle that is taken: write whole or half degrees, such as 45 or 22.5", text)
	}
	*d = Degrees(halves.Num())
	return nil
}

// Float is the angle in degrees; a half degree has an exact float64.
func (d Degrees) Float() float64 { return float64(d) / 2 }

// String writes "45" or "22.5".
func (d Degrees) String() string { return fmt.Sprint(d.Float()) }

// farAngle keeps what nobody bends to from overflowing; what may be bent is
// checked where it is.
const farAngle = 1_000_000

// deg is an angle of whole degrees.
const deg Degrees = 2
