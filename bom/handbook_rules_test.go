package bom_test

import (
	"math"
	"strings"
	"testing"

	"billwright/bom"
	"billwright/catalog"
	"billwright/catalog/demonstration"
	"billwright/catalog/source"
	"billwright/catalog/unit"
)

// Rows in words that a figure of the catalog or of a bill rests on.
func TestHandbookRules(t *testing.T) {
	cat := readWith(t, handbookProducts)
	// C-14: foam 1/4 in large on each side.
	stool := explode(t, cat, 1, "pell-stool", "cloth=own; own_width=54 in; own_repeat=0 in").Lines[0]
	if got := stool.Cushions[0].FoamSize; got.Length != mustLength(t, "16 1/2 in") || got.Height != 3*unit.Inch {
		t.Errorf("C-14: foam %+v for a cushion of 16 x 16 x 3 in", got)
	}
	// C-23 (from memory): 54 in goods give 53 in.
	if got := stool.Cloth[0].Usable; got != 53*unit.Inch {
		t.Errorf("C-23: %s usable of 54 in", got)
	}
	// C-22: cushioned seating carries its label, one for each.
	if got := stool.Hardware[1]; got.Path != "label" || got.Pieces != 1 {
		t.Errorf("C-22: label row %+v", got)
	}
	// B-34 (from memory): under 1 in is billed as 1 in.
	thin := explode(t, cat, 1, "plank", "length=143 in; width=11 1/4 in; thickness=1/2 in").Lines[0].Wood[0]
	if got := thin.Net.In(bom.Inch); got != "12.00 bf" {
		t.Errorf("B-34: %s of 1/2 in, 12 x 144 in: want 12 bf", got)
	}
	// K-10: gross weights of the board grades.
	for code, want := range map[string][]int64{"single-c": {65, 95, 120}, "double-bc": {80, 100, 120, 140, 160}} {
		board, _ := cat.Boards.Get(code)
		for i, grade := range board.Grades {
			if i >= len(want) || grade.Gross != unit.Mass(want[i])*unit.Pound {
				t.Errorf("K-10: %s %s holds %s lb", code, grade.Grade, grade.Gross.Pounds(1))
			}
		}
	}
	// D-13 to D-16 and D-21 to D-25, those of the demonstration: flat- and
	// quarter-sawn, movement by the percent and shrinkage from green to oven-dry.
	for code, want := range map[string][3]string{"white-oak": {"0.00365", "10.5 %", "5.6 %"}, "black-cherry": {"0.00248", "7.1 %", "3.7 %"},
		"black-walnut": {"0.00274", "7.8 %", "5.5 %"}, "white-ash": {"0.00274", "7.8 %", "4.9 %"}, "beech": {"0.00431", "11.9 %", "5.5 %"}} {
		s, _ := cat.Species.Get(code)
		if s.Movement != mustRatio(t, want[0]) || s.Shrinks.Flat != mustRatio(t, want[1]) || s.Shrinks.Quarter != mustRatio(t, want[2]) {
			t.Errorf("%s moves by %s, shrinks by %+v", code, s.Movement, s.Shrinks)
		}
	}
	// D-48 to D-50 and D-53: weights within 10 %.
	for code, told := range map[string]float64{"white-oak": 47, "black-walnut": 38, "black-cherry": 35, "white-ash": 42} {
		s, _ := cat.Species.Get(code)
		mass, err := s.Density.Mass(unit.CubicFoot)
		if got := float64(mass) / float64(unit.Pound); err != nil || math.Abs(got/told-1) > 0.1 {
			t.Errorf("%s weighs %v lb/ft3, told %v", code, got, told)
		}
	}
	// D-41: 4 % of moisture move flat-sawn wood by about 1 % of its width.
	for _, code := range []string{"white-oak", "black-cherry", "black-walnut", "white-ash", "beech"} {
		if share := 4 * species(code)(t, cat); share < 0.009 || share > 0.018 {
			t.Errorf("D-41: 4 %% of moisture move %s by %v", code, share)
		}
	}
	// V-09: a pane 28 to 31 in over the floor is of safety glass.
	pane := explode(t, cat, 1, "lodden-round", "").Lines[0].Glass[0]
	if pane.Safety != "tempered" || !strings.Contains(pane.Reason, "under 44 in") {
		t.Errorf("V-09: %s because %s", pane.Safety, pane.Reason)
	}
	// Ring stock = pi·(outside - bar), 12 in of 3/4 in bar: 35.343 in (MATH).
	ring := bom.RingLength(12*unit.Inch, 3*unit.Inch/4) / float64(unit.Inch)
	if math.Abs(ring-math.Pi*11.25) > 1e-9 || math.Abs(ring-35.343) > 0.0005 {
		t.Errorf("ring stock %v in, want 35.343", ring)
	}
}

// What is easily got wrong, and what it would come to.
func TestHandbookSurprises(t *testing.T) {
	cat := readWith(t, handbookProducts)
	gross := plank("length=1199 in; width=11 1/4 in; thickness=3/4 in", grossFeet)(t, cat)
	if math.Abs(gross-130) < 12 {
		t.Errorf("30 %% loss on 100 bf buys %v bf: that adds the loss, row B-30 divides by what is left", gross)
	}
	// D-31: a flooring chart prints for red oak the figure of white oak. No species
	// called red oak moves by it.
	for code, s := range cat.Species.All() {
		if strings.Contains(strings.ToLower(s.Name), "red oak") && s.Movement.Cmp(mustRatio(t, "0.00369")) != 0 {
			t.Errorf("%s moves by %s a percent: red oak does by 0.00369, and 0.00365 is white oak's", code, s.Movement)
		}
	}
	oaks := [2]float64{species("red-oak")(t, cat), species("white-oak")(t, cat)}
	if oaks[0] <= oaks[1] || math.Abs(oaks[0]-0.00369) > 1e-9 {
		t.Errorf("red and white oak move by %v", oaks)
	}
	// U-24: 120 x 120 in overflows nm2 in 64 bits, and must not here.
	big := explode(t, cat, 1, "plank", "length=120 in; width=120 in").Lines[0].Wood[0]
	if got := float64(big.Area) / float64(unit.SquareFoot); math.Abs(got-(200+480*0.75/144)) > 1e-6 {
		t.Errorf("120 x 120 in has %v ft2 on both faces and the edge, want 202.5", got)
	}
	// 4.6875 lb/ft3 was class 150 on the old scale.
	if class := bom.FreightClass(600*unit.Pound, 128*unit.CubicFoot, cat.Freight.Classes); class == "150" {
		t.Error("4.6875 lb/ft3 is class 150, which the scale of 2025-07-19 has no more")
	}
	// low <= density < high, never rounded before: 3.999 999 998 lb/ft3 shows as
	// 4.00 and is still class 250.
	under, density := bom.FreightClass(4*unit.Pound-1, unit.CubicFoot, cat.Freight.Classes), bom.Inch.Density(4*unit.Pound-1, unit.CubicFoot)
	exactly := bom.FreightClass(4*unit.Pound, unit.CubicFoot, cat.Freight.Classes)
	if under != "250" || density != "4.00 lb/ft3" || exactly != "175" {
		t.Errorf("just under 4 lb/ft3 (%s) is class %s and 4 exactly is class %s; want 250 and 175", density, under, exactly)
	}
	if class, density := bom.FreightClass(unit.Pound, 0, cat.Freight.Classes), bom.Inch.Density(unit.Pound, 0); class != "" || density != "" {
		t.Errorf("no volume has class %q", class)
	}
	// 3 nl at 0.5 g/cm3 would weigh 1.5 ug: 1 ug is under it, 2 ug is not.
	half := []catalog.FreightClass{{Below: densityOfText(t, "0.5 g/cm3"), Class: "low"}, {Class: "high"}}
	for gross, want := range map[unit.Mass]string{1: "low", 2: "high"} {
		if class := bom.FreightClass(gross, 3, half); class != want {
			t.Errorf("%d ug in 3 nl is class %s, want %s", gross, class, want)
		}
	}
	// A mass limit beyond int64 is above every mass.
	if class := bom.FreightClass(unit.Pound, math.MaxInt64, []catalog.FreightClass{{Below: densityOfText(t, "13 g/cm3"), Class: "low"}, {Class: "high"}}); class != "low" {
		t.Errorf("one pound in the largest volume is class %q", class)
	}
}

func densityOfText(t *testing.T, text string) *catalog.Density {
	t.Helper()
	var d catalog.Density
	if err := d.UnmarshalText([]byte(text)); err != nil {
		t.Fatal(err)
	}
	return &d
}

// with is the demonstration with another file in which a text is replaced.
func with(text, old, fresh string) []source.File {
	return append(demonstration.Files(), source.File{Path: "extra.yaml", Bytes: []byte(strings.ReplaceAll(text, old, fresh))})
}
