package unit

import (
	"fmt"
	"strings"
)

// MaxEntry is the longest length ParseLength accepts: 1000 m. It is far above
// anything a workshop makes and far below where products overflow.
const MaxEntry = 1000 * Metre

// EntryUnit says in which system a length was written. A step (1/16 in, 0.1
// mm) is checked in the system of entry.
type EntryUnit uint8

const (
	// InchEntry: written in inches, feet or yards.
	InchEntry EntryUnit = iota
	// MetricEntry: written in mm, cm or m.
	MetricEntry
)

// String gives "inch" or "metric".
func (u EntryUnit) String() string {
	switch u {
	case InchEntry:
		return "inch"
	case MetricEntry:
		return "metric"
	}
	return fmt.Sprintf("EntryUnit(%d)", uint8(u))
}

// LengthEntry is a length as a person wrote it: the text is kept, the value is
// exact.
type LengthEntry struct {
	Text   string
	Length Length
	Unit   EntryUnit
}

// ParseLength reads a length as people write it, exactly or not at all:
// "72 in", "72 1/2 in", "72-1/2 in", "72½ in", "72.5 in", `72"`, "6 ft",
// "6 ft 0 1/2 in", `6'-0 1/2"`, "2 yd", "1828.8 mm", "182.88 cm", "1.8288 m".
// Range 0 to MaxEntry.
//
// It refuses, always with a *ParseError that says what to write instead: a
// missing or unknown unit, a minus sign (ErrNegative), a comma, a space inside
// a number, a length between two nanometres such as 1/3 in or 1/128 in
// (ErrNotExact), one beyond MaxEntry (ErrOverflow), and text over 64 bytes.
func ParseLength(s string) (Length, error) {
	e, err := ParseEntry(s)
	return e.Length, err
}

// ParseEntry is ParseLength keeping the text and the system it was written in.
func ParseEntry(s string) (LengthEntry, error) {
	l, u, err := parseLength(s, false)
	if err != nil {
		return LengthEntry{}, err
	}
	return LengthEntry{Text: s, Length: l, Unit: u}, nil
}

// ParseSignedLength reads the same forms with an optional leading minus and
// over the whole range of Length; it reads back whatever Length.String wrote.
func ParseSignedLength(s string) (Length, error) {
	l, _, err := parseLength(s, true)
	return l, err
}

// lengthUnits maps each spelling, in lower case, to its unit.
var lengthUnits = map[string]Length{
	"in": Inch, "inch": Inch, "inches": Inch, `"`: Inch,
	"ft": Foot, "foot": Foot, "feet": Foot, "'": Foot,
	"yd": Yard, "yds": Yard, "yard": Yard, "yards": Yard,
	"mm": Millimetre, "cm": Centimetre, "m": Metre,
}

var gaugeWords = map[string]bool{"ga": true, "gauge": true, "gage": true, "swg": true, "awg": true}

const lengthHint = "write in, ft, yd, mm, cm or m after the number"

func parseLength(s string, signed bool) (Length, EntryUnit, error) {
	t, perr := clean(s)
	if perr != nil {
		return 0, 0, perr.of(s)
	}
	minus, t := takeSign(t)
	if minus != "" && !signed {
		return 0, 0, negative("a length").of(s)
	}
	l, u, perr := scanLength(t, minus)
	if perr != nil {
		return 0, 0, perr.of(s)
	}
	if !signed && l > MaxEntry {
		return 0, 0, tooLong().of(s)
	}
	return l, u, nil
}

func scanLength(t, minus string) (Length, EntryUnit, *ParseError) {
	first, u, rest, perr := scanMeasure(t, minus)
	if perr != nil {
		return 0, 0, perr
	}
	system := InchEntry
	if u%Inch != 0 {
		system = MetricEntry
	}
	l, perr := exactLength(first, u)
	if perr != nil || rest == "" {
		return l, system, perr
	}
	if rest[0] == ',' && u == Foot {
		return 0, 0, refuse("a comma between feet and inches", "write 6 ft 2 in")
	}
	if u != Foot || first.Den() != 1 {
		return 0, 0, refuse("more text after a complete length", "only whole feet may be followed by inches, such as 6 ft 2 1/2 in")
	}
	inches, perr := scanInches(rest, minus)
	if perr != nil {
		return 0, 0, perr
	}
	sum, err := l.Add(inches)
	if err != nil {
		return 0, 0, tooLong()
	}
	return sum, system, nil
}

// scanInches reads the inches after whole feet, below 12.
func scanInches(t, minus string) (Length, *ParseError) {
	t, dashed := strings.CutPrefix(t, "-") // as drawings have it: 6'-2 1/2"
	if !dashed {
		t = strings.TrimLeft(t, " ")
	}
	r, u, rest, perr := scanMeasure(t, minus)
	switch {
	case perr != nil && perr.Reason == reasonNoUnit:
		return 0, refuse(reasonNoUnit, "write in after the inches, such as 6 ft 2 in")
	case perr != nil:
		return 0, perr
	case u != Inch || rest != "":
		return 0, refuse("feet may be followed by inches only", "write 6 ft 2 1/2 in")
	}
	l, perr := exactLength(r, u)
	if perr == nil && magnitude(int64(l)) >= uint64(Foot) {
		return 0, refuse("inches after feet must be less than 12", "write 6 ft 2 in, or all in inches")
	}
	return l, perr
}

// scanMeasure reads one number with its unit of length.
func scanMeasure(t, minus string) (Ratio, Length, string, *ParseError) {
	r, rest, perr := scanNumber(t, minus)
	if perr != nil {
		return r, 0, "", perr
	}
	word, after := spanUnit(strings.TrimLeft(rest, " "))
	if word == "" {
		return r, 0, "", noUnit(t, rest)
	}
	u, ok := lengthUnits[strings.ToLower(word)]
	if gaugeWords[strings.ToLower(word)] {
		return r, 0, "", refuse("a gauge number is not a length", "write the thickness itself, such as 0.120 in: a gauge means another one for sheet, tube and wire")
	}
	if !ok {
		return r, 0, "", refuse("unknown unit "+quote(word), lengthHint)
	}
	return r, u, after, nil
}

func noUnit(t, rest string) *ParseError {
	if strings.Trim(rest, " ") != "" {
		return afterNumber(rest, lengthHint)
	}
	n := strings.Trim(t, " ")
	return refuse(reasonNoUnit, "write "+n+" in or "+n+" mm")
}

// spanUnit takes one unit off the front: a quote mark, or a run of letters.
func spanUnit(s string) (word, rest string) {
	if s != "" && (s[0] == '"' || s[0] == '\'') {
		return s[:1], s[1:]
	}
	n := 0
	for n < len(s) && ('a' <= s[n]|0x20 && s[n]|0x20 <= 'z') {
		n++
	}
	return s[:n], s[n:]
}

// exactLength gives r units as a whole number of nanometres.
func exactLength(r Ratio, u Length) (Length, *ParseError) {
	q, rem, neg, err := mulDiv(r.Num(), int64(u), r.Den())
	if err != nil {
		return 0, tooLong()
	}
	v, err := signed(q, neg)
	switch {
	case err != nil:
		return 0, tooLong()
	case rem != 0:
		return 0, notWhole(r, u)
	}
	return Length(v), nil
}

func notWhole(r Ratio, u Length) *ParseError {
	e := &ParseError{Reason: "not a whole nanometre", Kind: ErrNotExact}
	near, err := u.Scale(r, Nearest)
	if err != nil {
		return e
	}
	e.Hint = "the nearest nanometre is " + near.Millimetres() + " mm"
	if u%Inch == 0 {
		text, _ := near.Inches64()
		e.Hint = "the nearest 1/64 is " + text + " in"
	}
	return e
}

func tooLong() *ParseError {
	return &ParseError{Reason: "length out of range", Hint: "an entered length is at most 1000 m", Kind: ErrOverflow}
}

func negative(what string) *ParseError {
	return &ParseError{Reason: what + " cannot be negative", Hint: "write it without the minus", Kind: ErrNegative}
}
