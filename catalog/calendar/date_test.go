package calendar_test

import (
	"encoding/json"
	"errors"
	"strings"
	"testing"
	"time"

	"billwright/catalog/calendar"
	"billwright/catalog/unit"
	"pgregory.net/rapid"
)

func date(t testing.TB, text string) calendar.Date {
	t.Helper()
	d, err := calendar.ParseDate(text)
	if err != nil {
		t.Fatal(err)
	}
	return d
}

func TestParseDate(t *testing.T) {
	for text, want := range map[string]calendar.Date{
		"2026-11-25": {2026, time.November, 25},
		"2024-02-29": {2024, time.February, 29},
		"2000-02-29": {2000, time.February, 29},
		"0001-01-01": {1, time.January, 1},
		"9999-12-31": {9999, time.December, 31},
	} {
		if got, err := calendar.ParseDate(text); err != nil || got != want || got.String() != text {
			t.Errorf("%q = %v, %v", text, got, err)
		}
	}
}

func TestParseRefuses(t *testing.T) {
	asDate := func(s string) error { d, err := calendar.ParseDate(s); return zero(d, err) }
	asWeek := func(s string) error { w, err := calendar.ParseWeek(s); return zero(w, err) }
	asClock := func(s string) error { c, err := calendar.ParseClockTime(s); return zero(c, err) }
	for _, c := range []struct {
		text  string
		parse func(string) error
		says  string
	}{
		{"2026-11-31", asDate, "there is no day 31 in November 2026: write a day from 01 to 30"},
		{"2025-02-29", asDate, "there is no day 29 in February 2025: write a day from 01 to 28"},
		{"1900-02-29", asDate, "there is no day 29 in February 1900"},
		{"2026-11-00", asDate, "there is no day 00"},
		{"2026-13-01", asDate, "there is no month 13"},
		{"2026-00-01", asDate, "there is no month 00"},
		{"0000-01-01", asDate, "not a date: write year, month and day as 2026-11-25"},
		{"2026-1-1", asDate, "not a date"},
		{"11/25/2026", asDate, "not a date"},
		{"2026-11-25T00:00:00Z", asDate, "not a date"},
		{" 2026-11-2", asDate, "not a date"},
		{"2026-11-2x", asDate, "not a date"},
		{"-026-11-25", asDate, "not a date"},
		{"", asDate, "not a date"},
		{strings.Repeat("9", 1000), asDate, "not a date"},

		{"2026-W54", asWeek, "2026 has 53 weeks: write a week from 2026-W01 to 2026-W53"},
		{"2025-W53", asWeek, "2025 has 52 weeks: write a week from 2025-W01 to 2025-W52"},
		{"2026-W00", asWeek, "2026 has 53 weeks"},
		{"next week", asWeek, "not a week: write the ISO 8601 year, W and two digits, such as 2026-W48"},
		{"2026W48", asWeek, "not a week"},
		{"2026-48", asWeek, "not a week"},
		{"2026-w48", asWeek, "not a week"},
		{"2026-W4", asWeek, "not a week"},
		{"2026-W4x", asWeek, "not a week"},
		{"202x-W48", asWeek, "not a week"},
		{"0000-W01", asWeek, "not a week"},
		{"", asWeek, "not a week"},

		{"24:00", asClock, "not a time of day: write hours and minutes from 00:00 to 23:59"},
		{"16:60", asClock, "not a time of day"},
		{"4:30", asClock, "not a time of day"},
		{"4:30p", asClock, "not a time of day"},
		{"16.30", asClock, "not a time of day"},
		{"-1:30", asClock, "not a time of day"},
		{"16:30:00", asClock, "not a time of day"},
	} {
		err := c.parse(c.text)
		var refusal *unit.ParseError
		if !errors.As(err, &refusal) || !strings.Contains(err.Error(), c.says) {
			t.Errorf("%.80q: %v, want %q", c.text, err, c.says)
		}
	}
}

// zero makes a value beside an error a fault of its own.
func zero[T comparable](v T, err error) error {
	var none T
	if err != nil && v != none {
		return errors.New("a refused text gives a value")
	}
	return err
}

// Every day of 1990 to 2100 against the standard library, whose ISO week is an
// independent reckoning.
func TestWeeksAgainstTheStandardLibrary(t *testing.T) {
	days := 0
	last := calendar.Date{Year: 2100, Month: 12, Day: 31}
	for d := (calendar.Date{Year: 1990, Month: 1, Day: 1}); !d.After(last); d = d.AddDays(1) {
		days++
		std := time.Date(d.Year, d.Month, d.Day, 12, 0, 0, 0, time.UTC)
		year, week := std.ISOWeek()
		w := d.Week()
		if w != (calendar.Week{Year: year, Week: week}) || d.Weekday() != std.Weekday() {
			t.Fatalf("%v is a %v in %v, want a %v in %d week %d", d, d.Weekday(), w, std.Weekday(), year, week)
		}
		monday := w.Monday()
		if monday.Weekday() != time.Monday || monday.After(d) || d.After(monday.AddDays(6)) {
			t.Fatalf("%v lies in %v, whose Monday is %v", d, w, monday)
		}
		if back, err := calendar.ParseWeek(w.String()); err != nil || back != w {
			t.Fatalf("%v reads back as %v, %v", w, back, err)
		}
		if next := w.Next(); next.Monday() != monday.AddDays(7) || next.Compare(w) != 1 || w.Compare(next) != -1 || !next.Valid() {
			t.Fatalf("after %v comes %v", w, next)
		}
	}
	if days != 40542 { // 111 years, 27 of them leap years: 2000 is one, 2100 is not
		t.Errorf("%d days from 1990 to 2100, want 40542", days)
	}
}

// The years with 53 weeks. Rule of ISO 8601: those that begin on a Thursday,
// and leap years that begin on a Wednesday. The list is from memory, and the
// rule is checked beside it.
func TestYearsWith53Weeks(t *testing.T) {
	long := map[int]bool{}
	for _, y := range []int{1992, 1998, 2004, 2009, 2015, 2020, 2026, 2032, 2037, 2043, 2048} {
		long[y] = true
	}
	for y := 1990; y <= 2050; y++ {
		want := 52
		if long[y] {
			want = 53
		}
		first := calendar.Date{Year: y, Month: 1, Day: 1}.Weekday()
		leap := calendar.Date{Year: y, Month: 2, Day: 29}.Valid()
		rule := first == time.Thursday || leap && first == time.Wednesday
		if got := calendar.WeeksIn(y); got != want || rule != long[y] {
			t.Errorf("%d has %d weeks, want %d (the rule says 53: %v)", y, got, want, rule)
		}
	}
}

// Days whose week belongs to another year, as a buyer meets them at the turn
// of the year.
func TestWeekAtTheTurnOfTheYear(t *testing.T) {
	for day, want := range map[string]string{
		"2026-12-28": "2026-W53", "2027-01-03": "2026-W53", "2027-01-04": "2027-W01",
		"2025-12-29": "2026-W01", "2024-12-30": "2025-W01", "2021-01-03": "2020-W53",
		"0001-01-01": "0001-W01", "9999-12-31": "9999-W52",
	} {
		if got := date(t, day).Week().String(); got != want {
			t.Errorf("%s lies in %s, want %s", day, got, want)
		}
	}
}

func TestAddDays(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := calendar.Date{Year: 2026, Month: 1, Day: 1}.AddDays(rapid.IntRange(-300_000, 300_000).Draw(t, "from"))
		n := rapid.IntRange(-300_000, 300_000).Draw(t, "n")
		e := d.AddDays(n)
		if e.AddDays(-n) != d || !e.Valid() || e.Before(d) != (n < 0) || e.After(d) != (n > 0) || (e == d) != (n == 0) {
			t.Fatalf("%v + %d days = %v", d, n, e)
		}
		if back, err := calendar.ParseDate(e.String()); err != nil || back != e {
			t.Fatalf("%v reads back as %v, %v", e, back, err)
		}
		hours := time.Date(e.Year, e.Month, e.Day, 0, 0, 0, 0, time.UTC).Sub(time.Date(d.Year, d.Month, d.Day, 0, 0, 0, 0, time.UTC))
		if n > -100_000 && n < 100_000 && hours != time.Duration(n)*24*time.Hour {
			t.Fatalf("%v + %d days = %v, which is %v later", d, n, e, hours)
		}
	})
}

func TestTexts(t *testing.T) {
	type paper struct {
		Ship calendar.Date      `json:"ship"`
		Week calendar.Week      `json:"week"`
		At   calendar.ClockTime `json:"at"`
		Side calendar.Direction `json:"side"`
	}
	for _, side := range []calendar.Direction{calendar.Last, calendar.Next} {
		in := paper{calendar.Date{Year: 2026, Month: 11, Day: 5}, calendar.Week{Year: 2026, Week: 5}, calendar.ClockTime{Hour: 6, Minute: 5}, side}
		data, err := json.Marshal(in)
		if want := `{"ship":"2026-11-05","week":"2026-W05","at":"06:05","side":"` + side.String() + `"}`; err != nil || string(data) != want {
			t.Errorf("JSON is %s, %v; want %s", data, err, want)
		}
		var out paper
		if err := json.Unmarshal(data, &out); err != nil || out != in {
			t.Errorf("read back %+v, %v", out, err)
		}
		for _, bad := range []string{`{"ship":"2026-02-30"}`, `{"week":"2026-W54"}`, `{"at":"25:00"}`, `{"side":"nearest"}`} {
			if err := json.Unmarshal([]byte(bad), &out); err == nil || out != in {
				t.Errorf("%s is read as %+v, %v", bad, out, err)
			}
		}
	}
	for _, bad := range []any{calendar.Date{}, calendar.Date{Year: 2026, Month: 2, Day: 30}, calendar.Date{Year: 10000, Month: 1, Day: 1},
		calendar.Week{}, calendar.Week{Year: 2025, Week: 53}, calendar.ClockTime{Hour: 24}, calendar.ClockTime{Minute: -1}, calendar.Direction(0)} {
		if data, err := json.Marshal(bad); err == nil {
			t.Errorf("%#v marshals as %s", bad, data)
		}
	}
	if s := calendar.Direction(7).String(); s != "Direction(7)" {
		t.Errorf("an unknown direction prints as %q", s)
	}
}

func FuzzParse(f *testing.F) {
	for _, seed := range []string{"2026-11-25", "2026-02-30", "2026-W53", "2025-W53", "16:30", "24:00", "", "next week", "\x00\xff"} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, text string) {
		if d, err := calendar.ParseDate(text); err == nil && (d.String() != text || !d.Valid()) {
			t.Errorf("%q is read as %v", text, d)
		}
		if w, err := calendar.ParseWeek(text); err == nil && (w.String() != text || w.Monday().Week() != w) {
			t.Errorf("%q is read as %v", text, w)
		}
		if c, err := calendar.ParseClockTime(text); err == nil && (c.String() != text || !c.Valid()) {
			t.Errorf("%q is read as %v", text, c)
		}
	})
}
