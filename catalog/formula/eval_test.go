package formula

import (
	"errors"
	"slices"
	"strings"
	"sync"
	"testing"

	"billwright/catalog/unit"
)

// Every value here was worked by hand from the shop's: length 72 in, width
// 36 1/2 in, thickness 1 3/4 in, 4 legs, loss 3/10, panel 144 in2, seam 1/2 in,
// kerf 1/8 in, white-oak, no glass. 1 in = 25,400,000 nm.
func TestEval(t *testing.T) {
	s := newShop(t)
	tests := []struct {
		text string
		want Value
	}{
		// Written values.
		{"3", number(3, 1)},
		{"-3", number(-3, 1)},
		{"frac('3/8')", number(3, 8)},
		{"frac('70 %')", number(7, 10)},
		{"frac('2 1/2')", number(5, 2)},
		{"len('14 3/4 in')", inches(59, 4)},
		{"len('6 ft 0 1/2 in')", inches(145, 2)},
		{"len('1828.8 mm')", inches(72, 1)},
		{"true", BoolOf(true)},
		{"'white-oak'", TextOf("white-oak")},
		{`"white-oak"`, TextOf("white-oak")},

		// Sums.
		{"length - len('15 in')", inches(57, 1)},
		{"length - width - width", inches(-1, 1)},
		{"length - (width - len('1/2 in'))", inches(36, 1)},
		{"legs + 1 - 7", number(-2, 1)},
		{"-length + -3 * -width", inches(75, 2)}, // -72 + 109 1/2
		{"panel + panel - length * len('2 in')", squareInches(144)},
		{"- - legs", number(4, 1)},
		{"length + standard.seam * 2", inches(73, 1)},

		// Products and quotients, exact in between.
		{"length * 3", inches(216, 1)},
		{"3 * length", inches(216, 1)},
		{"length * 3 / 4", inches(54, 1)},
		{"length / 3 * 3", inches(72, 1)},
		{"length / 7 * 7 == length", BoolOf(true)},
		{"length * width", squareInches(2628)},
		{"length * width / 2", squareInches(1314)},
		{"length * width / length", inches(73, 2)},
		{"panel / len('8 in')", inches(18, 1)},
		{"panel / panel", number(1, 1)},
		{"2 * panel", squareInches(288)},
		{"length / width", number(144, 73)},
		{"legs / 3", number(4, 3)},
		{"frac('1/3') + frac('1/6')", number(1, 2)},
		{"legs * frac('3/8')", number(3, 2)},
		// Losses divide: 4.2 / (1 - 0.3) = 6.
		{"frac('4.2') / (1 - loss)", number(6, 1)},

		// 72 in / 7 = 1,828,800,000 / 7 = 261,257,142.857.. nm.
		{"length / 7", roundedNm(261_257_143)},
		{"-length / 7", roundedNm(-261_257_143)},
		// 1,828,800,001 nm / 2 would be a half: 914,400,000.5 goes away from zero.
		{"(length + len('0.000001 mm')) / 2", roundedNm(914_400_001)},
		{"-(length + len('0.000001 mm')) / 2", roundedNm(-914_400_001)},
		// Rounded once: a third of 1 nm three times over is 1 nm, not 0.
		{"len('0.000001 mm') / 3 + len('0.000001 mm') / 3 + len('0.000001 mm') / 3", LengthOf(1)},

		// Far beyond int64 in the middle, small at the end.
		{"legs * 9000000000000000000 * legs / 9000000000000000000 == 16", BoolOf(true)},
		{"legs - 9000000000000000000 - 9000000000000000000 + 9000000000000000000 + 9000000000000000000", number(4, 1)},
		{"abs(legs * -9000000000000000000) / 9000000000000000000", number(4, 1)},
		{"-(legs * 9000000000000000000) < -legs", BoolOf(true)},
		{"max(legs, legs * 9000000000000000000) > 9000000000000000000", BoolOf(true)},
		{"legs * 9000000000000000000 in [4]", BoolOf(false)},
		{"length * 9000000000000000000 / 9000000000000000000", inches(72, 1)},
		// 120 in x 120 in overflows int64 in square nanometres.
		{"len('120 in') * len('120 in')", squareInches(14_400)},
		// (3,100,000,001 nm)2 / 3,100,000,001 nm.
		{"len('3100.000001 mm') * len('3100.000001 mm') / len('3100.000001 mm')", LengthOf(3_100_000_001)},

		// Rounding to a step. 36 1/2 / 3 = 12 1/6 = 12 2.67/16.
		{"up(width / 3, len('1/16 in'))", inches(195, 16)},
		{"down(width / 3, len('1/16 in'))", inches(194, 16)},
		{"nearest(width / 3, len('1/16 in'))", inches(195, 16)},
		{"up(length, len('1/32 in'))", inches(72, 1)},
		{"up(-width / 3, len('1/16 in'))", inches(-194, 16)}, // towards plus infinity
		{"down(-width / 3, len('1/16 in'))", inches(-195, 16)},
		{"nearest(len('3/32 in'), len('1/16 in'))", inches(2, 16)}, // 1.5 sixteenths
		{"nearest(-len('3/32 in'), len('1/16 in'))", inches(-2, 16)},
		{"ceil(length / width)", number(2, 1)},
		{"floor(length / width)", number(1, 1)},
		{"floor(-legs / 3)", number(-2, 1)},
		{"ceil(-legs / 3)", number(-1, 1)},
		{"ceil(legs)", number(4, 1)},
		{"floor(frac('1/3') * 9000000000000000000 * 2)", number(6_000_000_000_000_000_000, 1)},
		{"ceil(legs * 9000000000000000000 / 7) - floor(legs * 9000000000000000000 / 7)", number(1, 1)}, // 36e18 = 1 (mod 7)
		{"ceil(-legs * 9000000000000000000 / 7)", number(-5_142_857_142_857_142_857, 1)},

		// Least, greatest, size.
		{"min(length, width, thickness)", inches(7, 4)},
		{"max(length, width, thickness)", inches(72, 1)},
		{"min(legs, 3)", number(3, 1)},
		{"max(panel, length * width)", squareInches(2628)},
		{"abs(width - length)", inches(71, 2)},
		{"abs(legs)", number(4, 1)},
		{"abs(-panel)", squareInches(144)},

		// Conditions.
		{"length > len('60 in')", BoolOf(true)},
		{"length >= len('6 ft')", BoolOf(true)},
		{"length < len('6 ft')", BoolOf(false)},
		{"length <= width", BoolOf(false)},
		{"length == len('1828.8 mm')", BoolOf(true)},
		{"length != width * 2", BoolOf(true)},
		{"panel < length * width", BoolOf(true)},
		{"legs == 4 && !glass", BoolOf(true)},
		{"glass || legs > 3", BoolOf(true)},
		{"(length > width) == (width > thickness)", BoolOf(true)},
		{"glass != true", BoolOf(true)},
		{"species == 'white-oak'", BoolOf(true)},
		{"species != edge", BoolOf(true)},
		{"species in ['walnut', 'white-oak']", BoolOf(true)},
		{"legs in [3, 5]", BoolOf(false)},
		{"legs in [3, frac('4')]", BoolOf(true)},
		{"length in [len('72 in'), len('84 in')]", BoolOf(true)},
		{"-legs in [-4]", BoolOf(true)},
		{"glass in [true]", BoolOf(false)},
		{"glass ? length - len('12 in') : length - len('15 in')", inches(57, 1)},
		{"legs == 3 ? 'three' : legs == 4 ? 'four' : 'more'", TextOf("four")},
		{"true ? 'a' : 'b'", TextOf("a")},
		{"legs > 3 ? length * width > panel : glass", BoolOf(true)},

		// The part that is not needed is not evaluated: note is not set.
		{"glass && note == 'x'", BoolOf(false)},
		{"legs == 4 || note == 'x'", BoolOf(true)},
		{"glass ? note : species", TextOf("white-oak")},
		{"legs == 4 ? legs : legs / (legs - 4)", number(4, 1)},

		// Tables: low <= x < high on the exact value.
		{"band('springs', len('0 in'))", number(3, 1)},
		{"band('springs', width)", number(4, 1)},
		{"band('springs', len('24 in'))", number(4, 1)},
		{"band('springs', len('24 in') - len('0.000001 mm'))", number(3, 1)},
		{"band('springs', len('24 in') - len('0.000001 mm') / 1000)", number(3, 1)}, // not rounded before lookup
		{"band('springs', length) * legs", number(24, 1)},
		{"band('leg stock', thickness) - thickness", inches(101, 4)},
		{"band('grade', legs * frac('5/2'))", TextOf("heavy")},
		{"band('braced', length)", BoolOf(true)},
	}
	for _, tt := range tests {
		got, err := s.compile(t, tt.text, tt.want.Kind()).Eval(s.env)
		if err != nil {
			t.Errorf("%s\n%v", tt.text, err)
		} else if got != tt.want {
			t.Errorf("%s = %v (rounded %v), want %v (rounded %v)", tt.text, got, got.Rounded(), tt.want, tt.want.Rounded())
		}
	}
}

// Shop arithmetic with an answer from outside. Lengths are exact in
// nanometres, so each is compared without tolerance.
func TestEvalHandbook(t *testing.T) {
	tests := []struct {
		id, source string
		text       string
		want       Value
	}{
		{"U-18", "international yard and pound agreement 1959: 1 in = 25.4 mm", "len('5 ft') + len('6 3/4 in')", LengthOf(1_695_450_000)},
		{"F-01", "blacksmiths' mailing list, B. Freeman 2002-03-28: a wedge takes half its length of bar", "len('6 in') * frac('1/2')", inches(3, 1)},
		{"F-02", "the same: a point drawn from 2 in of bar is three times as long", "len('2 in') / frac('1/3')", inches(6, 1)},
		// 7 in / 0.96 = 177,800,000 nm / 0.96 = 185,208,333.33 nm = 7.2917 in.
		{"F-10", "yield algebra: losses divide", "len('7 in') / (1 - frac('4 %'))", roundedNm(185_208_333)},
		{"F-35", "mitred frame, 45 degrees both ends: short point is long point less twice the width", "len('30 in') - 2 * len('1.5 in')", inches(27, 1)},
		{"F-37", "one-dimensional cutting: a kerf between pieces", "floor((len('240 in') + standard.kerf) / (len('30 in') + standard.kerf))", number(7, 1)},
		{"F-38", "the same", "floor((len('240 in') + standard.kerf) / (len('29 7/8 in') + standard.kerf))", number(8, 1)},
		{"U-27", "100 mm is 252/64 in to the nearest", "nearest(len('100 mm'), len('1/64 in'))", inches(252, 64)},
	}
	s := newShop(t)
	for _, tt := range tests {
		got, err := s.compile(t, tt.text, tt.want.Kind()).Eval(s.env)
		if err != nil || got != tt.want {
			t.Errorf("%s (%s): %s = %v, %v; want %v", tt.id, tt.source, tt.text, got, err, tt.want)
		}
	}
}

func TestEvalErrors(t *testing.T) {
	s := newShop(t)
	tests := []struct{ text, want string }{
		{"note == 'x'", "column 1: note is not set; give it text before this formula is used"},
		{"length / (loss * 0)", "column 8: division by zero: what stands right of / comes to 0; write a condition ? : around it"},
		{"length / none", "column 8: division by zero: none is 0; limit none, or write none == 0 ? .. : .."},
		{"length / (legs - 4)", "column 8: division by zero: what stands right of / comes to 0; write a condition ? : around it"},
		{"length / thickness - band('springs', length + len('2 ft'))", "column 22: table 'springs' has no row for 96 in: its last row ends below 96 in; add a row to the table, or limit what is asked of it"},
		{"band('springs', length * legs / 3)", "column 1: table 'springs' has no row for 96 in: its last row ends below 96 in; add a row to the table, or limit what is asked of it"},
		{"up(length, thickness - thickness)", "column 1: up: the step to round to is not greater than zero; write a step such as len('1/16 in')"},
		{"legs * 9000000000000000000", "column 6: the number that comes out is too large or too finely divided to be kept; check the signs: is something multiplied that should be divided?"},
		{"length * 9000000000000000000", "column 8: the length that comes out is too large or too finely divided to be kept; check the signs: is something multiplied that should be divided?"},
		{"glass ? 1 :\n  legs / (legs - 4)", "line 2, column 8: division by zero: what stands right of / comes to 0; write a condition ? : around it"},
	}
	slot, err := s.Declare("none", Number)
	if err != nil || slot != len(s.env) {
		t.Fatal(slot, err)
	}
	s.env = append(s.env, number(0, 1))
	for _, tt := range tests {
		v, err := s.compile(t, tt.text, 0).Eval(s.env)
		if err == nil {
			t.Errorf("%s = %v, want an error", tt.text, v)
			continue
		}
		if err.Error() != tt.want {
			t.Errorf("%s\n got %s\nwant %s", tt.text, err, tt.want)
		}
		if f, ok := errors.AsType[*Fault](err); !ok || f.Text != tt.text {
			t.Errorf("%s: the error does not carry the formula", tt.text)
		}
	}
}

// Only a name that is read has to be set, and it must be what it was declared.
func TestEvalEnvironment(t *testing.T) {
	s := newShop(t)
	f := s.compile(t, "standard.seam * legs", Length)
	if _, err := f.Eval(nil); err == nil || !strings.Contains(err.Error(), "column 1: standard.seam is not set; give it a length") {
		t.Errorf("empty environment: %v", err)
	}
	s.set(t, "legs", inches(4, 1))
	if _, err := f.Eval(s.env); err == nil || !strings.Contains(err.Error(), "column 17: legs was given a length, but it is declared as a number") {
		t.Errorf("wrong kind: %v", err)
	}
	s.set(t, "legs", number(1, 3))
	if v, err := f.Eval(s.env); err != nil || v != roundedNm(4_233_333) { // 12,700,000 / 3
		t.Errorf("got %v, %v", v, err)
	}
	for _, text := range []string{"glass ? 1 : 2", "note == ''"} {
		if _, err := s.compile(t, text, 0).Eval(nil); err == nil || !strings.Contains(err.Error(), "is not set") {
			t.Errorf("%s on an empty environment: %v", text, err)
		}
	}
}

// An error below any sign or function reaches the top.
func TestEvalErrorsPass(t *testing.T) {
	s := newShop(t)
	const broken = "(legs / (legs - 4))"
	for _, text := range []string{
		"# + 1", "1 + #", "-#", "# < 1", "1 < #", "# == 1", "!(# == 1)", "# == 1 && glass", "# == 1 ? 1 : 2",
		"(# > 1) == glass", "glass == (# > 1)", "min(#, 1)", "min(1, #)", "up(length * #, length)", "up(length, length * #)",
		"length / #", "# / legs", "band('grade', #)", "# in [1]", "(# == 1) in [true]", "# == 1 ? 'a' : 'b'",
		"band('springs', length * #)", "band('braced', length * #)",
		"(# == 1 ? 'a' : 'b') in ['a']", "(# == 1 ? 'a' : 'b') == 'a'", "'a' == (# == 1 ? 'a' : 'b')", "ceil(#)",
	} {
		text = strings.ReplaceAll(text, "#", broken)
		if v, err := s.compile(t, text, 0).Eval(s.env); err == nil || !strings.Contains(err.Error(), "division by zero") {
			t.Errorf("%s = %v, %v", text, v, err)
		}
	}
}

func TestFormulaAccessors(t *testing.T) {
	s := newShop(t)
	text := "glass ? standard.seam : length + standard.seam * legs"
	f := s.compile(t, text, Length)
	if want := []string{"glass", "legs", "length", "standard.seam"}; !slices.Equal(f.Names(), want) {
		t.Errorf("Names = %v, want %v", f.Names(), want)
	}
	f.Names()[0] = "changed"
	if f.Names()[0] != "glass" {
		t.Error("a caller can change the formula through Names")
	}
	if f.Text() != text || f.Kind() != Length {
		t.Errorf("Text %q Kind %v", f.Text(), f.Kind())
	}
	if names := s.compile(t, "3", Number).Names(); len(names) != 0 {
		t.Errorf("Names of 3 = %v", names)
	}
}

func TestValue(t *testing.T) {
	tests := []struct {
		v    Value
		want string
	}{
		{Value{}, "not set"},
		{number(3, 8), "3/8"},
		{number(-7, 1), "-7"},
		{inches(15, 1), "15 in"},
		{LengthOf(1), "0.000001 mm"},
		{squareInches(1296), "1296 in2"},
		{AreaOf(unit.SquareInch / 4), "0.25 in2"},
		{AreaOf(1), "0.000001 mm2"},
		{BoolOf(true), "yes"},
		{BoolOf(false), "no"},
		{TextOf("white-oak"), "white-oak"},
	}
	for _, tt := range tests {
		if got := tt.v.String(); got != tt.want {
			t.Errorf("got %q, want %q", got, tt.want)
		}
	}
	if inches(3, 1).Length() != 3*unit.Inch || inches(3, 1).Area() != 0 || inches(3, 1).Number() != (unit.Ratio{}) || inches(3, 1).Bool() || inches(3, 1).Text() != "" {
		t.Error("accessors of a length")
	}
	if number(3, 1).Length() != 0 || number(3, 1).Number() != unit.RatioOf(3) || squareInches(1).Area() != unit.SquareInch || !BoolOf(true).Bool() || TextOf("a").Text() != "a" {
		t.Error("accessors")
	}
	if Kind(0).String() != "nothing" || Kind(99).String() != "nothing" || Bool.String() != "yes/no" {
		t.Error("names of kinds")
	}
}

// One formula, one scope, many goroutines; run with -race.
func TestConcurrency(t *testing.T) {
	s := newShop(t)
	shared := s.compile(t, "length - up(width / 3, len('1/16 in'))", Length)
	var wg sync.WaitGroup
	for range 8 {
		wg.Go(func() {
			for range 50 {
				v, err := shared.Eval(s.env)
				if err != nil || v != inches(957, 16) { // 72 - 12 3/16
					t.Errorf("got %v, %v", v, err)
				}
				own, err := s.Compile("band('springs', width) * legs", Number)
				if err != nil {
					t.Error(err)
					return
				}
				if v, err := own.Eval(s.env); err != nil || v != number(16, 1) {
					t.Errorf("got %v, %v", v, err)
				}
				if shared.Working(s.env) == "" {
					t.Error("no working")
				}
			}
		})
	}
	wg.Wait()
}
