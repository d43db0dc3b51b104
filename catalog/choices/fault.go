package choices

import (
	"fmt"
	"strings"
)

// Fault is one thing wrong with how a rule base is written.
type Fault struct {
	Rule  string // its ID, or "" for a fault of a field
	Row   int    // of the rule, from 1; 0 when it is not of one row
	Field string
	Says  string
}

func (f Fault) Error() string {
	var place []string
	if f.Rule != "" {
		place = append(place, fmt.Sprintf("rule %s", f.Rule))
	}
	if f.Row > 0 {
		place = append(place, fmt.Sprintf("row %d", f.Row))
	}
	if f.Field != "" {
		place = append(place, fmt.Sprintf("field %s", f.Field))
	}
	return strings.Join(append(place, f.Says), ": ")
}

// Faults are all things wrong with a rule base.
type Faults []Fault

func (f Faults) Error() string {
	all := make([]string, len(f))
	for i := range f {
		all[i] = f[i].Error()
	}
	return strings.Join(all, "\n")
}

// UnknownError tells of a field that the base does not have, or of a value that
// a field does not have.
type UnknownError struct {
	Field string
	Value string // what was given, or "" when the field is unknown
	// Nearest are the nearest numbers of a field's grid below and above a number
	// that is not on it.
	Nearest []int64
}

func (e *UnknownError) Error() string {
	switch {
	case e.Value == "":
		return fmt.Sprintf("there is no field %q", e.Field)
	case len(e.Nearest) > 0:
		return fmt.Sprintf("%s cannot be %s: the nearest on its grid is %s", e.Field, e.Value, either(e.Nearest))
	}
	return fmt.Sprintf("%s has no value %q", e.Field, e.Value)
}

func either(numbers []int64) string {
	all := make([]string, len(numbers))
	for i, n := range numbers {
		all[i] = fmt.Sprint(n)
	}
	return strings.Join(all, " or ")
}
