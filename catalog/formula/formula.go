package formula

import (
	"slices"
)

// Formula is a compiled formula. It does not change, and may be evaluated by
// many goroutines at once.
type Formula struct {
	text  string
	root  *node
	names []string
	// shown is the formula itself as its working begins with it, in either
	// system of units.
	shown, shownMetric string
}

func newFormula(text string, root *node) *Formula {
	f := &Formula{text: text, root: root}
	f.root.collect(&f.names)
	slices.Sort(f.names)
	f.names = slices.Compact(f.names)
	f.shown, f.shownMetric = string(root.show(nil, showing{})), string(root.show(nil, showing{metric: true}))
	return f
}

func (n *node) collect(names *[]string) {
	if n.isVariable() {
		*names = append(*names, n.name)
	}
	for _, a := range n.args {
		a.collect(names)
	}
}

// Eval evaluates the formula on an environment indexed by slot; see
// Scope.NewEnv. Only what the formula needs has to be set. The error is a
// *Fault: a name that is not set, a division by zero, a key beyond a table, a
// result that does not fit.
func (f *Formula) Eval(env []Value) (Value, error) { return f.root.value(env) }

// Names gives the variables the formula may read, sorted.
func (f *Formula) Names() []string { return slices.Clone(f.names) }

// Text gives the formula as it was written.
func (f *Formula) Text() string { return f.text }

// Kind is the kind of value the formula gives.
func (f *Formula) Kind() Kind { return f.root.kind }
