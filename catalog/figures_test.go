package catalog_test

import (
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
	} {
		c := read(t, edit(t, small(t), change{"where: {length: up to 72 in}", "where: {length: " + k.condition + "}"},
			change{"where: {length: over 72 in up to 90 in}, list: 2600.00", "list: 1.00"}))
		for _, want := range []struct {
			lengths string
			first   bool
		}{{k.met, true}, {k.unmet, false}} {
			for l := range strings.SplitSeq(want.lengths, ";") {
				cfg, findings := c.Check("tarn-table", with("width=24 in; length="+l))
				if cfg == nil {
					t.Fatalf("%s: %+v", l, findings)
				}
				quote, _ := c.Price(cfg, "friend")
				if (quote.Lines[0].List == 199999) != want.first {
					t.Errorf("%s: %s is met %v, want %v", k.condition, l, !want.first, want.first)
				}
			}
		}
	}
}

func TestTheSchemaOfACatalogCanBeWritten(t *testing.T) {
	schema, err := source.Schema(&catalog.Plan{})
	if err != nil || !strings.Contains(string(schema), "asked_when") {
		t.Errorf("schema of %d bytes, %v", len(schema), err)
	}
}
