package api

import (
	"slices"
	"testing"

	"billwright/bom"
	"billwright/bom/order"
)

// The shop cuts, spoils a leg, cuts it again, and boxes; sizes lock with the
// first cut, and only the spoiled leg is bought again.
func TestTheShopTellsWhatItDid(t *testing.T) {
	s := openShop(t, shopSettings{})
	dealer, rep, shop, buyer := s.key("dealer studio-tamsel"), s.key("rep"), s.key("shop"), s.key("buyer")
	number := s.accepted(dealer, "first", bench("PO 1"))
	s.done(shop, number, "events", 2, `{"event":"steel-cut","line":1}`).problem(t, 409) // not released
	s.done(rep, number, "release", 2, `{}`).want(t, 200)
	s.done(rep, number, "events", 3, `{"event":"steel-cut","line":1}`).problem(t, 403)
	locks := func() (l lockList) {
		t.Helper()
		s.ask(rep, "GET", "/v1/orders/"+number+"/locks", "").want(t, 200).read(t, &l)
		return l
	}
	if l := locks(); len(l.Locks) != 0 || len(l.Events) != 0 {
		t.Errorf("%+v", l)
	}
	var d order.Document
	s.done(shop, number, "events", 3, `{"event":"steel is cut","line":1,"unit":1,"at":"2026-11-25T12:00:00Z"}`).want(t, 200).read(t, &d)
	if d.State != order.InWork || d.Lines[0].State != order.InWork || d.Version != 4 {
		t.Errorf("%+v", d)
	}
	l := locks()
	if len(l.Locks) != 1 || l.Locks[0].Lock != "steel-cut" || !slices.Contains(l.Locks[0].Attributes, "length") || l.Locks[0].By != l.Events[0].By || l.Locks[0].At.Hour() != 12 {
		t.Errorf("%+v", l)
	}
	var steel string
	var pieces int
	var needs orderNeeds
	s.ask(buyer, "GET", "/v1/orders/"+number+"/requirements", "").want(t, 200).read(t, &needs)
	for _, n := range needs.Requirements {
		if n.Kind == bom.KindSteel {
			steel, pieces = n.Path, n.Pieces
		}
	}
	week := s.steelWeek(buyer, number)
	before := s.pulled(buyer, "pull1", week, "steel", 201)
	for body, codes := range map[string][]string{
		`{"event":"polished","line":1}`:                                               {"/event event.unknown"},
		`{"event":"steel-cut","line":2}`:                                              {"/line line.unknown"},
		`{"event":"steel-cut","line":1,"unit":2}`:                                     {"/unit unit.unknown"},
		`{"event":"steel-cut","line":1,"path":"base/wing"}`:                           {"/path path.unknown"},
		`{"event":"steel-cut","line":1,"at":"2027-01-01T00:00:00Z"}`:                  {"/at time.future"},
		`{"event":"steel-cut","line":1,"at":"noon","pieces":2}`:                       {"/at time.unreadable", "/pieces pieces.not"},
		`{"event":"scrapped","line":1}`:                                               {"/path " + codeMissing, "/note " + codeMissing},
		`{"event":"scrapped","line":1,"path":"` + steel + `","note":"x","pieces":99}`: {"/pieces pieces.too-many"},
	} {
		if got := s.done(shop, number, "events", 4, body).faults(t, 422); !slices.Equal(got, codes) {
			t.Errorf("%s: %v, want %v", body, got, codes)
		}
	}
	s.done(shop, number, "events", 4, `{"event":"scrapped","line":1,"unit":1,"path":"`+steel+`","note":"cut short"}`).want(t, 200)
	after := s.pulled(buyer, "pull2", week, "steel", 201)
	if len(after.Rows) != 1 || after.Rows[0].Path != steel || after.Rows[0].Pieces != 1 || after.Rows[0].Mark != "late add" {
		t.Errorf("%d pieces of %s were pulled as %+v; again %+v", pieces, steel, before.Rows, after.Rows)
	}
	s.done(shop, number, "events", 5, `{"event":"boxed","line":1,"unit":1}`).want(t, 200).read(t, &d)
	if d.State != order.Ready {
		t.Errorf("boxed and %s", d.State)
	}
	if l := locks(); len(l.Locks) != 2 || !l.Locks[1].Whole || len(l.Events) != 3 || l.Events[1].Pieces != 1 || l.Events[1].Note != "cut short" {
		t.Errorf("%+v", l)
	}
	var n int
	if err := s.db.AdminPool(t).QueryRow(t.Context(), `select count(*) from audit where subject = $1 and act = 'order: tell event'`, number).Scan(&n); err != nil || n != 3 {
		t.Errorf("%d events in the trail (%v)", n, err)
	}
	// What was told is not told otherwise.
	for _, statement := range []string{`update shop_event set note = ''`, `delete from shop_event`} {
		if _, err := s.pool.Exec(t.Context(), statement); err == nil {
			t.Errorf("the service may %s", statement)
		}
	}
}
