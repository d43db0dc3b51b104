package api

import (
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"billwright/bom/order"
)

// What came of customer's own material: 10 stools need 6.75 yd. 6.00 yd hold the
// order still, 0.75 yd more lift the hold, and the promise counts from that day.
func TestOwnMaterialComesShortAndThenWhole(t *testing.T) {
	s := openShop(t, shopSettings{trial: true})
	dealer, rep, shop := s.key("dealer studio-tamsel"), s.key("rep"), s.key("shop")
	const own = `{"product":"pell-stool","quantity":%d,"configuration":{"height":"24 in","footrest":"bars","cloth":"own","own_width":"54 in","own_repeat":"13 1/2 in"}}`
	number := s.placed(dealer, "first", seatsOrder("PO own", fmt.Sprintf(own, 10)))
	d := s.got(rep, number)
	if len(d.Holds) != 1 || !strings.HasPrefix(d.Holds[0].Reason, "6.75 yd of customer's own material needed") {
		t.Fatalf("holds %+v", d.Holds)
	}
	s.done(rep, number, "accept", 1, `{}`).want(t, 200)
	first := s.got(rep, number).Promise
	s.ask(s.key("owner"), "PUT", "/v1/clock", `{"now":"2026-12-07T18:00:00Z"}`).want(t, 200)
	type told struct {
		Order order.Document
		Own   struct {
			Held     bool
			Pieces   int
			Receipts []struct{ Act, Amount, Due string }
			Check    *struct {
				Verdict, Short, Send, There, Needed string
				Says                                []string
			}
		} `json:"own_material"`
	}
	receipt := func(version int, body string) (r told) {
		t.Helper()
		s.done(shop, number, "own-material/receipts", version, body).want(t, 200).read(t, &r)
		return r
	}
	r := receipt(2, `{"act":"expected","line":1,"amount":"7 yd","due":"2026-12-08","note":"By parcel."}`)
	if !r.Own.Held || r.Own.Check != nil || r.Own.Receipts[0].Due != "2026-12-08" {
		t.Errorf("expected: %+v", r.Own)
	}
	r = receipt(3, `{"act":"received","line":1,"path":"cushion/cloth","amount":"6.00 yd"}`)
	if !r.Own.Held || r.Own.Check.Verdict != "short" || r.Own.Check.There != "216 in" || r.Own.Check.Send != "0.75 yd" {
		t.Errorf("6.00 yd came: %+v %+v", r.Own, r.Own.Check)
	}
	if h := r.Order.Holds; len(h) != 1 || !strings.HasPrefix(h[0].Reason, "6.75 yd of customer's own material needed, 6.00 yd received. Short by") || !strings.Contains(h[0].Reason, "send 0.75 yd more") {
		t.Errorf("held: %+v", h)
	}
	s.done(rep, number, "release", 4, `{}`).problem(t, 409)
	r = receipt(4, `{"act":"received","line":1,"amount":"0.75 yd"}`)
	if r.Own.Held || r.Own.Check.Verdict != "enough" || r.Own.Pieces != 2 || len(r.Own.Receipts) != 3 || len(r.Order.Holds) != 0 || len(r.Order.Lifted) != 1 {
		t.Errorf("6.75 yd came: %+v %+v", r.Own, r.Own.Check)
	}
	if *r.Order.FirstPromise != first || r.Order.Promise.Compare(first) <= 0 || !r.Order.Lifted[0].LiftedAt.Equal(time.Date(2026, 12, 7, 18, 0, 0, 0, time.UTC)) {
		t.Errorf("promise %s, first %s, was %s", r.Order.Promise, r.Order.FirstPromise, first)
	}
	s.done(rep, number, "release", 5, `{}`).want(t, 200)
	var list struct {
		Rows []struct {
			Line int
			Path string
			Held bool
		}
	}
	s.ask(dealer, "GET", "/v1/orders/"+number+"/own-material", "").want(t, 200).read(t, &list)
	if len(list.Rows) != 1 || list.Rows[0].Path != "cushion/cloth" || list.Rows[0].Held {
		t.Errorf("%+v", list)
	}
	for i, test := range []struct{ body, want string }{
		{`{"act":"received","line":1,"amount":"-1 yd"}`, "/amount entry.unreadable"},
		{`{"act":"received","line":1,"amount":"0 yd"}`, "/amount own-material.nothing"},
		{`{"act":"received","line":1,"amount":"7"}`, "/amount entry.unreadable"},
		{`{"act":"received","line":1,"amount":"54 ft2"}`, "/amount own-material.measure"},
		{`{"act":"received","line":1,"amount":"3 kg"}`, "/amount entry.unreadable"},
		{`{"act":"lost","line":1,"amount":"1 yd"}`, "/act own-material.act"},
		{`{"act":"damaged","line":1,"amount":"9 yd"}`, "/amount own-material.more"},
		{`{"act":"received","line":2,"amount":"1 yd"}`, "/line own-material.none"},
		{`{"act":"received","line":1,"path":"base/leg","amount":"1 yd"}`, "/path own-material.none"},
		{`{"act":"received","line":1,"amount":"1 yd","due":"2026-12-24"}`, "/due own-material.due"},
		{`{"act":"short","line":1,"amount":"1 yd","usable_width":"48 in","due":"soon"}`, "/act own-material.sizes, /due date.unreadable"},
	} {
		got := s.ask(shop, "POST", "/v1/orders/"+number+"/own-material/receipts", test.body, `If-Match: "6"`, fmt.Sprint("Idempotency-Key: bad", i)).faults(t, 422)
		if strings.Join(got, ", ") != test.want {
			t.Errorf("%s: %v", test.body, got)
		}
	}
	// Damage is taken off what is there; the hold was lifted for good.
	r = receipt(6, `{"act":"damaged","line":1,"amount":"18 in","note":"Wet."}`)
	if r.Own.Held || r.Own.Check.Verdict != "short" {
		t.Errorf("damaged: %+v", r.Own.Check)
	}
	s.done(dealer, number, "own-material/receipts", 7, `{"act":"received","line":1,"amount":"1 yd"}`).problem(t, 403)
	plain := s.placed(dealer, "plain", bench("PO 2"))
	if got := s.done(rep, plain, "own-material/receipts", 1, `{"act":"received","line":1,"amount":"1 yd"}`).faults(t, 422); !slices.Equal(got, []string{"/line own-material.none"}) {
		t.Errorf("%v", got)
	}
}
