package choices

import (
	"slices"
)

// Base is a rule base: what may be chosen and what must hold between the
// choices.
type Base struct {
	Fields []Field
	Rules  []Rule
	// Hub is the code of the field that most rules go through, such as the model
	// that is ordered; "" for none. One diagram is made for each of its values.
	Hub string
}

// Field is one thing to choose: a named value, or a number of a grid. A field
// may have both: a width that is a number or "not asked".
type Field struct {
	Code   string
	Values []string
	Grid   []Grid // the numbers are those of any of the grids
}

// Grid is the numbers Min, Min+Step, ... up to Max, in whatever unit the
// caller has.
type Grid struct{ Min, Max, Step int64 }

// Interval is the numbers from From to To, both included.
type Interval struct{ From, To int64 }

// Set is what a term asks of a field: any of the named values or any number in
// one of the intervals; with Except, anything else than those.
type Set struct {
	Values  []string
	Numbers []Interval
	Except  bool
}

// Term holds when the field's choice is in the set.
type Term struct {
	Field string
	Set   Set
}

// Row holds when all its terms hold. Fields that it does not name may be
// anything.
type Row []Term

// Rule is one condition between choices, with the sentence people are told. It
// applies when Where holds, always if that is empty; exactly one of the other
// fields then says what must hold. A number rule says nothing of a field whose
// choice is not a number.
type Rule struct {
	ID      string
	Says    string
	Where   Row
	Allow   []Row    // at least one row holds
	Forbid  []Row    // no row holds
	Require Row      // all terms hold
	AtMost  *AtMost  // a number is at most another
	Product *Product // the product of two numbers is at most a limit
}

// AtMost is A*TimesA <= B*TimesB + Plus; a factor of 0 is read as 1. The
// numbers and factors may not leave int64 when multiplied.
type AtMost struct {
	A, B           string
	TimesA, TimesB int64
	Plus           int64
}

// Product is A * B <= Limit, of fields whose numbers are not negative. The
// product is reckoned in 128 bits; Limit is High*2^64 + Low.
type Product struct {
	A, B      string
	High, Low uint64
}

// None stands for a field that is not picked.
const None = int32(-1)

// Picks holds for each field, in the base's order, the index of the value
// picked, or None. A field's values are its named ones, in the order given, and
// then its numbers, rising.
type Picks []int32

// field is a Field made ready.
type field struct {
	code    string
	names   []string
	byName  map[string]int32
	numbers []int64 // rising; their values follow the named ones
	size    int
	off     int // of its words in a vector of all fields' values
	words   int
}

func (f *field) named() int { return len(f.names) }

// number gives the number of a value, or false for a named one.
func (f *field) number(value int32) (int64, bool) {
	if int(value) < len(f.names) {
		return 0, false
	}
	return f.numbers[int(value)-len(f.names)], true
}

// between gives the values whose numbers are in the interval, as a half-open
// range of indices.
func (f *field) between(in Interval) (from, to int32) {
	a, _ := slices.BinarySearch(f.numbers, in.From)
	b, exact := slices.BinarySearch(f.numbers, in.To)
	if exact {
		b++
	}
	return int32(a + len(f.names)), int32(max(a, b) + len(f.names))
}

// set is a Set made ready: sets of the same field and content are one.
type set struct {
	in    []uint64
	not   *set
	print fingerprint
	id    int32
}

type term struct {
	field int32
	set   *set
}

// rule is a Rule made ready. Require is read as Allow with one row.
type rule struct {
	id, says string
	where    []term
	forbid   bool
	rows     [][]term
	compare  *compare
	fields   []int32 // those it names, rising
	print    fingerprint
}

// compare is a condition on two numbers. Whether it holds only ever changes
// from yes to no as a rises, and from no to yes (AtMost) or yes to no
// (Product) as b rises.
type compare struct {
	a, b           int32
	timesA, timesB int64
	plus           int64
	product        bool
	high, low      uint64
	print          fingerprint
}
