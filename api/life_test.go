package api

import (
	"encoding/json"
	"fmt"
	"strings"
	"sync"
	"testing"
	"time"

	"billwright/bom/order"
)

// done asks for an act on an order that is at a version.
func (s *shop) done(key, number, act string, version int, body string) reply {
	s.t.Helper()
	return s.ask(key, "POST", "/v1/orders/"+number+"/"+act, body, fmt.Sprintf(`If-Match: "%d"`, version), "Idempotency-Key: "+fmt.Sprintf("%s-%s-%d", number, act, version))
}

func (s *shop) got(key, number string) order.Document {
	s.t.Helper()
	var d order.Document
	s.ask(key, "GET", "/v1/orders/"+number, "").want(s.t, 200).read(s.t, &d)
	return d
}

// An order's way from the dealer's post to the shop, with a hold on the way.
func TestAnOrderIsAcceptedAndReleased(t *testing.T) {
	s := openShop(t, shopSettings{})
	dealer, rep := s.key("dealer studio-tamsel"), s.key("rep")
	number := s.placed(dealer, "first", bench("PO 1"))
	firm := func() (firm, all int) {
		t.Helper()
		if err := s.db.AdminPool(t).QueryRow(t.Context(), `select count(*) filter (where firm), count(*) from requirement`).Scan(&firm, &all); err != nil {
			t.Fatal(err)
		}
		return firm, all
	}
	if n, all := firm(); n != 0 || all == 0 {
		t.Errorf("%d of %d requirements are firm before the order is accepted", n, all)
	}
	s.done(dealer, number, "accept", 1, `{}`).problem(t, 403)
	held := s.done(rep, number, "holds", 1, `{"kind":"engineering","reason":"How thick is the wall?"}`).want(t, 200)
	if held.header.Get("ETag") != `"2"` {
		t.Errorf("ETag %s", held.header.Get("ETag"))
	}
	blocked := s.done(rep, number, "accept", 2, `{}`).problem(t, 409)
	if !strings.Contains(blocked.Detail, "How thick is the wall?") || len(blocked.Errors) != 1 || blocked.Errors[0].Code != "hold.engineering" {
		t.Errorf("%+v", blocked)
	}
	s.done(rep, number, "holds/1/lift", 2, `{"reason":"1/8 in, as always"}`).problem(t, 403)
	s.done(s.key("engineer"), number, "holds/1/lift", 2, `{"reason":"1/8 in, as always"}`).want(t, 200)
	var d order.Document
	accepted := s.done(rep, number, "accept", 3, `{}`).want(t, 200)
	accepted.read(t, &d)
	if d.State != order.Accepted || d.Version != 4 || d.FirstPromise == nil || *d.FirstPromise != d.Promise || len(d.Lifted) != 1 {
		t.Errorf("%+v", d)
	}
	if n, all := firm(); n != all {
		t.Errorf("%d of %d requirements are firm once it is accepted", n, all)
	}
	// The same request again is the same answer, and does nothing more.
	again := s.done(rep, number, "accept", 3, `{}`).want(t, 200)
	if string(again.body) != string(accepted.body) || again.header.Get("Idempotent-Replayed") != "true" {
		t.Errorf("replayed as %s", again.body)
	}
	s.done(rep, number, "release", 4, `{}`).want(t, 200)
	outOfOrder := s.done(rep, number, "accept", 5, `{}`).problem(t, 409)
	if !strings.Contains(outOfOrder.Detail, "released") || len(outOfOrder.Errors) == 0 {
		t.Errorf("%+v", outOfOrder)
	}
	var versions versionList
	s.ask(dealer, "GET", "/v1/orders/"+number+"/versions", "").want(t, 200).read(t, &versions)
	var acts []string
	for _, v := range versions.Versions {
		acts = append(acts, string(v.Act))
	}
	if got := strings.Join(acts, ", "); got != "place hold, lift hold, accept, release" || versions.Version != 5 {
		t.Errorf("version %d after %s", versions.Version, got)
	}
	// Every version is still there as it was.
	var first order.Document
	s.ask(dealer, "GET", "/v1/orders/"+number+"?version=1", "").want(t, 200).read(t, &first)
	if first.State != order.Received || first.Version != 1 {
		t.Errorf("version 1 is %s, %d", first.State, first.Version)
	}
	s.ask(dealer, "GET", "/v1/orders/"+number+"?version=9", "").problem(t, 404)
	var n int
	if err := s.db.AdminPool(t).QueryRow(t.Context(), `select count(*) from audit where subject = $1 and act like 'order: %'`, number).Scan(&n); err != nil || n != 4 {
		t.Errorf("%d acts in the trail, want 4 (%v)", n, err)
	}
}

func TestAnActNamesTheVersionItWasDecidedOn(t *testing.T) {
	s := openShop(t, shopSettings{})
	rep := s.key("rep")
	number := s.placed(s.key("dealer studio-tamsel"), "first", bench("PO 1"))
	s.ask(rep, "POST", "/v1/orders/"+number+"/accept", `{}`, "Idempotency-Key: a").problem(t, 428)
	s.ask(rep, "POST", "/v1/orders/"+number+"/accept", `{}`, "Idempotency-Key: a", "If-Match: *").problem(t, 428)
	s.ask(rep, "POST", "/v1/orders/"+number+"/accept", `{}`, `If-Match: "1"`).problem(t, 400)
	s.done(rep, number, "holds", 1, `{"kind":"deposit"}`).want(t, 200)
	stale := s.ask(rep, "POST", "/v1/orders/"+number+"/accept", `{}`, "Idempotency-Key: b", `If-Match: "1"`).problem(t, 412)
	if !strings.Contains(stale.Detail, "place hold (version 2") {
		t.Errorf("it says %q", stale.Detail)
	}
	for _, tag := range []string{`"7"`, `"x"`, `W/"2"`, `2-superseded`} {
		s.ask(rep, "POST", "/v1/orders/"+number+"/accept", `{}`, "Idempotency-Key: c"+tag[:1]+tag[len(tag)-2:len(tag)-1], "If-Match: "+tag).problem(t, 412)
	}
	if d := s.got(rep, number); d.Version != 2 || d.State != order.Received {
		t.Errorf("the order is %s at version %d", d.State, d.Version)
	}
}

// Of two people who act on one version, one is told what the other did.
func TestTwoPeopleOnOneOrder(t *testing.T) {
	s := openShop(t, shopSettings{})
	rep, owner := s.key("rep"), s.key("owner")
	number := s.placed(s.key("dealer studio-tamsel"), "first", bench("PO 1"))
	const rounds = 20
	won, lost := 0, 0
	for version := 1; version <= rounds; version++ {
		var both sync.WaitGroup
		status := make([]int, 2)
		for i, key := range []string{rep, owner} {
			both.Go(func() {
				status[i] = s.ask(key, "POST", "/v1/orders/"+number+"/holds", `{"kind":"deposit","reason":"`+fmt.Sprint(version, i)+`"}`,
					fmt.Sprintf(`If-Match: "%d"`, version), fmt.Sprintf("Idempotency-Key: race-%d-%d", version, i)).status
			})
		}
		both.Wait()
		for _, code := range status {
			switch code {
			case 200:
				won++
			case 412:
				lost++
			default:
				t.Errorf("round %d: %d", version, code)
			}
		}
	}
	if d := s.got(rep, number); won != rounds || lost != rounds || len(d.Holds) != rounds || d.Version != rounds+1 {
		t.Errorf("%d won and %d lost of %d rounds; %d holds at version %d", won, lost, rounds, len(d.Holds), d.Version)
	}
}

func TestAcknowledgment(t *testing.T) {
	s := openShop(t, shopSettings{})
	dealer, rep := s.key("dealer studio-tamsel"), s.key("rep")
	number := s.placed(dealer, "first", bench("PO 1"))
	s.done(rep, number, "accept", 1, `{}`).want(t, 200)
	var first, now order.Acknowledgment
	superseded := s.ask(dealer, "GET", "/v1/orders/"+number+"/acknowledgment?version=1", "").want(t, 200)
	superseded.read(t, &first)
	s.ask(dealer, "GET", "/v1/orders/"+number+"/acknowledgment", "").want(t, 200).read(t, &now)
	if !first.Superseded || first.State != order.Received || now.Superseded || now.State != order.Accepted || now.Version != 2 {
		t.Errorf("first %+v\nnow %+v", first, now)
	}
	defaulted := 0
	for _, c := range now.Lines[0].Choices {
		if c.Defaulted {
			defaulted++
		}
		if c.Name == "" || c.Value == "" {
			t.Errorf("%+v", c)
		}
	}
	if defaulted == 0 || len(now.Lines[0].Price.Lines) == 0 {
		t.Errorf("%d defaulted choices, %d price lines", defaulted, len(now.Lines[0].Price.Lines))
	}
}

// A quote holds its price and its revision to its last day, and asks for nothing
// to be bought until it is placed.
func TestAQuoteHoldsItsPrice(t *testing.T) {
	s := openShop(t, shopSettings{trial: true})
	dealer, rep, owner := s.key("dealer studio-tamsel"), s.key("rep"), s.key("owner")
	quote := s.placed(dealer, "first", bench("PO 1", `,"intent":"quote","valid_until":"2026-12-11"`))
	late := s.placed(dealer, "second", bench("PO 2", `,"intent":"quote","valid_until":"2026-12-01"`))
	quoted := s.got(dealer, quote)
	if quoted.State != order.Quoted || quoted.ValidUntil.String() != "2026-12-11" {
		t.Fatalf("%+v", quoted)
	}
	var n int
	if err := s.db.AdminPool(t).QueryRow(t.Context(), `select count(*) from requirement`).Scan(&n); err != nil || n != 0 {
		t.Errorf("quotes need %d things (%v)", n, err)
	}
	s.done(rep, quote, "accept", 1, `{}`).problem(t, 409)
	s.ask(owner, "PUT", "/v1/clock", `{"now":"2026-12-09T18:00:00Z"}`).want(t, 200)
	s.done(dealer, late, "place", 1, `{}`).problem(t, 409)
	var placed order.Document
	s.done(dealer, quote, "place", 1, `{}`).want(t, 200).read(t, &placed)
	if placed.State != order.Received || *placed.Net != *quoted.Net || placed.Revision != quoted.Revision || !placed.Promise.After(quoted.Promise) || !placed.ReceivedAt.Equal(time.Date(2026, 12, 9, 18, 0, 0, 0, time.UTC)) {
		t.Errorf("quoted %+v\nplaced %+v", quoted, placed)
	}
	if err := s.db.AdminPool(t).QueryRow(t.Context(), `select count(*) from requirement`).Scan(&n); err != nil || n == 0 {
		t.Errorf("a placed quote needs nothing (%v)", err)
	}
	// The purchase order number is guarded from now on.
	other := s.ask(dealer, "POST", "/v1/orders", bench("po  1"), "Idempotency-Key: third").problem(t, 409)
	if other.Existing != "/v1/orders/"+quote {
		t.Errorf("%+v", other)
	}
	for body, code := range map[string]string{`,"intent":"quote"`: "quote.no-end", `,"intent":"quote","valid_until":"2026-12-08"`: "quote.ended",
		`,"intent":"quote","valid_until":"soon"`: "date.unreadable", `,"valid_until":"2026-12-24"`: "quote.not", `,"intent":"wish"`: "intent.unknown"} {
		p := s.ask(dealer, "POST", "/v1/orders", bench("PO 9", body), "Idempotency-Key: "+code).problem(t, 422)
		if len(p.Errors) != 1 || p.Errors[0].Code != code {
			t.Errorf("%s: %+v, want %s", body, p.Errors, code)
		}
	}
}

// A quote's bill was made on the day of the quote: placed after the last day of an
// option it has, it is still told how it came about.
func TestTheWorkingOfAPlacedQuote(t *testing.T) {
	s := openShop(t, shopSettings{trial: true})
	rep := s.key("rep")
	number := s.placed(rep, "first", `{"po":"PO 1","dealer":"studio-tamsel","intent":"quote","valid_until":"2027-09-30","lines":[{"product":"wenlow-console","quantity":1,"configuration":{"edge":"knife"}}]}`)
	working := "/v1/orders/" + number + "/bill/working"
	quoted := s.ask(rep, "GET", working, "").want(t, 200)
	s.ask(s.key("owner"), "PUT", "/v1/clock", `{"now":"2027-09-01T18:00:00Z"}`).want(t, 200)
	s.done(rep, number, "place", 1, `{}`).want(t, 200)
	if placed := s.ask(rep, "GET", working, "").want(t, 200); string(placed.body) != string(quoted.body) {
		t.Errorf("quoted %s\nplaced %s", quoted.body, placed.body)
	}
}

// A draft is kept with what it lacks, may be mended, and becomes an order when it
// lacks nothing.
func TestADraftIsKeptAndPlaced(t *testing.T) {
	s := openShop(t, shopSettings{})
	rep := s.key("rep")
	number := s.placed(rep, "first", `{"intent":"draft","dealer":"studio-tamsel","lines":[{"product":"sallow-bench","configuration":{"length":"9 ft"}}]}`)
	var d order.DraftDocument
	s.ask(rep, "GET", "/v1/orders/"+number, "").want(t, 200).read(t, &d)
	if d.State != order.Drafted || d.Number != number || len(d.Missing) < 3 {
		t.Fatalf("%+v", d)
	}
	for _, path := range []string{"/bill", "/bill/steel", "/bill/working", "/bill/rows/1/base/leg/why", "/acknowledgment"} {
		if p := s.ask(rep, "GET", "/v1/orders/"+number+path, "").problem(t, 409); path != "/acknowledgment" && len(p.Errors) != len(d.Missing) {
			t.Errorf("%s: %+v", path, p)
		}
	}
	s.done(rep, number, "accept", 1, `{}`).problem(t, 409)
	refused := s.done(rep, number, "place", 1, `{}`).problem(t, 422)
	if len(refused.Errors) != len(d.Missing) {
		t.Errorf("%+v", refused.Errors)
	}
	whole := strings.Replace(bench("PO 7"), `{"po"`, `{"intent":"draft","dealer":"studio-tamsel","po"`, 1)
	s.ask(rep, "PUT", "/v1/orders/"+number, whole).problem(t, 428)
	s.ask(rep, "PUT", "/v1/orders/"+number, whole, `If-Match: "4"`).problem(t, 412)
	changed := s.ask(rep, "PUT", "/v1/orders/"+number, whole, `If-Match: "1"`).want(t, 200)
	d = order.DraftDocument{}
	changed.read(t, &d)
	if d.Version != 2 || len(d.Missing) != 0 || !json.Valid(d.Request) {
		t.Errorf("%+v", d)
	}
	var placed order.Document
	s.done(rep, number, "place", 2, `{}`).want(t, 200).read(t, &placed)
	if placed.State != order.Received || placed.Version != 3 || placed.Number != number || placed.PO != "PO 7" || placed.Net == nil {
		t.Errorf("%+v", placed)
	}
	s.ask(rep, "GET", "/v1/orders/"+number+"/bill/steel", "").want(t, 200)
	s.ask(rep, "PUT", "/v1/orders/"+number, whole, `If-Match: "3"`).problem(t, 409)
	s.done(rep, number, "accept", 3, `{}`).want(t, 200)
	var found struct{ Orders []orderSummary }
	s.ask(rep, "GET", "/v1/orders?text=PO+7", "").want(t, 200).read(t, &found)
	if len(found.Orders) != 1 || found.Orders[0].State != "accepted" || len(found.Orders[0].Products) != 1 {
		t.Errorf("%+v", found)
	}
}
