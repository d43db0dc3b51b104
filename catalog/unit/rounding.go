package unit

import (
	"fmt"
	"math"
	"math/bits"
)

// Mode is a direction of rounding. The zero value is Down.
type Mode uint8

const (
	// Down rounds towards minus infinity: 2.9 to 2, -2.1 to -3.
	Down Mode = iota
	// Up rounds towards plus infinity: 2.1 to 3, -2.9 to -2.
	Up
	// Nearest rounds to the nearest, halves away from zero: 2.5 to 3, -2.5 to -3.
	Nearest
)

var modeNames = [...]string{Down: "down", Up: "up", Nearest: "nearest"}

// String gives "down", "up" or "nearest".
func (m Mode) String() string {
	if int(m) < len(modeNames) {
		return modeNames[m]
	}
	return fmt.Sprintf("Mode(%d)", uint8(m))
}

// ParseMode reads "down", "up" or "nearest", in lower case; anything else is a
// *ParseError of kind ErrMode.
func ParseMode(s string) (Mode, error) {
	for m, name := range modeNames {
		if s == name {
			return Mode(m), nil
		}
	}
	return 0, &ParseError{Text: cut(s), Reason: "not a rounding mode", Hint: "write up, down or nearest", Kind: ErrMode}
}

// MarshalText gives the mode's name; an unknown mode is ErrMode.
func (m Mode) MarshalText() ([]byte, error) {
	if int(m) >= len(modeNames) {
		return nil, ErrMode
	}
	return []byte(modeNames[m]), nil
}

// UnmarshalText reads what ParseMode reads.
func (m *Mode) UnmarshalText(text []byte) error {
	v, err := ParseMode(string(text))
	if err == nil {
		*m = v
	}
	return err
}

// Rounding is a rounding of lengths to a step, for example up to 1/32 in.
// To must be greater than zero.
type Rounding struct {
	Mode Mode   `json:"mode"`
	To   Length `json:"to"`
}

// Check refuses a step of zero or less (ErrStep) and an unknown mode (ErrMode).
func (r Rounding) Check() error {
	if r.To <= 0 {
		return fmt.Errorf("%w, not %v", ErrStep, r.To)
	}
	if int(r.Mode) >= len(modeNames) {
		return ErrMode
	}
	return nil
}

// Round gives the whole multiple of To that Mode picks for l. A length already
// on the step is returned unchanged. Errors: ErrStep, ErrMode, and ErrOverflow
// when the multiple lies outside the range of Length.
func (r Rounding) Round(l Length) (Length, error) {
	if err := r.Check(); err != nil {
		return 0, err
	}
	n, err := DivRound(int64(l), int64(r.To), r.Mode)
	if err != nil {
		return 0, err
	}
	return r.To.Mul(n)
}

// String gives "up to 1/32 in".
func (r Rounding) String() string { return r.Mode.String() + " to " + r.To.String() }

// DivRound gives num/den rounded to a whole number by m. Errors:
// ErrDivideByZero, ErrOverflow (only for the smallest int64 over -1), ErrMode.
func DivRound(num, den int64, m Mode) (int64, error) { return MulDivRound(num, 1, den, m) }

// MulDivRound gives a*b/den, the product kept whole in 128 bits, rounded once
// by m. Errors: ErrDivideByZero, ErrOverflow, ErrMode.
func MulDivRound(a, b, den int64, m Mode) (int64, error) {
	if int(m) >= len(modeNames) {
		return 0, ErrMode
	}
	q, rem, neg, err := mulDiv(a, b, den)
	if err != nil {
		return 0, err
	}
	if rem != 0 && away(m, neg, rem, magnitude(den)) {
		if q++; q == 0 {
			return 0, ErrOverflow
		}
	}
	return signed(q, neg)
}

// away reports whether a quotient with remainder rem moves away from zero.
func away(m Mode, neg bool, rem, den uint64) bool {
	switch m {
	case Up:
		return !neg
	case Down:
		return neg
	}
	return rem >= den-rem
}

// mulDiv gives |a*b/den| as quotient and remainder, and the sign of the exact
// result.
func mulDiv(a, b, den int64) (q, rem uint64, neg bool, err error) {
	if den == 0 {
		return 0, 0, false, ErrDivideByZero
	}
	hi, lo := bits.Mul64(magnitude(a), magnitude(b))
	d := magnitude(den)
	if hi >= d {
		return 0, 0, false, ErrOverflow
	}
	q, rem = bits.Div64(hi, lo, d)
	neg = (a < 0) != (b < 0) != (den < 0)
	return q, rem, neg, nil
}

// magnitude is |v|, right also for the smallest int64.
func magnitude(v int64) uint64 {
	if v < 0 {
		return -uint64(v)
	}
	return uint64(v)
}

// signed gives the magnitude its sign back.
func signed(mag uint64, neg bool) (int64, error) {
	switch {
	case neg && mag <= 1<<63:
		return int64(-mag), nil
	case !neg && mag <= math.MaxInt64:
		return int64(mag), nil
	}
	return 0, ErrOverflow
}

// RatioFromFloat is the ratio nearest to a float, halves away from zero, among
// those over the given denominator, from 1.
func RatioFromFloat(f float64, den int64) (Ratio, error) {
	num, err := fromFloat[Length](float64(f * float64(den)))
	if err != nil {
		return Ratio{}, err
	}
	return NewRatio(int64(num), den)
}

// fromFloat rounds half away from zero, once; NaN and infinities are
// ErrNotFinite, values outside int64 ErrOverflow.
func fromFloat[Q ~int64](f float64) (Q, error) {
	if math.IsNaN(f) || math.IsInf(f, 0) {
		return 0, ErrNotFinite
	}
	r := math.Round(f)
	if r < -1<<63 || r >= 1<<63 {
		return 0, ErrOverflow
	}
	return Q(r), nil
}

func add[Q ~int64](a, b Q) (Q, error) {
	s := a + b
	if (s > a) != (b > 0) && b != 0 {
		return 0, ErrOverflow
	}
	return s, nil
}

func sub[Q ~int64](a, b Q) (Q, error) {
	d := a - b
	if (d < a) != (b > 0) && b != 0 {
		return 0, ErrOverflow
	}
	return d, nil
}

func scale[Q ~int64](q Q, r Ratio, m Mode) (Q, error) {
	v, err := MulDivRound(int64(q), r.Num(), r.Den(), m)
	return Q(v), err
}
