package formula

import (
	"cel.dev/cel-go/common/operators"

	"billwright/catalog/unit"
)

// builder sets the closure of a node whose arguments are compiled. It captures
// what it needs in local variables: a closure that reads them costs about 2 ns.
type builder func(n *node)

// nm2PerUm2 is how many square nanometres make the square micrometre of Area.
var nm2PerUm2 = whole(1_000_000)

func (n *node) binary(f func(x, y exact) exact) {
	left, right := n.args[0].num, n.args[1].num
	n.num = func(env []Value) (exact, error) {
		x, err := left(env)
		if err != nil {
			return exact{}, err
		}
		y, err := right(env)
		if err != nil {
			return exact{}, err
		}
		return f(x, y), nil
	}
}

func buildAdd(n *node) { n.binary(exact.add) }
func buildSub(n *node) { n.binary(exact.sub) }
func buildMul(n *node) { n.binary(exact.mul) }

func buildMulLengths(n *node) {
	n.binary(func(x, y exact) exact { return x.mul(y).div(nm2PerUm2) })
}

func buildDiv(n *node) { n.divide(whole(1)) }

func buildDivAreaByLength(n *node) { n.divide(nm2PerUm2) }

// divide gives args[0] * scale / args[1].
func (n *node) divide(scale exact) {
	top, bottom := n.args[0].num, n.args[1].num
	scaled := scale != whole(1)
	n.num = func(env []Value) (exact, error) {
		x, err := top(env)
		if err != nil {
			return exact{}, err
		}
		y, err := bottom(env)
		if err != nil {
			return exact{}, err
		}
		if y.sign() == 0 {
			return exact{}, n.divisionByZero()
		}
		if scaled {
			x = x.mul(scale)
		}
		return x.div(y), nil
	}
}

func (n *node) divisionByZero() error {
	switch divisor := n.args[1]; {
	case divisor.constant():
		return n.fault("division by zero", "write what it should be divided by")
	case divisor.isVariable():
		return n.faultOf(divisor.name, "division by zero: "+divisor.name+" is 0", "limit "+divisor.name+", or write "+divisor.name+" == 0 ? .. : ..")
	}
	return n.fault("division by zero: what stands right of / comes to 0", "write a condition ? : around it")
}

func buildNeg(n *node) { n.unary(exact.neg) }
func buildAbs(n *node) { n.unary(exact.abs) }

func (n *node) unary(f func(exact) exact) {
	arg := n.args[0].num
	n.num = func(env []Value) (exact, error) {
		x, err := arg(env)
		if err != nil {
			return exact{}, err
		}
		return f(x), nil
	}
}

func buildOrder(holds func(int) bool) builder {
	return func(n *node) { n.compare(holds) }
}

func (n *node) compare(holds func(int) bool) {
	left, right := n.args[0].num, n.args[1].num
	n.cond = func(env []Value) (bool, error) {
		x, err := left(env)
		if err != nil {
			return false, err
		}
		y, err := right(env)
		if err != nil {
			return false, err
		}
		return holds(x.cmp(y)), nil
	}
}

func buildEqual(want bool) builder {
	return func(n *node) {
		switch left, right := n.args[0], n.args[1]; left.kind {
		case Bool:
			n.cond = equal(left.cond, right.cond, want)
		case Text:
			n.cond = equal(left.text, right.text, want)
		default:
			n.compare(func(c int) bool { return (c == 0) == want })
		}
	}
}

func equal[T comparable](left, right func([]Value) (T, error), want bool) func([]Value) (bool, error) {
	return func(env []Value) (bool, error) {
		x, err := left(env)
		if err != nil {
			return false, err
		}
		y, err := right(env)
		if err != nil {
			return false, err
		}
		return (x == y) == want, nil
	}
}

func buildNot(n *node) {
	arg := n.args[0].cond
	n.cond = func(env []Value) (bool, error) {
		yes, err := arg(env)
		return !yes && err == nil, err
	}
}

func buildAnd(n *node) { n.shortCircuit(false) }
func buildOr(n *node)  { n.shortCircuit(true) }

// shortCircuit stops at the first part that equals decisive.
func (n *node) shortCircuit(decisive bool) {
	left, right := n.args[0].cond, n.args[1].cond
	n.cond = func(env []Value) (bool, error) {
		yes, err := left(env)
		if err != nil || yes == decisive {
			return yes, err
		}
		return right(env)
	}
}

func buildChoose(n *node) {
	cond, then, other := n.args[0].cond, n.args[1], n.args[2]
	switch n.kind {
	case Bool:
		n.cond = choose(cond, then.cond, other.cond)
	case Text:
		n.text = choose(cond, then.text, other.text)
	default:
		n.num = choose(cond, then.num, other.num)
	}
}

func choose[T any](cond func([]Value) (bool, error), then, other func([]Value) (T, error)) func([]Value) (T, error) {
	return func(env []Value) (T, error) {
		yes, err := cond(env)
		if err != nil {
			var none T
			return none, err
		}
		if yes {
			return then(env)
		}
		return other(env)
	}
}

var roundings = map[string]unit.Mode{
	"up": unit.Up, "down": unit.Down, "nearest": unit.Nearest,
	"ceil": unit.Up, "floor": unit.Down,
}

func buildToWhole(n *node) {
	mode := roundings[n.op]
	n.unary(func(x exact) exact { return x.round(mode) })
}

func buildToStep(n *node) {
	mode, length, step := roundings[n.op], n.args[0].num, n.args[1].num
	n.num = func(env []Value) (exact, error) {
		x, err := length(env)
		if err != nil {
			return exact{}, err
		}
		s, err := step(env)
		if err != nil {
			return exact{}, err
		}
		if s.sign() <= 0 {
			return exact{}, n.badStep()
		}
		return x.toStep(s, mode), nil
	}
}

func (n *node) badStep() error {
	return n.fault(n.op+": the step to round to is not greater than zero", "write a step such as len('1/16 in')")
}

// buildExtreme gives the least (sign -1) or greatest (+1) of the arguments.
func buildExtreme(sign int) builder {
	return func(n *node) {
		args := make([]func([]Value) (exact, error), len(n.args))
		for i, a := range n.args {
			args[i] = a.num
		}
		n.num = func(env []Value) (exact, error) {
			best, err := args[0](env)
			if err != nil {
				return exact{}, err
			}
			for _, arg := range args[1:] {
				x, err := arg(env)
				if err != nil {
					return exact{}, err
				}
				if x.cmp(best) == sign {
					best = x
				}
			}
			return best, nil
		}
	}
}

// buildIn compares the left side with each written value of the list.
func buildIn(n *node) {
	list, left := n.list, n.args[0]
	switch left.kind {
	case Text:
		text := left.text
		n.cond = func(env []Value) (bool, error) {
			s, err := text(env)
			return err == nil && anyOf(list, func(v Value) bool { return v.text == s }), err
		}
	case Bool:
		cond := left.cond
		n.cond = func(env []Value) (bool, error) {
			yes, err := cond(env)
			return err == nil && anyOf(list, func(v Value) bool { return v.yes == yes }), err
		}
	default:
		num := left.num
		n.cond = func(env []Value) (bool, error) {
			x, err := num(env)
			return err == nil && x.b == nil && anyOf(list, func(v Value) bool { return v.ratio == x.r }), err
		}
	}
}

func anyOf(list []Value, is func(Value) bool) bool {
	for _, v := range list {
		if is(v) {
			return true
		}
	}
	return false
}

// buildBand looks the exact, unrounded key up and gives the row's value.
func buildBand(n *node) {
	key, t := n.args[1].num, n.table
	row := func(env []Value) (Value, error) {
		x, err := key(env)
		if err != nil {
			return Value{}, err
		}
		v, ok := t.find(x)
		if !ok {
			return Value{}, n.beyond(x)
		}
		return v, nil
	}
	switch n.kind {
	case Bool:
		n.cond = func(env []Value) (bool, error) { v, err := row(env); return v.yes, err }
	case Text:
		n.text = func(env []Value) (string, error) { v, err := row(env); return v.text, err }
	default:
		n.num = func(env []Value) (exact, error) { v, err := row(env); return exact{r: v.ratio}, err }
	}
}

// beyond is the error of a key that no row holds.
func (n *node) beyond(x exact) error {
	shown := "the value"
	if v, err := n.args[1].settle(x); err == nil {
		shown = v.String()
	}
	last := n.table.rows[len(n.table.rows)-1].Below
	return n.fault("table '"+n.table.name+"' has no row for "+shown+": its last row ends below "+last.String(),
		"add a row to the table, or limit what is asked of it")
}

// isSign reports operators, as against functions.
func isSign(op string) bool { _, ok := operators.FindReverse(op); return ok }
