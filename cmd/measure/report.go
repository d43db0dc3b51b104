package main

import (
	"fmt"
	"io"
	"strconv"
	"time"
)

// report collects the rows of one measurement.
type report struct {
	out    io.Writer
	detail io.Writer
}

// atLeast and atMost print a figure against its bar.
func (r *report) atLeast(name string, value float64, unit string, bar float64) {
	r.row(name, number(value), unit, ">= "+number(bar), value >= bar)
}

func (r *report) atMost(name string, value float64, unit string, bar float64) {
	r.row(name, number(value), unit, "<= "+number(bar), value <= bar)
}

// plain prints a figure that has no bar.
func (r *report) plain(name string, value float64, unit string) {
	r.row(name, number(value), unit, "-", true)
}

// missing prints a figure that could not be measured, and why to the detail.
func (r *report) missing(name, unit, bar string, why error) {
	r.note("%s: not measured: %v", name, why)
	r.row(name, "-", unit, bar, false)
}

func (r *report) row(name, value, unit, bar string, ok bool) {
	word := "short"
	if ok {
		word = "ok"
	}
	fmt.Fprintf(r.out, "%s\t%s\t%s\t%s\t%s\n", name, value, unit, bar, word)
}

func (r *report) note(format string, args ...any) {
	fmt.Fprintf(r.detail, "%s  %s\n", time.Now().UTC().Format(time.TimeOnly), fmt.Sprintf(format, args...))
}

func number(v float64) string {
	if v == float64(int64(v)) {
		return strconv.FormatInt(int64(v), 10)
	}
	return strconv.FormatFloat(v, 'f', 3, 64)
}
