package calendar_test

import (
	"errors"
	"strings"
	"testing"
	"time"

	"billwright/catalog/calendar"
	"pgregory.net/rapid"
)

func zone(t testing.TB, name string) *time.Location {
	t.Helper()
	z, err := time.LoadLocation(name)
	if err != nil {
		t.Fatal(err)
	}
	return z
}

func moment(t testing.TB, text string) time.Time {
	t.Helper()
	at, err := time.Parse(time.RFC3339Nano, text)
	if err != nil {
		t.Fatal(err)
	}
	return at
}

var mondayToFriday = [7]bool{false, true, true, true, true, true, false}

// workshop works Monday to Friday in a zone six hours behind UTC in winter,
// closes for stocktaking over the turn of the year 2026, and has one vendor.
func workshop(t testing.TB) calendar.Plant {
	return calendar.Plant{
		Zone:            zone(t, "America/Chicago"),
		WorkDays:        mondayToFriday,
		ClosedDayCounts: calendar.Next,
		Closures: []calendar.Closure{
			{From: date(t, "2026-12-24"), To: date(t, "2027-01-01"), Why: "Stocktaking"},
			{From: date(t, "2026-11-26"), To: date(t, "2026-11-26"), Why: "Harvest holiday"},
			{From: date(t, "2026-11-30"), To: date(t, "2026-12-04"), Why: "Kiln service", Vendor: "board-mill"},
		},
	}
}

func plan(t testing.TB, p calendar.Plant) *calendar.Calendar {
	t.Helper()
	c, err := calendar.New(p)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

func TestClosed(t *testing.T) {
	c := plan(t, workshop(t))
	for day, want := range map[string]string{
		"2026-11-25": "",
		"2026-11-26": "Harvest holiday",
		"2026-11-27": "",
		"2026-11-28": "not worked on Saturdays",
		"2026-11-29": "not worked on Sundays",
		"2026-12-01": "", // the mill's closure is not the plant's
		"2026-12-23": "",
		"2026-12-24": "Stocktaking",
		"2026-12-26": "Stocktaking", // a Saturday, but the closure is the better reason
		"2027-01-01": "Stocktaking",
		"2027-01-04": "",
	} {
		why, closed := c.Closed(date(t, day))
		if why != want || closed != (want != "") || c.Working(date(t, day)) == closed {
			t.Errorf("%s: closed %v, %q, working %v; want %q", day, closed, why, c.Working(date(t, day)), want)
		}
	}
	for _, v := range []struct{ vendor, day, want string }{
		{"board-mill", "2026-11-29", ""}, {"board-mill", "2026-11-30", "Kiln service"}, {"board-mill", "2026-12-04", "Kiln service"},
		{"board-mill", "2026-12-05", ""}, {"board-mill", "2026-12-25", ""}, {"glass-house", "2026-12-01", ""},
		{"", "2026-12-25", "Stocktaking"},
	} {
		if why, closed := c.VendorClosed(v.vendor, date(t, v.day)); why != v.want || closed != (v.want != "") {
			t.Errorf("%s on %s: %v, %q; want %q", v.vendor, v.day, closed, why, v.want)
		}
	}
}

func TestAddWorkingDays(t *testing.T) {
	c := plan(t, workshop(t))
	for _, r := range []struct {
		from string
		n    int
		want string
	}{
		{"2026-11-25", 0, "2026-11-25"},
		{"2026-11-25", 1, "2026-11-27"}, // over the holiday
		{"2026-11-25", 2, "2026-11-30"}, // and the weekend
		{"2026-11-28", 0, "2026-11-28"}, // a Saturday stays
		{"2026-11-28", 1, "2026-11-30"},
		{"2026-11-28", -1, "2026-11-27"},
		{"2026-11-30", -2, "2026-11-25"},
		{"2026-12-23", 1, "2027-01-04"}, // over stocktaking
		{"2027-01-04", -1, "2026-12-23"},
		{"2026-01-05", 260, "2027-01-14"}, // a Monday; 52 weeks of five days end 2027-01-04, less 8 closed weekdays
	} {
		got, err := c.AddWorkingDays(date(t, r.from), r.n)
		if err != nil || got.String() != r.want {
			t.Errorf("%s + %d working days = %v, %v; want %s", r.from, r.n, got, err, r.want)
		}
	}
}

// The board mill is closed for the week from Monday 2026-11-30.
func TestArrival(t *testing.T) {
	c := plan(t, workshop(t))
	for _, r := range []struct {
		from   string
		n      int
		vendor string
		want   string
	}{
		{"2026-11-25", 0, "", "2026-11-25"},
		{"2026-11-25", 2, "", "2026-11-30"},
		{"2026-11-25", 2, "nobody", "2026-11-30"},
		{"2026-11-25", 1, "board-mill", "2026-11-27"},
		{"2026-11-25", 2, "board-mill", "2026-12-07"},
		{"2026-12-04", 1, "board-mill", "2026-12-07"},
	} {
		got, err := c.Arrival(date(t, r.from), r.n, r.vendor)
		if err != nil || got.String() != r.want {
			t.Errorf("%d days of %q from %s come on %v, %v; want %s", r.n, r.vendor, r.from, got, err, r.want)
		}
	}
	if _, err := c.Arrival(date(t, "2026-11-25"), 4000, ""); !errors.Is(err, calendar.ErrHorizon) {
		t.Errorf("4000 days: %v", err)
	}
}

func TestHorizon(t *testing.T) {
	c := plan(t, workshop(t))
	ship := date(t, "2026-11-25")
	maxInt := int(^uint(0) >> 1)
	for _, n := range []int{2_700, 4_000, maxInt} {
		if d, err := c.AddWorkingDays(ship, n); !errors.Is(err, calendar.ErrHorizon) {
			t.Errorf("%d working days on: %v, %v", n, d, err)
		}
		if d, err := c.AddWorkingDays(ship, -n); !errors.Is(err, calendar.ErrHorizon) {
			t.Errorf("%d working days back: %v, %v", n, d, err)
		}
		if d, err := c.Promise(moment(t, "2026-11-25T12:00:00Z"), n); !errors.Is(err, calendar.ErrHorizon) {
			t.Errorf("promise after %d days: %v, %v", n, d, err)
		}
		if d, err := c.NeedBy(ship, n); !errors.Is(err, calendar.ErrHorizon) {
			t.Errorf("need-by %d days before: %v, %v", n, d, err)
		}
	}
	if d, err := c.AddWorkingDays(ship, -maxInt-1); !errors.Is(err, calendar.ErrHorizon) {
		t.Errorf("the smallest int of working days: %v, %v", d, err)
	}
	if d, err := c.AddWorkingDays(ship, 2_500); err != nil || !d.Before(ship.AddDays(calendar.HorizonDays)) {
		t.Errorf("2500 working days on: %v, %v", d, err)
	}
}

// Which day an acceptance counts for.
func TestDayOf(t *testing.T) {
	plain := workshop(t)
	last := workshop(t)
	last.ClosedDayCounts = calendar.Last
	cutOff := workshop(t)
	cutOff.CutOff = &calendar.ClockTime{Hour: 16, Minute: 30}
	cutOffLast := last
	cutOffLast.CutOff = cutOff.CutOff
	for _, c := range []struct {
		why   string
		plant calendar.Plant
		at    string
		want  string
	}{
		{"20:30 plant time counts that day, though it is tomorrow in UTC", plain, "2026-11-25T02:30:00Z", "2026-11-24"},
		{"a second before midnight", plain, "2026-11-25T05:59:59Z", "2026-11-24"},
		{"midnight is the next day", plain, "2026-11-25T06:00:00Z", "2026-11-25"},
		{"any zone's writing of the same moment", plain, "2026-11-25T13:29:59+07:30", "2026-11-24"},
		{"in summer the plant is five hours behind", plain, "2026-07-08T05:00:00Z", "2026-07-08"},
		{"a minute earlier it is the day before", plain, "2026-07-08T04:59:00Z", "2026-07-07"},

		{"Saturday counts for Monday", plain, "2026-11-28T15:00:00Z", "2026-11-30"},
		{"Saturday counts for Friday", last, "2026-11-28T15:00:00Z", "2026-11-27"},
		{"a holiday counts for the next day", plain, "2026-11-26T15:00:00Z", "2026-11-27"},
		{"a holiday counts for the last day", last, "2026-11-26T15:00:00Z", "2026-11-25"},
		{"stocktaking counts for January", plain, "2026-12-29T15:00:00Z", "2027-01-04"},
		{"stocktaking counts for December", last, "2026-12-29T15:00:00Z", "2026-12-23"},

		{"at the cut-off it still counts", cutOff, "2026-11-24T16:30:00-06:00", "2026-11-24"},
		{"a moment after it does not", cutOff, "2026-11-24T16:30:00.000000001-06:00", "2026-11-25"},
		{"20:30 with a cut-off counts for the next day", cutOff, "2026-11-25T02:30:00Z", "2026-11-25"},
		{"after Friday's cut-off it counts for Monday", cutOff, "2026-11-27T17:00:00-06:00", "2026-11-30"},
		{"also where closed days count for the last day", cutOffLast, "2026-11-27T17:00:00-06:00", "2026-11-30"},
		{"the cut-off means nothing on a closed day", cutOffLast, "2026-11-28T17:00:00-06:00", "2026-11-27"},
		{"after the cut-off before a holiday", cutOff, "2026-11-25T17:00:00-06:00", "2026-11-27"},
	} {
		if got := plan(t, c.plant).DayOf(moment(t, c.at)); got.String() != c.want {
			t.Errorf("%s: an act at %s counts for %v, want %s", c.why, c.at, got, c.want)
		}
	}
}

// The wall clock decides on the days the clocks change (2026 in the IANA zones
// named: clocks go forward 8 March and back 1 November in America/Chicago, and
// forward at midnight on 6 September in America/Santiago, where that Sunday
// has no 00:00; rules from memory, held against the zone data by the test).
func TestClockChanges(t *testing.T) {
	everyDay := [7]bool{true, true, true, true, true, true, true}
	for _, c := range []struct {
		zone, at string
		cutOff   *calendar.ClockTime
		offset   int // hours east of UTC the zone must be at that moment
		want     string
	}{
		{"America/Chicago", "2026-03-08T05:59:00Z", nil, -6, "2026-03-07"},
		{"America/Chicago", "2026-03-08T06:00:00Z", nil, -6, "2026-03-08"},
		{"America/Chicago", "2026-03-09T04:59:00Z", nil, -5, "2026-03-08"}, // a day of 23 hours
		{"America/Chicago", "2026-03-09T05:00:00Z", nil, -5, "2026-03-09"},
		{"America/Chicago", "2026-11-01T05:00:00Z", nil, -5, "2026-11-01"},
		{"America/Chicago", "2026-11-02T05:59:00Z", nil, -6, "2026-11-01"},                                      // a day of 25 hours
		{"America/Chicago", "2026-11-01T06:45:00Z", &calendar.ClockTime{Hour: 1, Minute: 30}, -5, "2026-11-02"}, // 01:45, the first time
		{"America/Chicago", "2026-11-01T07:15:00Z", &calendar.ClockTime{Hour: 1, Minute: 30}, -6, "2026-11-01"}, // 01:15, the second time
		{"America/Santiago", "2026-09-06T03:59:59Z", nil, -4, "2026-09-05"},
		{"America/Santiago", "2026-09-06T04:00:00Z", nil, -3, "2026-09-06"}, // 01:00, there was no midnight
		{"Asia/Kathmandu", "2026-11-24T18:14:00Z", nil, 5, "2026-11-24"},
		{"Asia/Kathmandu", "2026-11-24T18:15:00Z", nil, 5, "2026-11-25"}, // UTC+05:45
		{"Pacific/Kiritimati", "2026-11-24T10:00:00Z", nil, 14, "2026-11-25"},
	} {
		z := zone(t, c.zone)
		at := moment(t, c.at)
		if _, seconds := at.In(z).Zone(); seconds/3600 != c.offset {
			t.Errorf("%s at %s is %d s east of UTC, the row expects %d h", c.zone, c.at, seconds, c.offset)
		}
		cal := plan(t, calendar.Plant{Zone: z, WorkDays: everyDay, CutOff: c.cutOff, ClosedDayCounts: calendar.Next})
		if got := cal.DayOf(at); got.String() != c.want {
			t.Errorf("%s: an act at %s (cut-off %v) counts for %v, want %s", c.zone, c.at, c.cutOff, got, c.want)
		}
	}
}

func TestPromise(t *testing.T) {
	c := plan(t, workshop(t))
	for _, r := range []struct {
		accepted string
		lead     int
		want     string
	}{
		{"2026-11-25T02:30:00Z", 0, "2026-11-24"},
		{"2026-11-25T02:30:00Z", 2, "2026-11-27"},
		{"2026-11-28T15:00:00Z", 0, "2026-11-30"},
		{"2026-11-28T15:00:00Z", 1, "2026-12-01"},
		{"2026-12-01T15:00:00Z", 20, "2027-01-07"}, // 16 days to the 23rd, then 4 to 7 January
	} {
		got, err := c.Promise(moment(t, r.accepted), r.lead)
		if err != nil || got.String() != r.want {
			t.Errorf("accepted %s with %d days: %v, %v; want %s", r.accepted, r.lead, got, err, r.want)
		}
	}
	if d, err := c.Promise(moment(t, "2026-11-25T02:30:00Z"), -1); err == nil || !strings.Contains(err.Error(), "use 0 or more") {
		t.Errorf("a negative lead time gives %v, %v", d, err)
	}
}

func TestNeedBy(t *testing.T) {
	c := plan(t, workshop(t))
	for _, r := range []struct {
		ship   string
		offset int
		want   string
		week   string
	}{
		{"2026-11-30", 0, "2026-11-30", "2026-W49"},
		{"2026-11-30", 1, "2026-11-27", "2026-W48"},
		{"2026-11-30", 2, "2026-11-25", "2026-W48"},
		{"2026-11-28", 0, "2026-11-27", "2026-W48"}, // a Saturday is reckoned from Friday
		{"2026-11-28", 1, "2026-11-25", "2026-W48"},
		{"2027-01-04", 1, "2026-12-23", "2026-W52"},
		{"2027-01-05", 1, "2027-01-04", "2027-W01"},
	} {
		got, err := c.NeedBy(date(t, r.ship), r.offset)
		if err != nil || got.String() != r.want || got.Week().String() != r.week {
			t.Errorf("to ship %s, %d days before: %v (%v), %v; want %s (%s)", r.ship, r.offset, got, got.Week(), err, r.want, r.week)
		}
	}
	if d, err := c.NeedBy(date(t, "2026-11-30"), -1); err == nil || !strings.Contains(err.Error(), "use 0 or more") {
		t.Errorf("a negative offset gives %v, %v", d, err)
	}
}

// anyCalendar is a plant with random working days and closures, and the set of
// its worked days reckoned plainly, day by day.
func anyCalendar(t *rapid.T) (*calendar.Calendar, func(calendar.Date) bool) {
	p := calendar.Plant{Zone: time.UTC, ClosedDayCounts: rapid.SampledFrom([]calendar.Direction{calendar.Last, calendar.Next}).Draw(t, "closed")}
	for i := range p.WorkDays {
		p.WorkDays[i] = rapid.Bool().Draw(t, "work day")
	}
	p.WorkDays[rapid.IntRange(0, 6).Draw(t, "sure day")] = true
	off := map[calendar.Date]bool{}
	day := calendar.Date{Year: 2026, Month: 1, Day: 1}
	for range rapid.IntRange(0, 8).Draw(t, "closures") {
		day = day.AddDays(rapid.IntRange(1, 60).Draw(t, "gap"))
		c := calendar.Closure{From: day, Why: "closed"}
		for range rapid.IntRange(1, 20).Draw(t, "length") {
			off[day], c.To = true, day
			day = day.AddDays(1)
		}
		p.Closures = append(p.Closures, c)
	}
	c, err := calendar.New(p)
	if err != nil {
		t.Fatal(err)
	}
	return c, func(d calendar.Date) bool { return p.WorkDays[d.Weekday()] && !off[d] }
}

func TestWorkingDaysAgainstCounting(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c, worked := anyCalendar(t)
		d := calendar.Date{Year: 2026, Month: 1, Day: 1}.AddDays(rapid.IntRange(-30, 500).Draw(t, "day"))
		n := rapid.IntRange(1, 100).Draw(t, "n")
		if c.Working(d) != worked(d) {
			t.Fatalf("%v is worked: %v, counted %v", d, c.Working(d), worked(d))
		}
		for _, step := range []int{1, -1} {
			end, err := c.AddWorkingDays(d, step*n)
			if err != nil {
				t.Fatal(err)
			}
			count := 0
			for day := d; day != end; {
				if day = day.AddDays(step); worked(day) {
					count++
				}
			}
			if count != n || !worked(end) {
				t.Fatalf("%v %+d working days is %v (worked %v), counted %d", d, step*n, end, worked(end), count)
			}
			if back, err := c.AddWorkingDays(end, -step*n); err != nil || worked(d) && back != d {
				t.Fatalf("%v there and back is %v, %v", d, back, err)
			}
		}
	})
}

func TestDayOfIsWorkedAndNear(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c, worked := anyCalendar(t)
		at := time.Unix(rapid.Int64Range(1_750_000_000, 1_900_000_000).Draw(t, "at"), 0)
		today, counts := calendar.DateOf(at.UTC()), c.DayOf(at)
		if !worked(counts) || worked(today) && counts != today {
			t.Fatalf("on %v (worked %v) an act counts for %v (worked %v)", today, worked(today), counts, worked(counts))
		}
		step := 1
		if counts.Before(today) {
			step = -1
		}
		for d := today; d != counts; d = d.AddDays(step) {
			if worked(d) {
				t.Fatalf("on %v an act counts for %v, passing %v", today, counts, d)
			}
		}
	})
}

func TestNewRefuses(t *testing.T) {
	day := func(text string) calendar.Date { return date(t, text) }
	for _, c := range []struct {
		says   string
		change func(*calendar.Plant)
	}{
		{"no time zone", func(p *calendar.Plant) { p.Zone = nil }},
		{"the machine's local time zone", func(p *calendar.Plant) { p.Zone = time.Local }},
		{"no working day in the week", func(p *calendar.Plant) { p.WorkDays = [7]bool{} }},
		{"cut-off 24:00 is no time of day", func(p *calendar.Plant) { p.CutOff = &calendar.ClockTime{Hour: 24} }},
		{"say last or next", func(p *calendar.Plant) { p.ClosedDayCounts = 0 }},
		{"say last or next", func(p *calendar.Plant) { p.ClosedDayCounts = 3 }},
		{"Repairs (2026-05-02 to 2026-05-01) ends before it begins", func(p *calendar.Plant) {
			p.Closures = []calendar.Closure{{From: day("2026-05-02"), To: day("2026-05-01"), Why: "Repairs"}}
		}},
		{"there is no day 2026-02-30", func(p *calendar.Plant) {
			p.Closures = []calendar.Closure{{From: calendar.Date{Year: 2026, Month: 2, Day: 30}, To: day("2026-03-02"), Why: "Repairs"}}
		}},
		{"closure 2026-05-01 to 2026-05-01 has no reason", func(p *calendar.Plant) {
			p.Closures = []calendar.Closure{{From: day("2026-05-01"), To: day("2026-05-01")}}
		}},
		{"Stocktaking (2026-12-24 to 2027-01-01) and Repairs (2027-01-01) overlap", func(p *calendar.Plant) {
			p.Closures = append(p.Closures, calendar.Closure{From: day("2027-01-01"), To: day("2027-01-01"), Why: "Repairs"})
		}},
		{"board-mill: Kiln service (2026-11-30 to 2026-12-04) and board-mill: Flood (2026-12-02) overlap", func(p *calendar.Plant) {
			p.Closures = append(p.Closures, calendar.Closure{From: day("2026-12-02"), To: day("2026-12-02"), Why: "Flood", Vendor: "board-mill"})
		}},
		{"no working day for more than 366 days", func(p *calendar.Plant) {
			p.Closures = []calendar.Closure{
				{From: day("2026-01-01"), To: day("2026-08-01"), Why: "Fire"},
				{From: day("2026-08-02"), To: day("2027-03-01"), Why: "Rebuilding"},
			}
		}},
	} {
		p := workshop(t)
		c.change(&p)
		if cal, err := calendar.New(p); err == nil || cal != nil || !strings.Contains(err.Error(), c.says) {
			t.Errorf("want a refusal saying %q, got %v", c.says, err)
		}
	}
}

func TestNewGivesAllFaultsAtOnce(t *testing.T) {
	_, err := calendar.New(calendar.Plant{
		CutOff:   &calendar.ClockTime{Minute: 61},
		Closures: []calendar.Closure{{From: date(t, "2026-05-02"), To: date(t, "2026-05-01")}},
	})
	if err == nil {
		t.Fatal("an empty plant is accepted")
	}
	if lines := strings.Split(err.Error(), "\n"); len(lines) != 6 {
		t.Errorf("%d faults, want zone, week, cut-off, direction, reason and order:\n%v", len(lines), err)
	}
}

// A closure of up to a year is allowed, and DayOf finds its way out of it on
// both sides.
func TestLongClosure(t *testing.T) {
	p := workshop(t)
	p.Closures = []calendar.Closure{{From: date(t, "2026-01-01"), To: date(t, "2026-12-31"), Why: "Moving"}}
	at := moment(t, "2026-06-15T12:00:00Z")
	if got := plan(t, p).DayOf(at); got.String() != "2027-01-01" {
		t.Errorf("counts for %v, want 2027-01-01", got)
	}
	p.ClosedDayCounts = calendar.Last
	if got := plan(t, p).DayOf(at); got.String() != "2025-12-31" {
		t.Errorf("counts for %v, want 2025-12-31", got)
	}
}

// A calendar keeps nothing of the plant it was made from.
func TestCalendarIsItsOwn(t *testing.T) {
	p := workshop(t)
	p.CutOff = &calendar.ClockTime{Hour: 16}
	c := plan(t, p)
	at, day := moment(t, "2026-11-24T15:00:00-06:00"), date(t, "2026-11-26")
	p.CutOff.Hour = 8
	p.Closures[1].From, p.Closures[1].To = date(t, "2026-10-01"), date(t, "2026-10-01")
	if c.DayOf(at).String() != "2026-11-24" || c.Working(day) {
		t.Errorf("changing the plant changed the calendar: %v, %v", c.DayOf(at), c.Working(day))
	}
}

func BenchmarkPromise(b *testing.B) {
	c := plan(b, workshop(b))
	at := moment(b, "2026-11-25T02:30:00Z")
	for b.Loop() {
		if _, err := c.Promise(at, 40); err != nil {
			b.Fatal(err)
		}
	}
}
