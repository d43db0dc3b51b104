package bom_test

import (
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"billwright/bom"
	"billwright/catalog/unit"
)

// The handbook's formula, worked by hand: 120 lb on a ring of 12 in under a top
// of 24 in of radius tips at 120·12/12 = 120 lb; three feet on the same circle
// stand 6 in off their line: 120·6/18 = 40 lb.
func TestTipLoadByHand(t *testing.T) {
	for _, c := range []struct {
		base float64
		want unit.Mass
	}{{12 * float64(unit.Inch), 120 * unit.Pound}, {bom.TipRadius(12*unit.Inch, 3), 40 * unit.Pound}} {
		got, err := bom.TipLoad(120*unit.Pound, unit.Length(math.Round(c.base)), 24*unit.Inch)
		if off := got - c.want; err != nil || off > 20 || off < -20 {
			t.Errorf("%v nm: %d ug, want %d (%v)", c.base, got, c.want, err)
		}
	}
	for feet, line := range map[int]float64{4: math.Sqrt2 / 2, 6: math.Sqrt(3) / 2} {
		if got := bom.TipRadius(unit.Metre, feet) / float64(unit.Metre); math.Abs(got-line) > 1e-12 {
			t.Errorf("%d feet: %v, want %v", feet, got, line)
		}
	}
}

// At the load that is told, the moments about the tipping line balance.
func TestTipLoadBalances(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		weight := unit.Mass(rapid.Int64Range(1, 1000).Draw(t, "weight")) * unit.Pound
		base := unit.Length(rapid.Int64Range(1, 1000).Draw(t, "base")) * unit.Inch / 8
		reach := base + unit.Length(rapid.Int64Range(1, 1000).Draw(t, "past"))*unit.Inch/8
		load, err := bom.TipLoad(weight, base, reach)
		if err != nil {
			t.Fatal(err)
		}
		if held, tips := float64(weight)*float64(base), float64(load)*float64(reach-base); tips > held || held-tips > float64(reach-base)*1.01+held*1e-12 {
			t.Fatalf("%v holds, %v tips", held, tips)
		}
	})
}

func TestTipLoadIsACautionAndNoClaim(t *testing.T) {
	bill := topOf(t, "shape=round; length=72 in; base=20 in")
	var found *bom.Caution
	for i := range bill.Cautions {
		if bill.Cautions[i].Code == "tip-load" {
			found = &bill.Cautions[i]
		}
	}
	// P = W·20/(36 - 20), W the whole unit.
	if found == nil || found.Path != "round" || math.Abs(float64(found.Load)-float64(bill.UnitWeight)*20/16) > 2 ||
		!strings.Contains(found.Says, "no test of stability") || !strings.Contains(found.Says, found.Load.In(bom.Inch)) {
		t.Errorf("caution %+v of a table of %s", found, bill.UnitWeight.In(bom.Inch))
	}
	// A load that stands over the base tips nothing.
	for _, c := range topOf(t, "shape=round; length=72 in; base=36 in").Cautions {
		if c.Code == "tip-load" {
			t.Errorf("a base as wide as the top tips: %+v", c)
		}
	}
}

func TestOverhangByHand(t *testing.T) {
	for _, c := range []struct {
		text        string
		ends, sides string
		caution     bool
	}{
		{"length=72 in; width=40 in; base=60 in", "6 in", "0 in", false},
		{"length=72 1/4 in; width=40 in; base=60 in", "6 1/8 in", "0 in", true},
		{"length=40 in; width=64 in; base=50 in", "0 in", "7 in", true},
	} {
		bill := topOf(t, c.text)
		o := bill.Wood[0].Overhang
		cautioned := false
		for _, caution := range bill.Cautions {
			cautioned = cautioned || caution.Code == "overhang" && caution.Path == "ellipse"
		}
		if o == nil || o.Ends.String() != c.ends || o.Sides.String() != c.sides || cautioned != c.caution {
			t.Errorf("%s: overhang %+v, caution %v", c.text, o, cautioned)
		}
	}
}
