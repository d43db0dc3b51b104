package choices

// refuter shows that picks contradict some of the rules, and which of them the
// showing needed.
type refuter struct {
	a     *Asker
	b     *board
	all   []int32 // every rule
	bound bool    // a search was given up
}

func (a *Asker) refuter() *refuter {
	if a.proofs == nil {
		b := newBoard(a.c.whole)
		b.off = make([]bool, len(a.c.base.rules))
		b.blamed = make([]bool, len(a.c.base.rules))
		b.marked = make([]bool, len(a.c.base.fields))
		a.proofs = &refuter{a: a, b: b}
		for r := range a.c.base.rules {
			a.proofs.all = append(a.proofs.all, int32(r))
		}
	}
	a.proofs.bound = false
	return a.proofs
}

// refute tries to show that the picks contradict the rules given. It gives
// those that the failures went by, which are enough to contradict; when they do
// not contradict, or a bound was reached, it gives the rules back.
func (e *refuter) refute(picks Picks, rules []int32) ([]int32, bool) {
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
	if b.assume(picks) {
		found, err := b.search(e.a.c.options.Search)
		if err != nil {
			e.bound = true
		}
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

// blame follows a failure back through what took the classes out, and notes the
// rules on the way. It may note more than are needed, never fewer.
func (b *board) blame() {
	if b.blamed == nil {
		return
	}
	clear(b.marked)
	if b.failure != None {
		b.marked[b.failure] = true
	}
	b.trace(b.failed)
	for i := len(b.trail) - 1; i >= 0; i-- {
		if c := &b.trail[i]; c.field != None && b.marked[c.field] {
			b.trace(c.reason)
		}
	}
}

func (b *board) trace(reason int32) {
	if reason < 0 {
		return
	}
	x := &b.cons[reason]
	b.blamed[x.rule] = true
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
