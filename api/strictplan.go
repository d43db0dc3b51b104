package api

import (
	"encoding"
	"encoding/json"
	"fmt"
	"reflect"
	"strings"
	"sync"

	"github.com/danielgtaylor/huma/v2"
	"github.com/go-json-experiment/json/jsontext"
)

// shape is how a Go type is read.
type shape uint8

const (
	shapeStruct shape = iota
	shapeMap
	shapeSlice
	shapePointer
	shapeAny
	shapeRaw
	shapeString
	shapeText // encoding.TextUnmarshaler
	shapeBool
	shapeInt
	shapeUint
	shapeFloat
)

// plan is how one place of a body is read and what is checked there, worked
// out once from the Go type and the schema the framework documents for it.
type plan struct {
	goType   reflect.Type
	shape    shape
	nullable bool
	free     bool // a scalar with nothing to check
	format   string

	elem *plan // of a slice, map or pointer

	fields   []planField // of a struct, at most 64
	byName   map[string]int
	names    []string
	required uint64 // bit i: fields[i]

	least, most int // characters, items or fields; -1: no limit
	choices     []string
	min, max    *float64
	above       *float64
	below       *float64
	leaf        *huma.Schema // holds a pattern or format left to the framework
}

type planField struct {
	name  string
	index []int
	plan  *plan
}

var plans sync.Map // reflect.Type -> *plan

// planOf gives the plan of a type. It panics on a type that cannot be read or
// whose schema promises a check that is not made.
func planOf(t reflect.Type) *plan {
	if p, ok := plans.Load(t); ok {
		return p.(*plan)
	}
	// A registry of its own, with whole type names, so that two packages may
	// have a type of the same name.
	reg := huma.NewMapRegistry("#/", func(t reflect.Type, hint string) string {
		for t.Kind() == reflect.Pointer {
			t = t.Elem()
		}
		if t.Name() == "" {
			return hint
		}
		return t.PkgPath() + "." + t.Name()
	})
	b := planner{reg: reg, known: map[reflect.Type]*plan{}}
	p := b.plan(t, reg.Schema(t, true, "body"), t.String())
	actual, _ := plans.LoadOrStore(t, p)
	return actual.(*plan)
}

type planner struct {
	reg   huma.Registry
	known map[reflect.Type]*plan // structs, so that a type may contain itself
}

var (
	textType = reflect.TypeFor[encoding.TextUnmarshaler]()
	rawTypes = []reflect.Type{reflect.TypeFor[jsontext.Value](), reflect.TypeFor[json.RawMessage](),
		reflect.TypeFor[textEntry](), reflect.TypeFor[flagEntry](), reflect.TypeFor[quantityEntry](), reflect.TypeFor[choiceEntry]()}
	ownDecodings = []reflect.Type{reflect.TypeFor[json.Unmarshaler](), reflect.TypeFor[interface {
		UnmarshalJSONFrom(*jsontext.Decoder) error
	}]()}
)

func (b *planner) plan(t reflect.Type, s *huma.Schema, where string) *plan {
	p := &plan{goType: t, least: -1, most: -1}
	if s == nil {
		b.refuse(where, "the framework documents no schema for %v", t)
	}
	for s.Ref != "" {
		s = b.reg.SchemaFromRef(s.Ref)
	}
	p.nullable = s.Nullable
	p.format = s.Format
	if t.Kind() == reflect.Pointer {
		p.shape = shapePointer
		inner := *s
		inner.Nullable = false
		p.elem = b.plan(t.Elem(), &inner, where)
		return p
	}
	p.shape = b.shapeOf(t, where)
	if p.shape == shapeAny {
		return p // no schema is documented for what may be anything
	}
	if p.shape != shapeText && p.shape != shapeRaw {
		b.checks(p, s, where)
	}
	switch p.shape {
	case shapeStruct:
		return b.structPlan(p, s, where)
	case shapeSlice:
		if p.most < 0 { // "[{},{},…" of 1 MiB would fill a hundred times that
			b.refuse(where, "an array needs maxItems")
		}
		p.elem = b.plan(t.Elem(), s.Items, where+"[]")
	case shapeMap:
		inner, _ := s.AdditionalProperties.(*huma.Schema)
		p.elem = b.plan(t.Elem(), inner, where+"{}")
	}
	return p
}

func (b *planner) shapeOf(t reflect.Type, where string) shape {
	for _, raw := range rawTypes {
		if t == raw {
			return shapeRaw
		}
	}
	if reflect.PointerTo(t).Implements(textType) {
		return shapeText
	}
	for _, own := range ownDecodings {
		if reflect.PointerTo(t).Implements(own) {
			b.refuse(where, "%v decodes itself; give it UnmarshalText", t)
		}
	}
	switch t.Kind() {
	case reflect.Struct:
		return shapeStruct
	case reflect.Map:
		if t.Key().Kind() == reflect.String {
			return shapeMap
		}
	case reflect.Slice:
		if t.Elem().Kind() != reflect.Uint8 {
			return shapeSlice
		}
	case reflect.Interface:
		if t.NumMethod() == 0 {
			return shapeAny
		}
	case reflect.String:
		return shapeString
	case reflect.Bool:
		return shapeBool
	case reflect.Int, reflect.Int8, reflect.Int16, reflect.Int32, reflect.Int64:
		return shapeInt
	case reflect.Uint, reflect.Uint8, reflect.Uint16, reflect.Uint32, reflect.Uint64:
		return shapeUint
	case reflect.Float32, reflect.Float64:
		return shapeFloat
	}
	b.refuse(where, "%v cannot be read from a body", t)
	return 0
}

// checks takes over what the schema asks of a value, and refuses a schema that
// asks for more than is checked.
func (b *planner) checks(p *plan, s *huma.Schema, where string) {
	switch {
	case s.MultipleOf != nil, s.UniqueItems, s.OneOf != nil, s.AnyOf != nil, s.AllOf != nil, s.Not != nil,
		len(s.DependentRequired) > 0, s.ReadOnly, s.ContentEncoding != "":
		b.refuse(where, "its schema asks for a check that bodies are not given")
	}
	for _, bound := range []*int{s.MinLength, s.MinItems, s.MinProperties} {
		if bound != nil {
			p.least = *bound
		}
	}
	for _, bound := range []*int{s.MaxLength, s.MaxItems, s.MaxProperties} {
		if bound != nil {
			p.most = *bound
		}
	}
	p.min, p.max, p.above, p.below = s.Minimum, s.Maximum, s.ExclusiveMinimum, s.ExclusiveMaximum
	for _, choice := range s.Enum {
		p.choices = append(p.choices, fmt.Sprint(choice))
	}
	if p.shape == shapeString && (s.Pattern != "" || s.Format != "") {
		leaf := &huma.Schema{Type: huma.TypeString, Pattern: s.Pattern, PatternDescription: s.PatternDescription, Format: s.Format}
		leaf.PrecomputeMessages() // compiles the pattern
		p.leaf = leaf
	}
	p.free = p.least < 0 && p.most < 0 && p.min == nil && p.max == nil && p.above == nil && p.below == nil &&
		p.choices == nil && p.leaf == nil
}

func (b *planner) structPlan(p *plan, s *huma.Schema, where string) *plan {
	if known, ok := b.known[p.goType]; ok && known.nullable == p.nullable {
		return known
	}
	b.known[p.goType] = p
	p.byName = map[string]int{}
	if open, _ := s.AdditionalProperties.(bool); open {
		b.refuse(where, "its schema leaves further fields open")
	}
	b.addFields(p, p.goType, nil, s, where)
	for _, name := range s.Required {
		at, ok := p.byName[name]
		if !ok {
			b.refuse(where, "its schema requires %q, which is no field", name)
		}
		p.required |= 1 << at
	}
	if len(p.fields) != len(s.Properties) {
		b.refuse(where, "the type has %d fields and its schema %d", len(p.fields), len(s.Properties))
	}
	return p
}

func (b *planner) addFields(p *plan, t reflect.Type, prefix []int, s *huma.Schema, where string) {
	for i := range t.NumField() {
		f := t.Field(i)
		index := append(append([]int(nil), prefix...), i)
		tag := f.Tag.Get("json")
		switch {
		case tag == "-" || !f.IsExported() && !f.Anonymous:
			continue
		case f.Anonymous && tag == "" && f.Type.Kind() == reflect.Struct && f.IsExported():
			b.addFields(p, f.Type, index, s, where)
			continue
		}
		name, options, _ := strings.Cut(tag, ",")
		if name == "" || !f.IsExported() {
			b.refuse(where, "field %s needs a name in its json tag", f.Name)
		}
		for option := range strings.SplitSeq(options, ",") {
			if option != "" && option != "omitempty" && option != "omitzero" {
				b.refuse(where, "field %s has the json option %q", f.Name, option)
			}
		}
		if _, twice := p.byName[name]; twice || len(p.fields) == 64 {
			b.refuse(where, "field %q comes twice, or there are more than 64", name)
		}
		p.byName[name] = len(p.fields)
		p.names = append(p.names, name)
		p.fields = append(p.fields, planField{name, index, b.plan(f.Type, s.Properties[name], where+"."+name)})
	}
}

// refuse reports a fault of the program, found when a route is registered.
func (b *planner) refuse(where, format string, args ...any) {
	panic(fmt.Sprintf("api: body %s: %s", where, fmt.Sprintf(format, args...)))
}
