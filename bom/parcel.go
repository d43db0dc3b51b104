package bom

import (
	"fmt"
	"slices"

	"billwright/catalog"
	"billwright/catalog/unit"
)

// Parcels.
//
//	sides        = each outside side, rounded as the carrier's rule of the day says
//	dimensional  = product of the rounded sides / divisor
//	billed       = the greater of gross and dimensional weight, both rounded up
//	length and girth = longest side + 2 · (the two others)
//
// A carton goes as a parcel only within the carrier's weight, longest side and
// length and girth, these by the rounded sides.
//
// Worked: 11.1 x 8.5 x 6.2 in, sides up: 12 x 9 x 7 = 756 in3, / 139 = 5.44, 6 lb
// (check K-15); to the nearest inch 11 x 9 x 6 = 594, / 139 = 4.27, 5 lb (K-16).

// ParcelRow is what a carton is billed as when it goes as a parcel.
type ParcelRow struct {
	Terms       string      `json:"terms"`
	RuleFrom    string      `json:"rule_from"`
	Length      unit.Length `json:"length"`
	Width       unit.Length `json:"width"`
	Height      unit.Length `json:"height"`
	Girth       unit.Length `json:"length_and_girth"`
	Dimensional Weight      `json:"dimensional_weight"`
	Billed      Weight      `json:"billed_weight"`
}

// RoundedSides are outside sides as a parcel rule rounds them.
func RoundedSides(outside [3]unit.Length, rule *catalog.ParcelRule) (sides [3]unit.Length, err error) {
	by, err := rule.Sides.Rounding()
	for i := range outside {
		if err == nil {
			sides[i], err = by.Round(outside[i])
		}
	}
	return sides, err
}

// DimensionalWeight is what the volume of rounded sides counts for, rounded up
// as the rule says. Errors: unit.ErrOverflow.
func DimensionalWeight(sides [3]unit.Length, rule *catalog.ParcelRule) (Weight, error) {
	var x exact
	volume := x.volume(x.area(sides[0], sides[1]), sides[2])
	if x.err != nil {
		return 0, x.err
	}
	mass, err := rule.Divisor.Mass(volume)
	if err != nil {
		return 0, err
	}
	return upTo(mass, rule.Weights)
}

// upTo rounds a weight up to a multiple of a step.
func upTo(mass, step unit.Mass) (Weight, error) {
	steps, err := unit.DivRound(int64(mass), int64(step), unit.Up)
	if err != nil {
		return 0, err
	}
	rounded, err := step.Mul(steps)
	return Weight(rounded), err
}

// lengthAndGirth is the longest side and twice the two others.
func lengthAndGirth(sides [3]unit.Length) (longest, girth unit.Length) {
	longest = slices.Max(sides[:])
	return longest, 2*(sides[0]+sides[1]+sides[2]) - longest
}

// parcel reckons a carton as a parcel. Over tells, in words, which limit it is
// beyond; it is empty for one that may go.
func (r *reckoning) parcel(row *CartonRow, made *box, terms *catalog.Parcel) (parcel *ParcelRow, over string, ok bool) {
	rule := terms.On(r.line.Config.Day())
	var x exact
	sides, err := RoundedSides(made.outside, rule)
	x.keep(err)
	dimensional, err := DimensionalWeight(sides, rule)
	x.keep(err)
	actual, err := upTo(made.gross, rule.Weights)
	x.keep(err)
	if !r.settled(row.Path, &x) {
		return nil, "", false
	}
	longest, girth := lengthAndGirth(sides)
	parcel = &ParcelRow{Terms: terms.Name, RuleFrom: rule.From.String(), Length: sides[0], Width: sides[1], Height: sides[2],
		Girth: girth, Dimensional: dimensional, Billed: max(actual, dimensional)}
	switch {
	case made.gross > terms.Heaviest:
		over = fmt.Sprintf("%s gross is over the %s of a parcel", row.Gross.In(r.units), Weight(terms.Heaviest).In(r.units))
	case longest > terms.Longest:
		over = fmt.Sprintf("%s is over the %s of a parcel's longest side", r.units.Length(longest), r.units.Length(terms.Longest))
	case girth > terms.Girth:
		over = fmt.Sprintf("length and girth of %s are over the %s of a parcel", r.units.Length(girth), r.units.Length(terms.Girth))
	}
	return parcel, over, true
}

func (r *reckoning) noteParcel(path string, p *ParcelRow, made *box, gross Weight) {
	if !r.trace {
		return
	}
	r.note(path, "parcel sides", "%s x %s x %s, rounded by the rule of %s = %s x %s x %s", made.outside[0], made.outside[1], made.outside[2], p.RuleFrom, p.Length, p.Width, p.Height)
	r.note(path, "dimensional weight", "%s x %s x %s / divisor = %s", p.Length, p.Width, p.Height, p.Dimensional)
	r.note(path, "billed weight", "the greater of %s and %s, rounded up = %s", gross, p.Dimensional, p.Billed)
}
