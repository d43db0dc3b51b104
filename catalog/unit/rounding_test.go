package unit_test

import (
	"errors"
	"math"
	"math/big"
	"testing"

	"billwright/catalog/unit"
	"pgregory.net/rapid"
)

func TestDivRound(t *testing.T) {
	for _, c := range []struct{ num, den, down, up, nearest int64 }{
		{0, 7, 0, 0, 0},
		{6, 3, 2, 2, 2},
		{7, 2, 3, 4, 4},
		{-7, 2, -4, -3, -4},
		{7, -2, -4, -3, -4},
		{-7, -2, 3, 4, 4},
		{5, 2, 2, 3, 3},
		{-5, 2, -3, -2, -3},
		{10, 3, 3, 4, 3},
		{-10, 3, -4, -3, -3},
		{11, 3, 3, 4, 4},
		{math.MaxInt64, 2, math.MaxInt64 / 2, math.MaxInt64/2 + 1, math.MaxInt64/2 + 1},
		{math.MinInt64, 1, math.MinInt64, math.MinInt64, math.MinInt64},
		{1, math.MinInt64, -1, 0, 0},
		{math.MaxInt64, math.MinInt64, -1, 0, -1},
	} {
		for mode, want := range map[unit.Mode]int64{unit.Down: c.down, unit.Up: c.up, unit.Nearest: c.nearest} {
			if got, err := unit.DivRound(c.num, c.den, mode); err != nil || got != want {
				t.Errorf("%d/%d rounded %v = %d, %v; want %d", c.num, c.den, mode, got, err, want)
			}
		}
	}
}

func TestDivRoundErrors(t *testing.T) {
	for _, c := range []struct {
		a, b, den int64
		mode      unit.Mode
		want      error
	}{
		{1, 1, 0, unit.Down, unit.ErrDivideByZero},
		{math.MinInt64, 1, -1, unit.Down, unit.ErrOverflow},
		{math.MaxInt64, 2, 1, unit.Down, unit.ErrOverflow},
		{math.MinInt64, math.MinInt64, 1, unit.Down, unit.ErrOverflow},
		{math.MaxInt64, 3, 2, unit.Down, unit.ErrOverflow},
		{1 << 62, 4, 1, unit.Down, unit.ErrOverflow}, // exactly 2^64
		{math.MinInt64, math.MinInt64, math.MaxInt64, unit.Up, unit.ErrOverflow},
		{1, 1, 2, unit.Mode(3), unit.ErrMode},
	} {
		if v, err := unit.MulDivRound(c.a, c.b, c.den, c.mode); !errors.Is(err, c.want) {
			t.Errorf("%d*%d/%d = %d, %v; want %v", c.a, c.b, c.den, v, err, c.want)
		}
	}
}

// MulDivRound against math/big, an independent reckoning: floor and ceiling
// bracket the exact quotient and nearest is within one half of it.
func TestMulDivRoundAgainstBig(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, b, den := rapid.Int64().Draw(t, "a"), rapid.Int64().Draw(t, "b"), rapid.Int64().Draw(t, "den")
		if den == 0 {
			den = 1
		}
		exact := new(big.Rat).SetFrac(new(big.Int).Mul(big.NewInt(a), big.NewInt(b)), big.NewInt(den))
		floor := new(big.Int).Div(exact.Num(), exact.Denom())
		ceil := new(big.Int).Set(floor)
		if !exact.IsInt() {
			ceil.Add(ceil, big.NewInt(1))
		}
		nearest := floor
		switch c := twiceDistance(exact, floor).Cmp(big.NewRat(1, 1)); {
		case c > 0, c == 0 && exact.Sign() > 0:
			nearest = ceil
		}
		for mode, want := range map[unit.Mode]*big.Int{unit.Down: floor, unit.Up: ceil, unit.Nearest: nearest} {
			got, err := unit.MulDivRound(a, b, den, mode)
			if want.IsInt64() != (err == nil) || err == nil && got != want.Int64() {
				t.Fatalf("%d*%d/%d %v = %d, %v; want %v", a, b, den, mode, got, err, want)
			}
		}
	})
}

func twiceDistance(exact *big.Rat, floor *big.Int) *big.Rat {
	d := new(big.Rat).Sub(exact, new(big.Rat).SetInt(floor))
	return d.Add(d, d)
}

// Cut lengths as a saw operator's standards round them.
func TestRoundingOfCutLengths(t *testing.T) {
	thirtySecond, sixteenth := unit.Inch/32, unit.Inch/16
	for _, c := range []struct {
		in   string
		r    unit.Rounding
		want string
	}{
		{"56 63/64 in", unit.Rounding{Mode: unit.Up, To: thirtySecond}, "57 in"},
		{"56 63/64 in", unit.Rounding{Mode: unit.Down, To: thirtySecond}, "56 31/32 in"},
		{"56 63/64 in", unit.Rounding{Mode: unit.Nearest, To: thirtySecond}, "57 in"},
		{"1447.8 mm", unit.Rounding{Mode: unit.Up, To: sixteenth}, "57 in"},
		{"1448 mm", unit.Rounding{Mode: unit.Up, To: sixteenth}, "57 1/16 in"},
		{"1448 mm", unit.Rounding{Mode: unit.Nearest, To: sixteenth}, "57 in"},
		{"1448.06 mm", unit.Rounding{Mode: unit.Nearest, To: unit.Millimetre / 10}, "1448.1 mm"},
		{"-1/64 in", unit.Rounding{Mode: unit.Up, To: thirtySecond}, "0 in"},
		{"-1/64 in", unit.Rounding{Mode: unit.Nearest, To: thirtySecond}, "-1/32 in"},
	} {
		got, err := c.r.Round(must(unit.ParseSignedLength(c.in)))
		if err != nil || got.String() != c.want {
			t.Errorf("%s rounded %v = %v, %v; want %s", c.in, c.r, got, err, c.want)
		}
	}
}

func TestRoundingRefuses(t *testing.T) {
	for _, c := range []struct {
		r    unit.Rounding
		l    unit.Length
		want error
	}{
		{unit.Rounding{Mode: unit.Up}, unit.Inch, unit.ErrStep},
		{unit.Rounding{Mode: unit.Up, To: -unit.Inch}, unit.Inch, unit.ErrStep},
		{unit.Rounding{Mode: 9, To: unit.Inch}, unit.Inch, unit.ErrMode},
		{unit.Rounding{Mode: unit.Up, To: unit.Inch}, math.MaxInt64, unit.ErrOverflow},
		{unit.Rounding{Mode: unit.Down, To: unit.Inch}, math.MinInt64, unit.ErrOverflow},
	} {
		if l, err := c.r.Round(c.l); !errors.Is(err, c.want) {
			t.Errorf("%v of %d nm = %v, %v; want %v", c.r, c.l, l, err, c.want)
		}
	}
	if text := (unit.Rounding{Mode: unit.Up, To: unit.Inch / 32}).String(); text != "up to 1/32 in" {
		t.Errorf("a rounding prints as %q", text)
	}
}

// A rounded length is on the step, on the right side of the length, less than
// a step away, and rounding it again changes nothing.
func TestRoundingBounds(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := unit.Length(rapid.Int64Range(-1<<60, 1<<60).Draw(t, "l"))
		r := unit.Rounding{
			Mode: rapid.SampledFrom([]unit.Mode{unit.Down, unit.Up, unit.Nearest}).Draw(t, "mode"),
			To:   unit.Length(rapid.Int64Range(1, 1<<40).Draw(t, "step")),
		}
		got, err := r.Round(l)
		if err != nil {
			t.Fatal(err)
		}
		off := got - l
		bad := map[unit.Mode]bool{
			unit.Down:    off > 0 || off <= -r.To,
			unit.Up:      off < 0 || off >= r.To,
			unit.Nearest: 2*off > r.To || 2*off < -r.To,
		}[r.Mode]
		if again := must(r.Round(got)); bad || got%r.To != 0 || again != got {
			t.Fatalf("%d nm rounded %v = %d (off by %d), again = %d", l, r, got, off, again)
		}
	})
}

func TestModeText(t *testing.T) {
	for m, want := range map[unit.Mode]string{unit.Down: "down", unit.Up: "up", unit.Nearest: "nearest"} {
		text := must(m.MarshalText())
		var back unit.Mode
		if err := back.UnmarshalText(text); err != nil || string(text) != want || back != m {
			t.Errorf("%v marshals as %q and reads back as %v, %v", m, text, back, err)
		}
	}
	if _, err := unit.Mode(3).MarshalText(); !errors.Is(err, unit.ErrMode) {
		t.Errorf("an unknown mode marshals: %v", err)
	}
	if s := unit.Mode(3).String(); s != "Mode(3)" {
		t.Errorf("an unknown mode prints as %q", s)
	}
	kept := unit.Up
	if err := kept.UnmarshalText([]byte("UP")); !errors.Is(err, unit.ErrMode) || kept != unit.Up {
		t.Errorf("%q is read as a mode: %v, %v", "UP", kept, err)
	}
	if s := unit.EntryUnit(7).String() + " " + unit.InchEntry.String() + " " + unit.MetricEntry.String(); s != "EntryUnit(7) inch metric" {
		t.Errorf("entry units print as %q", s)
	}
}

func TestFromFloat(t *testing.T) {
	for _, c := range []struct {
		in   float64
		want int64
		err  error
	}{
		{0, 0, nil},
		{2.5, 3, nil},
		{-2.5, -3, nil},
		{2.4999, 2, nil},
		{-9.223372036854775808e18, math.MinInt64, nil},
		{9.223372036854775808e18, 0, unit.ErrOverflow},
		{-9.3e18, 0, unit.ErrOverflow},
		{math.NaN(), 0, unit.ErrNotFinite},
		{math.Inf(1), 0, unit.ErrNotFinite},
		{math.Inf(-1), 0, unit.ErrNotFinite},
	} {
		l, lerr := unit.LengthFromFloat(c.in)
		a, aerr := unit.AreaFromFloat(c.in)
		v, verr := unit.VolumeFromFloat(c.in)
		m, merr := unit.MassFromFloat(c.in)
		if int64(l) != c.want || int64(a) != c.want || int64(v) != c.want || int64(m) != c.want {
			t.Errorf("%v rounds to %d %d %d %d, want %d", c.in, l, a, v, m, c.want)
		}
		for _, err := range []error{lerr, aerr, verr, merr} {
			if !errors.Is(err, c.err) {
				t.Errorf("%v: error %v, want %v", c.in, err, c.err)
			}
		}
	}
}
