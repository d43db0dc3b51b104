package unit_test

import (
	"encoding/json"
	"errors"
	"math"
	"math/big"
	"os"
	"strings"
	"testing"

	"billwright/catalog/unit"
)

// row is one line of testdata/handbook/checks.json; SOURCES.md beside it says
// what the flags mean.
type row struct {
	ID       string          `json:"id"`
	Input    string          `json:"input"`
	Expected json.RawMessage `json:"expected"`
	Tol      json.RawMessage `json:"tol"`
	Unit     string          `json:"unit"`
	Source   string          `json:"source"`
	Flag     string          `json:"flag"`
}

// handbook says how each units row is computed here, and the input it was
// written for, so that a changed row cannot be answered by an old check. Rows
// whose unit is "rule" are checked in TestHandbookRules.
var handbook = map[string]struct {
	input string
	got   func(t *testing.T) unit.Ratio
}{
	"U-01": {"1 in -> mm", lengthIn("1 in", unit.Millimetre)},
	"U-02": {"1 yd -> m", lengthIn("1 yd", unit.Metre)},
	"U-03": {"1 lb -> kg", func(t *testing.T) unit.Ratio {
		return must(must(unit.ParseMass("1 lb")).Over(unit.Kilogram))
	}},
	"U-11": {"1/32 in -> nm (exact)", lengthIn("1/32 in", unit.Nanometre)},
	"U-13": {"3/8 in -> nm (exact)", lengthIn("3/8 in", unit.Nanometre)},
	"U-14": {"13/16 in -> nm (exact)", lengthIn("13/16 in", unit.Nanometre)},
	"U-15": {"1-1/16 in -> nm (exact)", lengthIn("1-1/16 in", unit.Nanometre)},
	"U-17": {"1-3/4 in -> nm (exact)", lengthIn("1-3/4 in", unit.Nanometre)},
	"U-18": {"5 ft 6-3/4 in -> nm (exact)", lengthIn("5 ft 6-3/4 in", unit.Nanometre)},
	"U-20": {"0.001 in (1 mil) -> nm (exact)", lengthIn("0.001 in", unit.Nanometre)},
	"U-21": {"0.00001 in -> nm (exact)", lengthIn("0.00001 in", unit.Nanometre)},
	"U-24": {"largest square side whose area in nm^2 fits int64", largestSquare},
	"U-25": {"120 in x 120 in in nm^2 minus (2^63-1), sign", squareOverflowsNanometres},
	"U-27": {"100 mm -> nearest 1/64 in (numerator)", func(t *testing.T) unit.Ratio {
		l := must(unit.ParseLength("100 mm"))
		text, exact := l.Inches64()
		if exact {
			t.Errorf("100 mm is said to be exactly %s in", text)
		}
		return must(must(unit.ParseRatio(text)).Mul(unit.RatioOf(64)))
	}},
}

func TestHandbookUnits(t *testing.T) {
	checked := 0
	for _, r := range rows(t, "U-") {
		if r.Unit == "rule" {
			continue
		}
		check, ok := handbook[r.ID]
		if !ok || check.input != r.Input {
			t.Errorf("%s %q: no check for this row", r.ID, r.Input)
			continue
		}
		checked++
		t.Run(r.ID, func(t *testing.T) {
			got, want, tol := check.got(t), exact(t, r.Expected), exact(t, r.Tol)
			off := must(got.Sub(want))
			if off.Sign() < 0 {
				off = must(off.Neg())
			}
			if off.Cmp(tol) > 0 {
				t.Errorf("%s = %v %s, want %v within %v (%s: %s)", r.Input, got, r.Unit, want, tol, r.Flag, r.Source)
			}
		})
	}
	if checked != len(handbook) {
		t.Errorf("%d rows checked, %d expected", checked, len(handbook))
	}
}

// U-22 and U-23: lengths that are not whole nanometres are refused.
func TestHandbookRules(t *testing.T) {
	inputs := map[string][]string{
		"U-22": {"1/128 in"},
		"U-23": {"1/3 in", "0.000001 in"},
	}
	for _, r := range rows(t, "U-") {
		if r.Unit != "rule" {
			continue
		}
		if len(inputs[r.ID]) == 0 {
			t.Errorf("%s: no check for this rule", r.ID)
		}
		for _, in := range inputs[r.ID] {
			if !strings.Contains(r.Input, in) {
				t.Errorf("%s: the row is about %q, not %q", r.ID, r.Input, in)
			}
			if _, err := unit.ParseLength(in); !errors.Is(err, unit.ErrNotExact) {
				t.Errorf("%s: %q: error %v, want ErrNotExact", r.ID, in, err)
			}
		}
		delete(inputs, r.ID)
	}
	if len(inputs) != 0 {
		t.Errorf("rules no longer in the handbook: %v", inputs)
	}
}

func lengthIn(text string, per unit.Length) func(*testing.T) unit.Ratio {
	return func(t *testing.T) unit.Ratio {
		t.Helper()
		return must(must(unit.ParseLength(text)).Over(per))
	}
}

// largestSquare is the side, in inches, of the largest square whose area would
// fit an int64 of square nanometres: the reason Area has a coarser grain.
func largestSquare(t *testing.T) unit.Ratio {
	side := new(big.Int).Sqrt(big.NewInt(math.MaxInt64)).Int64()
	if _, err := unit.Length(side).Times(unit.Length(side)); err != nil {
		t.Errorf("an area of %v square: %v", unit.Length(side), err)
	}
	return must(unit.Length(side).Over(unit.Inch))
}

func squareOverflowsNanometres(t *testing.T) unit.Ratio {
	side := 120 * unit.Inch
	area := must(side.Times(side))
	if want := 14400 * unit.SquareInch; area != want {
		t.Errorf("120 in x 120 in = %v, want %v", area, want)
	}
	nm2 := new(big.Int).Mul(big.NewInt(int64(side)), big.NewInt(int64(side)))
	return unit.RatioOf(int64(nm2.Cmp(big.NewInt(math.MaxInt64))))
}

func rows(t *testing.T, prefix string) (found []row) {
	t.Helper()
	data, err := os.ReadFile("../../testdata/handbook/checks.json")
	if err != nil {
		t.Fatal(err)
	}
	var all []row
	if err := json.Unmarshal(data, &all); err != nil {
		t.Fatal(err)
	}
	for _, r := range all {
		if strings.HasPrefix(r.ID, prefix) {
			found = append(found, r)
		}
	}
	if len(found) == 0 {
		t.Fatalf("no %s rows in the handbook", prefix)
	}
	return found
}

// exact reads a JSON number without a float in between.
func exact(t *testing.T, number json.RawMessage) unit.Ratio {
	t.Helper()
	r, ok := new(big.Rat).SetString(string(number))
	if !ok {
		t.Fatalf("%s is not a number", number)
	}
	return must(unit.NewRatio(r.Num().Int64(), r.Denom().Int64()))
}

// must is for steps of a test that cannot fail unless the test is wrong.
func must[T any](v T, err error) T {
	if err != nil {
		panic(err)
	}
	return v
}
