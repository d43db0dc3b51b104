package source

import (
	"encoding"
	"fmt"
	"reflect"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"go.yaml.in/yaml/v3"
)

// scalar reads a value written as one piece of text.
func (d *decoder) scalar(n *yaml.Node, p *plan, o options, v reflect.Value) {
	switch p.shape {
	case shapeText:
		if d.allowed(n, o) {
			v.Set(reflect.ValueOf(Text{Value: n.Value, Pos: d.pos(n)}))
		}
	case shapeString:
		if d.allowed(n, o) {
			v.SetString(n.Value)
		}
	case shapeBool:
		d.boolean(n, v)
	case shapeInt, shapeUint:
		d.whole(n, p, v)
	case shapeUnmarshaler:
		if err := v.Addr().Interface().(encoding.TextUnmarshaler).UnmarshalText([]byte(n.Value)); err != nil {
			d.refused(n, err)
		}
	}
}

// allowed checks a word against the oneof tag.
func (d *decoder) allowed(n *yaml.Node, o options) bool {
	if len(o.oneof) == 0 || slices.Contains(o.oneof, n.Value) {
		return true
	}
	hint := ""
	if meant, found := Nearest(n.Value, o.oneof); found {
		hint = fmt.Sprintf("did you mean %q?", meant)
	}
	d.fault(n, fmt.Sprintf("expected one of %s, found %s", strings.Join(o.oneof, ", "), quote(n.Value)), hint)
	return false
}

func (d *decoder) boolean(n *yaml.Node, v reflect.Value) {
	switch n.Value {
	case "true", "yes":
		v.SetBool(true)
	case "false", "no":
		v.SetBool(false)
	default:
		d.fault(n, "expected yes or no, found "+quote(n.Value), "")
	}
}

var wholeNumber = regexp.MustCompile(`^(0|-?[1-9][0-9]*)$`)

func (d *decoder) whole(n *yaml.Node, p *plan, v reflect.Value) {
	if !wholeNumber.MatchString(n.Value) {
		d.fault(n, "expected a whole number, found "+quote(n.Value), "write digits only, such as 1200")
		return
	}
	bits := p.typ.Bits()
	var err error
	if p.shape == shapeInt {
		var number int64
		number, err = strconv.ParseInt(n.Value, 10, bits)
		v.SetInt(number)
	} else {
		var number uint64
		number, err = strconv.ParseUint(n.Value, 10, bits)
		v.SetUint(number)
	}
	if err != nil {
		d.fault(n, "the number "+quote(n.Value)+" is out of range", wholeRange(p))
	}
}

func wholeRange(p *plan) string {
	bits := p.typ.Bits()
	if p.shape == shapeUint {
		return fmt.Sprintf("it may be 0 to %d", uint64(1)<<bits-1)
	}
	return fmt.Sprintf("it may be %d to %d", int64(-1)<<(bits-1), int64(1)<<(bits-1)-1)
}
