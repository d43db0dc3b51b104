// Package difference tells two catalogs apart in the trade's words: what was
// added, removed and changed, value by value, and which order lines use any of
// it. The package is pure.
package difference

import (
	"reflect"
	"slices"
	"strings"

	"billwright/catalog"
)

// Act is what happened to a thing.
type Act string

// The acts.
const (
	Added   Act = "added"
	Removed Act = "removed"
	Changed Act = "changed"
)

// Change is one thing that is other in one catalog than in the other.
type Change struct {
	// Sort is the trade's noun for the entry, such as product or wood finish.
	Sort string
	// Code and Name are the entry's; empty for what a catalog has once, such as
	// its calendar.
	Code, Name string
	// Part is what of the entry, such as "attribute cloth (Cloth) › choice
	// sedge-stripe (Sedge stripe)"; empty for the entry as a whole.
	Part string
	Act  Act
	// Was and Becomes are the values of a changed thing.
	Was, Becomes string

	thing Thing
}

// Thing is what order lines use: an entry of a table of the catalog, by the
// table's key and the entry's code, or a choice of a product's attribute.
type Thing struct{ Table, Code string }

// choiceTable is the Table of a Thing that is a choice; its Code is product,
// attribute and choice, joined by choiceSeparator.
const (
	choiceTable     = "choices"
	choiceSeparator = "\x00"
)

func choiceThing(product, attribute, choice string) Thing {
	return Thing{choiceTable, product + choiceSeparator + attribute + choiceSeparator + choice}
}

// String is the change as a sentence without its point.
func (c Change) String() string {
	text := c.subject()
	if c.Part != "" {
		text += ": " + c.Part
	}
	if c.Act != Changed {
		return text + " " + string(c.Act)
	}
	return text + ": was " + c.Was + ", becomes " + c.Becomes
}

func (c Change) subject() string {
	if c.Code == "" {
		return c.Sort
	}
	return c.Sort + " " + label(c.Code, c.Name)
}

// Between gives what is other in to than in from: table by table in the order of
// the format's reference, in a table what was changed or removed in the order of
// from, then what was added in that of to. Two ways of writing one value, such
// as 6 ft and 72 in, are no change.
func Between(from, to *catalog.Catalog) []Change {
	a, b := reflect.ValueOf(&from.Plan).Elem(), reflect.ValueOf(&to.Plan).Elem()
	var all []Change
	for i := range a.NumField() {
		key := yamlKey(a.Type().Field(i))
		if key == "" {
			continue
		}
		w := &walk{from: from, to: to, base: Change{Sort: noun(key), thing: Thing{Table: key}}}
		switch m, isMap := mapOf(a.Field(i)); {
		case isMap:
			w.table(key, m, must(mapOf(b.Field(i))))
		case a.Field(i).Kind() == reflect.Slice:
			w.in(words(key), func() { w.compare(a.Field(i), b.Field(i)) })
		default:
			w.compare(a.Field(i), b.Field(i))
		}
		all = append(all, w.changes...)
	}
	return all
}

func must(m reflected, _ bool) reflected { return m }

// walk compares the values of one table or of one thing that a catalog has once.
type walk struct {
	from, to *catalog.Catalog
	base     Change
	path     []string
	changes  []Change
}

func (w *walk) table(key string, a, b reflected) {
	for _, code := range a.keys() {
		w.entry(key, code, a.get(code))
		if other, found := b.lookup(code); found {
			w.compare(a.get(code), other)
			continue
		}
		w.add(Removed, "", "")
	}
	for _, code := range b.keys() {
		if _, found := a.lookup(code); !found {
			w.entry(key, code, b.get(code))
			w.add(Added, "", "")
		}
	}
}

// entry makes what follows be told of one entry of a table.
func (w *walk) entry(table, code string, value reflect.Value) {
	w.base.Code, w.base.Name, w.base.thing = code, nameOf(value), Thing{table, code}
	if table == "prices" {
		for _, cat := range []*catalog.Catalog{w.to, w.from} {
			if p, found := cat.Products.Get(code); found {
				w.base.Name = p.Name
			}
		}
	}
}

func (w *walk) add(act Act, was, becomes string) {
	c := w.base
	c.Part, c.Act, c.Was, c.Becomes = strings.Join(w.path, " › "), act, was, becomes
	w.changes = append(w.changes, c)
}

// in compares what stands under a label.
func (w *walk) in(label string, compare func()) {
	w.path = append(w.path, label)
	compare()
	w.path = w.path[:len(w.path)-1]
}

func (w *walk) compare(a, b reflect.Value) {
	if text, isLeaf := leaf(a); isLeaf {
		if other, _ := leaf(b); text != other {
			w.add(Changed, orNothing(text), orNothing(other))
		}
		return
	}
	switch a.Kind() {
	case reflect.Pointer:
		w.pointers(a, b)
	case reflect.Slice:
		w.lists(a, b)
	case reflect.Struct:
		if m, isMap := mapOf(a); isMap {
			w.maps(m, must(mapOf(b)))
			return
		}
		w.fields(a, b)
	}
}

// pointers compares values that may be left out.
func (w *walk) pointers(a, b reflect.Value) {
	switch {
	case a.IsNil() && b.IsNil():
	case !a.IsNil() && !b.IsNil():
		w.compare(a.Elem(), b.Elem())
	default:
		was, before := leafOf(a)
		becomes, after := leafOf(b)
		switch {
		case before || after:
			w.add(Changed, orNothing(was), orNothing(becomes))
		case a.IsNil():
			w.add(Added, "", "")
		default:
			w.add(Removed, "", "")
		}
	}
}

// leafOf is the text of what a pointer points to, if that is one value.
func leafOf(p reflect.Value) (string, bool) {
	if p.IsNil() {
		return "", false
	}
	return leaf(p.Elem())
}

func (w *walk) fields(a, b reflect.Value) {
	if a.Type() == attributeType {
		w.choices(a.Addr().Interface().(*catalog.Attribute), b.Addr().Interface().(*catalog.Attribute))
	}
	for i := range a.NumField() {
		field := a.Type().Field(i)
		key := yamlKey(field)
		switch {
		case key == "", a.Type() == chooseType && (key == "among" || key == "values"):
			continue
		}
		if m, isMap := mapOf(a.Field(i)); isMap {
			w.named(key, m, must(mapOf(b.Field(i))))
			continue
		}
		w.in(words(key), func() { w.compare(a.Field(i), b.Field(i)) })
	}
}

// maps compares a map that stands where a value does.
func (w *walk) maps(a, b reflected) { w.named("", a, b) }

// named compares the entries of a map within an entry, each under its noun.
func (w *walk) named(key string, a, b reflected) {
	for _, code := range a.keys() {
		value := a.get(code)
		other, found := b.lookup(code)
		text := itemLabel(key, code, value)
		if found && textField(value, "Says") != textField(other, "Says") {
			text = itemLabel(key, code, reflect.Value{}) // both sentences follow
		}
		w.in(text, func() {
			if found {
				w.compare(value, other)
				return
			}
			w.add(Removed, "", "")
		})
	}
	for _, code := range b.keys() {
		if _, found := a.lookup(code); !found {
			w.in(itemLabel(key, code, b.get(code)), func() { w.add(Added, "", "") })
		}
	}
	if key == "attributes" {
		w.in("attributes", func() { w.order(a.keys(), b.keys()) })
	}
}

// order tells that what is in both lists stands in another order.
func (w *walk) order(a, b []string) {
	a = slices.DeleteFunc(slices.Clone(a), func(s string) bool { return !slices.Contains(b, s) })
	b = slices.DeleteFunc(slices.Clone(b), func(s string) bool { return !slices.Contains(a, s) })
	if !slices.Equal(a, b) {
		w.in("order", func() { w.add(Changed, strings.Join(a, ", "), strings.Join(b, ", ")) })
	}
}

// lists compares lists item by item, each known by what it says of itself and
// not by its place.
func (w *walk) lists(a, b reflect.Value) {
	was, becomes := identities(a), identities(b)
	single := singular(w.path)
	for i, id := range was {
		w.item(single, id, func() {
			if k := slices.Index(becomes, id); k >= 0 {
				w.compare(a.Index(i), b.Index(k))
				return
			}
			w.add(Removed, "", "")
		})
	}
	for _, id := range becomes {
		if !slices.Contains(was, id) {
			w.item(single, id, func() { w.add(Added, "", "") })
		}
	}
	if !scalars(a.Type().Elem()) {
		w.order(was, becomes)
	}
}

// item replaces the label of a list by that of one item.
func (w *walk) item(single, id string, compare func()) {
	list := w.path[len(w.path)-1]
	w.path[len(w.path)-1] = single + " " + id
	compare()
	w.path[len(w.path)-1] = list
}

// choices compares what an attribute may be chosen from. Of a whole table the
// table's own changes tell it.
func (w *walk) choices(a, b *catalog.Attribute) {
	if a.Choose == nil || b.Choose == nil || a.Choose.From != "" && a.Choose.From == b.Choose.From && len(a.Choose.Among) == 0 && len(b.Choose.Among) == 0 {
		return
	}
	base := w.base
	defer func() { w.base = base }()
	was, becomes := a.Options(), b.Options()
	for _, o := range was {
		k := slices.IndexFunc(becomes, func(other catalog.Option) bool { return other.Code == o.Code })
		w.base.thing = choiceThing(base.Code, a.Code, o.Code)
		w.in("choice "+label(o.Code, o.Name), func() {
			switch {
			case k < 0:
				w.add(Removed, "", "")
			case becomes[k].Name != o.Name && a.Choose.From == "":
				w.in("name", func() { w.add(Changed, o.Name, becomes[k].Name) })
			}
			w.choice(a, b, o.Code)
		})
	}
	for _, o := range becomes {
		if !slices.ContainsFunc(was, func(other catalog.Option) bool { return other.Code == o.Code }) {
			w.in("choice "+label(o.Code, o.Name), func() { w.add(Added, "", "") })
		}
	}
}

// choice compares what else is said of an attribute's own value.
func (w *walk) choice(a, b *catalog.Attribute, code string) {
	was, before := a.Choose.Values.Get(code)
	becomes, after := b.Choose.Values.Get(code)
	if !before || !after {
		return
	}
	x, y := reflect.ValueOf(was).Elem(), reflect.ValueOf(becomes).Elem()
	for i := range x.NumField() {
		if key := yamlKey(x.Type().Field(i)); key != "" && key != "name" {
			w.in(words(key), func() { w.compare(x.Field(i), y.Field(i)) })
		}
	}
}
