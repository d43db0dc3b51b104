package choices

import "slices"

// refuter shows that picks contradict some of the rules, and which of them the
// showing needed.
type refuter struct {
	b     *board
	all   []int32 // every rule
	limit int     // of one search
	bound bool    // a search was given up
}

func newRefuter(p *problem, rules, limit int) *refuter {
	b := newBoard(p)
	b.off = make([]bool, len(p.byRule))
	b.blamed = make([]bool, len(p.byRule))
	e := &refuter{b: b, limit: limit}
	for r := range rules {
		e.all = append(e.all, int32(r))
	}
	return e
}

func (a *Asker) refuter() *refuter {
	if a.proofs == nil {
		a.proofs = newRefuter(a.c.whole, len(a.c.base.rules), a.c.options.Search)
	}
	a.proofs.bound, a.proofs.limit = false, a.c.options.Search
	return a.proofs
}

// refute tries to show that the rules given contradict what start restricts the
// board to. It gives those that the failures went by, which are enough to
// contradict; when they do not contradict, or a bound was reached, it gives the
// rules back.
func (e *refuter) refute(start func(*board) bool, rules []int32) ([]int32, bool) {
	b := e.b
	b.undo(0)
	b.work = 0
	for r := range b.off {
		b.off[r], b.blamed[r] = true, false
	}
	for _, r := range rules {
		b.off[r] = false
	}
	for _, r := range rules {
		for _, i := range b.byRule[r] {
			b.queued[i] = true
			b.queue = append(b.queue, i)
		}
	}
	if start(b) && b.settle() {
		found, err := b.search(e.limit)
		e.bound = e.bound || err != nil
		if found || err != nil {
			return rules, false
		}
	} else {
		b.blame()
	}
	var core []int32
	for _, r := range rules {
		if b.blamed[r] {
			core = append(core, r)
		}
	}
	return core, true
}

// minimal finds rules among those given that contradict the start, none of them
// needlessly: it begins with those that a failing search went by, and tries to
// do without each. It is false when they do not contradict.
func (e *refuter) minimal(start func(*board) bool, rules []int32) ([]int32, bool) {
	rest, refuted := e.refute(start, rules)
	if !refuted {
		return rest, false
	}
	var needed []int32
	for len(rest) > 0 {
		last := rest[len(rest)-1]
		smaller, refuted := e.refute(start, slices.Concat(rest[:len(rest)-1], needed))
		if !refuted {
			needed = append(needed, last)
			rest = rest[:len(rest)-1]
			continue
		}
		rest = slices.DeleteFunc(smaller, func(r int32) bool { return slices.Contains(needed, r) })
	}
	slices.Sort(needed)
	return needed, true
}

// blame follows a failure back through what took the classes out, and gives the
// decisions on the way; when somebody asks, it notes the rules too. It may give
// more than are needed, never fewer.
func (b *board) blame() levels {
	clear(b.marked)
	var decisions levels
	if b.failure != None {
		b.marked[b.failure] = true
	}
	follow := func(reason int32) {
		if reason <= byDecision {
			decisions = decisions.with(int(byDecision - reason))
		} else if reason != byPick {
			b.trace(reason)
		}
	}
	follow(b.failed)
	for i := len(b.trail) - 1; i >= 0; i-- {
		if c := &b.trail[i]; c.field != None && b.marked[c.field] {
			follow(c.reason)
		}
	}
	return decisions
}

// trace notes a constraint that a failure went by.
func (b *board) trace(reason int32) {
	x := &b.cons[reason]
	if b.blamed != nil {
		b.blamed[x.rule] = true
	}
	for _, f := range x.fields {
		b.marked[f] = true
	}
	for i := range x.lits {
		b.marked[x.lits[i].field] = true
	}
	if x.kind == relation {
		b.marked[x.a], b.marked[x.b] = true, true
	}
}
