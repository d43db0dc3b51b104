package demand_test

import (
	"strings"
	"testing"

	"billwright/bom"
	"billwright/bom/demand"
	"billwright/catalog"
	"billwright/catalog/calendar"
	"billwright/catalog/demonstration"
)

// The year 2026 begins on a Thursday and so has a week 53, from Monday
// 2026-12-28 to Sunday 2027-01-03 (ISO 8601). By hand, where nothing is closed
// over the turn of the year: shipped on Thursday 2027-01-28, steel is needed 20
// working days before, on Thursday 2026-12-31, and a day later ship for ship on
// Friday 2027-01-01, which is in week 53 of the year before still.
func TestNeededInWeek53(t *testing.T) {
	cat := open(t)
	config, findings := cat.Check("sallow-bench", nil, calendar.Date{Year: 2026, Month: 11, Day: 25})
	if len(findings) > 0 {
		t.Fatal(findings)
	}
	bill, _, findings := bom.Explode(cat, []bom.Line{{Number: 1, Quantity: 1, Config: config}}, false)
	if len(findings) > 0 {
		t.Fatal(findings)
	}
	for ship, want := range map[string]string{"2027-01-27": "2026-12-30", "2027-01-28": "2026-12-31", "2027-01-29": "2027-01-01", "2027-02-01": "2027-01-04"} {
		day, err := calendar.ParseDate(ship)
		if err != nil {
			t.Fatal(err)
		}
		rows, err := demand.Requirements(cat, bill, day, func(int, string) bool { return true })
		if err != nil {
			t.Fatal(err)
		}
		week := "2026-W53"
		if want == "2027-01-04" {
			week = "2027-W01"
		}
		steel := 0
		for _, r := range rows {
			if r.Kind != bom.KindSteel {
				continue
			}
			steel++
			if r.NeedBy.String() != want || r.Week.Week().String() != week || r.Week != r.Week.Week().Monday() {
				t.Errorf("shipped %s: %s is needed on %s, in the week %s of %s; want %s in %s", ship, r.Path, r.NeedBy, r.Week.Week(), r.Week, want, week)
			}
		}
		if steel == 0 {
			t.Error("no steel is needed")
		}
	}
}

// open is the demonstration without its closure over the turn of the year.
func open(t *testing.T) *catalog.Catalog {
	t.Helper()
	files := demonstration.Files()
	const closed = "    - {from: 2026-12-24, to: 2027-01-01, why: Year end}\n"
	found := false
	for i := range files {
		if text := string(files[i].Bytes); strings.Contains(text, closed) {
			files[i].Bytes, found = []byte(strings.Replace(text, closed, "", 1)), true
		}
	}
	cat, faults := catalog.Read(files)
	if !found || len(faults) > 0 {
		t.Fatal(found, faults)
	}
	return cat
}
