package order_test

import (
	"maps"
	"testing"

	"billwright/bom/order"
	"billwright/catalog"
)

// ordered is a draft of one peg rail of 150 in with a way chosen for its rail.
func ordered(way string) *order.Draft {
	d := draft("2 ternholt-rail: length=150 in")
	if way != "" {
		d.Lines[0].Ways = map[string]string{"base/rail": way}
	}
	return d
}

// The way that is chosen goes with the line into the document, and the bill is
// reckoned again with it: another choice is another bill.
func TestTheChosenWayGoesWithTheLine(t *testing.T) {
	cat := read(t)
	bills := map[[32]byte]bool{}
	for _, way := range []string{"", "splice", "stock to order"} {
		o := reckoned(t, cat, ordered(way), noon)
		d, hash := stored(t, o)
		want := map[string]string(nil)
		if way != "" {
			want = map[string]string{"base/rail": way}
		}
		if !maps.Equal(d.Lines[0].Ways, want) {
			t.Errorf("chosen %q, stored %v", way, d.Lines[0].Ways)
		}
		if _, err := order.Working(cat, d, hash); err != nil {
			t.Errorf("%q: %v", way, err)
		}
		bills[hash] = true
		// Without its choice the order of a bar in one is another order.
		d.Lines[0].Ways = nil
		if _, err := order.Working(cat, d, hash); (err != nil) != (way == "stock to order") {
			t.Errorf("%q left out: %v", way, err)
		}
	}
	if len(bills) != 2 { // it is spliced by itself
		t.Errorf("%d different bills of three choices", len(bills))
	}
}

// The promise waits for a bar that is to be ordered, and for its vendor's
// holidays. By hand from Monday 2026-11-02, of which 26 and 27 November and 24
// December to 1 January are closed: 15 days on it is 23 November; 20 working
// days more 23 December. A vendor who is closed for the week from 9 November
// sends it five working days later, on 2 December; 20 days more are 8 January.
func TestThePromiseWaitsForTheBar(t *testing.T) {
	closed := []string{"    - {from: 2026-12-21, to: 2027-01-08, why: Kiln rebuild", "    - {from: 2026-11-09, to: 2026-11-13, why: Rolls changed, vendor: Harlaw Tube}\n    - {from: 2026-12-21, to: 2027-01-08, why: Kiln rebuild"}
	for _, c := range []struct {
		cat       *catalog.Catalog
		way, want string
	}{
		{read(t), "", "2026-12-09"},
		{read(t), "splice", "2026-12-09"},
		{read(t), "stock to order", "2026-12-23"},
		{read(t, closed...), "stock to order", "2027-01-08"},
		{read(t, closed...), "splice", "2026-12-09"},
		{read(t, "lead_days: 15, vendor: Harlaw Tube", "lead_days: 5, vendor: Harlaw Tube"), "stock to order", "2026-12-09"}, // within the product's own lead
		{read(t, "lead_days: 15, vendor: Harlaw Tube", "lead_days: 6, vendor: Harlaw Tube"), "stock to order", "2026-12-10"},
	} {
		if o := reckoned(t, c.cat, ordered(c.way), noon); o.Promise.String() != c.want {
			t.Errorf("%q is promised for %s, want %s", c.way, o.Promise, c.want)
		}
	}
}

func TestABarBeyondTheCalendarIsNoPromise(t *testing.T) {
	cat := read(t, "lead_days: 15, vendor: Harlaw Tube", "lead_days: 1000, vendor: Harlaw Tube", "    - {from: 2026-12-21, to: 2027-01-08, why: Kiln rebuild", "    - {from: 2026-11-09, to: 2039-11-13, why: Gone, vendor: Harlaw Tube}\n    - {from: 2026-12-21, to: 2027-01-08, why: Kiln rebuild")
	_, findings := order.Reckon(cat, ordered("stock to order"), noon)
	if len(findings) != 1 || findings[0].Code != "promise.none" {
		t.Errorf("%+v", findings)
	}
}
