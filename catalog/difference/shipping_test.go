package difference_test

import (
	"slices"
	"testing"

	"billwright/catalog/difference"
)

// A carton uses how it is handled and, by it, its parcel and its pallets.
func TestHandlingIsUsed(t *testing.T) {
	usedBy(t, nil, "handling as-parcel changed", edit{"ship: parcel\n    parcel: ground\n    measured_to: 1 in", "ship: parcel\n    parcel: ground\n    measured_to: 1/2 in"}, "quarle-wall-shelf")
	usedBy(t, nil, "handling by-limits changed", edit{"pallets: [standard, skid]\n    measured_to: 1 in", "pallets: [standard, skid]\n    measured_to: 1/2 in"}, "wenlow-coat-rail")
	usedBy(t, nil, "handling flat-on-pallets changed", edit{"layers: 6", "layers: 5"}, "brackwater-work-table")
	usedBy(t, nil, "parcel terms ground (Ground parcel) changed", edit{"heaviest: 150 lb", "heaviest: 140 lb"}, "quarle-wall-shelf", "wenlow-coat-rail")
	usedBy(t, nil, "pallet standard (Pallet 48 x 40 in) changed", edit{"load: 1500 lb", "load: 1400 lb"}, "brackwater-work-table", "wenlow-coat-rail")
	usedBy(t, nil, "pallet skid (Skid made to size) changed", edit{"load: 1000 lb", "load: 900 lb"}, "brackwater-work-table", "wenlow-coat-rail")
}

// How a thing is lifted is used by the cartons that are lifted so, and by parts
// that are.
func TestLiftsAreUsed(t *testing.T) {
	floor := edit{"travel: 24 in", "travel: 30 in"}
	bench := edit{"travel: 10 in", "travel: 12 in"}
	usedBy(t, nil, "lift off-the-floor (from the floor to the bench) changed", floor, "brackwater-work-table")
	usedBy(t, nil, "lift off-the-bench (from the packing bench to a cart) changed", bench, "quarle-wall-shelf", "wenlow-coat-rail")
	part := []string{"        name: Top\n        lift: off-the-floor", "        name: Top\n        lift: off-the-bench"}
	usedBy(t, part, "lift off-the-bench (from the packing bench to a cart) changed", bench, "brackwater-work-table", "quarle-wall-shelf", "wenlow-coat-rail")
}

// edit is a text of the demonstration, and what stands there instead.
type edit struct{ from, to string }

// usedBy checks that an edit of the demonstration, itself edited before, is told
// of the lines of some products, and of no others.
func usedBy(t *testing.T, before []string, says string, e edit, products ...string) {
	t.Helper()
	from := read(t, before...)
	use := difference.Touched(from, difference.Between(from, read(t, append(slices.Clone(before), e.from, e.to)...)))
	var users []string
	for _, product := range from.Products.Keys() {
		what := use.Of(difference.Line{Product: product})
		if len(what) == 0 {
			continue
		}
		users = append(users, product)
		if !slices.Equal(what, []string{says}) {
			t.Errorf("%s: %q, want %s", product, what, says)
		}
	}
	slices.Sort(users)
	if !slices.Equal(users, products) {
		t.Errorf("%s touches %q, want %q", says, users, products)
	}
}
