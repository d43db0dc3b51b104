package formula

import (
	"fmt"
	"regexp"
	"slices"
	"strings"
)

// Fault is one thing wrong with a formula, or one reason why it could not be
// evaluated, written for the engineer who keeps the catalog.
type Fault struct {
	Text    string // the formula as written (shortened when it is over the size limit)
	Line    int    // line inside the formula, from 1
	Column  int    // character inside that line, from 1
	Message string // what is wrong
	Hint    string // what to write instead; may be empty
	Of      string // the variable that Message names; empty for none
}

// Error gives the sentence with its place: "column 10: length + number: a bare
// number has no unit; write len('15 in')".
func (f *Fault) Error() string {
	place := fmt.Sprintf("column %d: ", f.Column)
	if f.Line > 1 || strings.Contains(f.Text, "\n") {
		place = fmt.Sprintf("line %d, column %d: ", f.Line, f.Column)
	}
	return place + f.Sentence()
}

// Said is the fault for who knows nothing of the formula: without its place and
// hint, and the variable that it names as people call it.
func (f *Fault) Said(name func(variable string) string) string {
	if f.Of == "" {
		return f.Message
	}
	return regexp.MustCompile(`\b`+regexp.QuoteMeta(f.Of)+`\b`).ReplaceAllLiteralString(f.Message, name(f.Of))
}

// Sentence is the fault without its place.
func (f *Fault) Sentence() string {
	if f.Hint == "" {
		return f.Message
	}
	return f.Message + "; " + f.Hint
}

// Faults are all the faults found in one formula, in the order of its text.
// errors.As finds a *Fault (the first) as well as Faults (all of them).
type Faults []*Fault

// Error gives one fault a line.
func (fs Faults) Error() string {
	lines := make([]string, len(fs))
	for i, f := range fs {
		lines[i] = f.Error()
	}
	return strings.Join(lines, "\n")
}

// Unwrap lets errors.As and errors.Is reach each fault.
func (fs Faults) Unwrap() []error {
	errs := make([]error, len(fs))
	for i, f := range fs {
		errs[i] = f
	}
	return errs
}

// source is a formula's text with the means to name a place in it. Positions
// are counted in characters (runes) from 0, as the CEL parser counts them.
type source struct {
	text  string
	runes []rune
	// origin maps a position in the repaired text that was parsed to the
	// position in the text as written; nil when nothing was repaired.
	origin []int
}

// fault makes a fault at a position of the parsed text.
func (s *source) fault(pos int, message, hint string) *Fault {
	if s.origin != nil && pos >= 0 && len(s.origin) > 0 {
		pos = s.origin[min(pos, len(s.origin)-1)]
	}
	return s.faultAsWritten(pos, message, hint)
}

// faultAsWritten makes a fault at a position of the text as written.
func (s *source) faultAsWritten(pos int, message, hint string) *Fault {
	pos = max(0, min(pos, len(s.runes)))
	line, column := 1, 1
	for _, r := range s.runes[:pos] {
		column++
		if r == '\n' {
			line, column = line+1, 1
		}
	}
	return &Fault{Text: s.text, Line: line, Column: column, Message: message, Hint: hint}
}

// maxFaults are told of one formula; the rest is counted.
const maxFaults = 20

// sorted puts faults in the order of the text, a fault named twice only once.
func sorted(fs []*Fault) Faults {
	fs = slices.Clone(fs)
	slices.SortStableFunc(fs, func(a, b *Fault) int {
		if a.Line != b.Line {
			return a.Line - b.Line
		}
		if a.Column != b.Column {
			return a.Column - b.Column
		}
		return strings.Compare(a.Message, b.Message)
	})
	fs = slices.CompactFunc(fs, func(a, b *Fault) bool { return *a == *b })
	if rest := len(fs) - maxFaults; rest > 0 {
		more := *fs[maxFaults]
		more.Message, more.Hint = fmt.Sprintf("%d more faults from here on", rest), "put these right first"
		fs = append(fs[:maxFaults], &more)
	}
	return fs
}

// quoted shows a piece of a formula inside a sentence, shortened where long.
func quoted(s string) string {
	const most = 40
	if r := []rune(s); len(r) > most {
		s = string(r[:most]) + "…"
	}
	return s
}
