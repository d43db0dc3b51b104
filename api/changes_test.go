package api

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"billwright/bom"
	"billwright/bom/order"
)

// proposed proposes a change on an order that is at a version.
func (s *shop) proposed(key, once, number string, version int, body string) reply {
	s.t.Helper()
	return s.ask(key, "POST", "/v1/orders/"+number+"/changes", body, fmt.Sprintf(`If-Match: "%d"`, version), "Idempotency-Key: "+once)
}

// The changes of an order are listed a page at a time, newest first, decided or
// not, and to nobody who does not see the order.
func TestProposedChangesAreListed(t *testing.T) {
	s := openShop(t, shopSettings{})
	dealer, rep := s.key("dealer studio-tamsel"), s.key("rep")
	number := s.accepted(dealer, "first", bench("PO 1"))
	list := func(key, query string) (told []string) {
		t.Helper()
		var page changeList
		s.ask(key, "GET", "/v1/orders/"+number+"/changes"+query, "").want(t, 200).read(t, &page)
		for _, c := range page.Changes {
			told = append(told, strings.TrimSpace(fmt.Sprint(c.Change, " ", c.Reason, " ", c.Decision)))
		}
		return told
	}
	if got := list(dealer, ""); got == nil || len(got) > 0 {
		if len(got) > 0 {
			t.Errorf("before any: %v", got)
		}
	}
	for i := range 5 {
		s.proposed(rep, fmt.Sprint("c", i), number, 2, fmt.Sprintf(`{"reason":"room %d","sidemark":"Room %d"}`, i, i)).want(t, 201)
	}
	s.done(rep, number, "changes/2/decline", 2, `{}`).want(t, 200)
	s.done(rep, number, "changes/4/approve", 2, `{}`).want(t, 200)
	if got := list(dealer, ""); !slices.Equal(got, []string{"5 room 4", "4 room 3 approved", "3 room 2", "2 room 1 declined", "1 room 0"}) {
		t.Errorf("%q", got)
	}
	if got := list(rep, "?limit=2&before=5"); !slices.Equal(got, []string{"4 room 3 approved", "3 room 2"}) {
		t.Errorf("a page: %q", got)
	}
	if got := list(rep, "?before=1"); len(got) > 0 {
		t.Errorf("past the first: %q", got)
	}
	s.ask(s.key("dealer hobb-and-farrow"), "GET", "/v1/orders/"+number+"/changes", "").problem(t, 404)
	s.ask(rep, "GET", "/v1/orders/"+number+"/changes?limit=101", "").problem(t, 422)
}

// A longer bench after its steel was pulled: the proposal shows everything and
// changes nothing, approving applies it once, and the next pull takes exactly the
// differences that were shown.
func TestAChangeIsShownAndThenApplied(t *testing.T) {
	s := openShop(t, shopSettings{})
	dealer, rep, buyer := s.key("dealer studio-tamsel"), s.key("rep"), s.key("buyer")
	number := s.accepted(dealer, "first", bench("PO 1"))
	week := s.steelWeek(buyer, number)
	s.pulled(buyer, "pull1", week, "steel", 201)
	before := s.got(rep, number)
	const longer = `{"reason":"a longer wall","sidemark":"Alcove","lines":[{"line":1,"configuration":{"length":"5 ft","cloth":"oat-weave"}}]}`
	var c changeReply
	made := s.proposed(rep, "c1", number, 2, longer).want(t, 201)
	made.read(t, &c)
	if made.header.Get("Location") != "/v1/orders/"+number+"/changes/1" || c.Change != 1 || c.Version != 2 || c.Decision != "" {
		t.Errorf("%s %+v", made.header.Get("Location"), c)
	}
	var fields []string
	for _, f := range c.Difference.Fields {
		fields = append(fields, fmt.Sprint(f.Line, " ", f.Field))
	}
	if !slices.Contains(fields, "0 sidemark") || !slices.Contains(fields, "1 length") || slices.Contains(fields, "1 height") {
		t.Errorf("%v", fields)
	}
	if len(c.Difference.Bill) == 0 || len(c.Difference.Price) != 2 || len(c.Difference.Requirements) == 0 || *c.Difference.Price[0].Is != *c.Difference.Price[1].Is {
		t.Errorf("%+v", c.Difference)
	}
	if d := s.got(rep, number); d.Version != 2 || d.Sidemark != before.Sidemark || *d.Net != *before.Net {
		t.Errorf("a proposal changed the order: %+v", d)
	}
	var seen changeReply
	s.ask(dealer, "GET", "/v1/orders/"+number+"/changes/1", "").want(t, 200).read(t, &seen)
	s.ask(dealer, "GET", "/v1/orders/"+number+"/changes/2", "").problem(t, 404)
	s.ask(s.key("dealer hobb-and-farrow"), "GET", "/v1/orders/"+number+"/changes/1", "").problem(t, 404)
	s.done(dealer, number, "changes/1/approve", 2, `{}`).problem(t, 403)
	var d order.Document
	approved := s.done(rep, number, "changes/1/approve", 2, `{}`).want(t, 200)
	approved.read(t, &d)
	if d.Version != 3 || d.Bill.Version != 2 || d.Sidemark != "Alcove" || *d.Net != *c.Difference.Price[0].Is || d.State != order.Accepted {
		t.Errorf("%+v", d)
	}
	if again := s.done(rep, number, "changes/1/approve", 2, `{}`).want(t, 200); string(again.body) != string(approved.body) {
		t.Errorf("again %s", again.body)
	}
	s.done(rep, number, "changes/1/approve", 3, `{}`).problem(t, 409)
	s.done(rep, number, "changes/1/decline", 3, `{}`).problem(t, 409)
	// The papers before it are still there, and the new bill has its working.
	var ack order.Acknowledgment
	s.ask(dealer, "GET", "/v1/orders/"+number+"/acknowledgment?version=2", "").want(t, 200).read(t, &ack)
	if !ack.Superseded || ack.Sidemark != before.Sidemark {
		t.Errorf("%+v", ack)
	}
	s.ask(rep, "GET", "/v1/orders/"+number+"/bill/working", "").want(t, 200)
	// The next pull takes exactly the steel that was shown.
	pull := s.pulled(buyer, "pull2", week, "steel", 201)
	var shown, taken []string
	for _, n := range c.Difference.Requirements {
		if n.Kind == bom.KindSteel {
			shown = append(shown, fmt.Sprint(n.Line, n.Unit, n.Path, n.Item, n.Length, n.Pieces))
		}
	}
	for _, r := range pull.Rows {
		taken = append(taken, fmt.Sprint(r.Line, r.Unit, r.Path, r.Item, r.Length, r.Pieces))
	}
	slices.Sort(shown)
	slices.Sort(taken)
	if !slices.Equal(shown, taken) || len(shown) == 0 {
		t.Errorf("shown %v\ntaken %v", shown, taken)
	}
}

// A bill that was superseded is still told how it came about, figure by figure,
// as it was told before; and so is the one that took its place.
func TestTheWorkingOfASupersededBill(t *testing.T) {
	s := openShop(t, shopSettings{})
	dealer, rep := s.key("dealer studio-tamsel"), s.key("rep")
	number := s.accepted(dealer, "first", bench("PO 1"))
	orders := "/v1/orders/" + number
	parts := []string{"/bill?", "/bill/working?", "/bill/layouts?", "/bill/rows/1/base/long-rail/why?"}
	before := map[string]string{}
	for _, part := range parts {
		before[part] = string(s.ask(rep, "GET", orders+part, "").want(t, 200).body)
	}
	s.proposed(rep, "c1", number, 2, `{"reason":"a longer wall","lines":[{"line":1,"configuration":{"length":"5 ft","cloth":"oat-weave"}}]}`).want(t, 201)
	s.done(rep, number, "changes/1/approve", 2, `{}`).want(t, 200)
	// An act after the change leaves the bill alone, and what it is told by.
	s.done(rep, number, "holds", 3, `{"kind":"engineering","reason":"How thick is the wall?"}`).want(t, 200)
	for _, part := range parts {
		if is := string(s.ask(dealer, "GET", orders+part+"version=1", "").want(t, 200).body); is != before[part] {
			t.Errorf("%s of bill 1 was %s\nand is %s", part, before[part], is)
		}
		last := string(s.ask(rep, "GET", orders+part, "").want(t, 200).body)
		if is := string(s.ask(rep, "GET", orders+part+"version=2", "").want(t, 200).body); is != last || is == before[part] {
			t.Errorf("%s of bill 2 is %s\nthe last is %s", part, is, last)
		}
		s.ask(rep, "GET", orders+part+"version=3", "").problem(t, 404)
	}
	for version, long := range map[int]string{1: "48 in", 2: "60 in"} {
		var why whyReply
		s.ask(rep, "GET", fmt.Sprint(orders, "/bill/rows/1/base/long-rail/why?version=", version), "").want(t, 200).read(t, &why)
		if text := why.Text(); why.Version != version || !strings.Contains(text, "length = "+long) {
			t.Errorf("bill %d: %s", version, text)
		}
	}
}

func TestADeclinedChangeLeavesTheOrder(t *testing.T) {
	s := openShop(t, shopSettings{})
	dealer, rep := s.key("dealer studio-tamsel"), s.key("rep")
	number := s.accepted(dealer, "first", bench("PO 1"))
	before := s.ask(rep, "GET", "/v1/orders/"+number, "").want(t, 200)
	s.proposed(rep, "c1", number, 2, `{"reason":"x","lines":[{"line":1,"quantity":3}]}`).want(t, 201)
	var c changeReply
	s.done(rep, number, "changes/1/decline", 2, `{"reason":"too dear"}`).want(t, 200).read(t, &c)
	if c.Decision != "declined" || c.DecidedAt == nil {
		t.Errorf("%+v", c)
	}
	if after := s.ask(rep, "GET", "/v1/orders/"+number, "").want(t, 200); string(after.body) != string(before.body) {
		t.Errorf("declined, and %s", after.body)
	}
	s.done(rep, number, "changes/1/approve", 2, `{}`).problem(t, 409)
}

// Lines keep their numbers and, left alone, their price, whatever is removed and
// added beside them.
func TestLinesAreAddedAndRemoved(t *testing.T) {
	s := openShop(t, shopSettings{})
	dealer, rep, owner := s.key("dealer studio-tamsel"), s.key("rep"), s.key("owner")
	number := s.placed(dealer, "first", `{"po":"PO 1","lines":[{"product":"sallow-bench","quantity":1,"configuration":{"length":"4 ft","cloth":"oat-weave"}},{"product":"sallow-bench","quantity":1,"configuration":{"length":"5 ft","cloth":"oat-weave"}}]}`)
	first := s.got(rep, number)
	s.proposed(rep, "c1", number, 1, `{"reason":"x","lines":[{"line":1,"remove":true},{"product":"sallow-bench","quantity":2}]}`).want(t, 201)
	var d order.Document
	s.done(owner, number, "changes/1/approve", 1, `{}`).want(t, 200).read(t, &d)
	if len(d.Lines) != 2 || d.Lines[0].Line != 2 || d.Lines[1].Line != 3 || *d.Lines[0].Price.Net != *first.Lines[1].Price.Net || d.State != order.Received {
		t.Errorf("%+v", d)
	}
	s.ask(rep, "GET", "/v1/orders/"+number+"/bill/working", "").want(t, 200)
	for body, codes := range map[string][]string{
		`{"reason":"x","lines":[{"line":1,"quantity":3}]}`: {"/line line.unknown"},
		`{"reason":"x"}`: {"change.nothing"},
		`{"reason":" ","lines":[{"line":2,"product":"sallow-bench"},{"remove":true}]}`:           {"/reason missing", "/lines/0/product product.fixed", "/lines/1/line missing"},
		`{"reason":"x","lines":[{"line":2,"remove":true},{"line":3,"remove":true}]}`:             {"/lines lines.missing"},
		`{"reason":"x","sidemark":"a","overrides":[{"lock":"a","reason":"","disposition":"b"}]}`: {"/overrides/0/reason reason.missing", "/overrides/0/disposition disposition.unknown"},
	} {
		if got := s.proposed(rep, "bad", number, 2, body).faults(t, 422); !slices.Equal(got, codes) {
			t.Errorf("%s: %v, want %v", body, got, codes)
		}
	}
}

// Once steel is cut a size is changed by an override only, of the owner's or an
// engineer's, and a cloth that is not cut yet still without.
func TestALockIsOverriddenWithARight(t *testing.T) {
	s := openShop(t, shopSettings{})
	dealer, rep, engineer, shop := s.key("dealer studio-tamsel"), s.key("rep"), s.key("engineer"), s.key("shop")
	number := s.accepted(dealer, "first", bench("PO 1"))
	s.done(rep, number, "release", 2, `{}`).want(t, 200)
	const longer = `{"reason":"x","lines":[{"line":1,"configuration":{"length":"5 ft","cloth":"oat-weave"}}]`
	const override = `,"overrides":[{"lock":"steel-cut","reason":"the customer pays","disposition":"stock"}]}`
	s.proposed(rep, "free", number, 3, longer+`}`).want(t, 201)
	s.done(shop, number, "events", 3, `{"event":"steel-cut","line":1}`).want(t, 200)
	// What was proposed before the cut is locked by now.
	s.done(rep, number, "changes/1/approve", 4, `{}`).problem(t, 409)
	locked := s.proposed(rep, "locked", number, 4, longer+`}`).problem(t, 409)
	if len(locked.Errors) != 1 || locked.Errors[0].Code != "lock.steel-cut" {
		t.Errorf("%+v", locked)
	}
	s.proposed(rep, "theirs", number, 4, longer+override).problem(t, 403)
	var c changeReply
	s.proposed(engineer, "over", number, 4, longer+override).want(t, 201).read(t, &c)
	if len(c.Difference.Overrides) != 1 || c.Difference.Overrides[0].Disposition != "stock" {
		t.Errorf("%+v", c.Difference.Overrides)
	}
	s.done(rep, number, "changes/2/approve", 4, `{"reason":"y"}`).problem(t, 403)
	var d order.Document
	s.done(engineer, number, "changes/2/approve", 4, `{}`).want(t, 200).read(t, &d)
	if d.State != order.InWork || d.Bill.Version != 2 || d.Version != 5 {
		t.Errorf("%+v", d)
	}
}
