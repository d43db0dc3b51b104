package api

import (
	"encoding/json"
	"fmt"
	"maps"
	"slices"
	"strings"
	"testing"

	"billwright/bom"
	"billwright/bom/order"
	"billwright/catalog"
	"billwright/catalog/source"
)

// rail orders a peg rail of a length with ways chosen, "" for none.
func rail(po, length, ways string) string {
	if ways != "" {
		ways = `,"ways":` + ways
	}
	return fmt.Sprintf(`{"po":%q,"lines":[{"product":"ternholt-rail","quantity":2,"configuration":{"length":%q}%s}]}`, po, length, ways)
}

// byChoice opens a shop whose rails are spliced only where somebody chooses it.
func byChoice(t *testing.T) *shop {
	t.Helper()
	s := openShop(t, shopSettings{})
	s.revise(func(files []source.File) []source.File {
		return replaceText(t, files, "taken: by itself\n                length: len('3 in')", "taken: by choice\n                length: len('3 in')")
	}).want(t, 201)
	return s
}

// A rail longer than its bars is refused with its ways out; each of them, done
// as it says, is taken.
func TestALengthBeyondTheBarIsRefusedWithItsWaysOut(t *testing.T) {
	s := byChoice(t)
	dealer := s.key("dealer studio-tamsel")
	refused := s.place(dealer, "k", rail("A 1", "150 in", "")).problem(t, 422)
	if len(refused.Errors) != 1 || refused.Errors[0].Code != "steel.too-long" || refused.Errors[0].Pointer != "/lines/0" {
		t.Fatalf("%+v", refused.Errors)
	}
	const at = "/lines/0/ways/base~1rail"
	want := []catalog.WayOut{
		{Pointer: at, Value: "stock to order", Says: "stock to order, a bar of 192 in in 15 working days"},
		{Pointer: at, Value: "splice", Says: "splice, welded of 75 in and 75 in"},
		{Pointer: "/lines/0/configuration/length", Value: "143 in", Says: "Length up to 143 in"},
	}
	if !slices.Equal(refused.Errors[0].Ways, want) {
		t.Fatalf("ways out %+v, want %+v", refused.Errors[0].Ways, want)
	}
	if check := s.ask(dealer, "POST", "/v1/checks", rail("", "150 in", "")).problem(t, 422); !slices.Equal(check.Errors[0].Ways, want) {
		t.Errorf("a check tells %+v", check.Errors)
	}
	for i, body := range []string{rail("A 2", "150 in", `{"base/rail":"stock to order"}`), rail("A 3", "150 in", `{"base/rail":"splice"}`), rail("A 4", "143 in", "")} {
		s.place(dealer, fmt.Sprint("k", i), body).want(t, 201)
	}
}

// What was chosen comes back with the order, stands in its row, and is what the
// stored bill is reckoned again from, also under another catalog.
func TestTheChosenWayIsStoredOnTheLine(t *testing.T) {
	s := byChoice(t)
	dealer := s.key("dealer studio-tamsel")
	body := rail("A 1", "150 in", `{"base/rail":"splice"}`)
	placed := s.place(dealer, "k", body).want(t, 201)
	var doc order.Document
	placed.read(t, &doc)
	if !maps.Equal(doc.Lines[0].Ways, map[string]string{"base/rail": "splice"}) {
		t.Errorf("the line comes back as %s", placed.body)
	}
	var stored string
	if err := s.db.AdminPool(t).QueryRow(t.Context(), `select ways::text from order_line`).Scan(&stored); err != nil || stored != `{"base/rail": "splice"}` {
		t.Errorf("stored %s: %v", stored, err)
	}
	path := "/v1/orders/" + doc.Number
	if again := s.ask(dealer, "GET", path, "").want(t, 200); string(again.body) != string(placed.body) {
		t.Errorf("read back %s", again.body)
	}
	var bill bom.Bill
	s.ask(dealer, "GET", path+"/bill", "").want(t, 200).read(t, &bill)
	if rows := bill.Lines[0].Steel; rows[0].Path != "base/rail/1" || rows[1].Path != "base/rail/2" || len(bill.Lines[0].Welds) < 4 {
		t.Errorf("the bill has %+v", rows)
	}
	var told order.Acknowledgment
	s.ask(dealer, "GET", path+"/acknowledgment", "").want(t, 200).read(t, &told)
	if !maps.Equal(told.Lines[0].Ways, doc.Lines[0].Ways) {
		t.Errorf("acknowledged %+v", told.Lines[0])
	}
	// Another catalog, in which rails may not be spliced at all, changes nothing
	// of what was taken.
	working := s.ask(dealer, "GET", path+"/bill/working", "").want(t, 200)
	s.revise(func(files []source.File) []source.File {
		return replaceText(t, files, "most: 1\n                from_ends: 24 in", "most: 1\n                from_ends: 100 in")
	}).want(t, 201)
	s.place(dealer, "k2", rail("A 2", "150 in", `{"base/rail":"splice"}`)).problem(t, 422)
	if again := s.ask(dealer, "GET", path+"/bill/working", "").want(t, 200); string(again.body) != string(working.body) || !strings.Contains(string(again.body), "base/rail/2") {
		t.Error("the working changed with the catalog")
	}
	if again := s.place(dealer, "k", body).want(t, 201); string(again.body) != string(placed.body) || again.header.Get("Idempotent-Replayed") != "true" {
		t.Errorf("the retry is answered with %s", again.body)
	}
}

// The choice is part of what a request says: another under the same key is
// another request.
func TestAnotherWayIsAnotherRequest(t *testing.T) {
	s := openShop(t, shopSettings{})
	dealer := s.key("dealer studio-tamsel")
	s.place(dealer, "k", rail("A 1", "150 in", `{"base/rail":"stock to order"}`)).want(t, 201)
	for _, ways := range []string{"", `{"base/rail":"splice"}`, `{"base/hat-bar":"stock to order"}`} {
		if got := s.place(dealer, "k", rail("A 1", "150 in", ways)).faults(t, 422); !slices.Equal(got, []string{"header.Idempotency-Key idempotency-key.reused"}) {
			t.Errorf("%s: %v", ways, got)
		}
	}
	for _, same := range []string{`{"base/rail":"stock to order"}`, `{ "base\/rail" : "stock\u0020to order" }`} {
		s.place(dealer, "k", rail("A 1", "150 in", same)).want(t, 201)
	}
}

func TestWaysThatAreNone(t *testing.T) {
	s := openShop(t, shopSettings{})
	dealer := s.key("dealer studio-tamsel")
	const at = "/lines/0/ways/base~1rail "
	for ways, want := range map[string]string{
		`{"base/rail":"glue"}`:              at + "way.unknown",
		`{"base/rail":""}`:                  at + "way.unknown",
		`{"base/rail":7}`:                   at + "wrong-type",
		`{"base/rail":null}`:                at + "null",
		`{"base/peg":"splice"}`:             "/lines/0/ways/base~1peg way.not-needed",
		`{"base/hat":"splice"}`:             "/lines/0/ways/base~1hat way.no-piece",
		`{"base":"splice"}`:                 "/lines/0/ways/base way.no-piece",
		`{"":"splice"}`:                     "/lines/0/ways/ way.no-piece",
		`{"base/hat-bar":"stock to order"}`: "/lines/0/ways/base~1hat-bar way.not-offered",
	} {
		if got := s.place(dealer, "k", rail("A 1", "150 in", ways)).faults(t, 422); !slices.Equal(got, []string{want}) {
			t.Errorf("%s: %v, want %s", ways, got, want)
		}
	}
	for _, ways := range []string{`[]`, `"splice"`, `{"a":"splice","a":"splice"}`} {
		if got := s.place(dealer, "k", rail("A 1", "150 in", ways)); got.status != 400 && got.status != 422 {
			t.Errorf("%s: %d %s", ways, got.status, got.body)
		}
	}
	// A way where none is needed keeps nothing else from being told.
	body := strings.Replace(rail("A 1", "72 in", `{"base/rail":"splice"}`), `"po":"A 1"`, `"po":" "`, 1)
	if got := s.place(dealer, "k", body).faults(t, 422); !slices.Equal(got, []string{"/po po.missing", at + "way.not-needed"}) {
		t.Errorf("%v", got)
	}
}

// The promise counts the lead of a bar to order: steel must be here 20 working
// days before shipping, so 15 days of lead give 35 and not the product's 25.
// Ordered on Wednesday 2026-11-25, of which the next two days are closed, and
// from 24 December to 1 January again: 25 working days on it is Tuesday 12
// January, 35 days Tuesday 26 January.
func TestThePromiseCountsTheBarToOrder(t *testing.T) {
	s := openShop(t, shopSettings{})
	dealer := s.key("dealer studio-tamsel")
	for i, c := range []struct{ ways, want string }{
		{"", "2027-01-12"}, {`{"base/rail":"splice"}`, "2027-01-12"}, {`{"base/rail":"stock to order"}`, "2027-01-26"},
	} {
		var doc order.Document
		s.place(dealer, fmt.Sprint("k", i), rail(fmt.Sprint("A ", i), "150 in", c.ways)).want(t, 201).read(t, &doc)
		if doc.Promise.String() != c.want {
			t.Errorf("%s is promised for %s, want %s", c.ways, doc.Promise, c.want)
		}
	}
}

// The sheets of welds name their units, and write nothing a program would run.
func TestTheSheetOfWelds(t *testing.T) {
	s := openShop(t, shopSettings{})
	dealer := s.key("dealer studio-tamsel")
	number := s.placed(dealer, "k", rail("A 1", "150 in", ""))
	for _, part := range []string{"welds", "welded"} {
		got := s.ask(dealer, "GET", "/v1/orders/"+number+"/bill/"+part+"?format=csv", "").want(t, 200)
		rows := parseSheet(t, got.body)
		if len(rows) < 3 || !slices.Contains(rows[0], "wire (lb)") {
			t.Errorf("%s: %s", part, got.body)
		}
	}
	var whole struct {
		Lines []struct{ Rows []json.RawMessage }
	}
	s.ask(dealer, "GET", "/v1/orders/"+number+"/bill/welds", "").want(t, 200).read(t, &whole)
	if len(whole.Lines) != 1 || len(whole.Lines[0].Rows) != 5 {
		t.Errorf("%d lines: %+v", len(whole.Lines), whole)
	}
}
