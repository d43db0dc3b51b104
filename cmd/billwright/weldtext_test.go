package main

import (
	"strings"
	"testing"

	"billwright/bom/order"
	"billwright/catalog"
)

func TestWeldsAndTheChosenWayArePrinted(t *testing.T) {
	text := printed(t, metricShop(t), "fell-and-tarn",
		order.DraftLine{Product: "curlew-rail", Quantity: "1", Picks: []catalog.Pick{{Attribute: "length", Text: "7 m"}}, Ways: map[string]string{"frame/rail": "splice"}},
		order.DraftLine{Product: "curlew-rail", Quantity: "1", Picks: []catalog.Pick{{Attribute: "length", Text: "7 m"}}, Ways: map[string]string{"frame/rail": "stock to order"}})
	for _, row := range []string{
		"frame/rail splice longer than the bars on the rack",
		"frame/rail stock to order longer than the bars on the rack",
		"2 3497 mm 3495 mm 60 x 8 mm flat bar spliced, 45° off square rail, piece 2 of 2 (short point 3487 mm)",
		"2 272 mm V groove, depth 8 mm, 90°, all round under gas 0.14 kg 0.14 kg 4.1 min Splice 1 of rail (grind flush)", // 2 x 68.3264 g
		"3 150.8 mm fillet, leg 5 mm, all round under gas 0.01 kg 0.02 kg 0.4 min Studs",                                 // 3 x pi x 16 mm
		"2 272 mm 0.14 kg 0.14 kg 4.1 min rail (drill)",
		"2 6990 mm 6990 mm 60 x 8 mm flat bar 45° off square, 45° off square rail (short point 6974 mm; from a bar of 8000 mm to order, 20 working days; drill)",
	} {
		if !strings.Contains(text, "\n"+row+"\n") {
			t.Errorf("no row %q in:\n%s", row, text)
		}
	}
}
