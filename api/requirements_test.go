package api

import (
	"testing"

	"billwright/bom"
	"billwright/bom/demand/demanddb"
	"billwright/catalog/unit"
)

// What is bought is written as a workshop of either kind buys it.
func TestAmountsAsTheyAreBought(t *testing.T) {
	for _, c := range []struct {
		kind         string
		measure      bom.Measure
		amount       int64
		inch, metric string
	}{
		{bom.KindSteel, bom.Length, int64(100 * unit.Inch), "100 in", "2540 mm"},
		{bom.KindCloth, bom.Length, int64(2 * unit.Yard), "2.00 yd", "1.83 m"},
		{bom.KindLumber, bom.Volume, int64(10 * unit.BoardFoot), "10.00 bf", "0.0236 m3"},
		{bom.KindFoam, bom.Volume, int64(2 * unit.CubicFoot), "2.00 ft3", "0.0566 m3"},
		{bom.KindLiquid, bom.Volume, int64(unit.Gallon), "1.00 gal", "3.79 L"},
		{bom.KindPowder, bom.Mass, int64(10 * unit.Pound), "10.00 lb", "4.54 kg"},
		{bom.KindCarton, bom.Area, int64(10 * unit.SquareFoot), "10.00 ft2", "0.93 m2"},
		{bom.KindHardware, bom.Each, 8, "8", "8"},
	} {
		need := &demanddb.Need{Kind: c.kind, Measure: c.measure}
		if got := quantityOf(need, c.amount, bom.Inch).Text; got != c.inch {
			t.Errorf("%s in inch units is %q, want %q", c.kind, got, c.inch)
		}
		if got := quantityOf(need, c.amount, bom.Metric).Text; got != c.metric {
			t.Errorf("%s in metric units is %q, want %q", c.kind, got, c.metric)
		}
	}
}
