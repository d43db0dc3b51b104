package formula

import (
	"math"
	"math/big"
	"testing"

	"pgregory.net/rapid"

	"billwright/catalog/unit"
)

// anyExact draws values on both sides of the int64 limit, small ones often.
func anyExact(t *rapid.T, label string) exact {
	num := rapid.OneOf(rapid.Int64(), rapid.Int64Range(-9, 9), rapid.SampledFrom([]int64{math.MinInt64, math.MaxInt64})).Draw(t, label+" num")
	den := rapid.OneOf(rapid.Int64Range(1, math.MaxInt64), rapid.Int64Range(1, 9)).Draw(t, label+" den")
	x := fit(big.NewRat(num, den))
	if rapid.Bool().Draw(t, label+" large") {
		x = fit(new(big.Rat).Mul(x.rat(), big.NewRat(math.MaxInt64, rapid.Int64Range(1, 9).Draw(t, label+" part"))))
	}
	return x
}

func TestExactAgainstBig(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		x, y := anyExact(t, "x"), anyExact(t, "y")
		same := func(what string, got exact, want *big.Rat) {
			if got.rat().Cmp(want) != 0 {
				t.Fatalf("%v %s %v = %v, want %v", x.rat(), what, y.rat(), got.rat(), want)
			}
			if fits := want.Num().IsInt64() && want.Denom().IsInt64(); fits != (got.b == nil) {
				t.Fatalf("%s: %v fits %v but is kept as %+v", what, want, fits, got)
			}
		}
		same("+", x.add(y), new(big.Rat).Add(x.rat(), y.rat()))
		same("-", x.sub(y), new(big.Rat).Sub(x.rat(), y.rat()))
		same("*", x.mul(y), new(big.Rat).Mul(x.rat(), y.rat()))
		if y.sign() != 0 {
			same("/", x.div(y), new(big.Rat).Quo(x.rat(), y.rat()))
		}
		same("neg", x.neg(), new(big.Rat).Neg(x.rat()))
		same("abs", x.abs(), new(big.Rat).Abs(x.rat()))
		if x.cmp(y) != x.rat().Cmp(y.rat()) || x.sign() != x.rat().Sign() || x.isWhole() != x.rat().IsInt() {
			t.Fatalf("cmp, sign or isWhole of %v and %v", x.rat(), y.rat())
		}
	})
}

// Rounding keeps within one step (half a step for nearest) on the right side,
// and gives a multiple of the step.
func TestExactRounding(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		x, step := anyExact(t, "x"), anyExact(t, "step").abs()
		if step.sign() == 0 {
			step = whole(1)
		}
		for _, m := range []unit.Mode{unit.Down, unit.Up, unit.Nearest} {
			got := x.toStep(step, m)
			if !got.div(step).isWhole() {
				t.Fatalf("%v %v to %v = %v: not a multiple", m, x.rat(), step.rat(), got.rat())
			}
			off := got.sub(x)
			twice := off.abs().add(off.abs())
			ok := false
			switch m {
			case unit.Down:
				ok = off.sign() <= 0 && off.abs().cmp(step) < 0
			case unit.Up:
				ok = off.sign() >= 0 && off.cmp(step) < 0
			case unit.Nearest:
				c := twice.cmp(step)
				ok = c < 0 || c == 0 && got.abs().cmp(x.abs()) > 0 // a half goes away from zero
			}
			if !ok {
				t.Fatalf("%v %v to %v = %v", m, x.rat(), step.rat(), got.rat())
			}
		}
	})
}

// Halves beyond int64 follow the same rules as unit.DivRound within it.
func TestExactRoundHalves(t *testing.T) {
	for _, tt := range []struct {
		x                 string
		down, up, nearest string
	}{
		{"5/2", "2", "3", "3"},
		{"-5/2", "-3", "-2", "-3"},
		{"36893488147419103231/2", "18446744073709551615", "18446744073709551616", "18446744073709551616"}, // (2^65-1)/2
		{"-36893488147419103231/2", "-18446744073709551616", "-18446744073709551615", "-18446744073709551616"},
	} {
		b, ok := new(big.Rat).SetString(tt.x)
		if !ok {
			t.Fatal(tt.x)
		}
		x := fit(b)
		for m, want := range map[unit.Mode]string{unit.Down: tt.down, unit.Up: tt.up, unit.Nearest: tt.nearest} {
			if got := x.round(m).rat().RatString(); got != want {
				t.Errorf("%v %s = %s, want %s", m, tt.x, got, want)
			}
		}
	}
}
