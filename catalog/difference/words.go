package difference

import (
	"encoding"
	"fmt"
	"reflect"
	"slices"
	"strconv"
	"strings"

	"billwright/catalog"
	"billwright/catalog/source"
	"billwright/catalog/unit"
)

// nouns are the trade's nouns for one entry of a table, or for what a catalog
// has once, by key. A table that is not listed is called by its key.
var nouns = map[string]string{
	"calendar": "calendar", "standards": "standard", "sections": "section", "wires": "filler wire", "processes": "welding process", "rough_thicknesses": "rough thickness", "species": "species", "glass": "glass", "stone": "stone", "climates": "climate",
	"coatings": "coating", "metal_finishes": "metal finish", "wood_finishes": "wood finish", "fabrics": "fabric", "foams": "foam",
	"cushion_forms": "cushion form", "hardware": "hardware", "boards": "board", "freight": "freight scale", "holds": "hold", "need_by": "need-by days of", "departments": "department", "parts": "orders of parts",
	"products": "product", "prices": "price of", "dealers": "dealer", "tables": "table", "jigs": "jig", "surcharges": "surcharge", "locks": "lock", "events": "shop event", "cancellation": "stage of cancellation",
	"golden_orders": "golden order", "workshop": "workshop",
}

func noun(key string) string {
	if known, found := nouns[key]; found {
		return known
	}
	return strings.TrimSuffix(words(key), "s")
}

// singles are the nouns for one item of a list or map within an entry.
var singles = map[string]string{
	"attributes": "attribute", "figures": "figure", "rules": "rule", "parts": "part", "cartons": "carton", "pieces": "piece", "steps": "step",
	"sizes": "size class", "options": "addition", "stock": "stock length", "grades": "grade", "classes": "class", "closures": "closure", "runs": "run", "joints": "joint", "joins": "joins", "at": "place of a splice", "after welding": "operation after welding",
	"work": "operation", "where": "where", "allow": "allow", "forbid": "forbid", "values": "choice", "work days": "work day", "standard": "standard size",
	"on": "goes on", "rows": "row below", "radii": "radius", "angles": "angle", "expect": "expect", "packs": "packs", "configuration": "configuration",
}

// words are the words of a key.
func words(key string) string {
	if key == "says" {
		return "sentence"
	}
	return strings.ReplaceAll(key, "_", " ")
}

// singular is the noun for one item of the list that a path leads to.
func singular(path []string) string {
	list := path[len(path)-1]
	if single, found := singles[list]; found {
		return single
	}
	return list
}

func itemLabel(key, code string, value reflect.Value) string {
	single := words(key)
	if known, found := singles[single]; found {
		single = known
	}
	if key == "rules" {
		if says := textField(value, "Says"); says != "" {
			return single + " " + strconv.Quote(says)
		}
	}
	return strings.TrimSpace(single + " " + label(code, nameOf(value)))
}

// label is a code with the name people read.
func label(code, name string) string {
	if name == "" || name == code {
		return code
	}
	return code + " (" + name + ")"
}

func orNothing(text string) string {
	if text == "" {
		return "nothing"
	}
	return text
}

// nameOf is the name of an entry, if it has one.
func nameOf(v reflect.Value) string { return textField(v, "Name") }

func textField(v reflect.Value, name string) string {
	for v.Kind() == reflect.Pointer {
		if v.IsNil() {
			return ""
		}
		v = v.Elem()
	}
	if v.Kind() != reflect.Struct {
		return ""
	}
	f := v.FieldByName(name)
	if f.IsValid() && f.Kind() == reflect.Pointer {
		f = f.Elem() // not valid where it is nil
	}
	if !f.IsValid() {
		return ""
	}
	text, _ := leaf(f)
	return text
}

func hasField(v reflect.Value, name string) bool {
	return v.Kind() == reflect.Struct && v.FieldByName(name).IsValid()
}

// identifying are the fields by which an item of a list is known, the first
// that it has.
var identifying = []string{"Code", "Work", "For", "Grade", "Class", "Why", "Says", "Below", "Length", "Name"}

// identities name the items of a list; the second of one name is "name (2)",
// and what has no name goes by its number.
func identities(list reflect.Value) []string {
	ids := make([]string, list.Len())
	for i := range ids {
		item := list.Index(i)
		id, isLeaf := leaf(item)
		for k := 0; !isLeaf && id == "" && k < len(identifying); k++ {
			id = textField(item, identifying[k])
		}
		switch {
		case id != "":
		case hasField(item, "Below"): // the row for all that lies above the others
			id = "nothing"
		default:
			id = strconv.Itoa(i + 1)
		}
		for n, first := 2, id; slices.Contains(ids[:i], id); n++ {
			id = fmt.Sprintf("%s (%d)", first, n)
		}
		ids[i] = id
	}
	return ids
}

var (
	attributeType = reflect.TypeFor[catalog.Attribute]()
	chooseType    = reflect.TypeFor[catalog.Choose]()
	unmarshaler   = reflect.TypeFor[encoding.TextUnmarshaler]()
)

// scalars tells that items of a type are single values, whose order says
// nothing.
func scalars(t reflect.Type) bool {
	_, isLeaf := leaf(reflect.New(t).Elem())
	return isLeaf
}

// leaf is the text of a value that is one, in the form that people write it in;
// equal values have equal texts.
func leaf(v reflect.Value) (string, bool) {
	switch x := v.Interface().(type) {
	case source.Text:
		return x.Value, true
	case catalog.Expr:
		return x.Value, true
	case catalog.Condition:
		return x.String(), true
	case unit.Ratio:
		if text, finite := x.Decimal(); finite {
			return text, true
		}
		return x.String(), true
	case unit.Mass:
		return inTrade(x, x.Pounds(4), " lb", unit.ParseMass), true
	case unit.Area:
		return inTrade(x, x.SquareFeet(4), " ft2", unit.ParseArea), true
	case string:
		return x, true
	case bool:
		if x {
			return "yes", true
		}
		return "no", true
	}
	if reflect.PointerTo(v.Type()).Implements(unmarshaler) {
		return fmt.Sprint(v.Interface()), true
	}
	switch {
	case v.CanInt():
		return strconv.FormatInt(v.Int(), 10), true
	case v.CanUint():
		return strconv.FormatUint(v.Uint(), 10), true
	case v.Kind() == reflect.String:
		return v.String(), true
	}
	return "", false
}

// inTrade writes a quantity in the trade's unit where that is exact, else in
// the canonical one.
func inTrade[Q interface {
	comparable
	fmt.Stringer
}](q Q, number, unitName string, parse func(string) (Q, error)) string {
	if strings.Contains(number, ".") {
		number = strings.TrimRight(strings.TrimRight(number, "0"), ".")
	}
	if back, err := parse(number + unitName); err == nil && back == q {
		return number + unitName
	}
	return q.String()
}

// yamlKey is the key under which a field is written, "" for one that is not.
func yamlKey(f reflect.StructField) string {
	key, _, _ := strings.Cut(f.Tag.Get("yaml"), ",")
	if key == "-" || !f.IsExported() {
		return ""
	}
	return key
}

// reflected is a source.Map of any kind.
type reflected struct{ v reflect.Value }

// mapOf tells whether a value is a source.Map.
func mapOf(v reflect.Value) (reflected, bool) {
	if v.Kind() != reflect.Struct || !v.MethodByName("Keys").IsValid() || !v.MethodByName("Get").IsValid() {
		return reflected{}, false
	}
	return reflected{v}, true
}

func (m reflected) keys() []string {
	return m.v.MethodByName("Keys").Call(nil)[0].Interface().([]string)
}

func (m reflected) lookup(key string) (reflect.Value, bool) {
	got := m.v.MethodByName("Get").Call([]reflect.Value{reflect.ValueOf(key)})
	return got[0], got[1].Bool()
}

func (m reflected) get(key string) reflect.Value {
	value, _ := m.lookup(key)
	return value
}
