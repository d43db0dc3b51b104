package bom_test

import (
	"maps"
	"slices"
	"testing"

	"billwright/bom"
	"billwright/catalog"
	"billwright/catalog/calendar"
	"billwright/catalog/unit"
)

// Rows of cartons, parcels, freight and lifting that the explosion computes.
func init() {
	maps.Copy(handbook, map[string]check{
		"K-07": {"McKee simplified: 32 ECT, 0.16 in, perimeter 84 in", compression(false), 0},
		"K-08": {"McKee exponents .4924/.5076 same box", compression(true), 0},
		"K-12": {"DIM 12x12x14 / 194", dimensional("194 in3/lb", "1 lb", "12 in", "12 in", "14 in"), 0},
		"K-13": {"DIM 20^3 / 139.4", dimensional("139.4 in3/lb", "0.01 lb", "20 in", "20 in", "20 in"), 0},
		"K-15": {"11.1x8.5x6.2 /139, each side rounded UP", ground(calendar.Date{Year: 2025, Month: 8, Day: 18}), 0},
		"K-16": {"same, nearest-inch (old rule)", ground(calendar.Date{Year: 2025, Month: 8, Day: 17}), 0},
		// R-06 speaks of the same 600 lb in 128 ft3 as R-07.
		"R-06": {"class on the old 11-step scale", func(t *testing.T, cat *catalog.Catalog) float64 {
			return asNumber(t, bom.FreightClass(600*unit.Pound, 128*unit.CubicFoot, cat.Freight.On(calendar.Date{Year: 2025, Month: 7, Day: 18}).Classes))
		}, 0},
		// 0.93 is of a lift 23 1/3 cm from 75 cm, and 0.71 of one turned by 90.625
		// degrees.
		"N-02": {"23x1.00x.93x1.00x.71x.13x1.00", func(t *testing.T, _ *catalog.Catalog) float64 {
			l := catalog.Lift{Horizontal: 250 * unit.Millimetre, Vertical: 983_333_333, Travel: 250 * unit.Millimetre, Angle: mustRatio(t, "90.625"), Coupling: "good", Frequency: mustRatio(t, "0.13")}
			limit, err := bom.LiftLimit(&l, true)
			if err != nil {
				t.Fatal(err)
			}
			return float64(limit) / float64(unit.Kilogram)
		}, 0},
		"N-03": {"ideal lift", func(t *testing.T, _ *catalog.Catalog) float64 {
			limit, err := bom.LiftLimit(ideal(), false)
			if err != nil {
				t.Fatal(err)
			}
			return float64(limit) / float64(unit.Pound)
		}, 0},
		"N-04": {"AM at 90 deg", func(t *testing.T, _ *catalog.Catalog) float64 {
			turned := ideal()
			turned.Angle = unit.RatioOf(90)
			return bom.MultipliersOf(turned, false).Asymmetry
		}, 0},
	})
}

// ideal is the lift of which every multiplier is 1.
func ideal() *catalog.Lift {
	return &catalog.Lift{Horizontal: 10 * unit.Inch, Vertical: 30 * unit.Inch, Travel: 10 * unit.Inch, Coupling: "good", Frequency: unit.RatioOf(1)}
}

func crush(t fataler, text string) (e catalog.EdgeCrush) {
	t.Helper()
	if err := e.UnmarshalText([]byte(text)); err != nil {
		t.Fatalf("%v", err)
	}
	return e
}

func compression(exponents bool) func(*testing.T, *catalog.Catalog) float64 {
	return func(t *testing.T, _ *catalog.Catalog) float64 {
		strength, err := bom.Compression(crush(t, "32 lb/in"), mustLength(t, "0.16 in"), 84*unit.Inch, exponents)
		if err != nil {
			t.Fatal(err)
		}
		return float64(strength) / float64(unit.Pound)
	}
}

func dimensional(divisor, to, length, width, height string) func(*testing.T, *catalog.Catalog) float64 {
	return func(t *testing.T, _ *catalog.Catalog) float64 {
		step, err := unit.ParseMass(to)
		if err != nil {
			t.Fatal(err)
		}
		rule := catalog.ParcelRule{Sides: catalog.Rounding{Mode: "up", To: unit.Inch}, Weights: step}
		if err := rule.Divisor.UnmarshalText([]byte(divisor)); err != nil {
			t.Fatal(err)
		}
		return billed(t, &rule, mustLength(t, length), mustLength(t, width), mustLength(t, height))
	}
}

// ground is what the demonstration's carrier counts a box of 11.1 x 8.5 x 6.2 in
// for on a day.
func ground(day calendar.Date) func(*testing.T, *catalog.Catalog) float64 {
	return func(t *testing.T, cat *catalog.Catalog) float64 {
		terms, found := cat.Parcels.Get("ground")
		if !found {
			t.Fatal("no parcel terms ground")
		}
		return billed(t, terms.On(day), mustLength(t, "11.1 in"), mustLength(t, "8.5 in"), mustLength(t, "6.2 in"))
	}
}

func billed(t *testing.T, rule *catalog.ParcelRule, outside ...unit.Length) float64 {
	t.Helper()
	sides, err := bom.RoundedSides([3]unit.Length(outside), rule)
	if err != nil {
		t.Fatal(err)
	}
	weight, err := bom.DimensionalWeight(sides, rule)
	if err != nil {
		t.Fatal(err)
	}
	return float64(weight) / float64(unit.Pound)
}

// Rows in words about cartons, freight and lifting.
func TestHandbookShippingRules(t *testing.T) {
	cat := read(t)
	for code, board := range cat.Boards.All() {
		if board.Joint < unit.Inch {
			t.Errorf("K-05: the joint of %s is %s, want 1 in or more", code, board.Joint)
		}
	}
	// K-06: B 3 mm; A 5 and C 4 mm.
	for code, want := range map[string]unit.Length{"single-b": 3 * unit.Millimetre, "double-ac": 9 * unit.Millimetre} {
		if board, _ := cat.Boards.Get(code); *board.Caliper != want {
			t.Errorf("K-06: %s is %s thick, want %s", code, board.Caliper, want)
		}
	}
	// K-09 (from memory): a safety factor of 3 to 5.
	for code, h := range cat.Handling.All() {
		if f := h.Stacking.Factor; f != nil && (f.Cmp(unit.RatioOf(3)) < 0 || f.Cmp(unit.RatioOf(5)) > 0) {
			t.Errorf("K-09: %s has a safety factor of %s", code, f)
		}
	}
	// K-17: divisor 139.
	if terms, _ := cat.Parcels.Get("ground"); terms.Rules[1].Divisor.String() != "139 in3/lb" {
		t.Errorf("K-17: divisor %s", terms.Rules[1].Divisor)
	}
	// what no density comes to.
	for _, off := range []string{"77.5", "110", "200", "500"} {
		if slices.ContainsFunc(cat.Freight.Classes, func(c catalog.FreightClass) bool { return c.Class == off }) || len(cat.Freight.Classes) != 13 {
			t.Errorf("R-30: class %s stands on the scale of %d steps", off, len(cat.Freight.Classes))
		}
	}
	// 48 x 40 in, up to 60 in.
	if p, _ := cat.Pallets.Get("standard"); *p.Length != 48*unit.Inch || *p.Width != 40*unit.Inch || p.Highest != 60*unit.Inch {
		t.Errorf("R-32: %+v", p)
	}
}

// R-33, each limit on either side.
func TestHandbookPackageTypes(t *testing.T) {
	for _, c := range []struct {
		length, width, depth string
		pounds               unit.Mass
		want                 string
	}{
		{"20 in", "20 in", "20 in", 200, "standard"},
		{"20 in", "20 in", "20 in", 201, ""},
		{"36 in", "7.2 in", "7.2 in", 50, "elongated"},
		{"35 in", "7 in", "7 in", 50, "standard"},
		{"36 in", "7.3 in", "7.2 in", 50, "standard"},
		{"7.2 in", "36 in", "7.2 in", 50, "elongated"}, // whichever side is called length
		{"32 in", "32 in", "8 in", 50, "flat"},
		{"33 in", "33 in", "8.25 in", 50, "standard"},
		{"40 in", "31 in", "8 in", 50, "standard"},
		{"20 in", "20 in", "2 in", 50, "flat"}, // 800 in3
		{"20 in", "19 in", "2 in", 50, "standard"},
		{"100 in", "20 in", "5 in", 50, "elongated"}, // flat as well
		{"100 in", "20 in", "5 in", 300, "elongated"},
	} {
		sides := [3]unit.Length{mustLength(t, c.length), mustLength(t, c.width), mustLength(t, c.depth)}
		if got := bom.PackageType(sides, c.pounds*unit.Pound); got != c.want {
			t.Errorf("R-33: %s x %s x %s, %d lb: %q, want %q", c.length, c.width, c.depth, c.pounds, got, c.want)
		}
	}
}

// Surprises 8 to 10 and 15, through an explosion.
func TestHandbookShippingSurprises(t *testing.T) {
	cat := read(t)
	shipped := func(day calendar.Date, product, text string) *bom.LineBill {
		config, findings := cat.Check(product, picks(text), day)
		if config == nil {
			t.Fatal(findings)
		}
		bill, _, findings := bom.Explode(cat, []bom.Line{{Number: 1, Quantity: 1, Config: config}}, false)
		if bill == nil {
			t.Fatal(findings)
		}
		return &bill.Lines[0]
	}
	before, after := calendar.Date{Year: 2025, Month: 7, Day: 18}, calendar.Date{Year: 2025, Month: 7, Day: 19}
	// 8. The base of a work table of 48 x 24 x 40 in comes to 4 to 6 lb/ft3.
	old, now := shipped(before, "brackwater-work-table", "length=48 in; width=24 in; height=30 in").Units[1], shipped(after, "brackwater-work-table", "length=48 in; width=24 in; height=30 in").Units[1]
	if old.Density != now.Density || old.Class != "150" || now.Class != "175" || old.Scale != "2000-01-01" || now.Scale != "2025-07-19" {
		t.Errorf("surprise 8: %s class %s from %s, then %s class %s from %s", old.Density, old.Class, old.Scale, now.Density, now.Class, now.Scale)
	}
	// 9. A shelf of 24 in: outside 27 1/4 x 11 1/4 x 6 31/64 in. To the nearest
	// inch 27 x 11 x 6 = 1782, / 139 = 12.8; up 28 x 12 x 7 = 2352, / 139 = 16.9.
	nearest, up := shipped(calendar.Date{Year: 2025, Month: 8, Day: 17}, "quarle-wall-shelf", "").Cartons[0].Parcel, shipped(calendar.Date{Year: 2025, Month: 8, Day: 18}, "quarle-wall-shelf", "").Cartons[0].Parcel
	if nearest.Billed != bom.Weight(13*unit.Pound) || up.Billed != bom.Weight(17*unit.Pound) {
		t.Errorf("surprise 9: %+v, then %+v", nearest, up)
	}
	// 10. 48 ECT double wall holds up to 95 in outside, not 105. A rail of 74 in has
	// 78 + 8 + 8 1/2 in inside and is, with its boards, over 95 in.
	for length, grade := range map[string]string{"71 in": "48 ECT", "74 in": "51 ECT"} {
		row := shipped(after, "wenlow-coat-rail", "length="+length).Cartons[0]
		united := row.Outside.Length + row.Outside.Width + row.Outside.Depth
		if row.Grade != grade || (united <= 95*unit.Inch) != (grade == "48 ECT") {
			t.Errorf("surprise 10: %s outside in %s, want %s", united, row.Grade, grade)
		}
	}
	// 15. The two forms differ by some percent.
	simple, powers := compression(false)(t, cat), compression(true)(t, cat)
	if gap := 1 - powers/simple; gap < 0.046 || gap > 0.047 {
		t.Errorf("surprise 15: %v and %v lb", simple, powers)
	}
}
