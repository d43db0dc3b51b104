package formula

import (
	"slices"

	"cel.dev/cel-go/common/operators"

	"billwright/catalog/unit"
)

// Over reckons the formula over everything that its names may stand for at
// once: env holds what is known of each, by slot. What comes out is never
// narrower than the truth: a value that is sure is what Eval gives for every one
// of the values, bounds hold all of them, clauses say neither more nor less than
// the formula. Reckoning it costs what a few evaluations cost.
func (f *Formula) Over(env []Known) Known { return f.root.over(env).settled() }

// settled brings a result to its grain, as Eval does.
func (k Known) settled() Known {
	if k.kind.measurable() && k.bounded {
		if _, _, fits := k.Bounds(); !fits {
			return Known{kind: k.kind, mayFail: true}
		}
	}
	if k.sure && k.exact.b != nil {
		return Known{}
	}
	if k.kind != Length && k.kind != Area || k.line != nil && k.line.isWhole() {
		return k
	}
	k.line = nil
	if k.bounded {
		k.low, k.high = k.low.round(unit.Nearest), k.high.round(unit.Nearest)
	}
	if k.sure {
		rounded := k.exact.round(unit.Nearest)
		if rounded.b != nil {
			return Known{}
		}
		k = Exactly(Value{kind: k.kind, ratio: rounded.r, rounded: rounded != k.exact})
	}
	return k
}

func (n *node) over(env []Known) Known {
	switch {
	case n.isVariable() && n.slot < len(env) && env[n.slot].kind == n.kind:
		return env[n.slot]
	case n.isVariable():
		return Known{}
	case n.op == "":
		return Exactly(n.literal)
	case n.op == operators.LogicalAnd:
		return n.args[0].over(env).and(n.args[1], env)
	case n.op == operators.LogicalOr:
		return n.args[0].over(env).opposite().and(n.args[1].negated(), env).opposite()
	case n.op == operators.Conditional:
		return n.chooseOver(env)
	}
	args := make([]Known, len(n.args))
	mayFail := false
	for i, a := range n.args {
		if n.table != nil && i == 0 {
			continue // the table's name
		}
		if args[i] = a.over(env); args[i].kind == 0 {
			return Known{}
		}
		mayFail = mayFail || args[i].mayFail
	}
	k := n.reckonOver(args)
	k.mayFail = k.mayFail || mayFail
	return k
}

// negated is the node !n.
func (n *node) negated() *node {
	not := &node{src: n.src, pos: n.pos, kind: Bool, op: operators.LogicalNot, args: []*node{n}}
	buildNot(not)
	return not
}

func (n *node) reckonOver(args []Known) Known {
	sure := !slices.ContainsFunc(args, func(k Known) bool { return k.kind != 0 && !k.sure })
	switch n.op {
	case operators.LogicalNot:
		return args[0].opposite()
	case operators.In:
		return n.inOver(args)
	case operators.Less, operators.LessEquals, operators.Greater, operators.GreaterEquals, operators.Equals, operators.NotEquals:
		return n.compareOver(args[0], args[1], sure)
	}
	if sure {
		return n.pointOver(args)
	}
	switch n.op {
	case operators.Add:
		return n.sumOver(args[0], args[1], whole(1))
	case operators.Subtract:
		return n.sumOver(args[0], args[1], whole(-1))
	case operators.Negate:
		return n.scaledOver(args[0], whole(-1))
	case operators.Multiply:
		return n.productOver(args[0], args[1])
	case operators.Divide:
		return n.quotientOver(args[0], args[1])
	}
	return n.functionOver(args)
}

// pointOver reckons a step whose arguments are sure, as Eval does.
func (n *node) pointOver(args []Known) Known {
	point := &node{src: n.src, pos: n.pos, kind: n.kind, op: n.op, table: n.table, list: n.list}
	for i, k := range args {
		literal := &node{src: n.src, pos: n.pos, kind: k.kind, literal: k.value}
		switch {
		case n.table != nil && i == 0:
		case k.kind.measurable():
			literal.holdExact(k.exact)
		default:
			literal.holdLiteral()
		}
		point.args = append(point.args, literal)
	}
	n.builder()(point)
	if n.kind.measurable() {
		x, err := point.num(nil)
		if err != nil {
			return Known{}
		}
		k := Known{kind: n.kind, sure: true, value: Value{kind: n.kind, ratio: x.r}, exact: x}
		return k.spanned()
	}
	v, err := point.value(nil)
	if err != nil {
		return Known{}
	}
	return Exactly(v)
}

// builder is how the node was built.
func (n *node) builder() builder {
	if n.table != nil {
		return buildBand
	}
	takes := make([]Kind, len(n.args))
	for i, a := range n.args {
		takes[i] = a.kind
	}
	r := rule{name: n.op, takes: takes}
	return grammar()[r.id()].build
}

func (n *node) sumOver(a, b Known, sign exact) Known {
	k := Known{kind: n.kind}
	if a.line != nil && b.line != nil {
		k.line = a.line.add(b.line, sign)
		return k.lined()
	}
	if k.bounded = a.bounded && b.bounded; k.bounded {
		low, high := b.low.mul(sign), b.high.mul(sign)
		if sign.sign() < 0 {
			low, high = high, low
		}
		k.low, k.high = a.low.add(low), a.high.add(high)
	}
	return k
}

// lined takes the bounds from the line.
func (k Known) lined() Known {
	k.bounded = true
	k.low, k.high = k.line.bounds()
	if len(k.line.terms) == 0 {
		k.sure, k.exact, k.value = true, k.line.plus, Value{kind: k.kind, ratio: k.line.plus.r}
	}
	return k
}

func (n *node) scaledOver(a Known, factor exact) Known {
	k := Known{kind: n.kind}
	if a.line != nil {
		k.line = a.line.times(factor)
		return k.lined()
	}
	if k.bounded = a.bounded; k.bounded {
		k.low, k.high = a.low.mul(factor), a.high.mul(factor)
		if factor.sign() < 0 {
			k.low, k.high = k.high, k.low
		}
	}
	return k
}

func (n *node) productOver(a, b Known) Known {
	scale := whole(1)
	if n.args[0].kind == Length && n.args[1].kind == Length {
		scale = whole(1).div(nm2PerUm2)
	}
	switch {
	case a.sure:
		return n.scaledOver(b, a.exact.mul(scale))
	case b.sure:
		return n.scaledOver(a, b.exact.mul(scale))
	}
	k := Known{kind: n.kind, bounded: a.bounded && b.bounded}
	if both, is := a.line.product(b.line); is {
		k.line = both.times(scale)
		return k.lined()
	}
	if k.bounded {
		k.low, k.high = corners(a, b, func(x, y exact) exact { return x.mul(y).mul(scale) })
	}
	return k
}

func corners(a, b Known, of func(x, y exact) exact) (low, high exact) {
	low = of(a.low, b.low)
	high = low
	for _, c := range []exact{of(a.low, b.high), of(a.high, b.low), of(a.high, b.high)} {
		if c.cmp(low) < 0 {
			low = c
		}
		if c.cmp(high) > 0 {
			high = c
		}
	}
	return low, high
}

func (n *node) quotientOver(a, b Known) Known {
	scale := whole(1)
	if n.args[0].kind == Area && n.args[1].kind == Length {
		scale = nm2PerUm2
	}
	if b.sure {
		if b.exact.sign() == 0 {
			return Known{}
		}
		return n.scaledOver(a, scale.div(b.exact))
	}
	k := Known{kind: n.kind}
	if !b.bounded || b.low.sign() <= 0 && b.high.sign() >= 0 {
		k.mayFail = true
		return k
	}
	if k.bounded = a.bounded; k.bounded {
		k.low, k.high = corners(a, b, func(x, y exact) exact { return x.mul(scale).div(y) })
	}
	return k
}

// functionOver reckons what only bounds can be told of.
func (n *node) functionOver(args []Known) Known {
	k := Known{kind: n.kind}
	switch n.op {
	case "abs":
		if k.bounded = args[0].bounded; k.bounded {
			k.low, k.high = least(args[0].low.abs(), args[0].high.abs(), -1), least(args[0].low.abs(), args[0].high.abs(), 1)
			if args[0].low.sign() <= 0 && args[0].high.sign() >= 0 {
				k.low = whole(0)
			}
		}
	case "ceil", "floor":
		return k.stepped(args[0], func(x exact) exact { return x.round(roundings[n.op]) })
	case "up", "down", "nearest":
		if !args[1].sure {
			k.mayFail = true
			return k
		}
		return k.stepped(args[0], func(x exact) exact { return x.toStep(args[1].exact, roundings[n.op]) })
	case "min", "max":
		return k.extreme(args, map[string]int{"min": -1, "max": 1}[n.op])
	default:
		return n.bandOver(args[1])
	}
	return k
}

func least(x, y exact, sign int) exact {
	if y.cmp(x) == sign {
		return y
	}
	return x
}

// stepped is a function that rises in steps.
func (k Known) stepped(a Known, of func(exact) exact) Known {
	if k.bounded = a.bounded; k.bounded {
		k.low, k.high = of(a.low), of(a.high)
		if k.low.cmp(k.high) == 0 {
			k.sure, k.exact, k.value = true, k.low, Value{kind: k.kind, ratio: k.low.r}
			return k.spanned()
		}
	}
	return k
}

func (k Known) extreme(args []Known, sign int) Known {
	k.bounded = true
	for i, a := range args {
		if !a.bounded {
			return Known{kind: k.kind}
		}
		if i == 0 {
			k.low, k.high = a.low, a.high
		}
		k.low, k.high = least(k.low, a.low, sign), least(k.high, a.high, sign)
	}
	return k
}

// bandOver is the rows of a table from the first to the last that may be read.
func (n *node) bandOver(key Known) Known {
	k := Known{kind: n.kind, mayFail: true}
	if !key.bounded {
		return k
	}
	low, found := n.table.find(key.low)
	if !found {
		return Known{}
	}
	_, k.mayFail = n.table.find(key.high)
	k.mayFail = !k.mayFail
	all := Exactly(low)
	for _, row := range n.table.rows {
		if exact := (exact{r: row.Below.ratio}); exact.cmp(key.low) > 0 {
			all = all.or(Exactly(row.Gives))
			if exact.cmp(key.high) > 0 {
				break
			}
		}
	}
	all.mayFail = k.mayFail
	return all
}

// or is what is known of a value that is one or the other.
func (k Known) or(other Known) Known {
	either := Known{kind: k.kind, mayFail: k.mayFail || other.mayFail}
	switch {
	case k.kind == 0:
		other.mayFail = true
		return other
	case other.kind == 0:
		k.mayFail = true
		return k
	case k.sure && other.sure && (k.kind.measurable() && k.exact.cmp(other.exact) == 0 || !k.kind.measurable() && k.value == other.value):
		k.mayFail = either.mayFail
		return k
	}
	if either.bounded = k.bounded && other.bounded; either.bounded {
		either.low, either.high = least(k.low, other.low, -1), least(k.high, other.high, 1)
	}
	return either
}

func (n *node) chooseOver(env []Known) Known {
	is := n.args[0].over(env)
	if is.kind == 0 {
		return Known{}
	}
	if yes, sure := is.Value(); sure {
		if yes.yes {
			return n.args[1].over(env)
		}
		return n.args[2].over(env)
	}
	if n.kind == Bool {
		then := is.and(n.args[1], env)
		other := is.opposite().and(n.args[2], env)
		return then.eitherOf(other)
	}
	either := n.args[1].over(env).or(n.args[2].over(env))
	either.mayFail = either.mayFail || is.mayFail
	return either
}
