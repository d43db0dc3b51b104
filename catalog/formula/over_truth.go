package formula

import "cel.dev/cel-go/common/operators"

// mostClauses bounds what a yes comes down to.
const mostClauses = 64

func surely(yes bool) Known { return Exactly(BoolOf(yes)) }

func (n *node) compareOver(a, b Known, sure bool) Known {
	if !a.kind.measurable() {
		if !sure {
			return Known{kind: Bool}
		}
		return surely((a.value.yes == b.value.yes && a.value.text == b.value.text) == (n.op == operators.Equals))
	}
	switch n.op {
	case operators.Less:
		return atMost(a, b, true)
	case operators.LessEquals:
		return atMost(a, b, false)
	case operators.Greater:
		return atMost(b, a, true)
	case operators.GreaterEquals:
		return atMost(b, a, false)
	case operators.Equals:
		return atMost(a, b, false).with(atMost(b, a, false))
	}
	return atMost(a, b, false).with(atMost(b, a, false)).opposite()
}

// atMost tells what is known of a <= b, or a < b.
func atMost(a, b Known, strictly bool) Known {
	k := Known{kind: Bool}
	if !a.bounded || !b.bounded {
		return k
	}
	low, high := a.low.sub(b.high), a.high.sub(b.low)
	var difference *line
	if a.line != nil && b.line != nil {
		difference = a.line.add(b.line, whole(-1))
		low, high = difference.bounds()
	}
	over := 0 // the sign from which it no longer holds
	if !strictly {
		over = 1
	}
	switch {
	case high.sign() < over:
		return surely(true)
	case low.sign() >= over:
		return surely(false)
	}
	if difference != nil {
		var one Atom
		if one, k.told = difference.atMost(strictly); k.told {
			k.all = []Clause{{one}}
		}
	}
	return k
}

// with is both of two that cannot fail by themselves.
func (k Known) with(other Known) Known {
	switch {
	case k.sure && !k.value.yes, other.sure && !other.value.yes:
		return surely(false)
	case k.sure:
		return other
	case other.sure:
		return k
	}
	both := Known{kind: Bool, told: k.told && other.told && len(k.all)+len(other.all) <= mostClauses}
	if both.told {
		both.all = append(append(both.all, k.all...), other.all...)
	}
	return both
}

// opposite is no where this is yes.
func (k Known) opposite() Known {
	if k.kind == 0 {
		return k
	}
	if k.sure {
		opposite := surely(!k.value.yes)
		opposite.mayFail = k.mayFail
		return opposite
	}
	opposite := Known{kind: Bool, mayFail: k.mayFail}
	if !k.told {
		return opposite
	}
	// It is not so that all clauses hold: one of them has no atom that does.
	opposite.told, opposite.all = true, []Clause{{}}
	for _, c := range k.all {
		var none []Clause
		for _, a := range c {
			not, fits := a.not()
			if !fits {
				return Known{kind: Bool, mayFail: k.mayFail}
			}
			none = append(none, Clause{not})
		}
		if len(opposite.all)*len(none) > mostClauses {
			return Known{kind: Bool, mayFail: k.mayFail}
		}
		opposite.all = distributed(opposite.all, none)
	}
	return opposite
}

// distributed are the clauses of one or the other.
func distributed(one, other []Clause) (all []Clause) {
	for _, a := range one {
		for _, b := range other {
			all = append(all, append(append(Clause{}, a...), b...))
		}
	}
	return all
}

// and is this && the node, which is looked at only where this is a yes.
func (k Known) and(right *node, env []Known) Known {
	if k.kind == 0 || k.sure && !k.value.yes {
		return k
	}
	other := right.over(env)
	if k.sure {
		other.mayFail = other.mayFail || k.mayFail && other.kind != 0
		return other
	}
	mayFail := k.mayFail || other.MayFail()
	if other.kind == 0 {
		return Known{kind: Bool, mayFail: true}
	}
	both := k.with(other)
	both.mayFail = mayFail
	return both
}

// eitherOf is one or the other, of which the one is yes only where the other is
// not looked at.
func (k Known) eitherOf(other Known) Known {
	if k.kind == 0 || other.kind == 0 {
		return Known{}
	}
	mayFail := k.mayFail || other.mayFail
	k.mayFail, other.mayFail = false, false
	either := k.opposite().with(other.opposite()).opposite()
	either.mayFail = mayFail
	return either
}

// inOver tells whether the left side is one of the list.
func (n *node) inOver(args []Known) Known {
	none := surely(true)
	for _, v := range n.list {
		same := atMostBoth(args[0], Exactly(v))
		none = none.with(same.opposite())
	}
	return none.opposite()
}

func atMostBoth(a, b Known) Known {
	if a.kind.measurable() {
		return atMost(a, b, false).with(atMost(b, a, false))
	}
	if !a.sure {
		return Known{kind: Bool}
	}
	return surely(a.value == b.value)
}
