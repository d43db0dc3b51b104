package api

import (
	"bytes"
	"fmt"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"billwright/bom/order"
	"billwright/catalog/demonstration"
	"billwright/catalog/source"
)

// revised gives the demonstration's files with texts replaced, in force from a
// day.
func revised(t testing.TB, files []source.File, effective string, pairs ...string) []source.File {
	t.Helper()
	files = slices.Clone(files)
	for i := 0; i < len(pairs)+2; i += 2 {
		was, is := "effective: 2026-11-02", "effective: "+effective
		if i < len(pairs) {
			was, is = pairs[i], pairs[i+1]
		}
		found := false
		for k := range files {
			if bytes.Contains(files[k].Bytes, []byte(was)) {
				files[k].Bytes, found = bytes.Replace(files[k].Bytes, []byte(was), []byte(is), 1), true
				break
			}
		}
		if !found {
			t.Fatalf("no file has %q", was)
		}
	}
	return files
}

// at moves the shop's clock.
func (s *shop) at(now time.Time) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.now = now
}

// sent is an order of two benches that has shipped whole, at version 5.
func (s *shop) sent(dealer, once string) string {
	s.t.Helper()
	number := s.accepted(dealer, once, strings.Replace(bench("PO "+once), `"quantity":1`, `"quantity":2`, 1))
	s.done(s.key("rep"), number, "release", 2, `{}`).want(s.t, 200)
	s.done(s.key("shop"), number, "events", 3, `{"event":"boxed","line":1}`).want(s.t, 200)
	s.done(s.key("shop"), number, "shipments", 4, `{"cartons":[{"line":1}]}`).want(s.t, 200)
	return number
}

// Parts and a re-make of what has shipped, long after the catalog has changed:
// made by the old one, bought by themselves, and never more than there was.
func TestPartsAndReMakesOfAShippedOrder(t *testing.T) {
	s := openShop(t, shopSettings{})
	dealer, rep, buyer := s.key("dealer studio-tamsel"), s.key("rep"), s.key("buyer")
	number := s.sent(dealer, "first")
	s.store(revised(t, demonstration.Files(), "2026-12-01", "    name: Sedge stripe\n", "    name: Sedge stripe\n    last_order: 2026-12-01\n    successor: oat-weave\n"))
	s.at(time.Date(2027, 2, 3, 18, 0, 0, 0, time.UTC))
	s.place(dealer, "late", bench("PO late")).problem(t, 422)
	var parts order.Document
	made := s.done(dealer, number, "parts", 5, `{"parts":[{"line":1,"path":"base","quantity":1}],"reason":"bent in a move","po":"PO 7"}`).want(t, 201)
	made.read(t, &parts)
	if made.header.Get("Location") != "/v1/orders/"+parts.Number || parts.Of.Order != number || parts.Lines[0].Part != "base" || parts.PO != "PO 7" || parts.Revision != 1 || parts.Net == nil {
		t.Errorf("%s", made.body)
	}
	s.ask(rep, "GET", "/v1/orders/"+parts.Number+"/bill/working", "").want(t, 200)
	if got := s.done(rep, number, "parts", 5, `{"parts":[{"line":1,"path":"base","quantity":2}]}`).faults(t, 422); !slices.Equal(got, []string{"/parts/0/quantity quantity.too-many"}) {
		t.Errorf("%v", got)
	}
	s.ask(dealer, "POST", "/v1/orders/"+number+"/parts", `{"parts":[{"line":1,"path":"base"}],"charge":"none"}`, `If-Match: "5"`, "Idempotency-Key: free").problem(t, 403)
	var again order.Document
	s.done(rep, number, "remakes", 5, `{"line":1,"unit":2,"reason":"split seat","charge":"none"}`).want(t, 201).read(t, &again)
	if again.Of.Relation != order.RelationRemake || again.Net.String() != "0.00" || again.Lines[0].Quantity != 1 || again.State != order.Received {
		t.Errorf("%+v", again)
	}
	for body, codes := range map[string][]string{
		`{"line":1,"unit":2,"reason":"x","charge":"none"}`:   {"/unit unit.twice"},
		`{"line":1,"unit":3,"reason":"x","charge":"none"}`:   {"/unit unit.unknown"},
		`{"line":2,"unit":1,"reason":"x","charge":"none"}`:   {"/line line.unknown"},
		`{"line":1,"unit":1,"reason":" ","charge":"none"}`:   {"/reason " + codeMissing},
		`{"line":1,"unit":1,"reason":"x","charge":"plenty"}`: {"/charge charge.unreadable"},
	} {
		got := s.ask(rep, "POST", "/v1/orders/"+number+"/remakes", body, `If-Match: "5"`, "Idempotency-Key: bad").faults(t, 422)
		if !slices.Equal(got, codes) {
			t.Errorf("%s: %v, want %v", body, got, codes)
		}
	}
	// Accepted, a re-make is bought like any other order.
	s.done(rep, again.Number, "accept", 1, `{}`).want(t, 200)
	pull := s.pulled(buyer, "pull", s.steelWeek(buyer, again.Number), "steel", 201)
	if len(pull.Rows) == 0 || pull.Rows[0].Order != again.Number {
		t.Errorf("%+v", pull)
	}
	var links linkList
	s.ask(dealer, "GET", "/v1/orders/"+number+"/links", "").want(t, 200).read(t, &links)
	if len(links.Links) != 2 || links.Links[0].Order != parts.Number || links.Links[0].Path != "base" || links.Links[1].Unit != 2 || links.Links[1].State != order.Accepted {
		t.Errorf("%+v", links)
	}
	s.ask(dealer, "GET", "/v1/orders/"+again.Number+"/links", "").want(t, 200).read(t, &links)
	if len(links.Links) != 1 || links.Links[0].Of != number {
		t.Errorf("%+v", links)
	}
	if d := s.got(rep, number); d.Version != 5 || d.State != order.Shipped {
		t.Errorf("the order itself became %+v", d)
	}
	s.done(rep, parts.Number, "parts", 1, `{"parts":[{"line":1,"path":"base"}]}`).problem(t, 409)
	s.ask(s.key("dealer hobb-and-farrow"), "GET", "/v1/orders/"+parts.Number, "").problem(t, 404)
}

// A copy is judged by today's catalog: the withdrawn cloth is among what it lacks
// with its successor, and the order it came of is as it was.
func TestAnOrderIsCopied(t *testing.T) {
	s := openShop(t, shopSettings{})
	dealer, rep := s.key("dealer studio-tamsel"), s.key("rep")
	number := s.placed(dealer, "first", bench("PO 1", `,"sidemark":"Alcove"`))
	s.store(revised(t, demonstration.Files(), "2026-12-01", "    name: Sedge stripe\n", "    name: Sedge stripe\n    last_order: 2026-12-01\n    successor: oat-weave\n"))
	s.at(time.Date(2027, 2, 3, 18, 0, 0, 0, time.UTC))
	copied := s.ask(dealer, "POST", "/v1/orders/"+number+"/copies", `{}`, "Idempotency-Key: c").want(t, 201)
	var d order.DraftDocument
	copied.read(t, &d)
	var codes []string
	successor := ""
	for _, f := range d.Missing {
		codes = append(codes, f.Pointer+" "+f.Code)
		if f.Code == "choice.withdrawn" {
			successor = f.Nearest
		}
	}
	if d.State != order.Drafted || d.Sidemark != "Alcove" || d.PO != "" || d.Revision != 2 || d.Of == nil || d.Of.Order != number || successor != "oat-weave" || !slices.Contains(codes, "/po po.missing") || len(codes) != 2 {
		t.Errorf("%v %s", codes, copied.body)
	}
	if again := s.ask(dealer, "POST", "/v1/orders/"+number+"/copies", `{}`, "Idempotency-Key: c").want(t, 201); string(again.body) != string(copied.body) {
		t.Errorf("again %s", again.body)
	}
	s.ask(dealer, "PUT", "/v1/orders/"+d.Number, `{"po":"PO 2","lines":[{"product":"sallow-bench","quantity":1,"configuration":{"length":"4'","cloth":"oat-weave"}}]}`, `If-Match: "1"`).want(t, 200)
	s.done(dealer, d.Number, "place", 2, `{}`).want(t, 200)
	// A draft is copied as well, and another dealer's order is not there.
	s.ask(rep, "POST", "/v1/orders/"+d.Number+"/copies", `{}`, "Idempotency-Key: e").want(t, 201)
	s.ask(s.key("dealer hobb-and-farrow"), "POST", "/v1/orders/"+number+"/copies", `{}`, "Idempotency-Key: f").problem(t, 404)
}

// What is split off stands as it stood, and what both need together is what was
// needed before.
func TestWhatIsSplitOffStandsAsItStood(t *testing.T) {
	s := openShop(t, shopSettings{})
	dealer, rep, buyer := s.key("dealer studio-tamsel"), s.key("rep"), s.key("buyer")
	number := s.accepted(dealer, "first", `{"po":"PO 1","lines":[{"product":"sallow-bench","quantity":3},{"product":"lodden-round","quantity":1}]}`)
	before := s.got(rep, number)
	week := s.steelWeek(buyer, number)
	sum := func() (pieces int64) {
		t.Helper()
		var w weekReply
		s.ask(buyer, "GET", "/v1/requirements/"+week+"?kind=steel", "").want(t, 200).read(t, &w)
		for _, r := range w.Requirements {
			pieces += r.Pieces
		}
		return pieces
	}
	was := sum()
	s.pulled(buyer, "pull1", week, "steel", 201)
	var made order.Document
	s.done(rep, number, "splits", 2, `{"lines":[{"line":1,"quantity":2}],"reason":"two go ahead"}`).want(t, 201).read(t, &made)
	stays := s.got(rep, number)
	if stays.Version != 3 || stays.Lines[0].Quantity != 1 || len(stays.Lines) != 2 || made.State != order.Accepted || made.Promise != before.Promise || made.Lines[0].Quantity != 2 || made.Of.Order != number {
		t.Errorf("stays %+v\nmade %+v", stays, made)
	}
	if *made.Net+*stays.Net != *before.Net {
		t.Errorf("%s and %s are not %s", made.Net, stays.Net, before.Net)
	}
	if is := sum(); is != was || was == 0 {
		t.Errorf("%d pieces are needed, %d were", is, was)
	}
	var pieces int64
	for _, r := range s.pulled(buyer, "pull2", week, "steel", 201).Rows {
		pieces += r.Pieces
	}
	if pieces != 0 {
		t.Errorf("the split makes %d pieces more", pieces)
	}
	if got := s.done(rep, number, "splits", 3, `{"lines":[{"line":1},{"line":2}]}`).faults(t, 422); !slices.Equal(got, []string{"/lines split.all"}) {
		t.Errorf("%v", got)
	}
	s.done(rep, made.Number, "release", 1, `{}`).want(t, 200)
	if got := s.done(rep, made.Number, "splits", 2, `{"lines":[{"line":1,"quantity":1}]}`).problem(t, 422); got.Errors[0].Code != "line.released" {
		t.Errorf("%+v", got)
	}
}

// A new price list and a longer leg touch an accepted order only when it is
// pinned anew, and then the difference says all of it.
func TestAnOrderIsPinnedAnew(t *testing.T) {
	s := openShop(t, shopSettings{})
	dealer, rep := s.key("dealer studio-tamsel"), s.key("rep")
	number := s.accepted(dealer, "first", bench("PO 1"))
	before := s.got(rep, number)
	s.proposed(rep, "soon", number, 2, `{"reason":"x","repin":true}`).problem(t, 422)
	s.store(revised(t, demonstration.Files(), "2026-12-01", "list: 1125.00", "list: 1175.00", "leg_length: height - cushion_height - len('1/8 in') - standard.glide_height", "leg_length: height - cushion_height - standard.glide_height"))
	s.at(time.Date(2026, 12, 2, 18, 0, 0, 0, time.UTC))
	var c changeReply
	s.proposed(rep, "plain", number, 2, `{"reason":"x","sidemark":"Alcove"}`).want(t, 201).read(t, &c)
	if len(c.Difference.Price) != 0 || len(c.Difference.Bill) != 0 {
		t.Errorf("not pinned anew and %+v", c.Difference)
	}
	s.proposed(rep, "anew", number, 2, `{"reason":"the new leg","repin":true}`).want(t, 201).read(t, &c)
	var paths, needs []string
	for _, r := range c.Difference.Bill {
		paths = append(paths, r.Path)
	}
	for _, r := range c.Difference.Requirements {
		needs = append(needs, fmt.Sprint(r.Path, " ", r.Pieces))
	}
	if !slices.Contains(paths, "base/leg") || !slices.Contains(needs, "base/leg 4") || !slices.Contains(needs, "base/leg -4") || len(c.Difference.Price) != 2 || c.Difference.Fields[0].Field != "catalog_revision" {
		t.Errorf("%v %v %+v", paths, needs, c.Difference)
	}
	var d order.Document
	s.done(rep, number, "changes/2/approve", 2, `{}`).want(t, 200).read(t, &d)
	// 50.00 more at list.
	if d.Revision != 2 || d.Bill.Version != 2 || *d.Net <= *before.Net || d.Version != 3 {
		t.Errorf("%+v", d)
	}
	for version := 1; version <= 2; version++ {
		s.ask(rep, "GET", fmt.Sprintf("/v1/orders/%s/bill/working?version=%d", number, version), "").want(t, 200)
	}
	s.done(rep, number, "release", 3, `{}`).want(t, 200)
}

// However many ask at once for the frame of the one bench that left, one order is
// made: asking leaves the order at its version, so that only its lock keeps them
// apart.
func TestPartsAskedForAtOnce(t *testing.T) {
	s := openShop(t, shopSettings{})
	dealer := s.key("dealer studio-tamsel")
	number := s.accepted(dealer, "one", bench("PO 1"))
	s.done(s.key("rep"), number, "release", 2, `{}`).want(t, 200)
	s.done(s.key("shop"), number, "events", 3, `{"event":"boxed","line":1}`).want(t, 200)
	s.done(s.key("shop"), number, "shipments", 4, `{"cartons":[{"line":1}]}`).want(t, 200)
	const askers = 6
	var all sync.WaitGroup
	status := make([]int, askers)
	for i := range askers {
		all.Go(func() {
			r, err := s.try(dealer, "POST", "/v1/orders/"+number+"/parts", `{"parts":[{"line":1,"path":"base"}]}`, `If-Match: "5"`, fmt.Sprintf("Idempotency-Key: ask-%d", i))
			if err != nil {
				t.Error(err)
				return
			}
			status[i] = r.status
		})
	}
	all.Wait()
	slices.Sort(status)
	if want := []int{201, 422, 422, 422, 422, 422}; !slices.Equal(status, want) {
		t.Errorf("%v, want %v", status, want)
	}
}
