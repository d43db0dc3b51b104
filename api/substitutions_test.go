package api

import (
	"encoding/json"
	"slices"
	"strings"
	"testing"
	"time"

	"billwright/bom/order"
)

// legs gives the section that an order's legs are cut from and what it takes the
// place of.
func (s *shop) legs(key, number string) (section, instead string) {
	s.t.Helper()
	var bill struct {
		Lines []struct {
			Steel []struct {
				Path, Section  string
				SubstitutedFor string `json:"substituted_for"`
			}
		}
	}
	s.ask(key, "GET", "/v1/orders/"+number+"/bill", "").want(s.t, 200).read(s.t, &bill)
	for _, row := range bill.Lines[0].Steel {
		if row.Path == "base/leg" {
			return row.Section, row.SubstitutedFor
		}
	}
	s.t.Fatalf("order %s has no legs", number)
	return "", ""
}

// While a bar is not to be had another one takes its place on every bill that is
// placed or accepted, and on no other: what was accepted before stays, what is
// accepted after the last day is of the old bar again.
func TestASubstituteIsTakenUntilItsLastDay(t *testing.T) {
	s := openShop(t, shopSettings{})
	dealer, rep, engineer, buyer := s.key("dealer studio-tamsel"), s.key("rep"), s.key("engineer"), s.key("buyer")
	before := s.accepted(dealer, "before", bench("PO 1"))
	waits := s.placed(dealer, "waits", bench("PO 2"))
	later := s.placed(dealer, "later", bench("PO 3"))
	first := s.steelWeek(buyer, before)
	const body = `{"kind":"steel","item":"square-bar-1","by":"square-bar-3-4","until":"2026-12-02","reason":"the mill is late"}`
	for bad, codes := range map[string][]string{
		`{"kind":"steel","item":"square-bar-1","by":"flat-bar-1","until":"2026-12-02","reason":"x"}`:                         {"/by item.unlike"},
		`{"kind":"steel","item":"square-bar-9","by":"square-bar-3-4","until":"2026-12-02","reason":" "}`:                     {"/reason " + codeMissing, "/item item.unknown"},
		`{"kind":"cloth","item":"oat-weave","by":"slate-twill","until":"2026-12-02","reason":"x"}`:                           {"/kind kind.unknown"},
		`{"kind":"steel","item":"square-bar-1","by":"square-bar-3-4","until":"2026-11-31","reason":"x"}`:                     {"/until date.unreadable"},
		`{"kind":"steel","item":"square-bar-1","by":"square-bar-3-4","from":"2026-11-20","until":"2026-11-21","reason":"x"}`: {"/until date.past"},
	} {
		if got := s.ask(engineer, "POST", "/v1/substitutions", bad, "Idempotency-Key: bad").faults(t, 422); !slices.Equal(got, codes) {
			t.Errorf("%s: %v, want %v", bad, got, codes)
		}
	}
	s.ask(rep, "POST", "/v1/substitutions", body, "Idempotency-Key: theirs").problem(t, 403)
	made := s.ask(engineer, "POST", "/v1/substitutions", body, "Idempotency-Key: s").want(t, 201)
	if again := s.ask(engineer, "POST", "/v1/substitutions", body, "Idempotency-Key: s").want(t, 201); string(again.body) != string(made.body) {
		t.Errorf("again %s", again.body)
	}
	s.ask(engineer, "POST", "/v1/substitutions", body, "Idempotency-Key: twice").problem(t, 409)
	if section, instead := s.legs(rep, before); section != "square-bar-1" || instead != "" {
		t.Errorf("accepted before: %s for %q", section, instead)
	}
	during := s.accepted(dealer, "during", bench("PO 4"))
	if section, instead := s.legs(rep, during); section != "square-bar-3-4" || instead != "square-bar-1" {
		t.Errorf("placed while it holds: %s for %q", section, instead)
	}
	var d order.Document
	s.done(rep, waits, "accept", 1, `{}`).want(t, 200).read(t, &d)
	if section, instead := s.legs(rep, waits); section != "square-bar-3-4" || instead != "square-bar-1" || d.Bill.Version != 2 || len(d.Substitutions) != 1 || d.Substitutions[0].Reason != "the mill is late" {
		t.Errorf("accepted while it holds: %s for %q, %+v", section, instead, d)
	}
	for _, number := range []string{during, waits} {
		s.ask(rep, "GET", "/v1/orders/"+number+"/bill/working", "").want(t, 200)
	}
	// The buyer buys what is on the bills.
	items := map[string]int64{}
	for _, item := range s.pulled(buyer, "pull", first, "steel", 201).Items {
		items[item.Item] = item.Pieces
	}
	if items["square-bar-1"] != 4 || items["square-bar-3-4"] != 8 {
		t.Errorf("pulled %v", items)
	}
	var list substitutionList
	s.ask(rep, "GET", "/v1/substitutions", "").want(t, 200).read(t, &list)
	if len(list.Substitutions) != 1 || list.Substitutions[0].Number != 1 || list.Substitutions[0].MadeBy == "" {
		t.Errorf("%+v", list)
	}
	// A change of an accepted order leaves its material alone.
	var c changeReply
	s.proposed(rep, "c", before, 2, `{"reason":"x","lines":[{"line":1,"quantity":2}]}`).want(t, 201).read(t, &c)
	for _, row := range c.Difference.Bill {
		if strings.Contains(string(row.Is), "square-bar-3-4") {
			t.Errorf("%s", row.Is)
		}
	}
	// After the last day everything is as it was.
	s.at(time.Date(2026, 12, 3, 18, 0, 0, 0, time.UTC))
	after := s.accepted(dealer, "after", bench("PO 5"))
	s.done(rep, later, "accept", 1, `{}`).want(t, 200).read(t, &d)
	for _, number := range []string{after, later} {
		if section, instead := s.legs(rep, number); section != "square-bar-1" || instead != "" {
			t.Errorf("after its last day: %s for %q", section, instead)
		}
	}
	if section, _ := s.legs(rep, during); section != "square-bar-3-4" {
		t.Errorf("what was accepted became %s", section)
	}
	s.ask(rep, "GET", "/v1/substitutions", "").want(t, 200).read(t, &list)
	if len(list.Substitutions) != 0 {
		t.Errorf("%+v", list)
	}
}

func TestASubstitutionIsEnded(t *testing.T) {
	s := openShop(t, shopSettings{})
	dealer, rep, engineer := s.key("dealer studio-tamsel"), s.key("rep"), s.key("engineer")
	s.ask(engineer, "POST", "/v1/substitutions", `{"kind":"steel","item":"square-bar-1","by":"square-bar-3-4","until":"2027-12-02","reason":"x"}`, "Idempotency-Key: s").want(t, 201)
	placed := s.placed(dealer, "a", bench("PO 1"))
	if got := s.ask(engineer, "POST", "/v1/substitutions/1/end", `{"reason":" "}`, "Idempotency-Key: e").faults(t, 422); !slices.Equal(got, []string{"/reason " + codeMissing}) {
		t.Errorf("%v", got)
	}
	s.ask(engineer, "POST", "/v1/substitutions/1/end", `{"reason":"it came"}`, "Idempotency-Key: e").want(t, 200)
	s.ask(engineer, "POST", "/v1/substitutions/1/end", `{"reason":"again"}`, "Idempotency-Key: f").problem(t, 404)
	var d order.Document
	if err := json.Unmarshal(s.done(rep, placed, "accept", 1, `{}`).want(t, 200).body, &d); err != nil || len(d.Substitutions) != 0 || d.Bill.Version != 2 {
		t.Errorf("%v %+v", err, d)
	}
	if section, _ := s.legs(rep, placed); section != "square-bar-1" {
		t.Errorf("accepted of %s", section)
	}
}
