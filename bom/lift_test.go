package bom_test

import (
	"strings"
	"testing"

	"billwright/bom"
	"billwright/catalog"
	"billwright/catalog/source"
	"billwright/catalog/unit"
)

// By hand: each lift by its multipliers.
func TestLiftLimitsByHand(t *testing.T) {
	inch, mm := unit.Inch, unit.Millimetre
	one := unit.RatioOf(1)
	for _, c := range []struct {
		lift   catalog.Lift
		metric bool
		want   string
	}{
		{*ideal(), false, "51.00 lb"},
		// 51 · 10/15 · (1 - 0.0075 · 24) · (0.82 + 1.8/24) · (1 - 0.0032 · 45) · 0.94 · 0.95
		{catalog.Lift{Horizontal: 15 * inch, Vertical: 6 * inch, Travel: 24 * inch, Angle: unit.RatioOf(45), Coupling: "fair", Frequency: mustRatio(t, "0.94")}, false, "19.07 lb"},
		// fair is as good as good from 30 in on: 51 · 10/15 · 0.91
		{catalog.Lift{Horizontal: 15 * inch, Vertical: 30 * inch, Travel: 20 * inch, Coupling: "fair", Frequency: one}, false, "30.94 lb"},
		// nearer than 10 in and shorter than 10 in count as that; poor 0.90
		{catalog.Lift{Horizontal: 4 * inch, Vertical: 30 * inch, Travel: inch, Coupling: "poor", Frequency: one}, false, "45.90 lb"},
		// over 30 in as under it: 51 · (1 - 0.0075 · 20)
		{catalog.Lift{Horizontal: 10 * inch, Vertical: 50 * inch, Travel: 10 * inch, Coupling: "good", Frequency: one}, false, "43.35 lb"},
		// 23 · 25/40 · (1 - 0.003 · 15) · (0.82 + 4.5/30) · 0.90
		{catalog.Lift{Horizontal: 400 * mm, Vertical: 900 * mm, Travel: 300 * mm, Coupling: "poor", Frequency: one}, true, "11.98 kg"},
		// 23 kg and 51 lb are not the same: the metric form is an equation of its own
		{catalog.Lift{Horizontal: 250 * mm, Vertical: 750 * mm, Travel: 250 * mm, Coupling: "good", Frequency: one}, true, "23.00 kg"},
	} {
		limit, err := bom.LiftLimit(&c.lift, c.metric)
		units := bom.Inch
		if c.metric {
			units = bom.Metric
		}
		if err != nil || bom.Weight(limit).In(units) != c.want {
			t.Errorf("%+v: %s, %v; want %s", c.lift, bom.Weight(limit).In(units), err, c.want)
		}
	}
}

// N-05: over 1 two persons or a device, over 3 another way of lifting. Four panes
// and their carton weigh 52.10 lb of 51: 1.0216, rounded up; two 26.77 lb.
func TestCautionsByTheLiftIndex(t *testing.T) {
	for _, c := range []struct {
		panes       int
		index, code string
		says        string
	}{
		{2, "0.53", "", ""},
		{4, "1.03", "two-person-lift", "lift index 1.03, 52.10 lb where the lifting equation gives one person 51.00 lb easily."},
		{20, "5.00", "lift-redesign", "Use a hoist or lift table"},
	} {
		line, _, findings := boxed(t, loose, snug, 1, c.panes)
		if line == nil {
			t.Fatal(findings)
		}
		if l := line.Lifts[0]; l.Index != c.index || l.Path != "carton/box/lift" || line.Cartons[0].TwoLift != (c.code != "") {
			t.Errorf("%d panes: %+v", c.panes, l)
		}
		code, says := "", ""
		for _, caution := range line.Cautions {
			if strings.Contains(caution.Code, "lift") {
				code, says = code+caution.Code, caution.Says
			}
		}
		if code != c.code || !strings.Contains(says, c.says) {
			t.Errorf("%d panes carry %q: %s", c.panes, code, says)
		}
	}
}

// A lift that leaves nothing is refused, not divided by.
func TestALiftThatLeavesNothingIsRefused(t *testing.T) {
	// turned by 135 degrees 0.568, but from 163 1/3 in nothing is left; the catalog
	// takes up to 70 in, so that a share of 1/10^15 stands for it
	nothing := catalog.Lift{Horizontal: 25 * unit.Inch, Travel: 70 * unit.Inch, Vertical: 70 * unit.Inch, Angle: unit.RatioOf(135), Coupling: "poor", Frequency: mustRatio(t, "1/1000000000000000")}
	if limit, err := bom.LiftLimit(&nothing, false); limit != 0 || err != nil {
		t.Errorf("%s, %v", limit, err)
	}
	text := strings.NewReplacer("SHIP", loose, "ENVELOPE", snug+", "+sized, "coupling: good, frequency: 1,", "coupling: good, frequency: 1/1000000000000000,").Replace(boxes)
	cat := readWith(t, text)
	config, _ := cat.Check("panes", nil, cat.Workshop.Effective)
	bill, _, findings := bom.Explode(cat, []bom.Line{{Number: 1, Quantity: 1, Config: config}}, false)
	if bill != nil || len(findings) != 1 || findings[0].Code != "lift.none" {
		t.Errorf("%+v", findings)
	}
}

// The index of a part is that of one piece with all below it.
func TestAPartIsLiftedByThePiece(t *testing.T) {
	cat := read(t)
	table := explode(t, cat, 3, "brackwater-work-table", "").Lines[0]
	top, base := table.Lifts[0], table.Lifts[1]
	// 60 · 30 · 1 3/4 / 1728 · 47 = 85.68 lb
	if top.Path != "top/lift" || top.Weight.In(bom.Inch) != "85.68 lb" || base.Path != "base/lift" {
		t.Errorf("%+v, %+v", top, base)
	}
	steel := bom.Weight(0)
	for _, row := range table.Steel {
		steel += row.Weight / 3
	}
	if tabs := base.Weight - steel; tabs < 0 || tabs.In(bom.Inch) != "1.00 lb" { // ten of 0.1 lb
		t.Errorf("the base weighs %s, its steel %s", base.Weight.In(bom.Inch), steel.In(bom.Inch))
	}
}

// The metric twin of two_person_lift: a mass instead of a number of pounds.
func TestTwoPersonLiftAsAMass(t *testing.T) {
	files, _ := source.ReadDir(metricFiles())
	for i := range files {
		files[i].Bytes = []byte(strings.Replace(string(files[i].Bytes), "two_person_lift: {ratio: 51,", "two_person_lift: {mass: 23 kg,", 1))
	}
	cat, faults := catalog.Read(files)
	if cat == nil {
		t.Fatal(faults)
	}
	if limit, err := cat.TwoPersonLift(); limit != 23*unit.Kilogram || err != nil {
		t.Errorf("%s, %v", limit, err)
	}
	if limit, err := metricShop(t).TwoPersonLift(); limit != 51*unit.Pound || err != nil {
		t.Errorf("%s, %v", limit, err)
	}
}
