package source

import (
	"fmt"
	"reflect"
	"strconv"
	"strings"

	"go.yaml.in/yaml/v3"
)

// Decode reads files into the struct that into points to; its fields are the
// top-level keys. Over several files the entries of a [Map] and the items of a
// list come together in the order of files; any other top-level key may be
// given once in all. Every fault is returned, sorted by file and line; nil
// means that all was read. What could be read is filled in even so, which
// lets a caller look for further faults. A Go type that cannot be read (a
// mistake in the program) is a fault without a place.
func Decode(files []File, into any) []Fault {
	top, err := planOf(into)
	if err != nil {
		return []Fault{{Message: err.Error()}}
	}
	r := reading{top: top, into: reflect.ValueOf(into).Elem(), given: map[string]Pos{}, meant: map[string]bool{}}
	for i, file := range files {
		if fault := r.tooMuch(i, file); fault != nil {
			r.faults.add(*fault)
			r.partly = true
			break
		}
		r.file(file)
	}
	r.missing()
	return r.faults.sorted()
}

// reading is the state of one Decode over all its files.
type reading struct {
	top    *plan
	into   reflect.Value
	given  map[string]Pos  // top-level keys met so far
	meant  map[string]bool // top-level keys that unknown ones seem to mean
	total  int             // bytes
	nodes  int
	partly bool // a file could not be parsed: what seems missing may be there
	faults faults
}

// tooMuch stops the reading before file i when the limits over all files are
// reached. A file that is too long by itself is not counted: it is not read.
func (r *reading) tooMuch(i int, file File) *Fault {
	if len(file.Bytes) <= MaxFileBytes {
		r.total += len(file.Bytes)
	}
	switch {
	case i >= MaxFiles:
		return &Fault{Message: fmt.Sprintf("more than %d catalog files", MaxFiles), Hint: "put several products in one file"}
	case r.total > MaxTotalBytes:
		fault := tooMuch(file.Path)
		return &fault
	case r.nodes > MaxTotalNodes:
		return &Fault{Pos: Pos{File: file.Path}, Message: fmt.Sprintf("the files before this one hold more than %d keys and values", MaxTotalNodes), Hint: "no file from here on is read"}
	}
	return nil
}

func (r *reading) file(file File) {
	node, fault := parse(file)
	if fault != nil {
		r.faults.add(*fault)
		r.partly = true
		return
	}
	if node == nil {
		return
	}
	look := inspector{place: place{file: file.Path, faults: &r.faults}, bangs: findBangs(file.Bytes)}
	look.node(node, 1)
	r.nodes += look.nodes
	if look.tooMuch {
		r.partly = true
		return
	}
	d := decoder{place: place{file: file.Path, faults: &r.faults}}
	if node.Kind != yaml.MappingNode {
		d.wrongShape(node, "keys and values")
		return
	}
	corrected, strangers := d.keys(node, r.top, r.into, r.given, r.top.fillsTwice)
	for key := range corrected {
		r.meant[key] = true
	}
	for _, key := range strangers {
		d.stranger(key, r.top)
	}
}

// fillsTwice tells whether a key may be met again in a later file.
func (p *plan) fillsTwice(key string) bool {
	i, known := p.byKey[key]
	return known && p.fields[i].plan.merges()
}

// missing reports the top-level keys that no file gives.
func (r *reading) missing() {
	if r.partly {
		return
	}
	for _, f := range r.top.fields {
		if _, found := r.given[f.key]; f.required && !found && !r.meant[f.key] {
			r.faults.add(Fault{Message: fmt.Sprintf("no file has the key %q", f.key), Hint: f.doc})
		}
	}
}

// decoder reads the nodes of one file into Go values.
type decoder struct{ place }

// value reads n into v. Aliases are passed over: the inspector reported them.
func (d *decoder) value(n *yaml.Node, p *plan, o options, v reflect.Value) {
	switch {
	case n.Kind == yaml.AliasNode:
	case isNull(n):
		d.fault(n, "empty value", "write a value or leave the key out")
	case p.fromText && n.Kind == yaml.ScalarNode:
		d.short(n, p, v)
	case p.fromTexts && n.Kind == yaml.SequenceNode:
		d.shortList(n, p, v)
	case p.shape == shapePointer:
		d.pointer(n, p, o, v)
	case p.shape == shapeStruct:
		d.structure(n, p, v)
	case p.shape == shapeMap:
		d.mapping(n, p, o, v)
	case p.shape == shapeList, p.shape == shapeOneOrMany && n.Kind == yaml.SequenceNode:
		d.list(n, p, o, v)
	case p.shape == shapeOneOrMany:
		v.Set(reflect.Append(v, d.item(n, p.elem, o).Elem()))
	case n.Kind != yaml.ScalarNode && p.fromTexts:
		d.wrongShape(n, "text or a list of texts")
	case n.Kind != yaml.ScalarNode:
		d.wrongShape(n, "text")
	default:
		d.scalar(n, p, o, v)
	}
}

// item reads an entry of a map or a list. A pointer is never left nil there,
// whatever the faults: those who go on through the entries need not ask.
func (d *decoder) item(n *yaml.Node, p *plan, o options) reflect.Value {
	item := reflect.New(p.typ)
	d.value(n, p, o, item.Elem())
	if p.shape == shapePointer && item.Elem().IsNil() {
		item.Elem().Set(reflect.New(p.elem.typ))
	}
	return item
}

func (d *decoder) pointer(n *yaml.Node, p *plan, o options, v reflect.Value) {
	target := reflect.New(p.elem.typ)
	d.value(n, p.elem, o, target.Elem())
	v.Set(target)
}

// short reads the one-scalar form of a value.
func (d *decoder) short(n *yaml.Node, p *plan, v reflect.Value) {
	text := Text{Value: n.Value, Pos: d.pos(n)}
	if err := v.Addr().Interface().(fromTexter).FromText(text); err != nil {
		d.refused(n, err)
	}
	d.fillPlaces(n, p, v)
}

// shortList reads the form of a value that is a list of scalars. It hands them
// over only when each is one.
func (d *decoder) shortList(n *yaml.Node, p *plan, v reflect.Value) {
	texts := make([]Text, len(n.Content))
	sound := true
	item := plan{typ: typeText, shape: shapeText}
	for i, child := range n.Content {
		d.enter(strconv.Itoa(i + 1))
		d.value(child, &item, options{}, reflect.ValueOf(&texts[i]).Elem())
		d.leave()
		sound = sound && texts[i].Pos != (Pos{})
	}
	if sound {
		if err := v.Addr().Interface().(fromTextser).FromTexts(texts); err != nil {
			d.refused(n, err)
		}
	}
	d.fillPlaces(n, p, v)
}

func (d *decoder) fillPlaces(n *yaml.Node, p *plan, v reflect.Value) {
	for _, index := range p.places {
		v.FieldByIndex(index).Set(reflect.ValueOf(d.pos(n)))
	}
}

func (d *decoder) structure(n *yaml.Node, p *plan, v reflect.Value) {
	if n.Kind != yaml.MappingNode {
		d.wrongShape(n, "keys and values")
		return
	}
	given := map[string]Pos{}
	corrected, strangers := d.keys(n, p, v, given, nil)
	var missing []field
	for _, f := range p.fields {
		if _, found := given[f.key]; f.required && !found && !corrected[f.key] {
			missing = append(missing, f)
		}
	}
	if len(strangers) == 1 && len(missing) == 1 {
		d.fault(strangers[0], "unknown key "+quote(strangers[0].Value), fmt.Sprintf("is %q meant? %s", missing[0].key, missing[0].doc))
		strangers, missing = nil, nil
	}
	for _, key := range strangers {
		d.stranger(key, p)
	}
	for _, f := range missing {
		d.fault(n, fmt.Sprintf("the key %q is missing", f.key), f.doc)
	}
	d.fillPlaces(n, p, v)
}

// keys reads the keys of a mapping into the fields of a struct and adds them
// to given. It returns the keys that seem to be meant by unknown ones, which it
// reports, and the unknown ones that seem to mean none, which it does not.
// mayRepeat, if not nil, tells which of the keys in given may come again.
func (d *decoder) keys(n *yaml.Node, p *plan, v reflect.Value, given map[string]Pos, mayRepeat func(string) bool) (corrected map[string]bool, strangers []*yaml.Node) {
	corrected = map[string]bool{}
	here := map[string]bool{}
	for i := 0; i+1 < len(n.Content); i += 2 {
		key, value := n.Content[i], placed(n.Content[i+1], n.Content[i])
		if !d.isKey(key) {
			continue
		}
		at, known := p.byKey[key.Value]
		if !known {
			if meant, found := Nearest(key.Value, p.keys()); found {
				d.fault(key, "unknown key "+quote(key.Value), fmt.Sprintf("did you mean %q?", meant))
				corrected[meant] = true
			} else {
				strangers = append(strangers, key)
			}
			continue
		}
		f := p.fields[at]
		target := v.FieldByIndex(f.index)
		first, twice := given[f.key]
		if twice && (here[f.key] || mayRepeat == nil || !mayRepeat(f.key)) {
			d.twice(key, first)
			target = reflect.New(f.plan.typ).Elem() // still read, for its own faults
		} else {
			given[f.key], here[f.key] = d.pos(key), true
		}
		d.enter(f.key)
		if rest := partedByComma(n, i); rest != nil {
			d.commaInNumber(value, rest)
			i += 2
		} else if rest := formulaPartedByComma(n, i); rest != nil {
			d.commaInFormula(value, rest)
			i += 2 * len(rest)
		} else {
			d.value(value, f.plan, f.options, target)
		}
		d.leave()
	}
	return corrected, strangers
}

// placed gives a value its key's place where nothing is written: the parser
// puts it where the next thing stands, which may be behind the end of the file.
func placed(value, key *yaml.Node) *yaml.Node {
	if isNull(value) && value.Value == "" && value.Line > key.Line {
		value.Line, value.Column = key.Line, key.Column
	}
	return value
}

// isKey tells whether a key is plain text; the others are reported here or,
// being merge keys and aliases, were reported by the inspector.
func (d *decoder) isKey(key *yaml.Node) bool {
	switch {
	case key.Kind == yaml.AliasNode || isMerge(key):
		return false
	case key.Kind != yaml.ScalarNode:
		d.fault(key, "a key must be text, found "+kindOf(key), "")
		return false
	case key.Value == "" || isNull(key):
		d.fault(key, "an empty key", `write "key: value"`)
		return false
	}
	return true
}

func (d *decoder) twice(key *yaml.Node, first Pos) {
	d.fault(key, fmt.Sprintf("the key %s is given twice", quote(key.Value)), "it stands first at "+first.String())
}

// stranger reports a key that p does not have and that seems to mean none of
// those it has.
func (d *decoder) stranger(key *yaml.Node, p *plan) {
	hint := "the keys here are " + strings.Join(p.keys(), ", ")
	if len(p.fields) == 0 {
		hint = "nothing is read here"
	}
	d.fault(key, "unknown key "+quote(key.Value), hint)
}

// refused reports the error of a type that reads itself. A Fault keeps its
// message and hint, and its place and path where it has them; joined errors
// are reported one by one.
func (d *decoder) refused(n *yaml.Node, err error) {
	switch err := err.(type) {
	case interface{ Unwrap() []error }:
		for _, one := range err.Unwrap() {
			d.refused(n, one)
		}
	case Fault:
		if err.Pos == (Pos{}) {
			err.Pos = d.pos(n)
		}
		if err.Where == "" {
			err.Where = d.where()
		}
		d.faults.add(err)
	default:
		d.fault(n, err.Error(), "")
	}
}

func (d *decoder) wrongShape(n *yaml.Node, expected string) {
	hint := ""
	switch expected {
	case "a list":
		hint = `write the items as lines that begin with "- ", or as [a, b]`
	case "keys and values":
		hint = `write lines of "key: value", indented alike`
	}
	d.fault(n, fmt.Sprintf("expected %s, found %s", expected, kindOf(n)), hint)
}
