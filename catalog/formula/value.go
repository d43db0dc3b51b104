package formula

import "billwright/catalog/unit"

// Kind is what a value is. The zero Kind is no kind: a slot nobody filled.
type Kind uint8

// The kinds of value.
const (
	Number Kind = iota + 1 // exact rational
	Length                 // nanometres
	Area                   // square micrometres
	Bool                   // yes or no
	Text                   // words, such as the code of a choice
)

var kindNames = [...]string{"nothing", "number", "length", "area", "yes/no", "text"}

// String names the kind as it stands in a sentence: "number", "yes/no".
func (k Kind) String() string {
	if int(k) < len(kindNames) {
		return kindNames[k]
	}
	return "nothing"
}

// withArticle gives "a number", "an area", "text".
func (k Kind) withArticle() string {
	switch k {
	case Area:
		return "an area"
	case Bool, Text:
		return k.String()
	}
	return "a " + k.String()
}

// measurable kinds are held as exact rationals.
func (k Kind) measurable() bool { return k == Number || k == Length || k == Area }

// Value is one exact value of one kind. The zero Value is unset. Values are
// compared with ==; the mark of Rounded takes part in that.
type Value struct {
	kind    Kind
	yes     bool
	rounded bool
	ratio   unit.Ratio // of one, one nanometre or one square micrometre
	text    string
}

// NumberOf makes a number.
func NumberOf(r unit.Ratio) Value { return Value{kind: Number, ratio: r} }

// LengthOf makes a length.
func LengthOf(l unit.Length) Value { return Value{kind: Length, ratio: unit.RatioOf(int64(l))} }

// AreaOf makes an area.
func AreaOf(a unit.Area) Value { return Value{kind: Area, ratio: unit.RatioOf(int64(a))} }

// BoolOf makes yes (true) or no (false).
func BoolOf(yes bool) Value { return Value{kind: Bool, yes: yes} }

// TextOf makes a text.
func TextOf(s string) Value { return Value{kind: Text, text: s} }

// Kind is the kind of v, zero when v is unset.
func (v Value) Kind() Kind { return v.kind }

// Number is the number v holds, 0 when v is of another kind. A Formula's
// result is always of the kind it was compiled for.
func (v Value) Number() unit.Ratio {
	if v.kind != Number {
		return unit.Ratio{}
	}
	return v.ratio
}

// Length is the length v holds, 0 when v is of another kind.
func (v Value) Length() unit.Length {
	if v.kind != Length {
		return 0
	}
	return unit.Length(v.ratio.Num())
}

// Area is the area v holds, 0 when v is of another kind.
func (v Value) Area() unit.Area {
	if v.kind != Area {
		return 0
	}
	return unit.Area(v.ratio.Num())
}

// Bool reports yes, false when v is no or of another kind.
func (v Value) Bool() bool { return v.kind == Bool && v.yes }

// Text is the text v holds, "" when v is of another kind.
func (v Value) Text() string { return v.text }

// Rounded reports that the exact result was not a whole nanometre (or square
// micrometre) and was rounded to one, half away from zero.
func (v Value) Rounded() bool { return v.rounded }

// String shows v to people: "15 in", "3/8", "1296 in2", "yes", "white-oak",
// and "not set" for the zero Value.
func (v Value) String() string { return string(v.append(nil)) }

func (v Value) append(b []byte) []byte {
	switch v.kind {
	case Number:
		b, _ = v.ratio.AppendText(b) // none of these has an error
	case Length:
		b, _ = v.Length().AppendText(b)
	case Area:
		b = append(b, areaText(v.Area())...)
	case Bool:
		if v.yes {
			return append(b, "yes"...)
		}
		return append(b, "no"...)
	case Text:
		return append(b, v.text...)
	default:
		return append(b, "not set"...)
	}
	return b
}

// areaText shows whole square inches as such, everything else exactly in mm2.
func areaText(a unit.Area) string {
	if inches, err := unit.NewRatio(int64(a), int64(unit.SquareInch)); err == nil && inches.Den() <= 64 {
		if text, finite := inches.Decimal(); finite {
			return text + " in2"
		}
	}
	return a.String()
}
