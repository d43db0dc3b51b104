package calendar

import (
	"fmt"
	"time"

	"billwright/catalog/unit"
)

// ClockTime is a time of day to the minute, 00:00 to 23:59, as the clock on
// the plant's wall shows it.
type ClockTime struct {
	Hour, Minute int
}

// ParseClockTime reads "16:30": five characters, 24 hours. Errors are
// *unit.ParseError.
func ParseClockTime(s string) (ClockTime, error) {
	const form = "write hours and minutes from 00:00 to 23:59, such as 16:30"
	if len(s) != len("16:30") || s[2] != ':' {
		return ClockTime{}, unit.Refusal(s, "not a time of day", form)
	}
	hour, hok := number(s[:2])
	minute, mok := number(s[3:])
	c := ClockTime{hour, minute}
	if !hok || !mok || !c.Valid() {
		return ClockTime{}, unit.Refusal(s, "not a time of day", form)
	}
	return c, nil
}

// Valid reports whether a clock shows this time.
func (c ClockTime) Valid() bool {
	return 0 <= c.Hour && c.Hour < 24 && 0 <= c.Minute && c.Minute < 60
}

// String gives "16:30".
func (c ClockTime) String() string { return fmt.Sprintf("%02d:%02d", c.Hour, c.Minute) }

// MarshalText gives String; a time that is not Valid is an error.
func (c ClockTime) MarshalText() ([]byte, error) {
	if !c.Valid() {
		return nil, fmt.Errorf("there is no time of day %v", c)
	}
	return []byte(c.String()), nil
}

// UnmarshalText reads what ParseClockTime reads.
func (c *ClockTime) UnmarshalText(text []byte) error {
	v, err := ParseClockTime(string(text))
	if err == nil {
		*c = v
	}
	return err
}

// past reports whether the wall clock of t is after c, by any part of a
// second: at 16:30:00 exactly a cut-off of 16:30 is still met.
func (c ClockTime) past(t time.Time) bool {
	shown := time.Duration(t.Hour())*time.Hour + time.Duration(t.Minute())*time.Minute +
		time.Duration(t.Second())*time.Second + time.Duration(t.Nanosecond())
	return shown > time.Duration(c.Hour)*time.Hour+time.Duration(c.Minute)*time.Minute
}

// Direction says which working day an act on a closed day counts for. The zero
// Direction is neither: the catalog must say.
type Direction uint8

const (
	// Last counts it for the last working day before.
	Last Direction = iota + 1
	// Next counts it for the next working day after.
	Next
)

// String gives "last" or "next".
func (d Direction) String() string {
	switch d {
	case Last:
		return "last"
	case Next:
		return "next"
	}
	return fmt.Sprintf("Direction(%d)", uint8(d))
}

// MarshalText gives String; a direction that is neither is an error.
func (d Direction) MarshalText() ([]byte, error) {
	if d != Last && d != Next {
		return nil, fmt.Errorf("%v is neither last nor next", d)
	}
	return []byte(d.String()), nil
}

// UnmarshalText reads "last" or "next"; anything else is a *unit.ParseError.
func (d *Direction) UnmarshalText(text []byte) error {
	switch string(text) {
	case "last":
		*d = Last
	case "next":
		*d = Next
	default:
		return unit.Refusal(string(text), "not a direction", "write last or next")
	}
	return nil
}
