package bom_test

import (
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"billwright/bom"
	"billwright/catalog/unit"
)

// soundShipping holds how a carton travels against what is true of any: a parcel
// is billed at least what it weighs, and pallets carry all cartons of a row and
// nothing else.
func soundShipping(fail failing, line *bom.LineBill, r *bom.CartonRow) {
	carried := 0
	var weight unit.Mass
	for i := range line.Units {
		u := &line.Units[i]
		if !strings.HasPrefix(u.Path, r.Path+"/") {
			continue
		}
		carried += u.Units * u.Cartons
		weight += unit.Mass(u.Units) * unit.Mass(u.Weight)
		if u.Units < 1 || u.Cartons < 1 || u.Layers < 1 || u.Layers > u.Cartons || u.Layers > r.Stack.Layers || u.Class == "" ||
			min(u.Length, u.Width, u.Height) < min(r.Outside.Length, r.Outside.Width, r.Outside.Depth) {
			fail("handling unit %+v of %+v", u, r)
		}
	}
	switch r.Ship {
	case "":
		if carried != 0 || r.Parcel != nil || r.Stack != nil || r.Outside != nil {
			fail("carton without handling %+v", r)
		}
	case "parcel":
		if carried != 0 || r.Parcel.Billed < r.Gross || r.Parcel.Billed < r.Parcel.Dimensional || r.Parcel.Length < r.Outside.Length {
			fail("parcel %+v of %+v", r.Parcel, r)
		}
	default:
		if carried != r.Pieces || weight < unit.Mass(r.Pieces)*unit.Mass(r.Gross) || r.Parcel != nil {
			fail("%d of %d cartons stand on pallets that weigh %s", carried, r.Pieces, bom.Weight(weight).In(bom.Inch))
		}
	}
	for i := range line.Lifts {
		l := &line.Lifts[i]
		if l.Path == r.Path+"/lift" && (l.Weight != r.Gross || r.TwoLift != (l.Weight > l.Limit)) {
			fail("lift %+v of %+v", l, r)
		}
	}
}

// The exponents' form, of sums and products only, against the library's powers.
func TestTheExponentFormIsThePower(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		thickness := unit.Length(rapid.Int64Range(int64(unit.Millimetre)/2, 20*int64(unit.Millimetre)).Draw(t, "thickness"))
		perimeter := unit.Length(rapid.Int64Range(int64(100*unit.Millimetre), int64(20*unit.Metre)).Draw(t, "perimeter"))
		got, err := bom.Compression(crush(t, "32 lb/in"), thickness, perimeter, true)
		want := 5.87 * 32 * math.Pow(inches(thickness), 0.5076) * math.Pow(inches(perimeter), 0.4924)
		if err != nil || math.Abs(float64(got)/float64(unit.Pound)-want) > want*1e-12+1e-8 { // and the microgram
			t.Fatalf("%s by %s: %s, want %v lb (%v)", thickness, perimeter, got.In(bom.Inch), want, err)
		}
	})
}
