package bom_test

import (
	"bytes"
	"os"
	"strings"
	"testing"

	"billwright/bom"
	"billwright/catalog"
	"billwright/catalog/calendar"
	"billwright/catalog/source"
)

// wideCatalog is the metric catalog in catalog/testdata/wide with a text
// replaced.
func wideCatalog(t testing.TB, old, with string) *catalog.Catalog {
	t.Helper()
	files, faults := source.ReadDir(os.DirFS("../catalog/testdata/wide"))
	for i := range files {
		files[i].Bytes = bytes.Replace(files[i].Bytes, []byte(old), []byte(with), 1)
	}
	cat, more := catalog.Read(files)
	for _, fault := range append(faults, more...) {
		t.Error(fault)
	}
	if cat == nil {
		t.FailNow()
	}
	return cat
}

// By hand, in mm. The light board adds 3 to length and width and 6 to the depth
// and holds 2 m outside length, width and depth together and 20 kg; the heavy one
// adds 5 and 9 and holds 5 m and 80 kg. Both have joints of 35.
//
//	bench  600: light 663 + 453 + 506 = 1622; blank 2(663 + 453) + 35 = 2267
//	            by 506 + 453 = 959: 2174053 mm2 at 500 g/m2 = 1087.0265 g
//	bench 1200: light 1263 + 453 + 506 = 2222 is too much; heavy 1265 + 455 +
//	            509 = 2229; blank 2(1265 + 455) + 35 = 3475 by 509 + 455 = 964:
//	            3349900 mm2 at 900 g/m2 = 3014.91 g
func TestTheFirstBoardThatHoldsTheCartonIsTaken(t *testing.T) {
	for _, c := range []struct {
		old, with, length string
		board, grade      string
		tare              bom.Weight
	}{
		{"", "", "600 mm", "Light board", "L", 1_087_026_500},
		{"", "", "1200 mm", "Heavy board", "H", 3_014_910_000},
		// by weight: the light board holds the size and not the load
		{"grade: L, gross: 20 kg", "grade: L, gross: 2 kg", "600 mm", "Heavy board", "H", 0},
		// in the carton's order, not in that of the boards
		{"board: [light, heavy]", "board: [heavy, light]", "600 mm", "Heavy board", "H", 0},
		{"board: [light, heavy]", "board: light", "600 mm", "Light board", "L", 1_087_026_500},
	} {
		cat := wideCatalog(t, c.old, c.with)
		bill, findings := benchBill(t, cat, c.length)
		if len(findings) > 0 {
			t.Errorf("%s: %+v", c.length, findings)
			continue
		}
		row := &bill.Lines[0].Cartons[0]
		if row.Board != c.board || row.Grade != c.grade || c.tare != 0 && row.Tare != c.tare {
			t.Errorf("%s with %q: %s %s, tare %d ug, want %s %s, %d ug", c.length, c.with, row.Board, row.Grade, row.Tare, c.board, c.grade, c.tare)
		}
	}
}

func TestACartonThatNoBoardHoldsIsRefusedByTheLast(t *testing.T) {
	cat := wideCatalog(t, "grade: H, gross: 80 kg, united: 5 m", "grade: H, gross: 80 kg, united: 2.1 m")
	bill, findings := benchBill(t, cat, "1200 mm")
	if bill != nil || len(findings) != 1 || findings[0].Code != "carton.too-large" || !strings.Contains(findings[0].Message, "Heavy board") {
		t.Errorf("got %+v", findings)
	}
}

func benchBill(t *testing.T, cat *catalog.Catalog, length string) (*bom.Bill, []catalog.Finding) {
	t.Helper()
	config, findings := cat.Check("kell-bench", []catalog.Pick{{Attribute: "cloth", Text: "wool"}, {Attribute: "length", Text: length}}, calendar.Date{Year: 2026, Month: 11, Day: 25})
	if config == nil {
		t.Fatal(findings)
	}
	bill, _, findings := bom.Explode(cat, []bom.Line{{Number: 1, Quantity: 1, Config: config}}, false)
	return bill, findings
}
