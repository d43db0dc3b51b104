package api

import (
	"slices"
	"strings"
	"testing"

	"billwright/bom/order"
)

// Two tables of two cartons each leave in three shipments; each carton once, and
// not while a hold keeps the order here.
func TestAnOrderIsShippedByItsCartons(t *testing.T) {
	s := openShop(t, shopSettings{})
	dealer, rep, shop := s.key("dealer studio-tamsel"), s.key("rep"), s.key("shop")
	number := s.accepted(dealer, "first", `{"po":"PO 1","lines":[{"product":"wenlow-coffee","quantity":2,"configuration":{"top":"glass"}}]}`)
	s.done(rep, number, "release", 2, `{}`).want(t, 200)
	s.done(shop, number, "shipments", 3, `{"cartons":[{"line":1}]}`).problem(t, 409)
	s.done(shop, number, "events", 3, `{"event":"boxed","line":1,"unit":1}`).want(t, 200)
	for body, codes := range map[string][]string{
		`{"event":"boxed","line":1,"unit":2,"carton":"crate"}`:                       {"/path path.unknown"},
		`{"event":"boxed","line":1,"unit":2,"path":"base"}`:                          {"/path path.not-carton"},
		`{"event":"steel-cut","line":1,"unit":2,"carton":"glass"}`:                   {"/carton carton.not"},
		`{"event":"boxed","line":1,"unit":2,"carton":"glass","path":"carton/glass"}`: {"/path path.not"},
	} {
		if got := s.done(shop, number, "events", 4, body).faults(t, 422); !slices.Equal(got, codes) {
			t.Errorf("%s: %v, want %v", body, got, codes)
		}
	}
	s.done(shop, number, "events", 4, `{"event":"boxed","line":1,"unit":2,"carton":"glass"}`).want(t, 200)
	if got := s.done(shop, number, "shipments", 5, `{"cartons":[{"line":1,"unit":2},{"line":1,"unit":1},{"line":1,"unit":1,"carton":"glass"}]}`).faults(t, 422); !slices.Equal(got, []string{"/cartons/0 carton.open", "/cartons/2 carton.twice"}) {
		t.Errorf("%v", got)
	}
	s.done(rep, number, "holds", 5, `{"kind":"ship","reason":"the lift is out"}`).want(t, 200)
	held := s.done(shop, number, "shipments", 6, `{"cartons":[{"line":1,"unit":1}]}`).problem(t, 409)
	if len(held.Errors) != 1 || held.Errors[0].Code != "hold.ship" || !strings.Contains(held.Detail, "the lift is out") {
		t.Errorf("%+v", held)
	}
	s.done(shop, number, "holds/1/lift", 6, `{"reason":"it runs"}`).problem(t, 403)
	s.done(rep, number, "holds/1/lift", 6, `{"reason":"it runs"}`).want(t, 200)
	var d order.Document
	s.done(shop, number, "shipments", 7, `{"cartons":[{"line":1,"unit":1}],"carrier":"Larkin Haulage","tracking":"LH 4711"}`).want(t, 200).read(t, &d)
	if d.State != order.ShippedInPart || d.Lines[0].State != order.ShippedInPart || len(d.Shipments) != 1 || d.Shipments[0].Tracking != "LH 4711" || len(d.Shipments[0].Cartons) != 2 {
		t.Errorf("%+v", d)
	}
	var list cartonList
	s.ask(dealer, "GET", "/v1/orders/"+number+"/cartons", "").want(t, 200).read(t, &list)
	if len(list.Cartons) != 4 || len(list.Lines) != 1 || list.Lines[0].Shipped != 2 || list.Lines[0].Boxed != 1 || list.Lines[0].Cartons != 4 {
		t.Errorf("%+v", list)
	}
	s.done(rep, number, "cancel", 8, `{"reason":"x"}`).problem(t, 409)
	if got := s.done(shop, number, "shipments", 8, `{"cartons":[{"line":1,"unit":1}]}`).faults(t, 422); !slices.Equal(got, []string{"/cartons/0 carton.shipped"}) {
		t.Errorf("%v", got)
	}
	s.done(shop, number, "events", 8, `{"event":"scrapped","line":1,"unit":1,"path":"base/leg","note":"bent"}`).problem(t, 409)
	s.done(shop, number, "events", 8, `{"event":"boxed","line":1,"unit":2}`).want(t, 200)
	s.done(rep, number, "close", 9, `{}`).problem(t, 409)
	s.done(shop, number, "shipments", 9, `{"cartons":[{"line":1,"unit":2}]}`).want(t, 200).read(t, &d)
	if d.State != order.Shipped {
		t.Errorf("%+v", d)
	}
	var n int
	if err := s.db.AdminPool(t).QueryRow(t.Context(), `select count(*) from shipped_carton`).Scan(&n); err != nil || n != 4 {
		t.Errorf("%d cartons left: %v", n, err)
	}
	s.done(rep, number, "close", 10, `{}`).want(t, 200)
	s.ask(s.key("dealer hobb-and-farrow"), "GET", "/v1/orders/"+number+"/cartons", "").problem(t, 404)
}
