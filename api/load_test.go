package api

import (
	"fmt"
	"strings"
	"testing"

	"billwright/bom/order"
	"billwright/catalog"
	"billwright/catalog/calendar"
	"billwright/catalog/demonstration"
	"billwright/catalog/source"
)

// busy is the demonstration with a forge that has an hour a week, three working
// days before shipping.
func busy(files []source.File) []source.File {
	for i := range files {
		files[i].Bytes = []byte(strings.Replace(string(files[i].Bytes), "minutes_a_week: 3840\n    days_before: 15", "minutes_a_week: 60\n    days_before: 3", 1))
	}
	return files
}

// forge reads what the forge has in a week.
func (s *shop) forge(key, week string) departmentLoad {
	s.t.Helper()
	var got loadReply
	s.ask(key, "GET", "/v1/load?weeks=1&from="+week, "").want(s.t, 200).read(s.t, &got)
	if len(got.Weeks) != 1 || got.Weeks[0].Week != week || got.Weeks[0].Departments[0].Department != "forge" {
		s.t.Fatalf("%+v", got)
	}
	return got.Weeks[0].Departments[0]
}

// forgeWeek is the week of the third working day before an order ships.
func forgeWeek(t *testing.T, d order.Document) calendar.Week {
	t.Helper()
	cat, faults := catalog.Read(demonstration.Files())
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	day, err := cat.Calendar.NeedBy(d.Promise, 3)
	if err != nil {
		t.Fatal(err)
	}
	return day.Week()
}

// A bench takes 4 legs · 5 min = 20 min of the forge. Two fill 40 of its 60
// minutes in a week; the next two find it full, which is told and refuses
// nothing, whoever asks: by the check, on the order, and at its acceptance.
func TestAFullWeekIsToldBesideThePromise(t *testing.T) {
	s := openShop(t, shopSettings{files: busy})
	dealer, other, rep := s.key("dealer studio-tamsel"), s.key("dealer hobb-and-farrow"), s.key("rep")
	two := func(po string) string { return strings.Replace(bench(po), `"quantity":1`, `"quantity":2`, 1) }
	full := func(d order.Document) (says string) {
		for _, w := range d.Warnings {
			if w.Code == order.WarnLoadFull {
				says += w.Message
			}
		}
		return says
	}
	first := s.got(dealer, s.placed(dealer, "first", two("PO 1")))
	ship := first.Promise
	week := forgeWeek(t, first).String()
	if says := full(first); says != "" || s.forge(rep, week).Planned != "40.0 min" {
		t.Fatalf("%q, %+v", says, s.forge(rep, week))
	}
	var check struct{ Order order.Document }
	s.ask(other, "POST", "/v1/checks", two("PO 1")).want(t, 200).read(t, &check)
	if says := full(check.Order); !strings.Contains(says, "Forge and saw") || !strings.Contains(says, week) || strings.ContainsAny(strings.ReplaceAll(says, week, ""), "0123456789") {
		t.Errorf("the check says %q", says)
	}
	if got := s.forge(rep, week); got.Planned != "40.0 min" || got.Orders != 1 {
		t.Errorf("a check takes time: %+v", got)
	}
	second := s.placed(other, "second", two("PO 1"))
	if d := s.got(other, second); full(d) == "" || d.Promise != ship {
		t.Errorf("%+v", d.Warnings)
	}
	if got := s.forge(rep, week); got != (departmentLoad{"forge", "Forge and saw", "60.0 min", "80.0 min", "0.0 min", "-20.0 min", true, 2}) {
		t.Errorf("%+v", got)
	}
	var accepted order.Document
	s.done(rep, second, "accept", 1, `{}`).want(t, 200).read(t, &accepted)
	if full(accepted) == "" || accepted.State != order.Accepted || s.forge(rep, week).Accepted != "40.0 min" {
		t.Errorf("%+v, %+v", accepted.Warnings, s.forge(rep, week))
	}
	// Fewer benches fit again: the order's own two are not counted against it.
	s.proposed(rep, "c1", second, 2, `{"reason":"one is enough","lines":[{"line":1,"quantity":1}]}`).want(t, 201)
	var fewer order.Document
	s.done(rep, second, "changes/1/approve", 2, `{}`).want(t, 200).read(t, &fewer)
	if says := full(fewer); says != "" || s.forge(rep, week).Planned != "60.0 min" || s.forge(rep, week).Full {
		t.Errorf("%q, %+v", says, s.forge(rep, week))
	}
	// Orders of a test key and quotes take nothing.
	s.placed(s.key("dealer studio-tamsel test"), "tested", two("PO 7"))
	s.placed(dealer, "quoted", bench("PO 8", `,"intent":"quote","valid_until":"2026-12-11"`))
	if got := s.forge(rep, week); got.Planned != "60.0 min" {
		t.Errorf("%+v", got)
	}
	s.ask(dealer, "GET", "/v1/load", "").problem(t, 403)
}

// A promise that moves takes its load along, and a placed quote begins to take
// what its draft did not.
func TestTheLoadFollowsThePromise(t *testing.T) {
	s := openShop(t, shopSettings{files: busy, trial: true})
	rep := s.key("rep")
	number := s.placed(rep, "quoted", bench("PO 8", `,"dealer":"studio-tamsel","intent":"quote","valid_until":"2026-12-31"`))
	draft := s.placed(rep, "drafted", bench("PO 9", `,"dealer":"studio-tamsel","intent":"draft"`))
	total := func() (sum string) {
		t.Helper()
		if err := s.db.AdminPool(t).QueryRow(t.Context(), `select coalesce(string_agg(week || ' ' || tenths, ', ' order by week), '') from department_load where department = 'forge'`).Scan(&sum); err != nil {
			t.Fatal(err)
		}
		return sum
	}
	if got := total(); got != "" {
		t.Errorf("a quote and a draft take %s", got)
	}
	s.done(rep, number, "place", 1, `{}`).want(t, 200)
	s.done(rep, draft, "place", 1, `{}`).want(t, 200)
	week := func(number string) string {
		t.Helper()
		return forgeWeek(t, s.got(rep, number)).Monday().String()
	}
	if got, want := total(), fmt.Sprintf("%s 200, %s 200", week(number), week(number)); got != want {
		t.Errorf("placed, they take %s, want %s", got, want)
	}
	s.ask(s.key("owner"), "PUT", "/v1/clock", `{"now":"2027-01-20T18:00:00Z"}`).want(t, 200)
	s.done(rep, number, "accept", 2, `{}`).want(t, 200)
	if got, want := total(), fmt.Sprintf("%s 200, %s 200", week(draft), week(number)); got != want || week(draft) == week(number) {
		t.Errorf("accepted, they take %s, want %s", got, want)
	}
}

func TestWeeksOfTheLoad(t *testing.T) {
	s := openShop(t, shopSettings{})
	shop := s.key("shop")
	var got loadReply
	s.ask(shop, "GET", "/v1/load", "").want(t, 200).read(t, &got)
	if len(got.Weeks) != 8 || got.Weeks[0].Week != "2026-W48" || len(got.Weeks[0].Departments) != 5 {
		t.Errorf("%+v", got)
	}
	// Week 53 of 2026 is closed from Monday to Friday; the week after is whole.
	s.ask(shop, "GET", "/v1/load?from=2026-W53&weeks=2", "").want(t, 200).read(t, &got)
	if len(got.Weeks) != 2 || got.Weeks[0].Monday.String() != "2026-12-28" || got.Weeks[0].Departments[0].Capacity != "0.0 min" || got.Weeks[1].Week != "2027-W01" || got.Weeks[1].Departments[0].Capacity != "3840.0 min" || got.Weeks[1].Departments[0].Full {
		t.Errorf("%+v", got)
	}
	for query, status := range map[string]int{"from=2026-W54": 400, "from=2025-W53": 400, "from=next+week": 400, "from=2026-11-25": 400, "weeks=0": 422, "weeks=54": 422, "weeks=x": 422} {
		s.ask(shop, "GET", "/v1/load?"+query, "").problem(t, status)
	}
}
