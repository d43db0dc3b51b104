package source

import (
	"fmt"
	"reflect"
	"regexp"
	"strconv"

	"go.yaml.in/yaml/v3"
)

// CodePattern is the grammar of the keys of a [Map], codes that stand in file
// names, addresses and on labels: lower-case letters and digits, in parts
// joined by - _ . or /.
const CodePattern = `^[a-z0-9]+([-_./][a-z0-9]+)*$`

var code = regexp.MustCompile(CodePattern)

func (d *decoder) mapping(n *yaml.Node, p *plan, o options, v reflect.Value) {
	if n.Kind != yaml.MappingNode {
		d.wrongShape(n, "keys and values")
		return
	}
	into := v.Addr().Interface().(filler)
	below := options{oneof: o.oneof}
	for i := 0; i+1 < len(n.Content); i += 2 {
		key, value := n.Content[i], placed(n.Content[i+1], n.Content[i])
		if !d.isKey(key) {
			continue
		}
		if !o.anyKeys && !code.MatchString(key.Value) {
			d.fault(key, fmt.Sprintf("%s is not a code", quote(key.Value)), "a code is lower-case letters and digits, in parts joined by - _ . or /, such as oak-2.5/left")
		}
		d.enter(key.Value)
		item := d.item(value, p.elem, below)
		d.leave()
		if first, twice := into.has(key.Value); twice {
			d.twice(key, first)
			continue
		}
		into.add(Text{Value: key.Value, Pos: d.pos(key)}, item.Interface())
	}
}

func (d *decoder) list(n *yaml.Node, p *plan, o options, v reflect.Value) {
	if n.Kind != yaml.SequenceNode {
		d.wrongShape(n, "a list")
		return
	}
	if v.IsNil() {
		v.Set(reflect.MakeSlice(p.typ, 0, len(n.Content)))
	}
	for i, child := range n.Content {
		d.enter(strconv.Itoa(i + 1))
		v.Set(reflect.Append(v, d.item(child, p.elem, o).Elem()))
		d.leave()
	}
}
