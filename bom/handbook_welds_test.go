package bom_test

import (
	"math"
	"testing"

	"billwright/bom"
	"billwright/catalog"
	"billwright/catalog/unit"
)

func init() {
	for id, check := range weldRows {
		handbook[id] = check
	}
}

// weldRows are the handbook's rows on welds: deposit by foot, and wire by foot
// after the loss, by the wires of the demonstration.
var weldRows = map[string]check{
	"W-11": {"fillet leg 0.25: deposit lb/ft", filletPounds("1/4 in"), 0},
	"W-12": {"fillet leg 0.3125: deposit lb/ft", filletPounds("5/16 in"), 0},
	"W-13": {"fillet leg 0.375: deposit lb/ft", filletPounds("3/8 in"), 0},
	"W-14": {"fillet leg 0.5: deposit lb/ft", filletPounds("1/2 in"), 0},
	"W-15": {"fillet leg 0.625: deposit lb/ft", filletPounds("5/8 in"), 0},
	"W-16": {"fillet leg 0.75: deposit lb/ft", filletPounds("3/4 in"), 0},
	"W-19": {"1/4 fillet, solid wire, deposit/0.90", func(t *testing.T, cat *catalog.Catalog) float64 {
		return wirePounds(t, cat, "1/4 in", mustRatio(t, "90 %"))
	}, 0},
	"W-20": {"1/4 fillet, tubular, deposit/0.80", func(t *testing.T, cat *catalog.Catalog) float64 {
		cored, _ := cat.Processes.Get("cored")
		return wirePounds(t, cat, "1/4 in", cored.Efficiency)
	}, 0},
}

// filletMass is the deposit of 1 ft of fillet.
func filletMass(t *testing.T, cat *catalog.Catalog, leg string) unit.Mass {
	t.Helper()
	size := mustLength(t, leg)
	area, err := bom.WeldSection(&catalog.Weld{Kind: catalog.Fillet, Leg: &size})
	if err != nil {
		t.Fatal(err)
	}
	volume, err := area.Times(unit.Foot)
	if err != nil {
		t.Fatal(err)
	}
	wire, _ := cat.Wires.Get("solid-wire")
	mass, err := wire.Density.Mass(volume)
	if err != nil {
		t.Fatal(err)
	}
	return mass
}

func filletPounds(leg string) func(*testing.T, *catalog.Catalog) float64 {
	return func(t *testing.T, cat *catalog.Catalog) float64 {
		return float64(filletMass(t, cat, leg)) / float64(unit.Pound)
	}
}

func wirePounds(t *testing.T, cat *catalog.Catalog, leg string, efficiency unit.Ratio) float64 {
	t.Helper()
	wire, err := bom.WireMass(filletMass(t, cat, leg), efficiency)
	if err != nil {
		t.Fatal(err)
	}
	return float64(wire) / float64(unit.Pound)
}

// W-18: a table prints 0.063 lb/ft for a 3/16 in fillet, 5.5 % off its own rule,
// by which all its other rows come out. W-21: the efficiencies of the
// demonstration lie in the ranges printed.
func TestHandbookWeldSurprises(t *testing.T) {
	cat := read(t)
	got := filletPounds("3/16 in")(t, cat)
	if math.Abs(got-0.0597) > 0.00005 || math.Abs(got-0.063) < 0.003 {
		t.Errorf("W-18: a 3/16 in fillet lays %v lb/ft, want 0.0597 and not the printed 0.063", got)
	}
	for code, within := range map[string][2]string{"solid": {"93 %", "98 %"}, "cored": {"78 %", "86 %"}} {
		p, found := cat.Processes.Get(code)
		if !found || p.Efficiency.Cmp(mustRatio(t, within[0])) < 0 || p.Efficiency.Cmp(mustRatio(t, within[1])) > 0 {
			t.Errorf("W-21: %s ends in the weld to %v", code, p.Efficiency)
		}
	}
	// Wire is the deposit divided by its share, never the deposit and its loss:
	// 0.1061 / 0.80 = 0.1327 lb/ft, where 0.1061 x 1.20 would be 0.1274.
	if divided := wirePounds(t, cat, "1/4 in", mustRatio(t, "80 %")); math.Abs(divided-0.1274) < 0.004 {
		t.Errorf("wire of a 1/4 in fillet is %v lb/ft: the loss is added instead of divided by", divided)
	}
}
