package bom_test

import (
	"math"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"billwright/bom"
	"billwright/catalog"
	"billwright/catalog/unit"
)

// Cross-sections by hand, in square inches; tan 30 = 0.577350269.
func TestWeldSectionsByHand(t *testing.T) {
	in := func(text string) *unit.Length { l := mustLength(t, text); return &l }
	for _, c := range []struct {
		name string
		weld catalog.Weld
		want float64
	}{
		{"leg 3/16", catalog.Weld{Kind: catalog.Fillet, Leg: in("3/16 in")}, 9.0 / 512},
		{"throat 1/8", catalog.Weld{Kind: catalog.Fillet, Throat: in("1/8 in")}, 1.0 / 64},
		{"square 1/8 by 1/16", catalog.Weld{Kind: catalog.SquareGroove, Depth: in("1/8 in"), Gap: *in("1/16 in")}, 1.0 / 128},
		{"bevel 3/8 at 45", catalog.Weld{Kind: catalog.BevelGroove, Depth: in("3/8 in"), Angle: 45}, 9.0 / 128},
		{"bevel 3/8 at 45, face and gap", catalog.Weld{Kind: catalog.BevelGroove, Depth: in("3/8 in"), RootFace: *in("1/8 in"), Gap: *in("1/16 in"), Angle: 45}, 3.0/128 + 1.0/32},
		{"V 3/8 of 60, face and gap", catalog.Weld{Kind: catalog.VGroove, Depth: in("3/8 in"), RootFace: *in("1/16 in"), Gap: *in("1/16 in"), Angle: 60}, 3.0/128 + 25.0/256*0.577350269},
		{"V of 90", catalog.Weld{Kind: catalog.VGroove, Depth: in("1/4 in"), Angle: 90}, 1.0 / 16},
	} {
		area, err := bom.WeldSection(&c.weld)
		if got := float64(area) / float64(unit.SquareInch); err != nil || math.Abs(got-c.want) > 1e-8 {
			t.Errorf("%s: %v in2, %v; want %v", c.name, got, err, c.want)
		}
	}
}

// A fillet is the same by its leg or by its throat, which is leg / sqrt 2.
func TestLegAndThroatAgree(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		leg := anyLength(t, "leg", unit.Millimetre, 30*unit.Millimetre)
		throat := unit.Length(math.Round(float64(leg) / math.Sqrt2))
		byLeg, err1 := bom.WeldSection(&catalog.Weld{Kind: catalog.Fillet, Leg: &leg})
		byThroat, err2 := bom.WeldSection(&catalog.Weld{Kind: catalog.Fillet, Throat: &throat})
		if off := byLeg - byThroat; err1 != nil || err2 != nil || off < -50 || off > 50 {
			t.Fatalf("leg %s: %v um2, throat %s: %v um2", leg, byLeg, throat, byThroat)
		}
	})
}

// A joint is there only with all that it joins, and where its condition holds.
func TestJointsFollowTheParts(t *testing.T) {
	cat := read(t)
	for with, want := range map[string]string{
		"":                         "corner brace",
		"top=heavy":                "corner corner-inside brace",
		"feet=plates":              "corner brace plate plate-seam",
		"top=heavy; feet=plates":   "corner corner-inside brace plate plate-seam",
		"height=40 in; width=3 ft": "corner brace",
	} {
		var got []string
		for _, w := range explode(t, cat, 1, "marrick-trestle", with).Lines[0].Welds {
			got = append(got, strings.TrimPrefix(w.Path, "base/weld/"))
		}
		if strings.Join(got, " ") != want {
			t.Errorf("%q has the joints %v, want %s", with, got, want)
		}
	}
}

// Common practice: what is welded is checked for level afterwards, and there is
// a caution for the hot work.
func TestPracticeLevelIsCheckedAfterWelding(t *testing.T) {
	cat := read(t)
	for _, product := range []string{"marrick-trestle", "ternholt-rail"} {
		b := &explode(t, cat, 1, product, "").Lines[0]
		at := slices.IndexFunc(b.Welded, func(w bom.WeldedRow) bool { return w.Path == "base" })
		if at < 0 || !slices.ContainsFunc(b.Welded[at].Work, func(w bom.OperationRow) bool { return strings.Contains(w.Work, "level") && w.Minutes > 0 }) {
			t.Errorf("%s: level is not checked after welding: %+v", product, b.Welded)
		}
		if !slices.ContainsFunc(b.Cautions, func(c bom.Caution) bool { return c.Code == "hot-work" }) {
			t.Errorf("%s: no caution for hot work", product)
		}
	}
}

// A plug is a cylinder: 3/8 in, 1/4 in deep, pi/4 x 9/64 x 1/4 in3 at 0.283
// lb/in3 is 0.0078140 lb; two at each of two trestles, for three pairs: 12.
func TestAPlugIsACylinder(t *testing.T) {
	welds := explode(t, read(t), 3, "marrick-trestle", "feet=plates").Lines[0].Welds
	plug := &welds[slices.IndexFunc(welds, func(w bom.WeldRow) bool { return w.Kind == catalog.Plug })]
	want := 12 * math.Pi / 4 * 9 / 64 / 4 * 0.283
	if got := float64(plug.Deposit) / float64(unit.Pound); plug.Pieces != 12 || math.Abs(got-want) > 1e-6 || plug.Length != 0 || plug.SizeOf != "hole" {
		t.Errorf("plugs: %v lb in %+v, want %v lb in 12", got, plug, want)
	}
}

// What a weld weighs goes into the carton with the rest.
func TestAWeldWeighs(t *testing.T) {
	b := &explode(t, read(t), 1, "marrick-trestle", "feet=plates").Lines[0]
	sum := bom.Weight(0)
	for i := range b.Steel {
		sum += b.Steel[i].Weight
	}
	for i := range b.Welds {
		sum += b.Welds[i].Deposit
	}
	if sum != b.UnitWeight {
		t.Errorf("steel and welds weigh %s, the pair %s", sum.In(bom.Inch), b.UnitWeight.In(bom.Inch))
	}
}

// Arc minutes are the deposit by the rate; a process without a rate has none.
func TestArcMinutes(t *testing.T) {
	welds := explode(t, read(t), 1, "ternholt-rail", "length=150 in; pegs=12").Lines[0].Welds
	for i := range welds {
		w := &welds[i]
		rate := 5.0 / 60 * float64(unit.Pound) // lb by minute
		want := math.Max(1, math.Round(10*float64(w.Deposit)/rate))
		if strings.HasPrefix(w.Process, "Cored") {
			want = 0
		}
		if float64(w.Arc) != want {
			t.Errorf("%s: arc %s of %s, want %v tenths", w.Path, w.Arc, w.Deposit.In(bom.Inch), want)
		}
	}
}
