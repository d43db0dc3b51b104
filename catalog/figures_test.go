package catalog_test

import (
	"slices"
	"strings"
	"testing"

	"billwright/catalog"
	"billwright/catalog/source"
	"billwright/catalog/unit"
)

func TestDensity(t *testing.T) {
	for text, cubicFoot := range map[string]string{
		"490 lb/ft3": "490.0000", "0.2833 lb/in3": "489.5424", "7850 kg/m3": "490.0595", "7.85 g/cm3": "490.0595",
	} {
		var d catalog.Density
		if err := d.UnmarshalText([]byte(text)); err != nil {
			t.Errorf("%s: %v", text, err)
			continue
		}
		if m, err := d.Mass(unit.CubicFoot); err != nil || m.Pounds(4) != cubicFoot {
			t.Errorf("%s: a cubic foot is %s lb, %v, want %s", text, m.Pounds(4), err, cubicFoot)
		}
	}
}

func TestWeightsByLengthAndArea(t *testing.T) {
	var line catalog.LinearMass
	var sheet catalog.AreaMass
	for _, err := range []error{line.UnmarshalText([]byte("2.38 kg/m")), sheet.UnmarshalText([]byte("0.14 lb/ft2"))} {
		if err != nil {
			t.Fatal(err)
		}
	}
	if m, err := line.Mass(2 * unit.Metre); err != nil || m.Kilograms(3) != "4.760" {
		t.Errorf("2 m at 2.38 kg/m: %v, %v", m, err)
	}
	if m, err := sheet.Mass(10 * unit.SquareFoot); err != nil || m.Pounds(3) != "1.400" {
		t.Errorf("10 ft2 at 0.14 lb/ft2: %v, %v", m, err)
	}
}

func TestFiguresThatAreRefused(t *testing.T) {
	var d catalog.Density
	var l catalog.LinearMass
	var a catalog.AreaMass
	for text, err := range map[string]error{
		"490":         d.UnmarshalText([]byte("490")),
		"490 lb":      d.UnmarshalText([]byte("490 lb")),
		"0 lb/ft3":    d.UnmarshalText([]byte("0 lb/ft3")),
		"1,5 lb/ft":   l.UnmarshalText([]byte("1,5 lb/ft")),
		"-1 lb/ft":    l.UnmarshalText([]byte("-1 lb/ft")),
		"0.14 lb/ft3": a.UnmarshalText([]byte("0.14 lb/ft3")),
	} {
		if err == nil {
			t.Errorf("%s is taken", text)
		}
	}
}

// A chain takes each discount off what the one before left: 50/10 leaves 0.45,
// not 0.40.
func TestTerms(t *testing.T) {
	for text, left := range map[string]string{"50/10": "9/20", "list": "1", "40": "3/5", "50/10/5": "171/400", "0": "1", "33.3": "667/1000"} {
		var terms catalog.Terms
		if err := terms.UnmarshalText([]byte(text)); err != nil || terms.Multiplier().String() != left || terms.String() != text {
			t.Errorf("%s: %s leaves %s, %v, want %s", text, terms, terms.Multiplier(), err, left)
		}
	}
	for _, text := range []string{"", "50/", "100", "-5", "50/110", "half", "50\\10"} {
		var terms catalog.Terms
		if err := terms.UnmarshalText([]byte(text)); err == nil || !strings.Contains(err.Error(), "terms") {
			t.Errorf("terms %q: %v, want a refusal", text, err)
		}
	}
}

// where an interval ends decides a price: the class of "up to 72 in" holds
// 72 in, that of "over 72 in" does not.
func TestConditionsOfLengths(t *testing.T) {
	for _, k := range []struct{ condition, met, unmet string }{
		{"up to 72 in", "48 in; 72 in", "72 1/16 in; 90 in"},
		{"over 72 in", "72 1/16 in; 96 in", "48 in; 72 in"},
		{"at least 72 in", "72 in; 96 in", "71 15/16 in; 48 in"},
		{"over 60 in up to 72 in", "60 1/16 in; 72 in", "60 in; 72 1/16 in"},
		{"at least 60 in up to 72 in", "60 in; 72 in; 1524 mm", "59 15/16 in; 72 1/16 in"},
		{"[60 in, 72 in]", "60 in; 5 ft; 72 in", "66 in"},
		{"72 in", "72 in; 6 ft", "60 in"},
		{"under 72 in", "48 in; 71 15/16 in", "72 in; 96 in"},
		{"over 60 in under 72 in", "60 1/16 in; 71 15/16 in", "60 in; 72 in"},
		{"at least 60 in under 72 in", "60 in; 66 in", "59 15/16 in; 72 in"},
	} {
		c := read(t, edit(t, small(t), change{"where: {length: up to 72 in}", "where: {length: " + k.condition + "}"},
			change{"where: {length: over 72 in up to 90 in}, list: 2600.00", "list: 1.00"}))
		for _, want := range []struct {
			lengths string
			first   bool
		}{{k.met, true}, {k.unmet, false}} {
			for l := range strings.SplitSeq(want.lengths, ";") {
				cfg, findings := c.Check("tarn-table", with("width=24 in; length="+l), today)
				if cfg == nil {
					t.Fatalf("%s: %+v", l, findings)
				}
				quote, _ := c.Price(cfg, "friend", today)
				if (quote.Lines[0].List == 199999) != want.first {
					t.Errorf("%s: %s is met %v, want %v", k.condition, l, !want.first, want.first)
				}
			}
		}
	}
}

func TestConditionsOfWholeNumbers(t *testing.T) {
	for condition, met := range map[string]string{
		"up to 1": "01", "under 1": "0", "over 1": "23", "at least 1": "123", "over 0 up to 2": "12", "at least 1 under 3": "12", `["0", "3"]`: "03", `"2"`: "2",
	} {
		c := read(t, edit(t, small(t), change{`where: {shelves: ["1", "2", "3"]}`, "where: {shelves: " + condition + "}"}))
		got := ""
		for _, shelves := range []string{"0", "1", "2", "3"} {
			cfg, findings := c.Check("tarn-table", with("shelves="+shelves), today)
			if cfg == nil {
				t.Fatal(findings)
			}
			quote, _ := c.Price(cfg, "friend", today)
			if slices.ContainsFunc(quote.Lines, func(l catalog.PriceLine) bool { return l.For == "Shelf" }) {
				got += shelves
			}
		}
		if got != met {
			t.Errorf("%s is met by %q, want %q", condition, got, met)
		}
	}
}

// What a condition says is what was written, but for the canonical text of its
// lengths.
func TestConditionsComeBackAsText(t *testing.T) {
	for text, want := range map[string]string{
		"over 6 ft up to 96 in": "over 72 in up to 96 in", "at least 2 m": "at least 2000 mm", "under 30 in": "under 30 in", "up to 3": "up to 3", "walnut": "walnut",
		"overlay": "overlay", "over 2 under 9": "over 2 under 9",
	} {
		var c, again catalog.Condition
		if err := c.FromText(source.Text{Value: text}); err != nil || c.String() != want {
			t.Errorf("%q comes back as %q, %v", text, c.String(), err)
		}
		if err := again.FromText(source.Text{Value: c.String()}); err != nil || again.String() != want {
			t.Errorf("%q comes back the second time as %q, %v", text, again.String(), err)
		}
	}
}

func TestTheSchemaOfACatalogCanBeWritten(t *testing.T) {
	schema, err := source.Schema(&catalog.Plan{})
	if err != nil || !strings.Contains(string(schema), "asked_when") {
		t.Errorf("schema of %d bytes, %v", len(schema), err)
	}
}
