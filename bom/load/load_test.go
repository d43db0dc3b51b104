package load_test

import (
	"slices"
	"strings"
	"testing"

	"billwright/bom"
	"billwright/bom/load"
	"billwright/catalog"
	"billwright/catalog/calendar"
	"billwright/catalog/demonstration"
	"billwright/catalog/source"
)

// A stand of which every operation takes whole minutes, by hand for two:
//
//	forge          8 legs · 5 = 40
//	welding        8 joints · (2 tack + 4 grind flush) = 48, 2 · 3 level = 6: 54
//	               and 8 legs · 1.5 weld in plug, which welding does = 12: 66
//	metal finish   2 · 6 blast = 12
//	hand bench     2 · 10 rub by hand = 20, 2 · 2.5 sand by hand of wood = 5: 25
//	wood finish    2 · 8 spray = 16
//
// The level is checked on the whole, and the plug is named by its own operation.
const stand = `metal_finishes:
  rubbed: {name: Rubbed, steps: [{do: blast off mill scale, minutes: 6}, {do: rub with oil, hand: yes, coating: metal-lacquer, minutes: 10}]}
wood_finishes:
  plain-coat: {name: Plain, on: white-oak, clear: yes, steps: [{do: sand to 180, hand: yes, minutes: 2.5}, {do: spray varnish, coating: wood-varnish, minutes: 8}]}
products:
  stand:
    name: Stand
    lead_days: 10
    parts:
      base:
        welded: yes
        metal_finish: "'rubbed'"
        joints:
          foot:
            name: Feet
            joins: [base/leg, base/rail]
            pieces: 4
            length: len('1 in')
            weld: {kind: fillet, leg: 1/8 in, process: silent, grind_flush: yes, grind_minutes: 4, work: [{do: tack, minutes: 2}]}
        after_welding: [{do: level on the plate, minutes: 3}]
        parts:
          leg: {pieces: 4, steel: {section: square-bar-1, straight: len('20 in'), work: [{do: tap for glide, minutes: 5}, {do: weld in glide plug, minutes: 1.5}]}}
          rail: {steel: {section: flat-bar-1, straight: len('20 in')}}
      top: {wood: {species: "'white-oak'", finish: "'plain-coat'", length: len('20 in'), width: len('10 in'), thickness: len('1 in'), edge: "'eased'"}}
processes:
  silent: {name: No rate, wire: solid-wire, efficiency: 90 %, source: made up}
`

func read(t testing.TB, extra string, pairs ...string) *catalog.Catalog {
	t.Helper()
	files := append(demonstration.Files(), source.File{Path: "extra.yaml", Bytes: []byte(extra)})
	for i := 0; i < len(pairs); i += 2 {
		found := false
		for k := range files {
			if text := string(files[k].Bytes); strings.Contains(text, pairs[i]) {
				files[k].Bytes, found = []byte(strings.Replace(text, pairs[i], pairs[i+1], 1)), true
				break
			}
		}
		if !found {
			t.Fatalf("no file has %q", pairs[i])
		}
	}
	cat, faults := catalog.Read(files)
	for _, fault := range faults {
		t.Error(fault)
	}
	if cat == nil {
		t.FailNow()
	}
	return cat
}

func date(t testing.TB, text string) calendar.Date {
	t.Helper()
	d, err := calendar.ParseDate(text)
	if err != nil {
		t.Fatal(err)
	}
	return d
}

func week(t testing.TB, text string) calendar.Week {
	t.Helper()
	w, err := calendar.ParseWeek(text)
	if err != nil {
		t.Fatal(err)
	}
	return w
}

func explode(t testing.TB, cat *catalog.Catalog, product string, quantity int) *bom.Bill {
	t.Helper()
	cfg, findings := cat.Check(product, nil, date(t, "2026-11-25"))
	if len(findings) > 0 {
		t.Fatal(findings)
	}
	bill, _, findings := bom.Explode(cat, []bom.Line{{Number: 1, Quantity: quantity, Config: cfg}}, false)
	if len(findings) > 0 {
		t.Fatal(findings)
	}
	return bill
}

func of(t testing.TB, cat *catalog.Catalog, bill *bom.Bill, ship string) []load.Row {
	t.Helper()
	rows, err := load.Of(cat, bill, date(t, ship))
	if err != nil {
		t.Fatal(err)
	}
	return rows
}

// The plant ships on Friday 2027-03-26; no closure lies before it. Fifteen
// working days before it is 2027-03-05, twelve 03-10, eight 03-16, six 03-18.
func TestWhatAnOrderTakesByHand(t *testing.T) {
	cat := read(t, stand)
	got := of(t, cat, explode(t, cat, "stand", 2), "2027-03-26")
	want := []load.Row{
		{"forge", week(t, "2027-W09").Monday(), 400},
		{"welding", week(t, "2027-W10").Monday(), 660},
		{"metal-finish", week(t, "2027-W11").Monday(), 120},
		{"wood-shop", week(t, "2027-W11").Monday(), 160},
		{"hand-bench", week(t, "2027-W11").Monday(), 250},
	}
	if !slices.Equal(got, want) {
		t.Errorf("got  %v\nwant %v", got, want)
	}
	if err := load.Redate(cat, got, date(t, "2027-04-02")); err != nil || got[0].Week != week(t, "2027-W10").Monday() || got[4].Week != week(t, "2027-W12").Monday() || got[1].Minutes != 660 {
		t.Errorf("a week later: %v, %v", got, err)
	}
	if rows := of(t, read(t, stand, "    does: steel\n", "    does: drill\n"), explode(t, cat, "stand", 2), "2027-03-26"); len(rows) != 4 || rows[0].Department != "welding" {
		t.Errorf("what no department does is counted: %v", rows)
	}
}

// In every product the departments take no more and no less than the minutes of
// all operations on the bill, since each kind of work is somebody's.
func TestEveryMinuteIsSomebodys(t *testing.T) {
	cat := read(t, "")
	bills := 0
	for code := range cat.Products.All() {
		cfg, findings := cat.Check(code.Value, nil, date(t, "2026-11-25"))
		if len(findings) > 0 {
			continue
		}
		bill, _, findings := bom.Explode(cat, []bom.Line{{Number: 1, Quantity: 3, Config: cfg}}, false)
		if len(findings) > 0 {
			continue
		}
		bills++
		var all, taken bom.Minutes
		for _, row := range of(t, cat, bill, "2027-03-26") {
			taken += row.Minutes
		}
		line := &bill.Lines[0]
		for _, row := range line.Finish {
			all += row.Minutes
		}
		works := [][]bom.OperationRow{}
		for _, row := range line.Steel {
			works = append(works, row.Work)
		}
		for _, row := range line.Welds {
			works, all = append(works, row.Work), all+row.Arc
		}
		for _, row := range line.Welded {
			works = append(works, row.Work)
		}
		for _, work := range slices.Concat(works...) {
			all += work.Minutes
		}
		if all != taken {
			t.Errorf("%s: departments take %s of %s", code.Value, taken, all)
		}
	}
	if bills < 20 {
		t.Errorf("only %d products have a bill", bills)
	}
}

// A week with closed days has as much less; one of none but closed days nothing.
func TestCapacityFollowsTheDaysWorked(t *testing.T) {
	cat := read(t, "")
	forge, _ := cat.Departments.Get("forge")
	for text, want := range map[string]bom.Minutes{
		"2026-W47": 38400, // 3840 min
		"2026-W48": 23040, // Thanksgiving: Thursday and Friday closed, 3 of 5
		"2026-W52": 23040, // to 12-23: 3 of 5
		"2026-W53": 0,     // 2026-12-28 to 2027-01-03, closed to 01-01
		"2027-W01": 38400,
	} {
		if got := load.Capacity(cat, forge, week(t, text)); got != want {
			t.Errorf("%s: %s, want %s", text, got, want)
		}
	}
}

// What fills a week to the last tenth is no more than it has.
func TestAFullWeekIsTold(t *testing.T) {
	cat := read(t, stand)
	rows := of(t, cat, explode(t, cat, "stand", 2), "2027-03-26")
	for planned, want := range map[bom.Minutes]int{0: 0, 38400 - 400: 0, 38400 - 399: 1} {
		full := load.Full(cat, rows, func(department string, monday calendar.Date) bom.Minutes {
			if department != "forge" || monday != week(t, "2027-W09").Monday() {
				return 0
			}
			return planned
		})
		if len(full) != want {
			t.Errorf("with %s planned: %+v", planned, full)
		}
		if want == 1 && (full[0].Department.Code != "forge" || full[0].Week != week(t, "2027-W09") || full[0].Asked != 38401 || full[0].Capacity != 38400) {
			t.Errorf("%+v", full[0])
		}
	}
}
