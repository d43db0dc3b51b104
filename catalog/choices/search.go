package choices

// The exact search answers where there is no diagram. It takes the first
// constraint that what is left does not yet keep for sure, splits a domain so
// that one half keeps it, and goes on in either half. What it finds is a box:
// domains of which every choice keeps all rules.

// search looks for a box. It leaves the board at the box when it found one,
// and as it was when there is none or the work passed the limit.
func (b *board) search(limit int) (bool, error) {
	return b.searchFrom(0, limit)
}

func (b *board) searchFrom(next, limit int) (bool, error) {
	next = b.unsettled(next)
	if next == len(b.cons) {
		return true, nil
	}
	f, half := b.halve(&b.cons[next])
	for _, mask := range [2][]uint64{half, without(b.domain(f), half)} {
		if b.work > limit {
			return false, ErrBound
		}
		mark := b.mark()
		if b.restrict(f, mask, byDecision) && b.settle() {
			if found, err := b.searchFrom(next, limit); found || err != nil {
				return found, err
			}
		} else {
			b.blame()
		}
		b.undo(mark)
	}
	return false, nil
}

// unsettled gives the first constraint from next on that what is left does not
// keep for sure. Those before stay kept, since domains only shrink.
func (b *board) unsettled(next int) int {
	for ; next < len(b.cons); next++ {
		x := &b.cons[next]
		if b.off != nil && b.off[x.rule] {
			continue
		}
		b.work++
		if !b.entailed(x) {
			break
		}
	}
	return next
}

// halve gives a field of a constraint and the half of its domain to try first.
func (b *board) halve(x *constraint) (int32, []uint64) {
	for i := range x.lits {
		l := &x.lits[i]
		if d := b.domain(l.field); meets(d, l.mask) {
			return l.field, both(d, l.mask)
		}
	}
	f := x.a
	if x.kind == table {
		f = b.smallestOpen(x)
	} else if single(b.domain(f)) {
		f = x.b
	}
	d := b.domain(f)
	one := make([]uint64, len(d))
	put(one, lowest(d))
	return f, one
}

func (b *board) smallestOpen(x *constraint) int32 {
	best, size := None, 0
	for j, f := range x.fields {
		if !b.openInTable(x, j, f) {
			continue
		}
		if n := count(b.domain(f)); best == None || n < size {
			best, size = f, n
		}
	}
	return best
}

func both(a, b []uint64) []uint64 {
	out := make([]uint64, len(a))
	for i, w := range a {
		out[i] = w & b[i]
	}
	return out
}

func without(a, b []uint64) []uint64 {
	out := make([]uint64, len(a))
	for i, w := range a {
		out[i] = w &^ b[i]
	}
	return out
}

// one is the mask of a class of a field.
func (p *problem) one(f, class int32) []uint64 {
	mask := make([]uint64, p.kinds.wordsOf(f))
	put(mask, class)
	return mask
}

// assume restricts a board to picks, and settles it.
func (b *board) assume(picks Picks) bool {
	for f, v := range picks {
		if v == None {
			continue
		}
		if !b.restrict(int32(f), b.one(int32(f), b.kinds.class(b.base, int32(f), v)), byPick) {
			return false
		}
	}
	return b.settle()
}
