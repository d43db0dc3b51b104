package demonstration_test

import (
	"fmt"
	"testing"

	"billwright/bom"
	"billwright/catalog"
	"billwright/catalog/unit"
)

// made gives the bill of one line, or ends the test.
func made(t *testing.T, cat *catalog.Catalog, quantity int, product string, picks map[string]string) *bom.LineBill {
	t.Helper()
	cfg := settle(cat, product, picks)
	if cfg == nil {
		t.Fatalf("%s with %v is refused", product, picks)
	}
	bill, _, findings := bom.Explode(cat, []bom.Line{{Number: 1, Quantity: quantity, Config: cfg}}, false)
	if bill == nil {
		t.Fatalf("%s: %+v", shown(cfg), findings)
	}
	return &bill.Lines[0]
}

// Developed lengths by hand, as at the head of each product's file, to the
// nearest 1/32 in finished, and with the allowance of a ring up to 1/32 in cut.
var developed = []struct{ product, with, path, finished, cut string }{
	{"lodden-side", "", "base/top-ring", "36 1/8 in", "48 5/32 in"},                       // pi·11.5 = 36.128
	{"lodden-side", "", "base/foot-ring", "47 29/32 in", "59 15/16 in"},                   // pi·15.25 = 47.909
	{"lodden-nest", "", "base/first/frame", "53 25/32 in", "53 13/16 in"},                 // 2·19 + 9.5 + pi·2 = 53.783
	{"quarle-hall-stand", "", "base/post", "65 1/2 in", "66 27/32 in"},                    // 65.5 / 0.98 = 66.837
	{"quarle-hall-stand", "", "base/foot", "11 in", "9 7/16 in"},                          // (6 + 5·1.75/3) / 0.96 + 1/8 = 9.413
	{"quarle-hall-stand", "", "base/hoop", "34 9/16 in", "34 19/32 in"},                   // 38 - 16 + 4·pi = 34.566
	{"quarle-hall-stand", "", "base/pin", "3 in", "3 29/32 in"},                           // (2.5 + 0.5·2.25) / 0.96 + 1/8 = 3.901
	{"quarle-hall-stand", "", "base/hook", "9 15/16 in", "9 31/32 in"},                    // the arc from x 2.618 to 10.472 with b 0.19099: 9.949
	{"sorrel-wall-shelf", "", "base/bracket", "16 5/8 in", "16 5/8 in"},                   // 6.5 + 8 + 1 + pi·0.355 = 16.615
	{"sorrel-wall-shelf", "rod=bent", "base/rod", "43 9/16 in", "43 19/32 in"},            // 2·2.5 + 26 + 4·pi = 43.566
	{"garrow-candle-stand", "", "base/post", "40 in", "36 5/8 in"},                        // (32 + 2.431 + 0.589) / 0.96 + 1/8 = 36.604
	{"garrow-candle-stand", "", "base/foot", "12 in", "10 1/32 in"},                       // 9.5 / 0.96 + 1/8 = 10.021
	{"garrow-candle-stand", "", "base/arm", "8 in", "7 5/8 in"},                           // 7.25 / 0.97 + 1/8 = 7.599
	{"garrow-candle-stand", "", "base/pin", "2 1/2 in", "1 9/16 in"},                      // 1.375 / 0.96 + 1/8 = 1.557
	{"garrow-candle-stand", "", "base/leaf", "5 in", "3 13/32 in"},                        // 3.125 / 0.96 + 1/8 = 3.380
	{"osmere-plant-stand", "", "base/leg", "27 19/32 in", "27 5/8 in"},                    // 22.5 + pi·2/3 + 3 = 27.594
	{"osmere-plant-stand", "", "base/ring", "29 27/32 in", "41 7/8 in"},                   // pi·9.5 = 29.845
	{"osmere-mirror", "shape=round", "base/hoop", "93 15/32 in", "105 15/32 in"},          // pi·29.75 = 93.462
	{"tarrend-stool", "", "base/bent-frame", "59 9/32 in", "59 5/16 in"},                  // 2·21.375 + 10.25 + pi·2 = 59.283
	{"tarrend-stool", "back=low", "base/back", "30 17/32 in", "30 9/16 in"},               // 2·7 + 10.25 + pi·2 = 30.533
	{"tarrend-chair", "", "base/back-leg", "32 7/16 in", "32 7/16 in"},                    // 15.75 + pi·8/15 + 15 = 32.426
	{"tarrend-chair", "arms=bent; width=20 in", "base/arm", "22 23/32 in", "22 23/32 in"}, // 12 + pi·1.5 + 6 = 22.712
}

func TestDevelopedLengthsComeOutAsByHand(t *testing.T) {
	cat := read(t)
	for _, d := range developed {
		found := false
		for _, row := range made(t, cat, 1, d.product, picked(d.with)).Steel {
			if row.Path != d.path {
				continue
			}
			found = true
			if row.Finished.String() != d.finished || row.Cut.String() != d.cut {
				t.Errorf("%s %s: finished %s, cut %s; want %s and %s", d.product, d.path, row.Finished, row.Cut, d.finished, d.cut)
			}
		}
		if !found {
			t.Errorf("%s has no %s", d.product, d.path)
		}
	}
}

// What each way of reckoning cloth comes to, by hand.
func TestClothComesOutAsByHand(t *testing.T) {
	cat := read(t)
	for _, c := range []struct {
		product, with string
		quantity      int
		want          string
	}{
		// covers of 23 x 23 in from 54 in, two in a row: one row of 23, up to 27 in
		{"tarrend-stool", "cloth=ink-twill", 2, "net 23 in, pattern 0 in, flaws 0 in, 27 in, 0 hides"},
		// 25 1/4 + 17 = 42 1/4 in of repeats: 30 % of 23 in are 6.9 in, up to 36 in
		{"tarrend-stool", "cloth=fern-print", 1, "net 23 in, pattern 175.26 mm, flaws 0 in, 36 in, 0 hides"},
		// 5 channels of 37 x 13.2, four in a row, 2 ends: 74 + 37; 3 and 5 % for flaws
		{"fendrel-bed", "head=panel; cloth=linden-linen", 1, "net 111 in, pattern 0 in, flaws 225.552 mm, 126 in, 0 hides"},
		// plates of 19 in across and 18 along in a repeat of 27: 2 in a row, 27 in;
		// boxing 3 x 49, strips 2 of 2 x 23, welt 2 of 1 1/2 x 72, joined
		{"tarrend-chair", "cloth=own; own_width=54 in; own_repeat=27 in", 1, "net 36 1/2 in, pattern 0 in, flaws 0 in, 45 in, 0 hides"},
		// (684 + 147 + 92 + 216) x 1.5 = 1708.5 in2 of a hide of 50 ft2
		{"tarrend-chair", "cloth=oxbow-tan", 1, "net 0 in, pattern 0 in, flaws 0 in, 0 in, 1 hides"},
		// 24 of them are 284.75 ft2: 6 hides
		{"tarrend-chair", "cloth=oxbow-tan", 24, "net 0 in, pattern 0 in, flaws 0 in, 0 in, 6 hides"},
	} {
		row := made(t, cat, c.quantity, c.product, picked(c.with)).Cloth[0]
		got := fmt.Sprintf("net %s, pattern %s, flaws %s, %s, %d hides", row.Net, row.Pattern, row.Flaws, unit.Length(row.Length), row.Hides)
		if got != c.want {
			t.Errorf("%d of %s with %s: %s, want %s: %+v", c.quantity, c.product, c.with, got, c.want, row.Rows)
		}
	}
}

func TestBeechIsBoughtInBlanks(t *testing.T) {
	cat := read(t)
	row := made(t, cat, 2, "tarrend-stool", picked("seat=wood; species=beech")).Wood[0]
	if !row.Bought || row.Rough != "" || len(row.Strips) != 0 || row.Blank.Length != 16*unit.Inch || row.Blank.Width != 31*unit.Inch/2 {
		t.Errorf("a seat of beech: %+v", row)
	}
}
