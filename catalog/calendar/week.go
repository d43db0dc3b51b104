package calendar

import (
	"cmp"
	"fmt"

	"billwright/catalog/unit"
)

// Week is a week of ISO 8601, Week from 1 to WeeksIn(Year). Year is the year
// of its Thursday.
type Week struct {
	Year, Week int
}

const weekForm = "write the ISO 8601 year, W and two digits, such as 2026-W48"

// WeeksIn is the number of weeks of an ISO 8601 year, 52 or 53: that of 28
// December, which always lies in the last week.
func WeeksIn(year int) int { return Date{year, 12, 28}.Week().Week }

// ParseWeek reads a week as ISO 8601 writes it, "2026-W53": eight characters,
// years 0001 to 9999, only weeks that exist. Errors are *unit.ParseError and
// say the form or how many weeks the year has.
func ParseWeek(s string) (Week, error) {
	if len(s) != len("2026-W53") || s[4:6] != "-W" {
		return Week{}, unit.Refusal(s, "not a week", weekForm)
	}
	year, yok := number(s[:4])
	week, wok := number(s[6:])
	if !yok || !wok || year == 0 {
		return Week{}, unit.Refusal(s, "not a week", weekForm)
	}
	w := Week{year, week}
	if !w.Valid() {
		return Week{}, unit.Refusal(s, fmt.Sprintf("%04d has %d weeks", year, WeeksIn(year)),
			fmt.Sprintf("write a week from %04d-W01 to %04d-W%02d", year, year, WeeksIn(year)))
	}
	return w, nil
}

// Valid reports whether the week exists, in the years 1 to 9999.
func (w Week) Valid() bool {
	return 1 <= w.Year && w.Year <= 9999 && 1 <= w.Week && w.Week <= WeeksIn(w.Year)
}

// String gives "2026-W53".
func (w Week) String() string { return fmt.Sprintf("%04d-W%02d", w.Year, w.Week) }

// Monday is the first day of the week.
func (w Week) Monday() Date {
	fourth := Date{w.Year, 1, 4} // always in week 1
	return fourth.AddDays(7*(w.Week-1) - sinceMonday(fourth))
}

// Next is the week after.
func (w Week) Next() Week { return w.Monday().AddDays(7).Week() }

// Compare is -1, 0 or +1 as w is before, equal to or after v.
func (w Week) Compare(v Week) int {
	return cmp.Or(cmp.Compare(w.Year, v.Year), cmp.Compare(w.Week, v.Week))
}

// MarshalText gives String; a week that is not Valid is an error.
func (w Week) MarshalText() ([]byte, error) {
	if !w.Valid() {
		return nil, fmt.Errorf("there is no week %v", w)
	}
	return []byte(w.String()), nil
}

// UnmarshalText reads what ParseWeek reads.
func (w *Week) UnmarshalText(text []byte) error {
	v, err := ParseWeek(string(text))
	if err == nil {
		*w = v
	}
	return err
}
