package bom_test

import (
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"billwright/bom"
	"billwright/catalog"
	"billwright/catalog/unit"
)

// bar is a section as the handbook's rows speak of it.
func bar(t testing.TB, shape, size string) unit.Area {
	t.Helper()
	l := mustLength(t, size)
	area, err := (&catalog.Section{Shape: shape, Size: &l}).CrossSection()
	if err != nil {
		t.Fatal(err)
	}
	return area
}

func parentInches(t *testing.T, length string, area, parent unit.Area) float64 {
	t.Helper()
	l, err := bom.ParentLength(mustLength(t, length), area, parent)
	if err != nil {
		t.Fatal(err)
	}
	return inches(l)
}

func taperInches(t *testing.T, length string, width, thickness float64) float64 {
	t.Helper()
	return bom.TaperParent(mustLength(t, length), width, thickness) / float64(unit.Inch)
}

func wedge(t *testing.T, _ *catalog.Catalog) float64 { return taperInches(t, "6 in", 1, 0) }

// point is how long a point 2 in of the bar make.
func point(t *testing.T, _ *catalog.Catalog) float64 { return 2 / taperInches(t, "1 in", 0, 0) }

func drawnDown(t *testing.T, _ *catalog.Catalog) float64 {
	return parentInches(t, "12 in", bar(t, "round", "1 in"), bar(t, "round", "1/2 in"))
}

func squareFromRound(t *testing.T, _ *catalog.Catalog) float64 {
	return parentInches(t, "10 in", bar(t, "square", "3/8 in"), bar(t, "round", "1/2 in"))
}

func frustum(t *testing.T, _ *catalog.Catalog) float64 {
	return taperInches(t, "12 in", 0.5, 0.5) * float64(bar(t, "square", "3/4 in")) / float64(unit.SquareInch)
}

func scaled(t *testing.T, _ *catalog.Catalog) float64 {
	l, err := bom.BeforeLoss(mustLength(t, "7 in"), mustRatio(t, "4 %"))
	if err != nil {
		t.Fatal(err)
	}
	return inches(l)
}

func upsetHead(t *testing.T, _ *catalog.Catalog) float64 {
	return parentInches(t, "3/4 in", bar(t, "square", "7/8 in"), bar(t, "square", "5/8 in"))
}

// squareFirst is the length that the smith is told to forge square.
func squareFirst(t *testing.T, _ *catalog.Catalog) float64 {
	form := rowsOf(t, anvil, "anvil", "taper=3 in")["round"].Form
	told, found := strings.CutPrefix(form, "forged square over ")
	told, _, ends := strings.Cut(told, ",")
	if !found || !ends {
		t.Fatalf("the form is %q", form)
	}
	return inches(mustLength(t, told))
}

func fahrenheit(t *testing.T, _ *catalog.Catalog) float64 {
	var heat catalog.Temperature
	if err := heat.UnmarshalText([]byte("950 C")); err != nil {
		t.Fatal(err)
	}
	return float64(heat.Fahrenheit())
}

func scrollInches(t *testing.T, first, last string, turns float64) float64 {
	t.Helper()
	return bom.ScrollLength(mustLength(t, first), mustLength(t, last), turns) / float64(unit.Inch)
}

// meanDiameter is the rule that the program does not use.
func meanDiameter(outer, inner, turns float64) float64 {
	return math.Pi * turns * (outer + inner) / 2
}

// The rules of thumb that the handbook warns of are short.
func TestRulesOfThumbAreShort(t *testing.T) {
	true40 := scrollInches(t, "0.75 in", "2.75 in", 1.5)
	rule := meanDiameter(5.5, 1.5, 1.5)
	if short := (true40 - rule) / rule; math.Abs(rule-16.4934) > 0.0001 || math.Abs(short-0.0083) > 0.00005 {
		t.Errorf("an open scroll is %v in, by the mean diameter %v in: %.3f %% short, want 0.83 %%", true40, rule, 100*short)
	}
	// Simpson's rule over the arc, apart from the closed form.
	b, n, sum := 2/(3*math.Pi), 2000, 0.0
	h := 3 * math.Pi / float64(n)
	for i := range n + 1 {
		weight := 2.0 + 2*float64(i%2)
		if i == 0 || i == n {
			weight = 1
		}
		sum += weight * math.Hypot(0.75+b*h*float64(i), b)
	}
	if integral := sum * h / 3; math.Abs(integral-true40) > 1e-7 {
		t.Errorf("the arc integrates to %v in, the closed form gives %v in", integral, true40)
	}
	if divided := scaled(t, nil); math.Abs(divided-7*1.04-0.0117) > 0.0001 {
		t.Errorf("7 in before 4 %% scale is %v in; 7 · 1.04 should be 0.0117 in short", divided)
	}
	// One turn of no pitch is a circle; a hoop of four corners and no straights too.
	if got, want := bom.ScrollLength(unit.Inch, unit.Inch, 1), 2*math.Pi*float64(unit.Inch); math.Abs(got-want) > 1 {
		t.Errorf("a closed coil of 1 in is %v nm, want %v", got, want)
	}
	hoop, ring := bom.HoopLength(12*unit.Inch, 12*unit.Inch, unit.Inch, 11*unit.Inch/2), bom.RingLength(12*unit.Inch, unit.Inch)
	if math.Abs(hoop-ring) > 1 {
		t.Errorf("a hoop that is a circle is %v nm, a ring %v nm", hoop, ring)
	}
}

// Steel is neither made nor lost but as scale: the stock's mass is the piece's
// and the scale's.
func TestForgingKeepsTheSteel(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		length := anyLength(t, "length", 10*unit.Millimetre, 2*unit.Metre)
		loss, err := unit.NewRatio(int64(rapid.IntRange(0, 499).Draw(t, "loss")), 1000)
		if err != nil {
			t.Fatal(err)
		}
		stock, err := bom.BeforeLoss(length, loss)
		if err != nil {
			t.Fatal(err)
		}
		scale := float64(stock) * float64(loss.Num()) / float64(loss.Den())
		if off := float64(stock) - scale - float64(length); math.Abs(off) > 1 {
			t.Fatalf("%s of stock less %s scale leave %v nm off %s", stock, loss, off, length)
		}
		small := anyLength(t, "bar", 5*unit.Millimetre, 30*unit.Millimetre)
		large := anyLength(t, "head", small, 2*small)
		barArea, headArea := areaOf(t, small), areaOf(t, large)
		consumed, err := bom.ParentLength(length, headArea, barArea)
		if err != nil {
			t.Fatal(err)
		}
		in, out := float64(consumed)*float64(barArea), float64(length)*float64(headArea)
		if math.Abs(in-out) > 1e-12*out+float64(barArea) || consumed < length {
			t.Fatalf("a head of %s by %s from %s by %s: %v in, %v out", length, large, consumed, small, in, out)
		}
	})
}

// A taper's volume, summed over many thin slices, is its parent's.
func TestTapersKeepTheSteel(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		taper := anyLength(t, "taper", 10*unit.Millimetre, unit.Metre)
		width, thickness := rapid.Float64Range(0, 1).Draw(t, "width"), rapid.Float64Range(0, 1).Draw(t, "thickness")
		const slices = 1000
		volume := 0.0
		for i := range slices {
			x := (float64(i) + 0.5) / slices
			volume += (1 - (1-width)*x) * (1 - (1-thickness)*x) / slices
		}
		got, want := bom.TaperParent(taper, width, thickness), volume*float64(taper)
		if math.Abs(got-want) > 1e-6*float64(taper) {
			t.Fatalf("a taper of %s to %v by %v takes %v nm of bar, its slices %v nm", taper, width, thickness, got, want)
		}
	})
}

func areaOf(t *rapid.T, side unit.Length) unit.Area {
	area, err := side.Times(side)
	if err != nil {
		t.Fatal(err)
	}
	return area
}
