package bom_test

import (
	"slices"
	"strings"
	"testing"

	"billwright/bom"
	"billwright/catalog"
	"billwright/catalog/demonstration"
)

// Any part of any product can be made by itself: it asks for nothing but its own
// rows and the finish of what is around it, and one piece of it weighs what one
// piece of the whole does.
func TestAPartIsMadeByItself(t *testing.T) {
	cat, faults := catalog.Read(demonstration.Files())
	if faults != nil {
		t.Fatal(faults)
	}
	for code := range cat.Products.All() {
		config, findings := cat.Check(code.Value, nil, cat.Workshop.Effective)
		if len(findings) > 0 {
			continue
		}
		whole, _, findings := bom.Explode(cat, []bom.Line{{Number: 1, Quantity: 1, Config: config}}, false)
		if len(findings) > 0 {
			continue
		}
		inWhole := map[string]bool{}
		for _, m := range whole.Materials() {
			inWhole[m.Kind+" "+m.Path] = true
		}
		for _, part := range bom.Parts(cat, config) {
			bill, _, findings := bom.Explode(cat, []bom.Line{{Number: 1, Quantity: 2, Config: config, Part: part.Path}}, false)
			if len(findings) > 0 {
				t.Errorf("%s of %s: %s", part.Path, code.Value, findings[0].Message)
				continue
			}
			for _, m := range bill.Materials() {
				under := m.Path == part.Path || strings.HasPrefix(m.Path, part.Path+"/")
				finish := strings.Contains(m.Path, "/finish/") && strings.HasPrefix(part.Path, m.Path[:strings.Index(m.Path, "/finish/")])
				carton := strings.HasPrefix(m.Path, "carton/")
				if !under && !finish && !carton {
					t.Errorf("%s of %s asks for %s %s", part.Path, code.Value, m.Kind, m.Path)
				}
				// Cloth is summed under the first cushion of the line.
				if under && m.Kind != bom.KindCloth && !inWhole[m.Kind+" "+m.Path] {
					t.Errorf("%s of %s has a row that the whole has not: %s %s", part.Path, code.Value, m.Kind, m.Path)
				}
			}
			line := bill.Lines[0]
			for _, row := range line.Steel {
				i := slices.IndexFunc(whole.Lines[0].Steel, func(w bom.SteelRow) bool { return w.Path == row.Path })
				if i < 0 {
					t.Errorf("%s of %s has no row %s in the whole", part.Path, code.Value, row.Path)
					continue
				}
				// One unit of the whole has as many as the part's count times those in it.
				if want := whole.Lines[0].Steel[i].Pieces * 2; row.Pieces*part.Pieces != want {
					t.Errorf("%s of %s: %d pieces of %s in 2 of %d, want %d", part.Path, code.Value, row.Pieces, row.Path, part.Pieces, want)
				}
			}
		}
	}
}

func TestAPartThatIsNotThere(t *testing.T) {
	cat, faults := catalog.Read(demonstration.Files())
	if faults != nil {
		t.Fatal(faults)
	}
	config, findings := cat.Check("sallow-bench", nil, cat.Workshop.Effective)
	if len(findings) > 0 {
		t.Fatal(findings)
	}
	_, _, findings = bom.Explode(cat, []bom.Line{{Number: 1, Quantity: 1, Config: config, Part: "base/wing"}}, false)
	if len(findings) != 1 || findings[0].Code != "part.unknown" {
		t.Errorf("%+v", findings)
	}
}
