package api

import (
	"bytes"
	"strings"
	"testing"

	"billwright/bom"
)

// A pull has the plan of all that was pulled until then, stored once: it stays as
// it was, whatever is pulled later; and it is made when it is first read, where the
// service ended between the pull's rows and its plan.
func TestAPullKeepsItsPlan(t *testing.T) {
	s := openShop(t, shopSettings{})
	dealer, buyer := s.key("dealer studio-tamsel"), s.key("buyer")
	week := s.steelWeek(buyer, s.accepted(dealer, "first", bench("PO 1")))
	s.pulled(buyer, "p1", week, "steel", 201)
	var stored int
	if err := s.db.AdminPool(t).QueryRow(t.Context(), `select count(*) from pull_plan where pull = 1`).Scan(&stored); err != nil || stored != 1 {
		t.Fatalf("%d plans are stored with the pull: %v", stored, err)
	}
	first := s.ask(buyer, "GET", "/v1/pulls/1/bars", "").want(t, 200)
	var one, two pullPlan
	first.read(t, &one)
	pieces := readded(t, one.Bars.Sections)
	if !one.Proved || one.Pull != 1 || one.Week != week || one.Kind != "steel" || one.Revision != 1 || len(pieces) == 0 || one.Sheets != nil {
		t.Errorf("%+v", one)
	}
	s.accepted(dealer, "second", bench("PO 2"))
	s.pulled(buyer, "p2", week, "steel", 201)
	// The service ended before it planned the second.
	if _, err := s.db.AdminPool(t).Exec(t.Context(), `delete from pull_plan where pull = 2`); err != nil {
		t.Fatal(err)
	}
	second := s.ask(buyer, "GET", "/v1/pulls/2/bars", "").want(t, 200)
	second.read(t, &two)
	both := readded(t, two.Bars.Sections)
	if len(both) != 2*len(pieces) {
		t.Errorf("the second plans %v, the first %v", both, pieces)
	}
	for mark, n := range pieces {
		if both[mark] != n {
			t.Errorf("%s: %d, was %d", mark, both[mark], n)
		}
	}
	// Every plan reads as it was stored.
	if again := s.ask(buyer, "GET", "/v1/pulls/1/bars", "").want(t, 200); !bytes.Equal(again.body, first.body) {
		t.Errorf("pull 1 reads %s", again.body)
	}
	if again := s.ask(buyer, "GET", "/v1/pulls/2/bars", "").want(t, 200); !bytes.Equal(again.body, second.body) {
		t.Errorf("pull 2 reads %s", again.body)
	}
	svg := string(s.ask(buyer, "GET", "/v1/pulls/2/bars?format=svg", "").want(t, 200).body)
	if !strings.Contains(svg, "Pull 2, week "+week) || !strings.Contains(svg, "trim 1/2 in; ") || !strings.Contains(svg, "url(#trim)") {
		t.Errorf("%s", svg)
	}
	if rows := readSheet(t, s.ask(buyer, "GET", "/v1/pulls/2/bars?format=csv", "")); len(rows) < 3 || rows[0][0] != "section" {
		t.Errorf("%v", rows)
	}
	s.ask(buyer, "GET", "/v1/pulls/9/bars", "").problem(t, 404)
	s.ask(buyer, "GET", "/v1/pulls/1/sheets", "").problem(t, 404)
	// The service's own role cannot change a plan.
	for _, change := range []string{`update pull_plan set document = ''`, `delete from pull_plan`} {
		if _, err := s.db.Pool(t).Exec(t.Context(), change); err == nil || !strings.Contains(err.Error(), "permission denied") {
			t.Errorf("%s: %v", change, err)
		}
	}
}

// Sheets likewise, and what is taken back is out of the next plan.
func TestAPullKeepsItsPlanOfSheets(t *testing.T) {
	s := openShop(t, shopSettings{})
	dealer, rep, buyer := s.key("dealer studio-tamsel"), s.key("rep"), s.key("buyer")
	first := s.accepted(dealer, "first", mirrors("PO 1", 2))
	week := s.weekOf(first, bom.KindGlass)
	s.pulled(buyer, "p1", week, "glass", 201)
	var one pullPlan
	s.ask(buyer, "GET", "/v1/pulls/1/sheets", "").want(t, 200).read(t, &one)
	if got := laid(t, one.Sheets.Items); !same(got, map[string]int64{"mirror-1-4 " + first + " 1/pane": 2}) || !one.Proved {
		t.Errorf("%v %v", got, one.Proved)
	}
	s.accepted(dealer, "second", mirrors("PO 2", 1))
	s.done(rep, first, "cancel", 2, `{"reason":"not wanted"}`).want(t, 200)
	p := s.pulled(buyer, "p2", week, "glass", 201)
	width := ""
	for _, r := range p.Rows {
		width = r.Width
	}
	if len(p.Rows) != 2 || width != "29 3/4 in" {
		t.Errorf("%+v", p.Rows)
	}
	var two pullPlan
	s.ask(buyer, "GET", "/v1/pulls/2/sheets", "").want(t, 200).read(t, &two)
	if got := laid(t, two.Sheets.Items); len(got) != 1 || two.Sheets.Items[0].Pieces != 1 {
		t.Errorf("%v", got)
	}
	if svg := string(s.ask(buyer, "GET", "/v1/pulls/2/sheets?format=svg", "").want(t, 200).body); !strings.Contains(svg, "Pull 2, week "+week) {
		t.Errorf("%s", svg)
	}
	s.ask(buyer, "GET", "/v1/pulls/1/bars", "").problem(t, 404)
}

// Boxes do not add, by hand: 4 glides are one box of 100, and 4 more are the same
// box, so that the second pull buys none.
func TestAPullBuysInUnits(t *testing.T) {
	s := openShop(t, shopSettings{})
	dealer, buyer := s.key("dealer studio-tamsel"), s.key("buyer")
	week := s.weekOf(s.accepted(dealer, "first", bench("PO 1")), bom.KindHardware)
	glides := func(p pullReply) pullItem {
		t.Helper()
		for _, item := range p.Items {
			if item.Item == "glide" {
				return item
			}
		}
		t.Fatalf("no glides in %+v", p.Items)
		return pullItem{}
	}
	one := glides(s.pulled(buyer, "p1", week, "hardware", 201))
	if one.Purchase == nil || *one.Purchase != (pulledUnits{"box of 100", 0, 1, 1}) || one.Pieces != 4 {
		t.Errorf("%+v %+v", one, one.Purchase)
	}
	s.accepted(dealer, "second", bench("PO 2"))
	two := glides(s.pulled(buyer, "p2", week, "hardware", 201))
	if two.Purchase == nil || *two.Purchase != (pulledUnits{"box of 100", 1, 1, 0}) || two.Pieces != 4 {
		t.Errorf("%+v %+v", two, two.Purchase)
	}
	var read pullReply
	s.ask(buyer, "GET", "/v1/pulls/2", "").want(t, 200).read(t, &read)
	if again := glides(read); again.Purchase == nil || *again.Purchase != *two.Purchase {
		t.Errorf("pull 2 reads %+v", again.Purchase)
	}
}
