package api

import (
	"encoding"
	"fmt"
	"math"
	"reflect"
	"slices"
	"strconv"
	"strings"
	"time"
	"unicode/utf8"

	"github.com/danielgtaylor/huma/v2"
)

// scalar reads a string, number or truth value.
func (d *strictDecoder) scalar(p *plan, v reflect.Value) bool {
	kind := d.dec.PeekKind()
	switch p.shape {
	case shapeBool:
		if kind != 't' && kind != 'f' {
			return d.wrongType("true or false")
		}
		v.SetBool(kind == 't')
		return d.read()
	case shapeString, shapeText:
		if kind != '"' {
			return d.wrongType("a string")
		}
		text, ok := d.text()
		if !ok {
			return false
		}
		if p.shape == shapeText {
			return d.unmarshalText(p, text, v)
		}
		s := string(text)
		v.SetString(s)
		return p.free || d.checkText(p, s)
	case shapeInt, shapeUint:
		if kind != '0' {
			return d.wrongType("a whole number")
		}
		return d.whole(p, v)
	default:
		if kind != '0' {
			return d.wrongType("a number")
		}
		return d.decimal(p, v)
	}
}

func (d *strictDecoder) unmarshalText(p *plan, text []byte, v reflect.Value) bool {
	err := v.Addr().Interface().(encoding.TextUnmarshaler).UnmarshalText(text)
	switch {
	case err == nil:
		return true
	case p.goType == reflect.TypeFor[time.Time]():
		return d.add(codeForm, "Write date, time and zone as in 2026-11-25T14:30:00Z (RFC 3339).")
	case p.format == "uuid":
		return d.add(codeForm, "Write a UUID: 32 hexadecimal digits in the form 8-4-4-4-12.")
	}
	return d.add(codeValue, sentence(err.Error()))
}

// whole reads an integer. 12.0 and 1e3 are refused although they are whole:
// whoever writes them reckons in floating point, where cents get lost.
func (d *strictDecoder) whole(p *plan, v reflect.Value) bool {
	raw, err := d.dec.ReadValue()
	if err != nil {
		return d.syntax(err)
	}
	text := string(raw)
	if strings.ContainsAny(text, ".eE") {
		return d.add(codeType, "This must be a whole number, written without a point or exponent.")
	}
	fits := false
	number := 0.0
	if p.shape == shapeInt {
		n, err := strconv.ParseInt(text, 10, 64)
		if fits = err == nil && !v.OverflowInt(n); fits {
			v.SetInt(n)
			number = float64(n)
		}
	} else {
		n, err := strconv.ParseUint(text, 10, 64)
		if fits = err == nil && !v.OverflowUint(n); fits {
			v.SetUint(n)
			number = float64(n)
		}
	}
	if !fits {
		return d.add(codeRange, "This whole number is outside the range of the field"+p.bounds()+".")
	}
	return p.free || d.checkNumber(p, number, text)
}

// decimal reads a floating-point number whose shortest text means what was
// written: 0.1 passes, 9007199254740993 and 1e400 do not.
func (d *strictDecoder) decimal(p *plan, v reflect.Value) bool {
	raw, err := d.dec.ReadValue()
	if err != nil {
		return d.syntax(err)
	}
	text := string(raw)
	n, exact := exactFloat(text, p.goType.Bits())
	if !exact {
		return d.add(codeNumber, "This number cannot be held exactly; write fewer digits.")
	}
	v.SetFloat(n)
	return p.free || d.checkNumber(p, n, text)
}

func (d *strictDecoder) anyNumber() (any, bool) {
	raw, err := d.dec.ReadValue()
	if err != nil {
		return nil, d.syntax(err)
	}
	text := string(raw)
	if n, err := strconv.ParseInt(text, 10, 64); err == nil && text != "-0" {
		return n, true
	}
	if n, exact := exactFloat(text, 64); exact {
		return n, true
	}
	return nil, d.add(codeNumber, "This number cannot be held exactly; write fewer digits.")
}

// exactFloat reads a JSON number and tells whether its shortest text in that
// many bits is the same number as the one written.
func exactFloat(text string, bits int) (float64, bool) {
	n, err := strconv.ParseFloat(text, bits)
	if err != nil {
		return 0, false
	}
	digits, exponent := significand(text)
	gotDigits, gotExponent := significand(strconv.FormatFloat(n, 'e', -1, bits))
	return n, digits == gotDigits && (digits == "" || exponent == gotExponent)
}

// significand splits a number into its digits without zeros at either end and
// the power of ten of a point in front of them; zero has no digits.
func significand(text string) (digits string, exponent int) {
	text = strings.TrimPrefix(text, "-")
	mantissa, power, _ := strings.Cut(strings.ToLower(text), "e")
	if power != "" {
		n, err := strconv.Atoi(power)
		if err != nil { // beyond any float: any far exponent tells it apart
			n = math.MaxInt32
		}
		exponent = n
	}
	whole, fraction, _ := strings.Cut(mantissa, ".")
	digits = strings.TrimLeft(whole, "0")
	exponent += len(digits)
	if digits == "" {
		digits = strings.TrimLeft(fraction, "0")
		exponent -= len(fraction) - len(digits)
	} else {
		digits += fraction
	}
	return strings.TrimRight(digits, "0"), exponent
}

func (d *strictDecoder) checkText(p *plan, s string) bool {
	if p.least >= 0 || p.most >= 0 {
		n := utf8.RuneCountInString(s)
		if n < p.least {
			return d.add(codeShort, fmt.Sprintf("Write at least %s; this has %d.", plural(p.least, "character"), n))
		}
		if p.most >= 0 && n > p.most {
			return d.add(codeLong, fmt.Sprintf("Write at most %s; this has %d.", plural(p.most, "character"), n))
		}
	}
	if p.choices != nil && !slices.Contains(p.choices, s) {
		return d.notAllowed(p, s)
	}
	if p.leaf != nil {
		return d.checkLeaf(p, s)
	}
	return true
}

func (d *strictDecoder) notAllowed(p *plan, s string) bool {
	f := Finding{Code: codeChoice, Allowed: p.choices, Message: "This is not one of the values allowed here."}
	if near := nearest(s, p.choices); near != "" {
		f.Nearest = []string{near}
		f.Message = fmt.Sprintf("This is not one of the values allowed here; %q was probably meant.", near)
	}
	return d.addAt(d.dec.StackPointer(), f)
}

// checkLeaf leaves patterns and formats to the framework's own validator, so
// that what the document says and what is checked cannot differ.
func (d *strictDecoder) checkLeaf(p *plan, s string) bool {
	var res huma.ValidateResult
	huma.Validate(nil, p.leaf, huma.NewPathBuffer(nil, 0), huma.ModeWriteToServer, s, &res)
	if len(res.Errors) == 0 {
		return true
	}
	if p.leaf.PatternDescription != "" {
		return d.add(codeForm, "This must be "+p.leaf.PatternDescription+".")
	}
	if p.leaf.Pattern != "" {
		return d.add(codeForm, "This must match the pattern "+p.leaf.Pattern+".")
	}
	return d.add(codeForm, "This is not of the form "+p.leaf.Format+".")
}

func (d *strictDecoder) checkNumber(p *plan, n float64, text string) bool {
	if p.choices != nil && !slices.Contains(p.choices, text) {
		return d.notAllowed(p, text)
	}
	if p.min != nil && n < *p.min || p.max != nil && n > *p.max ||
		p.above != nil && n <= *p.above || p.below != nil && n >= *p.below {
		return d.add(codeRange, "This number is outside the range of the field"+p.bounds()+".")
	}
	return true
}

// bounds tells the range in words, "" when the schema gives none.
func (p *plan) bounds() string {
	var parts []string
	for _, b := range []struct {
		words string
		bound *float64
	}{{"at least", p.min}, {"more than", p.above}, {"at most", p.max}, {"less than", p.below}} {
		if b.bound != nil {
			parts = append(parts, b.words+" "+strconv.FormatFloat(*b.bound, 'f', -1, 64))
		}
	}
	if parts == nil {
		return ""
	}
	return ": it must be " + strings.Join(parts, " and ")
}

// sentence makes a Go error's text one for people: a capital and a full stop.
func sentence(s string) string {
	if r, size := utf8.DecodeRuneInString(s); r != utf8.RuneError {
		s = strings.ToUpper(string(r)) + s[size:]
	}
	if s == "" || strings.HasSuffix(s, ".") {
		return s
	}
	return s + "."
}
