package bom_test

import (
	"encoding/json"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"billwright/bom"
	"billwright/catalog"
	"billwright/catalog/source"
	"billwright/catalog/unit"
)

// ways reads "frame/rail=splice; base/rail=stock to order".
func ways(text string) map[string]string {
	chosen := map[string]string{}
	for _, pick := range picks(text) {
		chosen[pick.Attribute] = pick.Text
	}
	return chosen
}

// withWays explodes two of a product with ways chosen, as line 1.
func withWays(t testing.TB, cat *catalog.Catalog, product, with, chosen string) (*bom.Bill, []catalog.Finding) {
	t.Helper()
	config, findings := cat.Check(product, picks(with), cat.Workshop.Effective)
	if config == nil {
		t.Fatalf("%s with %s: %v", product, with, findings)
	}
	bill, _, findings := bom.Explode(cat, []bom.Line{{Number: 1, Quantity: 2, Config: config, Ways: ways(chosen)}}, true)
	return bill, findings
}

// The bars of the metric shop give 5980 mm, and 7980 mm to order. A rail is 10
// mm shorter than the whole; the largest that needs no choice is 5990 mm, or 235
// in where it is entered in inches, since 236 in are 5994.4 mm.
func TestWaysOutOfALengthBeyondTheBar(t *testing.T) {
	const at = "/lines/0/ways/frame~1rail"
	size := func(value string) catalog.WayOut {
		return catalog.WayOut{Pointer: "/lines/0/configuration/length", Value: value, Says: "Length up to " + value}
	}
	order := catalog.WayOut{Pointer: at, Value: "stock to order", Says: "stock to order, a bar of 8000 mm in 20 working days"}
	splice := func(says string) catalog.WayOut {
		return catalog.WayOut{Pointer: at, Value: "splice", Says: "splice, welded of " + says}
	}
	cat := metricShop(t)
	for _, c := range []struct {
		with, chosen, code, pointer string
		ways                        []catalog.WayOut
	}{
		{"length=5990 mm", "", "", "", nil},
		{"length=5991 mm", "", "steel.too-long", "/lines/0", []catalog.WayOut{order, splice("2991 mm and 2990 mm"), size("5990 mm")}},
		{"length=240 in", "", "steel.too-long", "/lines/0", []catalog.WayOut{order, splice("3043 mm and 3043 mm"), size("235 in")}},
		{"length=5991 mm", "frame/rail=splice", "", "", nil},
		{"length=5991 mm", "frame/rail=stock to order", "", "", nil},
		{"length=7990 mm", "frame/rail=stock to order", "", "", nil},
		{"length=7991 mm", "frame/rail=stock to order", "way.not-offered", at, []catalog.WayOut{splice("3991 mm and 3990 mm"), size("5990 mm")}},
		{"length=16 m", "frame/rail=splice", "", "", nil},
		{"length=20 m", "frame/rail=splice", "way.not-offered", at, []catalog.WayOut{size("5990 mm")}},
		{"length=20 m", "", "steel.too-long", "/lines/0", []catalog.WayOut{size("5990 mm")}},
		{"length=5990 mm", "frame/rail=splice", "way.not-needed", at, nil},
		{"length=5991 mm", "frame/rail=glue", "way.unknown", at, nil},
		{"length=5991 mm", "frame/rail=", "way.unknown", at, nil},
		{"length=2 m", "frame=splice", "way.no-piece", "/lines/0/ways/frame", nil},
		{"length=2 m", "top/a~b=splice", "way.no-piece", "/lines/0/ways/top~1a~0b", nil},
	} {
		bill, findings := withWays(t, cat, "curlew-rail", c.with, c.chosen)
		if c.code == "" {
			if bill == nil {
				t.Errorf("%s with %s: %+v", c.with, c.chosen, findings)
			}
			continue
		}
		if len(findings) != 1 || findings[0].Code != c.code || findings[0].Pointer != c.pointer || !slices.Equal(findings[0].Ways, c.ways) {
			t.Errorf("%s with %s:\n  %+v\nwant %s at %s with %+v", c.with, c.chosen, findings, c.code, c.pointer, c.ways)
		}
	}
}

// Each way out of a finding, done as it says, makes the thing.
func TestEachWayOutIsOne(t *testing.T) {
	cat := metricShop(t)
	_, findings := withWays(t, cat, "curlew-rail", "length=7500 mm", "")
	if len(findings) != 1 || len(findings[0].Ways) != 3 {
		t.Fatalf("%+v, want one finding with three ways out", findings)
	}
	for _, way := range findings[0].Ways {
		with, chosen := "length=7500 mm", ""
		if rest, is := strings.CutPrefix(way.Pointer, "/lines/0/ways/"); is {
			chosen = strings.ReplaceAll(rest, "~1", "/") + "=" + way.Value
		} else {
			with = strings.TrimPrefix(way.Pointer, "/lines/0/configuration/") + "=" + way.Value
		}
		if bill, findings := withWays(t, cat, "curlew-rail", with, chosen); bill == nil {
			t.Errorf("%+v does not make it: %+v", way, findings)
		}
	}
}

// A size that a rule keeps out is not named as a way out: here the rail may not
// be shorter than it is deep, and it always is.
func TestASizeThatARuleKeepsOutIsNoWay(t *testing.T) {
	cat := metricShop(t, source.File{Path: "zz.yaml", Bytes: []byte(`
products:
  long-rail:
    name: Long rail
    lead_days: 1
    attributes:
      length: {name: Length, size: {from: 1000 mm, to: 9000 mm, step_inch: 1 in, step_metric: 1 mm}, default: 9000 mm}
    rules:
      long: {says: It is long., need: "length > len('7 m')"}
    parts:
      rail: {steel: {section: flat-30-6, straight: length}}
`)})
	_, findings := withWays(t, cat, "long-rail", "", "")
	if len(findings) != 1 || findings[0].Code != "steel.too-long" || len(findings[0].Ways) != 0 || !strings.HasSuffix(findings[0].Message, "; make it shorter.") {
		t.Errorf("%+v", findings)
	}
}

// What spliced pieces come to is the whole piece: its length, its mass to a
// microgram a piece, its coated area, its ends.
func TestSplicedPiecesAreTheWhole(t *testing.T) {
	cat := metricShop(t)
	section, _ := cat.Sections.Get("flat-60-8")
	rapid.Check(t, func(t *rapid.T) {
		length := rapid.Int64Range(5991, 17900).Draw(t, "length")
		bill, findings := withWaysOf(t, cat, fmt.Sprintf("length=%d mm", length), "frame/rail=splice")
		if bill == nil {
			t.Fatalf("%+v", findings)
		}
		whole := unit.Length(length-10) * unit.Millimetre
		var cut, finished unit.Length
		var mass bom.Weight
		var coated bom.Surface
		var ends []string
		n := 0
		for _, r := range bill.Lines[0].Steel {
			if !strings.HasPrefix(r.Path, "frame/rail/") {
				continue
			}
			n++
			cut, finished, mass, coated = cut+r.Cut, finished+r.Finished, mass+r.Weight, coated+r.Coated
			ends = append(ends, r.Ends)
			if r.Cut > 5980*unit.Millimetre || r.Pieces != 4 {
				t.Fatalf("piece %+v", r)
			}
		}
		if preparation := unit.Length(4*(n-1)) * unit.Millimetre; cut-preparation != whole || finished != whole {
			t.Fatalf("%d pieces of %s cut and %s finished, the whole is %s", n, cut, finished, whole)
		}
		// Mitred at 45° across 8 mm at both ends: 8 mm shorter in the middle, and cut
		// faces of root 2 times the section.
		middle := whole - 8*unit.Millimetre
		want, _ := section.Mass(middle)
		if off := unit.Mass(mass) - 4*want; off < -12 || off > 12 {
			t.Fatalf("pieces weigh %d ug, the whole %d", mass, 4*want)
		}
		around, _ := unit.Length(136 * unit.Millimetre).Times(middle)
		end, _ := section.CrossSection()
		faces := unit.Area(math.Round(2 * math.Sqrt2 * float64(end)))
		if off := unit.Area(coated) - 4*(around+faces); off < -12 || off > 12 {
			t.Fatalf("pieces have %d um2, the whole %d", coated, 4*(around+faces))
		}
		all := strings.Join(ends, " | ")
		if !strings.HasPrefix(all, "45° off square, spliced") || !strings.HasSuffix(all, "spliced, 45° off square") || n < 2 || n > 3 {
			t.Fatalf("%d pieces with the ends %s", n, all)
		}
		splices := 0
		for _, w := range bill.Lines[0].Welds {
			if strings.HasPrefix(w.Path, "frame/rail/weld/") {
				splices++
			}
		}
		if splices != n-1 {
			t.Fatalf("%d splices of %d pieces", splices, n)
		}
	})
}

// withWaysOf is withWays for rapid.
func withWaysOf(t *rapid.T, cat *catalog.Catalog, with, chosen string) (*bom.Bill, []catalog.Finding) {
	config, findings := cat.Check("curlew-rail", picks(with), cat.Workshop.Effective)
	if config == nil {
		t.Fatalf("%s: %v", with, findings)
	}
	bill, _, findings := bom.Explode(cat, []bom.Line{{Number: 1, Quantity: 2, Config: config, Ways: ways(chosen)}}, false)
	return bill, findings
}

// Places are taken as far as a bar reaches: of 60, 78 and 96 in, 96 in for a hat
// bar of 148 in, but 60 in for the rest when a place is too near the end.
func TestSplicesAtPlaces(t *testing.T) {
	cat := read(t)
	for length, want := range map[string]string{
		"150 in":     "96 in + 52 in",     // 148 in of hat bar
		"145 1/8 in": "96 in + 47 1/8 in", // 143 1/8 in: 1/8 in too long for 143 in
		"145 in":     "143 in",
		"154 in":     "96 in + 56 in",
	} {
		var got []string
		for _, r := range explode(t, cat, 1, "ternholt-rail", "length="+length).Lines[0].Steel {
			if strings.HasPrefix(r.Path, "base/hat-bar") {
				got = append(got, r.Cut.String())
			}
		}
		if strings.Join(got, " + ") != want {
			t.Errorf("a hat bar for %s is cut as %v, want %s", length, got, want)
		}
	}
}

// Stock to order stands on the row and the material with its lead; what is
// spliced has neither, and a work step is done once on the whole.
func TestStockToOrderShowsItsLead(t *testing.T) {
	cat := read(t)
	bill, findings := withWays(t, cat, "ternholt-rail", "length=150 in", "base/rail=stock to order")
	if bill == nil {
		t.Fatal(findings)
	}
	rail := bill.Lines[0].Steel[0]
	if rail.Path != "base/rail" || rail.Bar == nil || rail.Bar.Length != 192*unit.Inch || rail.Bar.LeadDays != 15 || len(rail.Work) != 1 {
		t.Errorf("rail %+v, bar %+v", rail, rail.Bar)
	}
	for _, m := range bill.Materials() {
		if want := map[bool]int{true: 15}[m.Path == "base/rail"]; m.LeadDays != want {
			t.Errorf("%s has %d days of lead, want %d", m.Path, m.LeadDays, want)
		}
	}
	bill, _ = withWays(t, cat, "ternholt-rail", "length=150 in", "")
	worked := 0
	for _, r := range bill.Lines[0].Steel {
		if strings.HasPrefix(r.Path, "base/rail/") && (r.Bar != nil || len(r.Work) > 0) {
			t.Errorf("piece %+v", r)
		}
	}
	for _, w := range bill.Lines[0].Welded {
		for _, work := range w.Work {
			if work.Work == "drill for the wall" && w.Path == "base/rail" && work.Minutes == 100 { // 2 rails of 5 min
				worked++
			}
		}
	}
	if worked != 1 {
		t.Errorf("the wall holes are drilled %d times", worked)
	}
}

// A bar that is here sooner goes before one that is shorter.
func TestTheBarThatIsHereSoonestIsTaken(t *testing.T) {
	cat := metricShop(t, source.File{Path: "zz.yaml", Bytes: []byte(`
sections:
  bar-9: {name: 9 mm bar, shape: round, size: 9 mm, stock: [{length: 7 m, lead_days: 9}, {length: 9 m, lead_days: 4}, {length: 8 m, lead_days: 4}, {length: 3 m}]}
products:
  pole:
    name: Pole
    lead_days: 1
    attributes:
      length: {name: Length, size: {from: 100 mm, to: 9000 mm, step_inch: 1 in, step_metric: 1 mm}}
    parts:
      pole: {steel: {section: bar-9, straight: length}}
`)})
	for length, want := range map[string]string{"2980 mm": "null", "2981 mm": "8000 mm 4", "7980 mm": "8000 mm 4", "7981 mm": "9000 mm 4", "8980 mm": "9000 mm 4"} {
		bill, findings := withWays(t, cat, "pole", "length="+length, "")
		if bill == nil {
			t.Fatalf("%s: %v", length, findings)
		}
		got := "null"
		if b := bill.Lines[0].Steel[0].Bar; b != nil {
			got = fmt.Sprint(bom.Metric.Length(b.Length), " ", b.LeadDays)
		}
		if got != want {
			t.Errorf("%s is cut from %s, want %s", length, got, want)
		}
	}
	if _, findings := withWays(t, cat, "pole", "length=8981 mm", ""); len(findings) != 1 || len(findings[0].Ways) != 1 || findings[0].Ways[0].Value != "8980 mm" {
		t.Errorf("8981 mm: %+v", findings)
	}
}

// A bill with welds and splices in metric units has no inch in it.
func TestMetricWeldsAreMetric(t *testing.T) {
	bill, findings := withWays(t, metricShop(t), "curlew-rail", "length=9 m", "frame/rail=splice")
	if bill == nil {
		t.Fatal(findings)
	}
	text := string(document(t, bill))
	for _, inch := range []string{" in\"", " lb\"", " ft2\"", " in,", " in2"} {
		if strings.Contains(text, inch) {
			t.Errorf("the bill has %q: %s", inch, text)
		}
	}
	var back bom.Bill
	if err := json.Unmarshal([]byte(text), &back); err != nil {
		t.Fatal(err)
	}
	if len(back.Lines[0].Welds) != len(bill.Lines[0].Welds) || len(bill.Lines[0].Welds) < 3 {
		t.Errorf("%d welds read back of %d", len(back.Lines[0].Welds), len(bill.Lines[0].Welds))
	}
}
