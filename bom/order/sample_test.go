package order_test

import (
	"slices"
	"testing"

	"billwright/bom"
	"billwright/bom/order"
)

// Chips cost nothing or what they cost, ask for no steel and ship alone, at most
// eight at once and four where one of them is a block of wood.
func TestSampleChipsShipAlone(t *testing.T) {
	cat := read(t)
	for _, c := range []struct {
		lines []string
		net   string
		codes []string
	}{
		{[]string{"3 metal-chip: metal_finish=soot", "2 cloth-chip:"}, "0.00", nil},
		// 12.00 less 50/10, twice
		{[]string{"2 wood-chip:", "1 metal-chip:"}, "10.80", nil},
		{[]string{"9 metal-chip:"}, "", []string{"sample.limit"}},
		{[]string{"5 metal-chip:", "4 cloth-chip:"}, "", []string{"sample.limit"}},
		{[]string{"4 metal-chip:", "1 wood-chip:"}, "", []string{"sample.limit"}},
		{[]string{"1 metal-chip:", "1 sallow-bench:"}, "", []string{"sample.alone"}},
	} {
		o, findings := order.Reckon(cat, draft(c.lines...), noon)
		var codes []string
		for _, f := range findings {
			codes = append(codes, f.Code)
		}
		if !slices.Equal(codes, c.codes) {
			t.Errorf("%v: %v, want %v", c.lines, codes, c.codes)
			continue
		}
		if o == nil {
			continue
		}
		if o.Net == nil || o.Net.String() != c.net {
			t.Errorf("%v cost %v, want %s", c.lines, o.Net, c.net)
		}
		for _, m := range o.Bill.Materials() {
			if m.Kind != bom.KindHardware && m.Kind != bom.KindCarton {
				t.Errorf("%v ask for %s %s", c.lines, m.Kind, m.Item)
			}
		}
	}
}
