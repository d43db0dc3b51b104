package demand

import (
	"strings"
	"testing"

	"pgregory.net/rapid"

	"billwright/bom"
	"billwright/catalog"
	"billwright/catalog/demonstration"
	"billwright/catalog/unit"
)

func quantity(t testing.TB, text string) *catalog.Quantity {
	t.Helper()
	var q catalog.Quantity
	if err := q.UnmarshalText([]byte(text)); err != nil {
		t.Fatal(err)
	}
	return &q
}

// By hand, for each kind of requirement: what is needed, in what it is bought,
// and what that comes to.
func TestPurchaseUnitsByHand(t *testing.T) {
	cat, faults := catalog.Read(demonstration.Files())
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	get := func(kind string) (code string, buy **catalog.Buying, sheets bool) {
		switch kind {
		case bom.KindLumber, bom.KindBlank:
			for code, x := range cat.Species.All() {
				if x.Bought() == (kind == bom.KindBlank) {
					return code.Value, &x.Buy, false
				}
			}
		case bom.KindGlass:
			for code, x := range cat.Glass.All() {
				if x.Tempered() {
					return code.Value, &x.Buy, false
				}
			}
		case bom.KindStone:
			for code, x := range cat.Stone.All() {
				return code.Value, &x.Buy, false
			}
		case bom.KindFoam:
			for code, x := range cat.Foams.All() {
				return code.Value, &x.Buy, false
			}
		case bom.KindHardware:
			for code, x := range cat.Hardware.All() {
				return code.Value, &x.Buy, false
			}
		case bom.KindPowder, bom.KindLiquid:
			for code, x := range cat.Coatings.All() {
				if x.Kind == kind {
					return code.Value, &x.Buy, false
				}
			}
		case bom.KindCarton:
			for code, x := range cat.Boards.All() {
				return code.Value, &x.Buy, false
			}
		case bom.KindWire:
			for code, x := range cat.Wires.All() {
				return code.Value, &x.Buy, false
			}
		case bom.KindCloth, bom.KindLeather:
			for code, x := range cat.Fabrics.All() {
				if (x.Leather != nil) == (kind == bom.KindLeather) && !x.Own && !x.DyeLot {
					return code.Value, &x.Buy, false
				}
			}
		}
		t.Fatalf("nothing of kind %s in the demonstration", kind)
		return "", nil, false
	}
	const ft2 = int64(unit.SquareFoot)
	for _, c := range []struct {
		kind, by, called, least string
		suffix                  string
		measure                 bom.Measure
		need                    int64
		units                   int64
		bought                  int64
		name                    string
		byLeast                 bool
	}{
		// 57 bf by bundles of 50 bf: 2, 100 bf.
		{bom.KindLumber, "50 bf", "bundle", "", " 8/4", bom.Volume, 57 * int64(unit.BoardFoot), 2, 100 * int64(unit.BoardFoot), "bundle of 50 bf", false},
		// 3 blanks, at least 5.
		{bom.KindBlank, "", "", "5", " 30 in x 20 in x 1 in", bom.Each, 3, 0, 5, "", true},
		{bom.KindGlass, "4", "crate", "", " rectangle 30 in x 20 in flat polished", bom.Each, 9, 3, 12, "crate of 4", false},
		{bom.KindStone, "", "", "2", " round 30 in eased", bom.Each, 3, 0, 3, "", false},
		// 2.1 ft3 of foam by 12 ft3.
		{bom.KindFoam, "12 ft3", "block", "", "", bom.Volume, 21 * int64(unit.CubicFoot) / 10, 1, 12 * int64(unit.CubicFoot), "block of 12 ft3", false},
		{bom.KindHardware, "100", "box", "200", "", bom.Each, 101, 2, 200, "box of 100", true},
		{bom.KindHardware, "100", "box", "200", "", bom.Each, 201, 3, 300, "box of 100", false},
		// 23 lb and 57 lb of powder, as the file's head has it.
		{bom.KindPowder, "25 lb", "box", "50 lb", "", bom.Mass, 23 * int64(unit.Pound), 2, 50 * int64(unit.Pound), "box of 25 lb", true},
		{bom.KindPowder, "25 lb", "box", "50 lb", "", bom.Mass, 57 * int64(unit.Pound), 3, 75 * int64(unit.Pound), "box of 25 lb", false},
		{bom.KindLiquid, "5 gal", "pail", "", " hardener", bom.Volume, 5*int64(unit.Gallon) + 1, 2, 10 * int64(unit.Gallon), "pail of 5 gal", false},
		// 26 cartons by bundles of 25.
		{bom.KindCarton, "25", "bundle", "", " 32 ECT 20 in x 20 in x 10 in", bom.Area, 26, 2, 50, "bundle of 25", false},
		{bom.KindWire, "33 lb", "spool", "", "", bom.Mass, 1, 1, 33 * int64(unit.Pound), "spool of 33 lb", false},
		// 4.30 yd by quarter yards: 4 1/2 yd.
		{bom.KindCloth, "1/4 yd", "", "", "", bom.Length, 43 * int64(unit.Yard) / 10, 18, 45 * int64(unit.Yard) / 10, "1/4 yd", false},
	} {
		code, buy, _ := get(c.kind)
		kept := *buy
		*buy = &catalog.Buying{Called: c.called}
		if c.by != "" {
			(*buy).By = quantity(t, c.by)
		}
		if c.least != "" {
			(*buy).Least = quantity(t, c.least)
		}
		u, found := UnitOf(cat, c.kind, code+c.suffix, c.measure)
		if !found {
			t.Errorf("%s %s is bought in no unit", c.kind, code)
			continue
		}
		if got := u.Of(c.need); got != (Bought{c.units, c.bought, c.byLeast}) || u.Called != c.name {
			t.Errorf("%s: %d by %q are %+v, want %d units, %d", c.kind, c.need, u.Called, got, c.units, c.bought)
		}
		*buy = kept
	}
	// Leather comes in whole hides, said or not: 51 ft2 of hides of 50 ft2 are two.
	for code, x := range cat.Fabrics.All() {
		if x.Leather == nil || x.Own {
			continue
		}
		u, found := UnitOf(cat, bom.KindLeather, code.Value, bom.Area)
		hide := int64(x.Leather.Hide)
		if got := u.Of(hide + ft2); !found || got.Units != 2 || got.Amount != 2*hide || u.Called != "hide" {
			t.Errorf("%s: %+v", code.Value, got)
		}
	}
	// Steel by bundles of bars, each length by itself; own material not at all.
	section, _ := cat.Sections.Get("square-bar-1")
	if section == nil {
		t.Fatal("the demonstration has no square-bar-1")
	}
	section.Buy = &catalog.Buying{By: quantity(t, "10"), Called: "bundle"}
	if u, found := BundleOf(cat, bom.KindSteel, "square-bar-1"); !found || u.Of(11).Amount != 20 || u.Called != "bundle of 10" {
		t.Errorf("%+v", u)
	}
	if _, found := UnitOf(cat, bom.KindOwnMaterial, "own", bom.Length); found {
		t.Error("own material is bought")
	}
	if _, found := UnitOf(cat, bom.KindPowder, "no-such powder", bom.Mass); found {
		t.Error("what nobody knows is bought")
	}
}

// Units are reckoned from the whole: two needs together buy no more than apart,
// and each buys at least what is needed. By the order they add up.
func TestUnitsDoNotAdd(t *testing.T) {
	u := Unit{By: 10, Measure: bom.Each}
	if together, apart := u.Of(8), u.Of(4, 4); together.Units != 1 || apart.Units != 2 || apart.Amount != 20 {
		t.Errorf("%+v %+v", together, apart)
	}
	rapid.Check(t, func(t *rapid.T) {
		u := Unit{By: rapid.Int64Range(0, 40).Draw(t, "by"), Least: rapid.Int64Range(0, 90).Draw(t, "least")}
		a, b := rapid.Int64Range(-5, 200).Draw(t, "a"), rapid.Int64Range(-5, 200).Draw(t, "b")
		both := u.Of(max(a, 0) + max(b, 0))
		if both.Amount < max(a, 0)+max(b, 0) || both.Amount > u.Of(a, b).Amount || both.Amount > 0 && both.Amount < u.Least {
			t.Errorf("%+v: %d and %d are %+v together and %+v apart", u, a, b, both, u.Of(a, b))
		}
		if u.By > 0 && (both.Units*u.By != both.Amount) {
			t.Errorf("%+v", both)
		}
	})
}

func TestQuantitiesOfPurchase(t *testing.T) {
	for text, want := range map[string]catalog.Quantity{"100": {Amount: 100, Of: catalog.Pieces}, "1/4 yd": {Amount: int64(unit.Yard) / 4, Of: catalog.Lengths},
		"20 ft": {Amount: 20 * int64(unit.Foot), Of: catalog.Lengths}, "100 bf": {Amount: 100 * int64(unit.BoardFoot), Of: catalog.Volumes}, "40 ft2": {Amount: 40 * int64(unit.SquareFoot), Of: catalog.Areas},
		"25 kg": {Amount: 25 * int64(unit.Kilogram), Of: catalog.Masses}} {
		if got := quantity(t, text); got.Amount != want.Amount || got.Of != want.Of || got.String() != text {
			t.Errorf("%q: %+v", text, got)
		}
	}
	for _, text := range []string{"0", "-3", "0 lb", "some", "1.5", "3 boxes", ""} {
		var q catalog.Quantity
		if err := q.UnmarshalText([]byte(text)); err == nil {
			t.Errorf("%q is read as %+v", text, q)
		} else if !strings.Contains(err.Error(), `"`) {
			t.Errorf("%q: %v", text, err)
		}
	}
}
