package main

import (
	"bytes"
	"os"
	"strings"
	"testing"
	"time"

	"billwright/bom"
	"billwright/bom/order"
	"billwright/catalog"
	"billwright/catalog/source"
)

// metricShop is the metric workshop of bom's tests.
func metricShop(t *testing.T) *catalog.Catalog {
	t.Helper()
	files, _ := source.ReadDir(os.DirFS("../../bom/testdata/metric"))
	cat, faults := catalog.Read(files)
	if cat == nil {
		t.Fatal(faults)
	}
	return cat
}

// printed is the order's text with runs of spaces made one.
func printed(t *testing.T, cat *catalog.Catalog, dealer string, lines ...order.DraftLine) string {
	t.Helper()
	o, findings := order.Reckon(cat, &order.Draft{Dealer: dealer, PO: "P-1", Lines: lines}, time.Date(2027, 5, 3, 8, 0, 0, 0, time.UTC))
	if o == nil {
		t.Fatal(findings)
	}
	document, err := o.Bill.Document()
	if err != nil {
		t.Fatal(err)
	}
	d := o.Document(bom.Hash(document))
	var out bytes.Buffer
	if err := printOrder(&out, &d, o.Bill); err != nil {
		t.Fatal(err)
	}
	rows := strings.Split(out.String(), "\n")
	for i := range rows {
		rows[i] = strings.Join(strings.Fields(rows[i]), " ")
	}
	return "\n" + strings.Join(rows, "\n") + "\n"
}

func TestAMetricOrderIsPrintedInMetricUnits(t *testing.T) {
	text := printed(t, metricShop(t), "fell-and-tarn",
		order.DraftLine{Product: "orrin-table", Quantity: "2", Picks: []catalog.Pick{{Attribute: "top", Text: "smoked walnut"}}},
		order.DraftLine{Product: "tove-bench", Quantity: "2"},
		order.DraftLine{Product: "tove-bench", Quantity: "3", Picks: []catalog.Pick{{Attribute: "cloth", Text: "bracken-check"}}})
	for _, row := range []string{
		"4 789 mm 788.5 mm 16 mm round bar square, square Foot (bend 90° on 60 mm at 150 mm, on the hearth jig; bend 90° on 60 mm at 544 mm, on the hearth jig)",
		"2 1620 mm x 710 mm bought smoked walnut (reckoned as Elm panel) 1600 mm x 700 mm x 24 mm 4600 mm eased", // neither strips nor lumber
		"2 1220 mm x 260 mm 32-mm Larch one piece 1200 mm x 250 mm x 24 mm 0.0203 m3 0.0338 m3 2900 mm square",
		"2 round 250 mm 10 mm 10 mm clear tempered glass polished tempered: a horizontal pane under 1100 mm 2.45 kg",
		"base 3 cure 2 0.61 m2 1 h", // a wait takes no minutes, and says none
		"Tan hide 6.57 m2 in 2 hides",
		"Bracken check 1400 mm 320 mm 3676 mm 4.50 m",
		"2 1700 mm x 800 mm x 200 mm 5067 mm x 1024 mm Crate 45.30 kg 151.98 kg/m3 1", // board and grade are one word
	} {
		if !strings.Contains(text, "\n"+row+"\n") {
			t.Errorf("no row %q in%s", row, text)
		}
	}
}

func TestAnInchOrderIsPrintedInInchUnits(t *testing.T) {
	files, _ := source.ReadDir(os.DirFS("../../catalog/demonstration"))
	cat, faults := catalog.Read(files)
	if cat == nil {
		t.Fatal(faults)
	}
	text := printed(t, cat, "studio-tamsel", order.DraftLine{Product: "lodden-round", Quantity: "1", Picks: []catalog.Pick{{Attribute: "top", Text: "wood"}, {Attribute: "diameter", Text: "42 in"}}})
	if !strings.Contains(text, " round 42 in x 1 1/4 in ") {
		t.Errorf("no round top in%s", text)
	}
	if strings.Contains(text, "0.0 min") || strings.Contains(text, " mm") || strings.Contains(text, " kg") {
		t.Errorf("not as an inch shop reads it:%s", text)
	}
}
