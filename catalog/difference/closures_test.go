package difference_test

import (
	"slices"
	"testing"
	"time"

	"billwright/catalog/calendar"
	"billwright/catalog/difference"
)

// A bench on foam of Corrow Foam, a table under glass of Wickerlode Flat Glass
// and a wooden one that waits for a bar to order, received on 2026-11-25 and promised for 2027-01-20:
// only what closes days between, that were worked, is in their way.
func TestClosuresInTheWayOfAPromise(t *testing.T) {
	vendors := []string{"clear-1-2:\n    name: ", "clear-1-2:\n    vendor: Wickerlode Flat Glass\n    name: ", "seat-foam:\n    name: ", "seat-foam:\n    vendor: Corrow Foam\n    name: "}
	from := read(t, vendors...)
	wood := wood
	wood.WaitsFor = []string{"Harlaw Tube"}
	promised := func(line difference.Line) difference.Line {
		line.ReceivedAt, line.Promise = time.Date(2026, 11, 25, 18, 0, 0, 0, time.UTC), calendar.Date{Year: 2027, Month: 1, Day: 20}
		return line
	}
	const anchor = "    - {from: 2027-05-31, why: Memorial Day}\n"
	for name, c := range map[string]struct {
		closure            string
		bench, glass, wood string
	}{
		"within":                {"{from: 2027-01-13, to: 2027-01-15, why: Furnace}", "Furnace (2027-01-13 to 2027-01-15)", "Furnace (2027-01-13 to 2027-01-15)", "Furnace (2027-01-13 to 2027-01-15)"},
		"on the day":            {"{from: 2027-01-20, why: Furnace}", "Furnace (2027-01-20)", "Furnace (2027-01-20)", "Furnace (2027-01-20)"},
		"the day it was taken":  {"{from: 2026-11-25, why: Furnace}", "", "", ""},
		"after":                 {"{from: 2027-01-21, why: Furnace}", "", "", ""},
		"a weekend":             {"{from: 2027-01-16, to: 2027-01-17, why: Furnace}", "", "", ""},
		"of a vendor":           {"{from: 2027-01-11, to: 2027-01-12, why: Press, vendor: Corrow Foam}", "Corrow Foam: Press (2027-01-11 to 2027-01-12)", "", ""},
		"of a bar to order":     {"{from: 2027-01-11, why: Mill, vendor: Harlaw Tube}", "", "", "Harlaw Tube: Mill (2027-01-11)"},
		"of the glass":          {"{from: 2027-01-11, why: Kiln, vendor: Wickerlode Flat Glass}", "", "Wickerlode Flat Glass: Kiln (2027-01-11)", ""},
		"of a vendor of nobody": {"{from: 2027-01-11, why: Kiln, vendor: Nobody}", "", "", ""},
	} {
		to := read(t, append(slices.Clone(vendors), anchor, anchor+"    - "+c.closure+"\n")...)
		use := difference.Touched(from, difference.Between(from, to)).Closing(to)
		for _, l := range []struct {
			of   string
			line difference.Line
			want string
		}{{"bench", bench, c.bench}, {"glass", glass, c.glass}, {"wood", wood, c.wood}} {
			var want []string
			if l.want != "" {
				want = []string{"closure " + l.want + ": the promise of 2027-01-20 was counted without it"}
			}
			if got := use.Of(promised(l.line)); !slices.Equal(got, want) {
				t.Errorf("%s, %s: %q, want %q", name, l.of, got, want)
			}
			if got := use.Of(l.line); got != nil {
				t.Errorf("%s, %s without a promise: %q", name, l.of, got)
			}
		}
		// The other way round the days are opened, which is in nobody's way.
		back := difference.Touched(to, difference.Between(to, from)).Closing(from)
		if got := back.Of(promised(bench)); got != nil {
			t.Errorf("%s taken away: %q", name, got)
		}
	}
	// A closure that grows touches by the days that it closes anew only.
	to := read(t, append(slices.Clone(vendors), "{from: 2026-12-24, to: 2027-01-01, why: Year end}", "{from: 2026-12-22, to: 2027-01-01, why: Year end}")...)
	use := difference.Touched(from, nil).Closing(to)
	if got := use.Of(promised(wood)); len(got) != 1 {
		t.Errorf("grown: %q", got)
	}
	if got := difference.Touched(from, nil).Closing(from).Of(promised(wood)); got != nil {
		t.Errorf("the same closures: %q", got)
	}
}
