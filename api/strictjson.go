package api

import (
	"bytes"
	"fmt"
	"io"
	"math/bits"
	"reflect"
	"sync"

	"github.com/go-json-experiment/json/jsontext"
)

// Bounds of a body. A body over them is refused, never cut.
const (
	maxDepth    = 32  // nested objects and arrays, the body itself counting as 1
	maxFindings = 100 // faults listed; decoding stops there
	maxPointer  = 300 // bytes of a pointer; a longer one is cut back to a parent
)

// Codes of findings made by the decoder.
const (
	codeSyntax           = "bad-json"
	codeDuplicate        = "duplicate-field"
	codeTrailing         = "trailing-data"
	codeDepth            = "too-deep"
	codeNUL              = "nul-character"
	codeUnknown          = "unknown-field"
	codeUnknownParameter = "unknown-parameter"
	codeParameter        = "bad-parameter"
	codeMissing          = "missing"
	codeNull             = "null"
	codeType             = "wrong-type"
	codeNumber           = "inexact-number"
	codeRange            = "out-of-range"
	codeShort            = "too-short"
	codeLong             = "too-long"
	codeFew              = "too-few"
	codeMany             = "too-many"
	codeChoice           = "not-allowed"
	codeForm             = "bad-form"
	codeValue            = "bad-value"
)

// faultsOfForm are the codes that make the whole request a 400.
var faultsOfForm = map[string]bool{
	codeSyntax: true, codeDuplicate: true, codeTrailing: true, codeDepth: true, codeNUL: true,
	codeUnknown: true, codeUnknownParameter: true,
}

// decodeStrict reads one JSON document into the struct, map or interface that
// into points to, and checks whatever the type's schema documents (required
// fields, lengths, ranges, choices, patterns) in the same pass. It gives every
// fault found, in document order, nil when there is none; only a fault of
// syntax ends the search. After a fault, into holds what could be read and
// must not be used.
//
// Stricter than JSON: names are matched letter by letter and given once,
// unknown fields are refused, NUL and lone surrogates are refused, nothing
// follows the document, and a number is taken exactly or not at all. Nothing of
// data is kept.
//
// It panics if the type holds what the decoder cannot read or check; register
// finds that out when the service starts.
func decodeStrict(data []byte, into any) []Finding {
	v := reflect.ValueOf(into).Elem()
	return decodePlanned(data, planOf(v.Type()), v)
}

func decodePlanned(data []byte, p *plan, v reflect.Value) []Finding {
	d := decoders.Get().(*strictDecoder)
	d.data, d.findings = data, nil
	d.dec.Reset(bytes.NewBuffer(data))
	if d.value(p, v) {
		d.end()
	}
	findings := d.findings
	d.data, d.findings = nil, nil
	d.dec.Reset(new(bytes.Buffer)) // lets go of data
	decoders.Put(d)
	return findings
}

var decoders = sync.Pool{New: func() any {
	return &strictDecoder{dec: jsontext.NewDecoder(new(bytes.Buffer))}
}}

// strictDecoder is one walk over a document. Its methods return false once the
// walk cannot go on.
type strictDecoder struct {
	dec      *jsontext.Decoder
	data     []byte
	scratch  []byte
	findings []Finding
}

// value reads the next value into v. It must not be called on an exhausted list of findings.
func (d *strictDecoder) value(p *plan, v reflect.Value) bool {
	kind := d.dec.PeekKind()
	if kind == 'n' && p.shape != shapeAny && p.shape != shapeRaw {
		return d.null(p, v)
	}
	switch p.shape {
	case shapePointer:
		v.Set(reflect.New(p.elem.goType))
		return d.value(p.elem, v.Elem())
	case shapeStruct, shapeMap:
		if kind != '{' {
			return d.wrongType("an object")
		}
		if !d.open() {
			return false
		}
		if p.shape == shapeStruct {
			return d.object(p, v)
		}
		return d.mapping(p, v)
	case shapeSlice:
		if kind != '[' {
			return d.wrongType("an array")
		}
		return d.open() && d.array(p, v)
	case shapeAny:
		got, ok := d.anything()
		if ok && got != nil {
			v.Set(reflect.ValueOf(got))
		}
		return ok
	case shapeRaw:
		return d.raw(v)
	default:
		return d.scalar(p, v)
	}
}

// null leaves v at zero where the schema allows null.
func (d *strictDecoder) null(p *plan, v reflect.Value) bool {
	if !d.read() {
		return false
	}
	if p.nullable {
		v.SetZero()
		return true
	}
	return d.add(codeNull, "This field cannot be null; leave it out or give it a value.")
}

func (d *strictDecoder) object(p *plan, v reflect.Value) bool {
	var seen uint64
	for d.dec.PeekKind() != '}' {
		name, ok := d.text()
		if !ok {
			return false
		}
		at, known := p.byName[string(name)]
		if !known {
			if !d.unknown(p, string(name)) || !d.skip() {
				return false
			}
			continue
		}
		seen |= 1 << at
		f := &p.fields[at]
		if !d.value(f.plan, v.FieldByIndex(f.index)) {
			return false
		}
	}
	return d.read() && d.missing(p, p.required&^seen)
}

func (d *strictDecoder) missing(p *plan, absent uint64) bool {
	for ; absent != 0; absent &= absent - 1 {
		f := &p.fields[bits.TrailingZeros64(absent)]
		at := d.dec.StackPointer().AppendToken(f.name)
		if !d.addAt(at, Finding{Code: codeMissing, Message: fmt.Sprintf("The field %q is required.", f.name)}) {
			return false
		}
	}
	return true
}

func (d *strictDecoder) unknown(p *plan, name string) bool {
	f := Finding{Code: codeUnknown, Message: fmt.Sprintf("There is no field %s here.", quoteShort(name))}
	if near := nearest(name, p.names); near != "" {
		f.Nearest = []string{near}
		f.Message = fmt.Sprintf("There is no field %s here; %q was probably meant.", quoteShort(name), near)
	} else {
		f.Allowed = p.names
	}
	return d.addAt(d.dec.StackPointer(), f)
}

func (d *strictDecoder) mapping(p *plan, v reflect.Value) bool {
	if texts, ok := v.Addr().Interface().(*map[string]string); ok && p.elem.free && !p.elem.nullable {
		return d.texts(p, texts)
	}
	v.Set(reflect.MakeMap(p.goType))
	item := reflect.New(p.elem.goType).Elem()
	key := reflect.New(p.goType.Key()).Elem()
	n := 0
	for ; d.dec.PeekKind() != '}'; n++ {
		name, ok := d.text()
		if !ok {
			return false
		}
		key.SetString(string(name))
		item.SetZero()
		if !d.value(p.elem, item) {
			return false
		}
		if p.most < 0 || n < p.most {
			v.SetMapIndex(key, item)
		}
	}
	return d.read() && d.count(p, n, "field")
}

// texts is mapping for the commonest map, without reflection.
func (d *strictDecoder) texts(p *plan, into *map[string]string) bool {
	*into = map[string]string{}
	n := 0
	for ; d.dec.PeekKind() != '}'; n++ {
		name, ok := d.text()
		if !ok {
			return false
		}
		key := string(name)
		switch kind := d.dec.PeekKind(); {
		case kind == 'n' && !d.null(p.elem, reflect.Value{}), kind != 'n' && kind != '"' && !d.wrongType("a string"):
			return false
		case kind != '"':
			continue
		}
		text, ok := d.text()
		if !ok {
			return false
		}
		if p.most < 0 || n < p.most {
			(*into)[key] = string(text)
		}
	}
	return d.read() && d.count(p, n, "field")
}

func (d *strictDecoder) array(p *plan, v reflect.Value) bool {
	n := 0
	for ; d.dec.PeekKind() != ']'; n++ {
		if p.most >= 0 && n >= p.most {
			if !d.skip() { // counted, never stored
				return false
			}
			continue
		}
		v.Grow(1)
		v.SetLen(n + 1)
		v.Index(n).SetZero()
		if !d.value(p.elem, v.Index(n)) {
			return false
		}
	}
	if n == 0 {
		v.Set(reflect.MakeSlice(p.goType, 0, 0))
	}
	return d.read() && d.count(p, n, "item")
}

func (d *strictDecoder) count(p *plan, n int, what string) bool {
	if p.least >= 0 && n < p.least {
		return d.add(codeFew, fmt.Sprintf("Give at least %s; there are %d.", plural(p.least, what), n))
	}
	if p.most >= 0 && n > p.most {
		return d.add(codeMany, fmt.Sprintf("Give at most %s; there are %d.", plural(p.most, what), n))
	}
	return true
}

// anything reads a value of any kind: objects as map[string]any, whole numbers
// of 64 bits as int64, other numbers as float64 where exact.
func (d *strictDecoder) anything() (any, bool) {
	switch d.dec.PeekKind() {
	case '{':
		got := map[string]any{}
		if !d.open() {
			return nil, false
		}
		for d.dec.PeekKind() != '}' {
			name, ok := d.text()
			if !ok {
				return nil, false
			}
			key := string(name)
			if got[key], ok = d.anything(); !ok {
				return nil, false
			}
		}
		return got, d.read()
	case '[':
		got := []any{}
		if !d.open() {
			return nil, false
		}
		for d.dec.PeekKind() != ']' {
			item, ok := d.anything()
			if !ok {
				return nil, false
			}
			got = append(got, item)
		}
		return got, d.read()
	case '"':
		text, ok := d.text()
		return string(text), ok
	case '0':
		return d.anyNumber()
	default: // null, true, false or a fault
		raw, err := d.dec.ReadValue()
		if err != nil {
			return nil, d.syntax(err)
		}
		if raw.Kind() == 'n' {
			return nil, true
		}
		return raw.Kind() == 't', true
	}
}

// raw keeps the text of a value, checked but not understood.
func (d *strictDecoder) raw(v reflect.Value) bool {
	before := d.dec.InputOffset()
	if !d.skip() {
		return false
	}
	text := bytes.TrimLeft(d.data[before:d.dec.InputOffset()], " \t\r\n:,")
	v.SetBytes(bytes.Clone(text))
	return true
}

// skip reads one value of any kind and drops it; what makes a document
// unacceptable anywhere is still looked for.
func (d *strictDecoder) skip() bool {
	outside := d.dec.StackDepth()
	for {
		ok := false
		switch d.dec.PeekKind() {
		case '{', '[':
			ok = d.open()
		case '"':
			_, ok = d.text()
		default:
			ok = d.read()
		}
		if !ok {
			return false
		}
		if d.dec.StackDepth() == outside {
			return true
		}
	}
}

// open reads a brace or bracket and minds the depth.
func (d *strictDecoder) open() bool {
	if !d.read() {
		return false
	}
	if d.dec.StackDepth() > maxDepth {
		d.add(codeDepth, fmt.Sprintf("The body is nested deeper than %d levels.", maxDepth))
		return false
	}
	return true
}

func (d *strictDecoder) read() bool {
	if _, err := d.dec.ReadToken(); err != nil {
		return d.syntax(err)
	}
	return true
}

// text reads a string or a field's name; the bytes hold until the next read.
func (d *strictDecoder) text() ([]byte, bool) {
	raw, err := d.dec.ReadValue()
	if err != nil {
		return nil, d.syntax(err)
	}
	if bytes.IndexByte(raw, '\\') < 0 {
		return raw[1 : len(raw)-1], true
	}
	if d.scratch, err = jsontext.AppendUnquote(d.scratch[:0], raw); err != nil {
		return nil, d.syntax(err)
	}
	if bytes.IndexByte(d.scratch, 0) >= 0 {
		return d.scratch, d.add(codeNUL, "The NUL character (\\u0000) is not accepted.")
	}
	return d.scratch, true
}

// end sees to it that nothing follows the document.
func (d *strictDecoder) end() {
	if _, err := d.dec.ReadToken(); err != io.EOF {
		d.addAt("", Finding{Code: codeTrailing, Message: "Something follows the end of the JSON document at " +
			d.place(d.dec.InputOffset()) + "; send one document."})
	}
}
