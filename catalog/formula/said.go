package formula

import "cel.dev/cel-go/common/operators"

// Words name what a formula reads, for a sentence.
type Words struct {
	// Name is what people call a variable.
	Name func(variable string) string
	// Value is what people call a text that a variable may have.
	Value func(variable, text string) string
	// Metric has lengths in mm and areas in mm2.
	Metric bool
}

// Said is the formula as part of a sentence, names and values in words:
//
//	Top is Glass (glass) and Length is more than 72 in
//
// A calculation stays one, with the names in words.
func (f *Formula) Said(w Words) string {
	return string(f.root.show(nil, showing{metric: w.Metric, words: &w}))
}

// SaidWorking is Working, or MetricWorking, that begins with the formula in words.
func (f *Formula) SaidWorking(w Words, env []Value) string {
	return f.working(showing{env: env, metric: w.Metric, words: &w})
}

// spoken are the signs in words.
var spoken = map[string]string{
	operators.Equals: " is ", operators.NotEquals: " is not ", operators.Less: " is less than ", operators.LessEquals: " is at most ",
	operators.Greater: " is more than ", operators.GreaterEquals: " is at least ", operators.LogicalAnd: " and ", operators.LogicalOr: " or ",
}

// said appends a comparison or what joins conditions, in words; done is false
// for what is a calculation.
func (n *node) said(b []byte, how showing) (text []byte, done bool) {
	switch n.op {
	case operators.LogicalNot:
		return append(n.args[0].show(append(b, "not ("...), how), ')'), true
	case operators.In:
		b = append(n.args[0].bracketed(b, how, bindsSum), " is "...)
		for i, one := range n.args[1:] {
			switch {
			case i == 0:
			case i == len(n.args)-2:
				b = append(b, " or "...)
			default:
				b = append(b, ", "...)
			}
			b = one.beside(b, how, n.args[0])
		}
		return b, true
	}
	sign, known := spoken[n.op]
	if !known {
		return b, false
	}
	least := binding[n.op]
	if least == bindsCompare {
		least = bindsSum
	}
	if n.args[0].written != "" && n.args[1].isVariable() && (n.op == operators.Equals || n.op == operators.NotEquals) {
		b = append(n.args[1].bracketed(b, how, least), sign...)
		return n.args[0].beside(b, how, n.args[1]), true
	}
	b = append(n.args[0].bracketed(b, how, least), sign...)
	if n.args[1].kind == Text {
		return n.args[1].beside(b, how, n.args[0]), true
	}
	return n.args[1].bracketed(b, how, least), true
}

// beside appends n as the value of another: a written text as what people call
// it there.
func (n *node) beside(b []byte, how showing, of *node) []byte {
	if n.op == "" && !n.isVariable() && n.kind == Text && of.isVariable() {
		return append(b, how.words.Value(of.name, n.literal.text)...)
	}
	return n.show(b, how)
}
