package formula

import "billwright/catalog/unit"

// node is one step of a compiled formula: a name, a written value, or a sign
// or function over other steps. Exactly one of num, cond and text is set, by
// the node's kind. Nodes are not changed once compiled.
type node struct {
	src  *source
	pos  int // position in the parsed text
	kind Kind
	// op is the sign or function; empty for names and written values.
	op   string
	args []*node

	name    string  // the variable's name
	slot    int     // and its place in the environment
	written string  // a written value as it is shown: 15 in, 3/4, 'white-oak'
	literal Value   // its value
	list    []Value // right of "in"
	table   *table  // of band()

	num  func(env []Value) (exact, error) // Number, Length, Area
	cond func(env []Value) (bool, error)  // Bool
	text func(env []Value) (string, error)
}

// isVariable reports a name that is read from the environment.
func (n *node) isVariable() bool { return n.op == "" && n.name != "" }

// constant reports that no name is read below n.
func (n *node) constant() bool {
	if n.isVariable() {
		return false
	}
	for _, a := range n.args {
		if !a.constant() {
			return false
		}
	}
	return true
}

// fault makes an evaluation error at n.
func (n *node) fault(message, hint string) error { return n.src.fault(n.pos, message, hint) }

// faultOf makes an evaluation error at n whose message names a variable.
func (n *node) faultOf(variable, message, hint string) error {
	f := n.src.fault(n.pos, message, hint)
	f.Of = variable
	return f
}

// unset is the error of reading a slot that is empty or of another kind.
func (n *node) unset(env []Value) error {
	if n.slot >= len(env) || env[n.slot].kind == 0 {
		return n.faultOf(n.name, n.name+" is not set", "give it "+asked(n.kind)+" before this formula is used")
	}
	return n.faultOf(n.name, n.name+" was given "+env[n.slot].kind.withArticle()+", but it is declared as "+n.kind.withArticle(), "")
}

// asked gives "a length", "yes or no".
func asked(k Kind) string {
	if k == Bool {
		return "yes or no"
	}
	return k.withArticle()
}

// readVariable sets the closure that reads n's slot.
func (n *node) readVariable() {
	slot, kind := n.slot, n.kind
	switch kind {
	case Bool:
		n.cond = func(env []Value) (bool, error) {
			if slot < len(env) && env[slot].kind == kind {
				return env[slot].yes, nil
			}
			return false, n.unset(env)
		}
	case Text:
		n.text = func(env []Value) (string, error) {
			if slot < len(env) && env[slot].kind == kind {
				return env[slot].text, nil
			}
			return "", n.unset(env)
		}
	default:
		n.num = func(env []Value) (exact, error) {
			if slot < len(env) && env[slot].kind == kind {
				return exact{r: env[slot].ratio}, nil
			}
			return exact{}, n.unset(env)
		}
	}
}

// holdLiteral sets the closure that gives n's written value.
func (n *node) holdLiteral() {
	v := n.literal
	switch v.kind {
	case Bool:
		n.cond = func([]Value) (bool, error) { return v.yes, nil }
	case Text:
		n.text = func([]Value) (string, error) { return v.text, nil }
	default:
		n.holdExact(exact{r: v.ratio})
	}
}

func (n *node) holdExact(x exact) { n.num = func([]Value) (exact, error) { return x, nil } }

// fold evaluates a constant n once and for all; its error is a fault of the
// formula itself.
func (n *node) fold() error {
	switch {
	case n.num != nil:
		x, err := n.num(nil)
		if err == nil {
			n.holdExact(x)
		}
		return err
	case n.cond != nil:
		yes, err := n.cond(nil)
		if err == nil {
			n.cond = func([]Value) (bool, error) { return yes, nil }
		}
		return err
	}
	s, err := n.text(nil)
	if err == nil {
		n.text = func([]Value) (string, error) { return s, nil }
	}
	return err
}

// value evaluates n and brings the result to the grain of its kind.
func (n *node) value(env []Value) (Value, error) {
	switch n.kind {
	case Bool:
		yes, err := n.cond(env)
		if err != nil {
			return Value{}, err
		}
		return BoolOf(yes), nil
	case Text:
		s, err := n.text(env)
		if err != nil {
			return Value{}, err
		}
		return TextOf(s), nil
	}
	x, err := n.num(env)
	if err != nil {
		return Value{}, err
	}
	return n.settle(x)
}

// settle turns an exact result into a Value: the one place where a length or
// an area is rounded to its grain.
func (n *node) settle(x exact) (Value, error) {
	v := Value{kind: n.kind}
	if n.kind != Number && !x.isWhole() {
		x, v.rounded = x.round(unit.Nearest), true
	}
	if x.b != nil {
		return Value{}, n.fault("the "+n.kind.String()+" that comes out is too large or too finely divided to be kept",
			"check the signs: is something multiplied that should be divided?")
	}
	v.ratio = x.r
	return v, nil
}
