package api

import (
	"os"
	"strings"
	"testing"

	"billwright/bom"
	"billwright/catalog"
	"billwright/catalog/source"
)

// metricBill is a bill of the metric workshop of bom's tests.
func metricBill(t *testing.T, product string, picks ...catalog.Pick) *bom.Bill {
	t.Helper()
	files, _ := source.ReadDir(os.DirFS("../bom/testdata/metric"))
	cat, faults := catalog.Read(files)
	if cat == nil {
		t.Fatal(faults)
	}
	config, findings := cat.Check(product, picks, cat.Workshop.Effective)
	if config == nil {
		t.Fatal(findings)
	}
	bill, _, findings := bom.Explode(cat, []bom.Line{{Number: 1, Quantity: 2, Config: config}}, false)
	if bill == nil {
		t.Fatal(findings)
	}
	return bill
}

// cells are those of a sheet's row by its head.
func cells(t *testing.T, s sheet, row int) map[string]string {
	t.Helper()
	text, err := s.bytes()
	if err != nil {
		t.Fatal(err)
	}
	rows := parseSheet(t, text)
	byHead := make(map[string]string)
	for i, head := range rows[0] {
		byHead[head] = rows[row+1][i]
	}
	return byHead
}

func TestAMetricSheetNamesMetricUnits(t *testing.T) {
	table, hide := metricBill(t, "orrin-table"), metricBill(t, "tove-bench")
	pane := metricBill(t, "vitrine-pane", catalog.Pick{Attribute: "length", Text: "1120 mm"})
	for part, of := range partSheets {
		for _, bill := range []*bom.Bill{table, hide} {
			s := of(bill)
			for _, head := range s.heads {
				for _, inch := range []string{"(in)", " in)", "(lb)", "(bf)", "(ft2)", "(yd)", "(gal)"} {
					if strings.Contains(head, inch) {
						t.Errorf("%s: head %q", part, head)
					}
				}
			}
		}
	}
	for _, c := range []struct {
		part       string
		bill       *bom.Bill
		row        int
		head, cell string
	}{
		{"steel", table, 1, "cut length (mm)", "789"},
		{"steel", table, 1, "bends", "90 deg at 150 mm, radius 60 mm, on the hearth jig; 90 deg at 544 mm, radius 60 mm, on the hearth jig"},
		{"steel", table, 1, "weight (kg)", "4.98"},
		{"wood", table, 0, "blank bought", "yes"},
		{"wood", table, 0, "lumber gross (m3)", ""},
		{"wood", table, 0, "rip width (mm)", ""},
		{"wood", table, 1, "blank bought", "no"},
		{"wood", table, 1, "lumber gross (m3)", "0.0338"},
		{"wood", table, 1, "seasonal movement (mm)", "4.5"},
		{"finish", table, 4, "liquid (L)", "0.12"},
		{"cushions", hide, 0, "cut (along x across, mm)", "4 plate 474 x 1224; 2 boxing 104 x 3324"},
		{"cloth", hide, 0, "area (m2)", "6.57"},
		{"cloth", hide, 0, "hides", "2"},
		{"cloth", hide, 0, "length (m)", ""},
		{"cloth", hide, 0, "usable width (mm)", ""},
		{"cartons", hide, 0, "gross (kg)", "20.35"},
		{"cartons", pane, 0, "freight class", ""},
		{"shipping", pane, 0, "outside length (mm)", "1188"},
		{"shipping", pane, 0, "ship", "freight"},
		{"shipping", pane, 0, "billed weight (kg)", ""},
		{"shipping", pane, 0, "safe load (kg)", ""},
		{"shipping", pane, 0, "layers that may be stacked", "10"},
		{"handling-units", pane, 0, "height (mm)", "320"}, // 144 + 2 · 86 = 316
		{"handling-units", pane, 0, "freight class", "1"},
		{"lifts", pane, 1, "lift index", "1.07"},
		{"lifts", pane, 1, "recommended limit (kg)", "11.98"},
	} {
		if got, found := cells(t, partSheets[c.part](c.bill), c.row)[c.head]; got != c.cell || !found {
			t.Errorf("%s, row %d, %s: %q (%v), want %q", c.part, c.row, c.head, got, found, c.cell)
		}
	}
}
