package api

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"billwright/bom"
	"billwright/bom/order"
)

// needed lists what an order needs as "kind path pieces".
func (s *shop) needed(key, number string) (rows []string) {
	s.t.Helper()
	var needs orderNeeds
	s.ask(key, "GET", "/v1/orders/"+number+"/requirements", "").want(s.t, 200).read(s.t, &needs)
	for _, n := range needs.Requirements {
		rows = append(rows, fmt.Sprint(n.Kind, " ", n.Path, " ", n.Pieces))
	}
	return rows
}

// An order that was pulled is cancelled before its release: nothing is charged,
// and the next pull takes back row by row what the first one took.
func TestACancelledOrderGivesBackWhatWasPulled(t *testing.T) {
	s := openShop(t, shopSettings{})
	dealer, rep, buyer := s.key("dealer studio-tamsel"), s.key("rep"), s.key("buyer")
	number := s.accepted(dealer, "first", bench("PO 1"))
	other := s.accepted(dealer, "other", bench("PO 2"))
	week := s.steelWeek(buyer, number)
	first := s.pulled(buyer, "pull1", week, "steel", 201)
	s.done(dealer, number, "cancel", 2, `{"reason":"moved away"}`).problem(t, 403)
	if got := s.done(rep, number, "cancel", 2, `{"reason":" "}`).faults(t, 422); !slices.Equal(got, []string{"/reason " + codeMissing}) {
		t.Errorf("%v", got)
	}
	var d order.Document
	r := s.done(rep, number, "cancel", 2, `{"reason":"moved away"}`).want(t, 200)
	r.read(t, &d)
	if d.State != order.Cancelled || d.Cancelled == nil || d.Cancelled.Charge.String() != "0.00" || d.Cancelled.Reason != "moved away" || len(d.Cancelled.Surplus) != 0 {
		t.Errorf("%s", r.body)
	}
	if again := s.done(rep, number, "cancel", 2, `{"reason":"moved away"}`).want(t, 200); string(again.body) != string(r.body) {
		t.Errorf("again %s", again.body)
	}
	s.done(rep, number, "cancel", 3, `{"reason":"moved away"}`).problem(t, 409)
	if rows := s.needed(buyer, number); len(rows) != 0 {
		t.Errorf("still needed: %v", rows)
	}
	pull := s.pulled(buyer, "pull2", week, "steel", 201)
	var was, back []string
	for _, r := range first.Rows {
		if r.Order == number {
			was = append(was, fmt.Sprint(r.Path, r.Item, r.Length, -r.Pieces))
		}
	}
	for _, r := range pull.Rows {
		if r.Order != number || r.Mark != "cancelled" {
			t.Errorf("%+v", r)
		}
		back = append(back, fmt.Sprint(r.Path, r.Item, r.Length, r.Pieces))
	}
	if slices.Sort(was); len(was) == 0 || !slices.Equal(was, slices.Sorted(slices.Values(back))) {
		t.Errorf("pulled %v, back %v", was, back)
	}
	if s.got(rep, other).State != order.Accepted || len(s.needed(buyer, other)) == 0 {
		t.Error("the other order was touched")
	}
	// Its purchase order number is free again, and its papers are still there.
	s.place(dealer, "anew", bench("PO 1")).want(t, 201)
	var ack order.Acknowledgment
	s.ask(dealer, "GET", "/v1/orders/"+number+"/acknowledgment?version=2", "").want(t, 200).read(t, &ack)
	if !ack.Superseded || ack.State != order.Accepted {
		t.Errorf("%+v", ack)
	}
}

// Of a bench whose steel is cut the steel stays in the ledger as surplus, and the
// rest goes.
func TestWhatWasCutIsSurplus(t *testing.T) {
	s := openShop(t, shopSettings{})
	dealer, rep, shop, buyer := s.key("dealer studio-tamsel"), s.key("rep"), s.key("shop"), s.key("buyer")
	number := s.accepted(dealer, "first", bench("PO 1"))
	week := s.steelWeek(buyer, number)
	s.pulled(buyer, "pull1", week, "steel", 201)
	steel := 0
	for _, row := range s.needed(buyer, number) {
		if strings.HasPrefix(row, bom.KindSteel+" ") {
			steel++
		}
	}
	s.done(rep, number, "release", 2, `{}`).want(t, 200)
	s.done(shop, number, "events", 3, `{"event":"steel-cut","line":1}`).want(t, 200)
	var d order.Document
	s.done(rep, number, "cancel", 4, `{"reason":"moved away"}`).want(t, 200).read(t, &d)
	if c := d.Cancelled; len(c.Surplus) != steel || c.Surplus[0].Kind != bom.KindSteel || c.Surplus[0].Amount == "" || c.Lines[0].Percent != "60 %" {
		t.Errorf("%d rows of steel: %+v", steel, c)
	}
	for _, row := range s.needed(buyer, number) {
		if !strings.HasPrefix(row, bom.KindSteel+" ") {
			t.Errorf("still needed: %s", row)
		}
	}
	if p := s.pulled(buyer, "pull2", week, "steel", 200); p.New {
		t.Errorf("cut steel is given back: %+v", p.Rows)
	}
}

func TestDraftsAndQuotesAreCancelled(t *testing.T) {
	s := openShop(t, shopSettings{})
	dealer, rep := s.key("dealer studio-tamsel"), s.key("rep")
	draft := s.placed(dealer, "draft", `{"intent":"draft","lines":[{"product":"sallow-bench"}]}`)
	quote := s.placed(dealer, "quote", bench("", `,"intent":"quote","valid_until":"2026-12-24"`))
	for _, number := range []string{draft, quote} {
		var d order.Document
		s.done(dealer, number, "cancel", 1, `{"reason":"another idea"}`).want(t, 200).read(t, &d)
		if d.State != order.Cancelled || d.Version != 2 || d.Cancelled.Charge.String() != "0.00" {
			t.Errorf("%+v", d)
		}
		s.done(dealer, number, "place", 2, `{"po":"PO 9"}`).problem(t, 409)
		s.done(rep, number, "accept", 2, `{}`).problem(t, 409)
		if got := s.got(rep, number); got.State != order.Cancelled {
			t.Errorf("%+v", got)
		}
	}
	s.ask(dealer, "GET", "/v1/orders/"+draft+"/acknowledgment", "").problem(t, 409)
	s.ask(dealer, "GET", "/v1/orders/"+draft+"/bill", "").problem(t, 404)
}

// What becomes of what was made decides what the next pull takes: with the legs
// put in stock all of the new ones, with the legs kept nothing, and charged the
// price grows by the charge.
func TestDispositionsDecideWhatIsPulled(t *testing.T) {
	s := openShop(t, shopSettings{})
	dealer, rep, owner, shop, buyer := s.key("dealer studio-tamsel"), s.key("rep"), s.key("owner"), s.key("shop"), s.key("buyer")
	for i, c := range []struct {
		disposition, charge string
		legs                int64 // that the second pull takes
	}{{"stock", "", 4}, {"scrap", "", 4}, {"keep", "", 0}, {"recut", "", 4}, {"charge", `,"charge":"85.00"`, 4}} {
		number := s.accepted(dealer, c.disposition, bench(fmt.Sprint("PO ", c.disposition)))
		week := s.steelWeek(buyer, number)
		s.pulled(buyer, "a"+c.disposition, week, "steel", 201)
		before := s.got(rep, number)
		s.done(rep, number, "release", 2, `{}`).want(t, 200)
		s.done(shop, number, "events", 3, `{"event":"steel-cut","line":1}`).want(t, 200)
		body := fmt.Sprintf(`{"reason":"x","lines":[{"line":1,"configuration":{"height":"20 in"}}],"overrides":[{"lock":"steel-cut","reason":"a higher seat","disposition":%q%s}]}`, c.disposition, c.charge)
		var change changeReply
		s.proposed(owner, "c"+c.disposition, number, 4, body).want(t, 201).read(t, &change)
		if n := len(change.Difference.Surplus); n != 1 || change.Difference.Surplus[0].Path != "base/leg" || change.Difference.Surplus[0].Disposition != c.disposition {
			t.Errorf("%s: %+v", c.disposition, change.Difference.Surplus)
		}
		var d order.Document
		s.done(owner, number, "changes/1/approve", 4, `{}`).want(t, 200).read(t, &d)
		paid := *d.Net - *before.Net - (*d.Lines[0].Price.Net - *before.Lines[0].Price.Net)
		if want := map[bool]string{true: "85.00", false: "0.00"}[c.charge != ""]; paid.String() != want {
			t.Errorf("%s: charged %s, want %s", c.disposition, paid, want)
		}
		var legs int64
		status := 201
		if c.legs == 0 {
			status = 200
		}
		pull := s.pulled(buyer, "b"+c.disposition, week, "steel", status)
		for _, r := range pull.Rows {
			if pull.New && r.Path == "base/leg" {
				legs += r.Pieces
			}
		}
		if legs != c.legs {
			t.Errorf("%d %s: the second pull takes %d legs, want %d: %+v", i, c.disposition, legs, c.legs, pull.Rows)
		}
	}
	number := s.accepted(dealer, "bad", bench("PO bad"))
	for body, codes := range map[string][]string{
		`{"reason":"x","sidemark":"y","overrides":[{"lock":"a","reason":"b","disposition":"charge"}]}`:                   {"/overrides/0/charge charge.missing"},
		`{"reason":"x","sidemark":"y","overrides":[{"lock":"a","reason":"b","disposition":"stock","charge":"5.00"}]}`:    {"/overrides/0/charge charge.not"},
		`{"reason":"x","sidemark":"y","overrides":[{"lock":"a","reason":"b","disposition":"charge","charge":"plenty"}]}`: {"/overrides/0/charge money.unreadable"},
	} {
		if got := s.proposed(owner, "bad", number, 2, body).faults(t, 422); !slices.Equal(got, codes) {
			t.Errorf("%s: %v, want %v", body, got, codes)
		}
	}
}
