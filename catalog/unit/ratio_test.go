package unit_test

import (
	"errors"
	"math"
	"math/big"
	"testing"

	"billwright/catalog/unit"
	"pgregory.net/rapid"
)

func TestParseRatio(t *testing.T) {
	for _, c := range []struct{ text, want, decimal string }{
		{"3", "3", "3"},
		{"0", "0", "0"},
		{"-0", "0", "0"},
		{"0.70", "7/10", "0.7"},
		{"70 %", "7/10", "0.7"},
		{"70%", "7/10", "0.7"},
		{"12.5 %", "1/8", "0.125"},
		{"1/8", "1/8", "0.125"},
		{"2 1/2", "5/2", "2.5"},
		{"2-1/2", "5/2", "2.5"},
		{"2½", "5/2", "2.5"},
		{"-2 1/2", "-5/2", "-2.5"},
		{"-1/3", "-1/3", ""},
		{"6/4", "3/2", "1.5"},
		{"1/3", "1/3", ""},
		{"0.000000000000000001", "1/1000000000000000000", "0.000000000000000001"},
		{"-9223372036854775808", "-9223372036854775808", "-9223372036854775808"},
	} {
		r, err := unit.ParseRatio(c.text)
		if err != nil {
			t.Errorf("%q: %v", c.text, err)
			continue
		}
		decimal, finite := r.Decimal()
		if r.String() != c.want || decimal != c.decimal || finite != (c.decimal != "") {
			t.Errorf("%q = %v = %q (finite %v), want %s = %q", c.text, r, decimal, finite, c.want, c.decimal)
		}
	}
}

func TestParseRatioRefuses(t *testing.T) {
	for text, kind := range map[string]error{
		"": nil, "x": nil, "1/": nil, "1/0": unit.ErrDivideByZero, "0,7": nil, "3 in": nil, "1 2": nil, "--1": nil, "-": nil, "- ": nil, "%": nil,
		"70 % off": nil, "9223372036854775808": unit.ErrOverflow, "1/1000000000000000000 %": unit.ErrOverflow,
		"1/-2": nil, "1e3": nil, "0x1": nil,
	} {
		r, err := unit.ParseRatio(text)
		var refusal *unit.ParseError
		if !errors.As(err, &refusal) || refusal.Kind != kind || refusal.Text != text || r != (unit.Ratio{}) {
			t.Errorf("%q = %v, %v; want a refusal of kind %v", text, r, err, kind)
		}
	}
}

func TestACommaInARatioIsToldAsAPoint(t *testing.T) {
	for text, hint := range map[string]string{
		"0,0025": "write 0.0025", "1,6": "write 1.6", "-2,5": "write -2.5", "70,5 %": "write 70.5 %", ",5": "write 0.5", "0,125": "write 0.125",
		"1,900": "write 1.900, or 1900 for thousands",
	} {
		_, err := unit.ParseRatio(text)
		var refusal *unit.ParseError
		if !errors.As(err, &refusal) || refusal.Hint != hint {
			t.Errorf("%q: %v, want the hint %q", text, err, hint)
		}
	}
}

func TestRatioZeroValue(t *testing.T) {
	var zero unit.Ratio
	if zero.Num() != 0 || zero.Den() != 1 || zero.Sign() != 0 || zero.String() != "0" {
		t.Errorf("the zero Ratio is %d/%d, %q", zero.Num(), zero.Den(), zero)
	}
	half := must(unit.NewRatio(1, 2))
	for what, r := range map[string]unit.Ratio{
		"0/7":       must(unit.NewRatio(0, 7)),
		"RatioOf 0": unit.RatioOf(0),
		"1/2 - 1/2": must(half.Sub(half)),
		"1/2 * 0":   must(half.Mul(zero)),
		"0 / 1/2":   must(zero.Div(half)),
		"-0":        must(zero.Neg()),
	} {
		if r != zero || r.Cmp(zero) != 0 {
			t.Errorf("%s is %#v, not the zero value", what, r)
		}
	}
	if sum := must(zero.Add(half)); sum != half {
		t.Errorf("0 + 1/2 = %v", sum)
	}
}

func TestRatioErrors(t *testing.T) {
	largest, one, half := unit.RatioOf(math.MaxInt64), unit.RatioOf(1), must(unit.NewRatio(1, 2))
	smallest := unit.RatioOf(math.MinInt64)
	for what, c := range map[string]struct {
		f    func() (unit.Ratio, error)
		want error
	}{
		"1/0":                 {func() (unit.Ratio, error) { return unit.NewRatio(1, 0) }, unit.ErrDivideByZero},
		"1/smallest":          {func() (unit.Ratio, error) { return unit.NewRatio(1, math.MinInt64) }, unit.ErrOverflow},
		"smallest/-1":         {func() (unit.Ratio, error) { return unit.NewRatio(math.MinInt64, -1) }, unit.ErrOverflow},
		"1 / 0":               {func() (unit.Ratio, error) { return one.Div(unit.Ratio{}) }, unit.ErrDivideByZero},
		"largest + 1":         {func() (unit.Ratio, error) { return largest.Add(one) }, unit.ErrOverflow},
		"largest + 1/2":       {func() (unit.Ratio, error) { return largest.Add(half) }, unit.ErrOverflow},
		"smallest - 1":        {func() (unit.Ratio, error) { return smallest.Sub(one) }, unit.ErrOverflow},
		"-smallest":           {func() (unit.Ratio, error) { return smallest.Neg() }, unit.ErrOverflow},
		"largest * 3/2":       {func() (unit.Ratio, error) { return largest.Mul(must(unit.NewRatio(3, 2))) }, unit.ErrOverflow},
		"1/2 / largest":       {func() (unit.Ratio, error) { return half.Div(largest) }, unit.ErrOverflow},
		"2^62 * 2^62 (whole)": {func() (unit.Ratio, error) { return unit.RatioOf(1 << 62).Mul(unit.RatioOf(1 << 62)) }, unit.ErrOverflow},
	} {
		if r, err := c.f(); !errors.Is(err, c.want) || r != (unit.Ratio{}) {
			t.Errorf("%s = %v, %v; want %v", what, r, err, c.want)
		}
	}
	if r := must(unit.NewRatio(math.MinInt64, math.MinInt64)); r != one {
		t.Errorf("smallest/smallest = %v, want 1", r)
	}
	if r := must(largest.Mul(must(unit.NewRatio(2, math.MaxInt64)))); r != unit.RatioOf(2) {
		t.Errorf("a product whose reduced form fits is %v, want 2", r)
	}
}

func TestRatioRound(t *testing.T) {
	r := must(unit.NewRatio(-5, 2))
	for mode, want := range map[unit.Mode]int64{unit.Down: -3, unit.Up: -2, unit.Nearest: -3} {
		if got := must(r.Round(mode)); got != want {
			t.Errorf("-5/2 rounded %v = %d, want %d", mode, got, want)
		}
	}
}

func anyRatio(t *rapid.T, name string) (unit.Ratio, *big.Rat) {
	whole := rapid.OneOf(rapid.Int64Range(-50, 50), rapid.Int64())
	num, den := whole.Draw(t, name+" numerator"), whole.Draw(t, name+" denominator")
	if den == 0 {
		den = 1
	}
	r, err := unit.NewRatio(num, den)
	if err != nil {
		t.Skip("does not fit")
	}
	return r, big.NewRat(num, den)
}

// Every operation against math/big.Rat: the same value, or ErrOverflow exactly
// when the reduced result does not fit two int64.
func TestRatioAgainstBig(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r, rb := anyRatio(t, "r")
		s, sb := anyRatio(t, "s")
		same := func(op string, got unit.Ratio, err error, want *big.Rat) {
			fits := want.Num().IsInt64() && want.Denom().IsInt64()
			if fits != (err == nil) || !fits && !errors.Is(err, unit.ErrOverflow) {
				t.Fatalf("%v %s %v: error %v, want %v", r, op, s, err, want)
			}
			if fits && (got.Num() != want.Num().Int64() || got.Den() != want.Denom().Int64()) {
				t.Fatalf("%v %s %v = %v, want %v", r, op, s, got, want)
			}
		}
		sum, err := r.Add(s)
		same("+", sum, err, new(big.Rat).Add(rb, sb))
		diff, err := r.Sub(s)
		same("-", diff, err, new(big.Rat).Sub(rb, sb))
		product, err := r.Mul(s)
		same("*", product, err, new(big.Rat).Mul(rb, sb))
		if s.Sign() != 0 {
			quotient, err := r.Div(s)
			same("/", quotient, err, new(big.Rat).Quo(rb, sb))
		}
		if r.Cmp(r) != 0 {
			t.Fatalf("%v compared with itself is %d", r, r.Cmp(r))
		}
		if r.Cmp(s) != rb.Cmp(sb) || r.Sign() != rb.Sign() || (r == s) != (rb.Cmp(sb) == 0) {
			t.Fatalf("%v compared with %v is %d, want %d", r, s, r.Cmp(s), rb.Cmp(sb))
		}
	})
}

func TestRatioTextComesBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r, _ := anyRatio(t, "r")
		var back unit.Ratio
		if err := back.UnmarshalText(must(r.MarshalText())); err != nil || back != r {
			t.Fatalf("%v reads back as %v, %v", r, back, err)
		}
		decimal, finite := r.Decimal()
		if !finite || len(decimal) > 19 { // more digits than a whole number of them may not fit
			return
		}
		if fromDecimal, err := unit.ParseRatio(decimal); err != nil || fromDecimal != r {
			t.Fatalf("%v is %s, which reads back as %v, %v", r, decimal, fromDecimal, err)
		}
	})
}

func FuzzParseRatio(f *testing.F) {
	for _, seed := range []string{"3", "0.70", "70 %", "2 1/2", "-1/3", "1/0", "2½%", "0,7", "-", "-9223372036854775808"} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, text string) {
		r, err := unit.ParseRatio(text)
		if err != nil {
			checkRefusal(t, text, err)
			return
		}
		if back, err := unit.ParseRatio(r.String()); err != nil || back != r {
			t.Fatalf("%q is %v, which reads back as %v, %v", text, r, back, err)
		}
	})
}

// Formulas add fractions in every evaluation.
func TestSumsOfFractionsAllocateNothing(t *testing.T) {
	a, b, sum := must(unit.NewRatio(5, 6)), must(unit.NewRatio(-3, 8)), unit.Ratio{}
	if n := testing.AllocsPerRun(100, func() { sum, _ = a.Add(b) }); n != 0 || sum != must(unit.NewRatio(11, 24)) {
		t.Errorf("5/6 + -3/8 = %v with %v allocations, want 11/24 with none", sum, n)
	}
	if n := testing.AllocsPerRun(100, func() { sum, _ = a.Sub(b) }); n != 0 || sum != must(unit.NewRatio(29, 24)) {
		t.Errorf("5/6 - -3/8 = %v with %v allocations, want 29/24 with none", sum, n)
	}
	// A product on the way leaves int64, the sum does not.
	far := must(unit.NewRatio(math.MaxInt64, 2))
	if sum := must(far.Add(must(unit.NewRatio(-math.MaxInt64, 3)))); sum != must(unit.NewRatio(math.MaxInt64, 6)) {
		t.Errorf("m/2 - m/3 = %v, want m/6", sum)
	}
	if diff := must(unit.RatioOf(-1).Sub(unit.RatioOf(math.MinInt64))); diff != unit.RatioOf(math.MaxInt64) {
		t.Errorf("-1 - smallest = %v", diff)
	}
}
