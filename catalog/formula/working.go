package formula

import (
	"strings"

	"cel.dev/cel-go/common/operators"
)

// Working shows how the formula comes to its value, for a person to follow:
//
//	length - 15 in = 72 in - 15 in = 57 in
//
// first the formula with its names, then with their values, then with its
// function calls worked out, then the result; a step that shows nothing new is
// left out. Of "c ? a : b" the second step on shows only the side taken. When
// the formula cannot be evaluated the last step says why.
func (f *Formula) Working(env []Value) string { return f.working(showing{env: env}) }

// MetricWorking is Working with every length in mm and every area in mm2.
func (f *Formula) MetricWorking(env []Value) string {
	return f.working(showing{env: env, metric: true})
}

func (f *Formula) working(how showing) string {
	steps := []string{f.root.show(how)}
	how.values = true
	steps = append(steps, f.root.show(how))
	how.calls = true
	steps = append(steps, f.root.show(how), how.result(f.root.value(how.env)))
	kept := steps[:1]
	for _, step := range steps[1:] {
		if step != kept[len(kept)-1] {
			kept = append(kept, step)
		}
	}
	return strings.Join(kept, " = ")
}

func (how showing) result(v Value, err error) string {
	if f, ok := err.(*Fault); ok {
		return "? (" + f.Sentence() + ")"
	}
	if v.rounded {
		return how.shown(v) + " (rounded to the nearest " + map[Kind]string{Length: "nm", Area: "um2"}[v.kind] + ")"
	}
	return how.shown(v)
}

// showing says how names and calls are shown.
type showing struct {
	env    []Value
	values bool // names as their values, choices as the side taken
	calls  bool // function calls as their results
	metric bool // values in mm and mm2
}

// How tightly an operator binds, after the CEL grammar; a part that binds less
// tightly than what it stands in is put in brackets.
const (
	bindsChoice = iota
	bindsOr
	bindsAnd
	bindsCompare
	bindsSum
	bindsProduct
	bindsSign
	bindsAtom
)

var binding = map[string]int{
	operators.Conditional: bindsChoice, operators.LogicalOr: bindsOr, operators.LogicalAnd: bindsAnd,
	operators.Equals: bindsCompare, operators.NotEquals: bindsCompare, operators.Less: bindsCompare,
	operators.LessEquals: bindsCompare, operators.Greater: bindsCompare, operators.GreaterEquals: bindsCompare,
	operators.In: bindsCompare, operators.Add: bindsSum, operators.Subtract: bindsSum,
	operators.Multiply: bindsProduct, operators.Divide: bindsProduct,
	operators.Negate: bindsSign, operators.LogicalNot: bindsSign,
}

func (n *node) show(how showing) string {
	text, _ := n.piece(how)
	return text
}

// piece shows n and says how tightly what it shows binds.
func (n *node) piece(how showing) (text string, binds int) {
	switch {
	case n.isVariable():
		return n.variable(how)
	case n.op == "" && how.metric && (n.literal.kind == Length || n.literal.kind == Area):
		return how.shown(n.literal), bindsAtom
	case n.op == "":
		return n.written, bindsOf(n.literal, n.written)
	case how.values && n.op == operators.Conditional:
		if side := n.side(how.env); side != nil {
			return side.piece(how)
		}
	case how.calls && !isSign(n.op):
		if v, err := n.value(how.env); err == nil {
			return how.shown(v), bindsOf(v, v.String())
		}
	}
	if !isSign(n.op) {
		return n.function(how), bindsAtom
	}
	return n.operation(how), binding[n.op]
}

func (n *node) variable(how showing) (string, int) {
	if !how.values || n.slot >= len(how.env) || how.env[n.slot].kind == 0 {
		return n.name, bindsAtom
	}
	v := how.env[n.slot]
	return how.shown(v), bindsOf(v, v.String())
}

// shown is a value inside a calculation: texts stand in quotes there.
func (how showing) shown(v Value) string {
	switch {
	case v.kind == Text:
		return writtenText(v)
	case how.metric && v.kind == Length:
		return v.Length().Millimetres() + " mm"
	case how.metric && v.kind == Area:
		return v.Area().String()
	}
	return v.String()
}

// bindsOf makes brackets appear around 3/8 in a product and -3 in after a sign.
func bindsOf(v Value, text string) int {
	switch {
	case strings.HasPrefix(text, "-"):
		return bindsSum
	case v.kind == Number && strings.ContainsAny(text, "/ "):
		return bindsSum + 1
	}
	return bindsAtom
}

// side is the side of "c ? a : b" that is taken, nil when c cannot be told.
func (n *node) side(env []Value) *node {
	yes, err := n.args[0].cond(env)
	switch {
	case err != nil:
		return nil
	case yes:
		return n.args[1]
	}
	return n.args[2]
}

func (n *node) function(how showing) string {
	name, _, _ := strings.Cut(n.op, "@")
	parts := make([]string, len(n.args))
	for i, a := range n.args {
		parts[i] = a.show(how)
	}
	return name + "(" + strings.Join(parts, ", ") + ")"
}

func (n *node) operation(how showing) string {
	binds := binding[n.op]
	sign, _ := operators.FindReverse(n.op)
	switch n.op {
	case operators.Negate, operators.LogicalNot:
		return sign + n.args[0].bracketed(how, bindsSign)
	case operators.Conditional:
		return n.args[0].bracketed(how, bindsOr) + " ? " + n.args[1].bracketed(how, bindsOr) + " : " + n.args[2].show(how)
	case operators.In:
		return n.args[0].bracketed(how, bindsSum) + " in [" + n.listText(how) + "]"
	}
	left, right := binds, binds+1
	switch binds {
	case bindsCompare:
		left = bindsSum // a < b < c is never written
	case bindsAnd, bindsOr:
		right = binds // the same from whichever end it is read
	}
	return n.args[0].bracketed(how, left) + " " + sign + " " + n.args[1].bracketed(how, right)
}

func (n *node) listText(how showing) string {
	parts := make([]string, 0, len(n.list))
	for _, element := range n.args[1:] {
		parts = append(parts, element.show(how))
	}
	return strings.Join(parts, ", ")
}

func (n *node) bracketed(how showing, least int) string {
	text, binds := n.piece(how)
	if binds < least {
		return "(" + text + ")"
	}
	return text
}
