package desk

import (
	"testing"
	"time"
)

// The figure in the middle is exact, in the unit and the digits of the two that
// it stands between.
func TestWhatTwoFiguresDifferBy(t *testing.T) {
	for _, c := range [][3]string{
		{"84 in", "90 in", "+6 in"},
		{"36 1/2 in", "36 3/8 in", "\u22121/8 in"},
		{"67 1/2 in", "73 3/4 in", "+6 1/4 in"},
		{"4455.00", "4923.00", "+468.00"},
		{"23.20 lb", "24.50 lb", "+1.30 lb"},
		{"1046.5 mm", "1040 mm", "\u22126.5 mm"},
		{"36", "40", "+4"},
		{"10.23 lb/ft3", "10.16 lb/ft3", "\u22120.07 lb/ft3"},
		{"2 people", "2 people, dock lift", "changed"},
		{"3 in", "3 mm", "changed"},
		{"none", "bars", "changed"},
		{"", "12 in", "changed"},
	} {
		if got := between("", c[0], c[1]).By; got != c[2] {
			t.Errorf("%q to %q: %q, want %q", c[0], c[1], got, c[2])
		}
	}
}

// A day is taken as people say it, and figures alone are not guessed at.
func TestDaysAsPeopleSayThem(t *testing.T) {
	today := time.Date(2026, 11, 25, 9, 0, 0, 0, time.UTC)
	for typed, want := range map[string]string{
		"12 feb": "2027-02-12", "Feb 12": "2027-02-12", "Fri 12 Feb 2027": "2027-02-12", "25 november": "2026-11-25", "24 nov": "2027-11-24", "1 Dec": "2026-12-01",
		"2027-02-12": "2027-02-12", "12/2": "12/2", "31 feb": "31 feb", "soon": "soon", "12 13 feb": "12 13 feb", "": "", "february": "february", "12 marx": "12 marx",
	} {
		if got := dayTyped(typed, today); got != want {
			t.Errorf("%q is %q, want %q", typed, got, want)
		}
	}
}
