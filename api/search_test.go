package api

import (
	"net/url"
	"slices"
	"strings"
	"testing"
)

// found are the numbers that a search gives, sorted.
func (s *shop) found(key, query string) []string {
	s.t.Helper()
	var page orderPage
	s.ask(key, "GET", "/v1/orders?limit=100&"+query, "").want(s.t, 200).read(s.t, &page)
	numbers := []string{}
	for _, o := range page.Orders {
		numbers = append(numbers, o.Number)
	}
	slices.Sort(numbers)
	return numbers
}

// Orders are found by each of their fields, alone and together.
func TestOrdersAreFoundByTheirFields(t *testing.T) {
	s := openShop(t, shopSettings{})
	tamsel, hobb, rep := s.key("dealer studio-tamsel"), s.key("dealer hobb-and-farrow"), s.key("rep")
	a := s.placed(tamsel, "a", bench("PO 100%", `,"sidemark":"Lake_house"`))
	b := s.placed(tamsel, "b", strings.Replace(bench("PO O'Rin", `,"sidemark":"Mill street"`), "sedge-stripe", "oat-weave", 1))
	c := s.placed(hobb, "c", bench("Lake 7", `,"sidemark":"\"Loft\""`))
	q := s.place(tamsel, "q", bench("", `,"intent":"quote","valid_until":"2026-12-24"`)).want(t, 201)
	var quote struct{ Number string }
	q.read(t, &quote)
	d := quote.Number
	s.done(rep, b, "holds", 1, `{"kind":"deposit"}`).want(t, 200)
	s.done(rep, c, "holds", 1, `{"kind":"deposit"}`).want(t, 200)
	s.done(rep, c, "holds/1/lift", 2, `{"reason":"Paid."}`).want(t, 200)
	s.done(rep, c, "accept", 3, `{}`).want(t, 200)
	promise := s.got(rep, a).Promise.String()
	for query, want := range map[string][]string{
		"":                    {a, b, c, d},
		"fabric=oat-weave":    {b},
		"fabric=sedge-stripe": {a, c, d},
		"fabric=sedge":        {},
		"text=oat+plain":      {b}, // by the fabric's name
		"product=sallow-bench&dealer=studio-tamsel": {a, b, d},
		"product=sallow": {},
		"hold=deposit":   {b},
		"state=accepted": {c},
		"state=quoted":   {d},
		"text=lake":      {a, c},
		"po=lake":        {c},
		"sidemark=LAKE":  {a},
		"sidemark=_":     {a},
		"po=%25":         {a},
		"po=o'":          {b},
		"sidemark=%22":   {c},
		"sidemark=po":    {},
		"number=" + strings.ReplaceAll(a, "-", ""):        {a},
		"number=" + strings.ToLower(a):                    {a},
		"dealer=hobb-and-farrow&text=lake":                {c},
		"dealer=nobody":                                   {},
		"received_from=2026-11-25&received_to=2026-11-25": {a, b, c, d},
		"received_from=2026-11-26":                        {},
		"received_to=2026-11-24":                          {},
		"promised_from=" + promise + "&promised_to=" + promise + "&fabric=oat-weave": {b},
		"promised_to=2026-11-30":                                  {},
		"text=" + url.QueryEscape(strings.Repeat(`%_'"\`, 2_000)): {},
		"sidemark=" + url.QueryEscape("'; drop table bill; --"):   {},
		"text=%00":   {},
		"fabric=%00": {},
	} {
		slices.Sort(want)
		if got := s.found(rep, query); !slices.Equal(got, want) {
			t.Errorf("%.60s finds %v, want %v", query, got, want)
		}
	}
	// A dealer finds nothing of another's by any of it.
	for _, query := range []string{"dealer=hobb-and-farrow", "number=" + c, "po=lake+7", "state=accepted", "text=loft"} {
		if got := s.found(tamsel, query); len(got) != 0 {
			t.Errorf("%s finds %v for another dealer", query, got)
		}
	}
	if got := s.ask(rep, "GET", "/v1/orders?state=open&received_from=today&promised_to=2026-02-30", "").faults(t, 400); !slices.Equal(got,
		[]string{"query.state state.unknown", "query.received_from date.unreadable", "query.promised_to date.unreadable"}) {
		t.Errorf("%v", got)
	}
	// A quote that becomes an order is found by the number it is placed under, and
	// a changed order by what it is now.
	s.done(rep, d, "place", 1, `{"po":"Ferry 9"}`).want(t, 200)
	if got := s.found(rep, "po=ferry+9"); !slices.Equal(got, []string{d}) {
		t.Errorf("the placed quote: %v", got)
	}
	if got := s.found(rep, "sidemark=ferry"); len(got) != 0 {
		t.Errorf("its sidemark: %v", got)
	}
	s.done(rep, a, "changes", 1, `{"reason":"other cloth","lines":[{"line":1,"configuration":{"cloth":"oat-weave"}}]}`).want(t, 201)
	s.done(rep, a, "changes/1/approve", 1, `{}`).want(t, 200)
	both := []string{a, b}
	slices.Sort(both)
	if got := s.found(rep, "fabric=oat-weave"); !slices.Equal(got, both) {
		t.Errorf("after the change: %v, want %v", got, both)
	}
}
