// Package calendar reckons with the plant's days: which are worked, which day
// an act counts for, when an order is promised and by when its parts are
// needed. Dates are days without a clock; a moment becomes a day only in the
// plant's own time zone, never the server's.
//
// Weeks are those of ISO 8601: they begin on Monday and week 1 is the week
// with the year's first Thursday, so that a year has 52 or 53 of them and the
// first days of January may belong to the year before.
//
// The package knows no current time: every moment is a parameter.
package calendar
