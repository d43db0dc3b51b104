package calendar

import (
	"cmp"
	"fmt"
	"time"

	"billwright/catalog/unit"
)

// Date is a day of the Gregorian calendar, without time or zone. Dates are
// comparable with ==. The zero Date is no day at all and is not Valid.
type Date struct {
	Year  int
	Month time.Month
	Day   int
}

const dateForm = "write year, month and day as 2026-11-25"

// DateOf gives the day of t in t's own location.
func DateOf(t time.Time) Date {
	y, m, d := t.Date()
	return Date{y, m, d}
}

// ParseDate reads a day as ISO 8601 writes it, "2026-11-25": ten characters,
// years 0001 to 9999, only days that exist. Errors are *unit.ParseError.
func ParseDate(s string) (Date, error) {
	if len(s) != len("2026-11-25") || s[4] != '-' || s[7] != '-' {
		return Date{}, unit.Refusal(s, "not a date", dateForm)
	}
	year, yok := number(s[:4])
	month, mok := number(s[5:7])
	day, dok := number(s[8:])
	if !yok || !mok || !dok || year == 0 {
		return Date{}, unit.Refusal(s, "not a date", dateForm)
	}
	d := Date{year, time.Month(month), day}
	if month < 1 || month > 12 {
		return Date{}, unit.Refusal(s, fmt.Sprintf("there is no month %02d", month), "write a month from 01 to 12")
	}
	if !d.Valid() {
		last := Date{year, d.Month + 1, 0}.normal()
		return Date{}, unit.Refusal(s, fmt.Sprintf("there is no day %02d in %v %d", day, d.Month, year),
			fmt.Sprintf("write a day from 01 to %02d", last.Day))
	}
	return d, nil
}

// number reads a run of decimal digits, nothing else.
func number(s string) (n int, ok bool) {
	for i := range len(s) {
		if s[i] < '0' || s[i] > '9' {
			return 0, false
		}
		n = n*10 + int(s[i]-'0')
	}
	return n, true
}

// Valid reports whether the day exists, in the years 1 to 9999.
func (d Date) Valid() bool { return 1 <= d.Year && d.Year <= 9999 && d == d.normal() }

// String gives "2026-11-25".
func (d Date) String() string { return fmt.Sprintf("%04d-%02d-%02d", d.Year, int(d.Month), d.Day) }

// AddDays gives the day n calendar days later, or earlier when n is negative.
func (d Date) AddDays(n int) Date { return Date{d.Year, d.Month, d.Day + n}.normal() }

// Weekday is the day of the week.
func (d Date) Weekday() time.Weekday { return d.midnight().Weekday() }

// Week is the ISO 8601 week the day lies in; its year may differ from the
// day's.
func (d Date) Week() Week {
	thursday := d.AddDays(3 - sinceMonday(d))
	return Week{thursday.Year, (thursday.midnight().YearDay()-1)/7 + 1}
}

// Compare is -1, 0 or +1 as d is before, equal to or after e.
func (d Date) Compare(e Date) int {
	return cmp.Or(cmp.Compare(d.Year, e.Year), cmp.Compare(d.Month, e.Month), cmp.Compare(d.Day, e.Day))
}

// Before reports whether d comes before e.
func (d Date) Before(e Date) bool { return d.Compare(e) < 0 }

// After reports whether d comes after e.
func (d Date) After(e Date) bool { return d.Compare(e) > 0 }

// MarshalText gives String; a day that is not Valid is an error.
func (d Date) MarshalText() ([]byte, error) {
	if !d.Valid() {
		return nil, fmt.Errorf("there is no day %v", d)
	}
	return []byte(d.String()), nil
}

// UnmarshalText reads what ParseDate reads.
func (d *Date) UnmarshalText(text []byte) error {
	v, err := ParseDate(string(text))
	if err == nil {
		*d = v
	}
	return err
}

// midnight is the day in UTC, where every day has 24 hours, so that its
// arithmetic is never bent by a change of the clocks.
func (d Date) midnight() time.Time { return time.Date(d.Year, d.Month, d.Day, 0, 0, 0, 0, time.UTC) }

func (d Date) normal() Date { return DateOf(d.midnight()) }

// sinceMonday is 0 on a Monday and 6 on a Sunday.
func sinceMonday(d Date) int { return (int(d.Weekday()) + 6) % 7 }
