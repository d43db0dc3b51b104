package source

import (
	"encoding"
	"errors"
	"fmt"
	"reflect"
	"strings"
)

// shape is the way a Go type is written in a file.
type shape uint8

const (
	shapeText   shape = iota // Text
	shapeString              // string and types made of it
	shapeBool
	shapeInt
	shapeUint
	shapeUnmarshaler // encoding.TextUnmarshaler, such as a length
	shapeShort       // read by FromText or FromTexts alone: never a mapping
	shapeStruct
	shapeList
	shapeOneOrMany
	shapeMap
	shapePointer
)

// plan says how values of one Go type are read; it is made once a type.
type plan struct {
	typ       reflect.Type
	shape     shape
	elem      *plan // of a list, a map or a pointer
	fromText  bool  // may be written as one scalar
	fromTexts bool  // may be written as a list of scalars
	fields    []field
	byKey     map[string]int
	places    [][]int // fields of type Pos, to be filled
}

// field is one key of a struct.
type field struct {
	key      string
	required bool
	doc      string
	options  options
	index    []int
	plan     *plan
}

// options are the tags of a field that bind what is below it.
type options struct {
	oneof   []string // the words allowed; empty for any
	anyKeys bool     // the keys of its Map need not be codes
}

// fromTexter is a type with a short form, fromTextser one with a short form
// that is a list.
type (
	fromTexter  interface{ FromText(Text) error }
	fromTextser interface{ FromTexts([]Text) error }
)

// filler is implemented by every *Map[T].
type filler interface {
	has(key string) (Pos, bool)
	add(key Text, value any)
	elem() any
}

var (
	typeText        = reflect.TypeFor[Text]()
	typePos         = reflect.TypeFor[Pos]()
	typeUnmarshaler = reflect.TypeFor[encoding.TextUnmarshaler]()
	typeFromTexter  = reflect.TypeFor[fromTexter]()
	typeFromTextser = reflect.TypeFor[fromTextser]()
	typeFiller      = reflect.TypeFor[filler]()
	typeOneOrMany   = reflect.TypeFor[interface{ oneOrMany() }]()
)

// planner makes plans. Its errors are mistakes in Go types, not in files.
type planner struct {
	made map[reflect.Type]*plan
	errs []error
}

// planOf makes the plan of what into points to, which must be a struct.
func planOf(into any) (*plan, error) {
	t := reflect.TypeOf(into)
	if t == nil || t.Kind() != reflect.Pointer || t.Elem().Kind() != reflect.Struct || reflect.ValueOf(into).IsNil() {
		return nil, fmt.Errorf("catalog files are read into a pointer to a struct, not into %T", into)
	}
	p := planner{made: map[reflect.Type]*plan{}}
	top := p.plan(t.Elem())
	if len(p.errs) == 0 && top.shape != shapeStruct {
		p.errs = append(p.errs, fmt.Errorf("%s cannot hold the keys of a file", t.Elem()))
	}
	return top, errors.Join(p.errs...)
}

func (p *planner) plan(t reflect.Type) *plan {
	if made, found := p.made[t]; found {
		return made
	}
	made := &plan{typ: t}
	p.made[t] = made // before its parts: a type may contain itself
	p.fill(made, t)
	return made
}

func (p *planner) fill(made *plan, t reflect.Type) {
	pointer := reflect.PointerTo(t)
	made.fromText = pointer.Implements(typeFromTexter)
	made.fromTexts = pointer.Implements(typeFromTextser)
	switch {
	case t == typeText:
		made.shape = shapeText
	case pointer.Implements(typeFiller):
		made.shape = shapeMap
		made.elem = p.plan(reflect.TypeOf(reflect.New(t).Interface().(filler).elem()).Elem())
	case pointer.Implements(typeUnmarshaler):
		made.shape = shapeUnmarshaler
	default:
		p.fillKind(made, t)
	}
}

func (p *planner) fillKind(made *plan, t reflect.Type) {
	switch t.Kind() {
	case reflect.String:
		made.shape = shapeString
	case reflect.Bool:
		made.shape = shapeBool
	case reflect.Int, reflect.Int8, reflect.Int16, reflect.Int32, reflect.Int64:
		made.shape = shapeInt
	case reflect.Uint, reflect.Uint8, reflect.Uint16, reflect.Uint32, reflect.Uint64:
		made.shape = shapeUint
	case reflect.Pointer:
		made.shape, made.elem = shapePointer, p.plan(t.Elem())
	case reflect.Slice:
		p.fillSlice(made, t)
	case reflect.Struct:
		p.fillStruct(made, t)
	default:
		p.refuse(t, "use string, bool, whole numbers, a text unmarshaler, a struct, a slice or source.Map")
	}
}

func (p *planner) fillSlice(made *plan, t reflect.Type) {
	made.shape, made.elem = shapeList, p.plan(t.Elem())
	if !t.Implements(typeOneOrMany) {
		return
	}
	made.shape = shapeOneOrMany
	if made.elem.shape == shapeList || made.elem.shape == shapeOneOrMany {
		p.refuse(t, "one item cannot be told from many when the items are lists")
	}
}

func (p *planner) fillStruct(made *plan, t reflect.Type) {
	made.shape, made.byKey = shapeStruct, map[string]int{}
	if (made.fromText || made.fromTexts) && !hasKeys(t) {
		made.shape = shapeShort
		return
	}
	p.addFields(made, t, nil, 0)
}

// hasKeys tells whether a struct has a field that a mapping could give.
func hasKeys(t reflect.Type) bool {
	for i := range t.NumField() {
		if tag, tagged := t.Field(i).Tag.Lookup("yaml"); tagged && tag != "-" {
			return true
		}
	}
	return false
}

// addFields adds the keys of t, which is made's type or embedded in it.
func (p *planner) addFields(made *plan, t reflect.Type, at []int, depth int) {
	if depth > MaxDepth {
		p.refuse(t, "it embeds itself")
		return
	}
	for i := range t.NumField() {
		f := t.Field(i)
		index := append(append([]int(nil), at...), i)
		tag, tagged := f.Tag.Lookup("yaml")
		switch {
		case f.Anonymous && !tagged && f.Type.Kind() == reflect.Struct:
			p.addFields(made, f.Type, index, depth+1)
		case !f.IsExported():
		case tag == "-" && f.Type == typePos:
			made.places = append(made.places, index)
		case tag == "-":
		case !tagged:
			p.refuse(t, fmt.Sprintf("field %s has no yaml tag; write `yaml:\"-\"` if no file gives it", f.Name))
		default:
			p.addField(made, f, tag, index)
		}
	}
}

func (p *planner) addField(made *plan, f reflect.StructField, tag string, index []int) {
	key, rest, _ := strings.Cut(tag, ",")
	if key == "" || rest != "" && rest != "required" {
		p.refuse(made.typ, fmt.Sprintf("field %s: tag `yaml:%q` is neither \"key\" nor \"key,required\"", f.Name, tag))
		return
	}
	if _, twice := made.byKey[key]; twice {
		p.refuse(made.typ, fmt.Sprintf("two fields have the key %q", key))
		return
	}
	made.byKey[key] = len(made.fields)
	made.fields = append(made.fields, field{
		key:      key,
		required: rest == "required",
		doc:      f.Tag.Get("doc"),
		options:  options{oneof: oneof(f.Tag.Get("oneof")), anyKeys: f.Tag.Get("keys") == "any"},
		index:    index,
		plan:     p.plan(f.Type),
	})
}

// oneof splits the words of a tag; those with spaces in them are parted by "|".
func oneof(tag string) []string {
	if strings.Contains(tag, "|") {
		return strings.Split(tag, "|")
	}
	return strings.Fields(tag)
}

func (p *planner) refuse(t reflect.Type, why string) {
	p.errs = append(p.errs, fmt.Errorf("the Go type %s cannot be read from a file: %s", t, why))
}

// keys lists the keys of a struct in the order of its fields.
func (p *plan) keys() []string {
	keys := make([]string, len(p.fields))
	for i, f := range p.fields {
		keys[i] = f.key
	}
	return keys
}

// merges tells whether a top-level key may be given again in another file.
func (p *plan) merges() bool {
	return p.shape == shapeMap || p.shape == shapeList || p.shape == shapeOneOrMany
}
