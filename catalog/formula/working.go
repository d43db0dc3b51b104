package formula

import (
	"bytes"
	"slices"
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
	var room [256]byte
	first := f.shown
	switch {
	case how.words != nil:
		first, how.words = string(f.root.show(nil, how)), nil
	case how.metric:
		first = f.shownMetric
	}
	w := steps{text: append(room[:0], first...)}
	w.last = len(w.text)
	how.values = true
	w.add(func(b []byte) []byte { return f.root.show(b, how) })
	how.calls = true
	w.add(func(b []byte) []byte { return f.root.show(b, how) })
	w.add(func(b []byte) []byte { return how.result(b, f.root, how.env) })
	return string(w.text)
}

// steps is a working as far as it has come; the last step is the last so many
// bytes of the text.
type steps struct {
	text []byte
	last int
}

// add appends a step unless it is the same as the one before it.
func (w *steps) add(write func([]byte) []byte) {
	end := len(w.text)
	w.text = append(w.text, " = "...)
	start := len(w.text)
	w.text = write(w.text)
	if bytes.Equal(w.text[end-w.last:end], w.text[start:]) {
		w.text = w.text[:end]
		return
	}
	w.last = len(w.text) - start
}

// result appends what the formula comes to, or why it comes to nothing.
func (how showing) result(b []byte, root *node, env []Value) []byte {
	v, err := root.value(env)
	if f, ok := err.(*Fault); ok {
		return append(append(append(b, "? ("...), f.Sentence()...), ')')
	}
	b = how.shown(b, v)
	if v.rounded {
		b = append(append(append(b, " (rounded to the nearest "...), map[Kind]string{Length: "nm", Area: "um2"}[v.kind]...), ')')
	}
	return b
}

// showing says how names and calls are shown.
type showing struct {
	env    []Value
	values bool   // names as their values, choices as the side taken
	calls  bool   // function calls as their results
	metric bool   // values in mm and mm2
	words  *Words // names and signs in words; nil for the formula as it is written
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

func (n *node) show(b []byte, how showing) []byte {
	b, _ = n.piece(b, how)
	return b
}

// piece appends n as shown and says how tightly what it shows binds.
func (n *node) piece(b []byte, how showing) (text []byte, binds int) {
	switch {
	case n.isVariable():
		return n.variable(b, how)
	case n.op == "" && how.metric && (n.literal.kind == Length || n.literal.kind == Area):
		return how.shown(b, n.literal), bindsAtom
	case n.op == "":
		return append(b, n.written...), bindsOf(n.literal, n.written)
	case how.values && n.op == operators.Conditional:
		if side := n.side(how.env); side != nil {
			return side.piece(b, how)
		}
	case how.calls && !isSign(n.op):
		if v, err := n.value(how.env); err == nil {
			return how.bound(b, v)
		}
	}
	if !isSign(n.op) {
		return n.function(b, how), bindsAtom
	}
	return n.operation(b, how), binding[n.op]
}

func (n *node) variable(b []byte, how showing) ([]byte, int) {
	if how.words != nil {
		return append(b, how.words.Name(n.name)...), bindsAtom
	}
	if !how.values || n.slot >= len(how.env) || how.env[n.slot].kind == 0 {
		return append(b, n.name...), bindsAtom
	}
	return how.bound(b, how.env[n.slot])
}

// bound appends a value and says how tightly it binds; a metric length binds as
// the same length in inches does.
func (how showing) bound(b []byte, v Value) ([]byte, int) {
	start := len(b)
	b = how.shown(b, v)
	return b, bindsOf(v, b[start:])
}

// shown appends a value as it stands inside a calculation: texts in quotes.
func (how showing) shown(b []byte, v Value) []byte {
	switch {
	case v.kind == Text:
		return append(append(append(b, '\''), v.text...), '\'')
	case how.metric && v.kind == Length:
		return append(v.Length().AppendMillimetres(b), " mm"...)
	case how.metric && v.kind == Area:
		b, _ = v.Area().AppendText(b) // which has no error
		return b
	}
	return v.append(b)
}

// bindsOf makes brackets appear around 3/8 in a product and -3 in after a sign.
func bindsOf[T string | []byte](v Value, text T) int {
	switch {
	case len(text) > 0 && text[0] == '-':
		return bindsSum
	case v.kind == Number:
		for i := range len(text) {
			if text[i] == '/' || text[i] == ' ' {
				return bindsSum + 1
			}
		}
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

func (n *node) function(b []byte, how showing) []byte {
	name, _, _ := strings.Cut(n.op, "@")
	b = append(append(b, name...), '(')
	b = n.elements(b, how, n.args)
	return append(b, ')')
}

func (n *node) operation(b []byte, how showing) []byte {
	if how.words != nil {
		if said, done := n.said(b, how); done {
			return said
		}
	}
	binds := binding[n.op]
	sign, _ := operators.FindReverse(n.op)
	switch n.op {
	case operators.Negate, operators.LogicalNot:
		return n.args[0].bracketed(append(b, sign...), how, bindsSign)
	case operators.Conditional:
		b = append(n.args[0].bracketed(b, how, bindsOr), " ? "...)
		b = append(n.args[1].bracketed(b, how, bindsOr), " : "...)
		return n.args[2].show(b, how)
	case operators.In:
		b = append(n.args[0].bracketed(b, how, bindsSum), " in ["...)
		return append(n.elements(b, how, n.args[1:]), ']')
	}
	left, right := binds, binds+1
	switch binds {
	case bindsCompare:
		left = bindsSum // a < b < c is never written
	case bindsAnd, bindsOr:
		right = binds // the same from whichever end it is read
	}
	b = append(append(append(n.args[0].bracketed(b, how, left), ' '), sign...), ' ')
	return n.args[1].bracketed(b, how, right)
}

func (n *node) elements(b []byte, how showing, parts []*node) []byte {
	for i, part := range parts {
		if i > 0 {
			b = append(b, ", "...)
		}
		b = part.show(b, how)
	}
	return b
}

func (n *node) bracketed(b []byte, how showing, least int) []byte {
	start := len(b)
	b, binds := n.piece(b, how)
	if binds < least {
		b = append(slices.Insert(b, start, '('), ')')
	}
	return b
}
