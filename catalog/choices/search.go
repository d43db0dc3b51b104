package choices

// The exact search answers where there is no diagram. It takes a constraint
// that what is left does not yet keep for sure, splits a domain so that one half
// keeps it, and goes on in either half. What it finds is a box: domains of which
// every choice keeps all rules. A failure is followed back to the decisions that
// it went by, and others are not tried the other way about (conflict-directed
// backjumping: Prosser 1993); constraints that failed lately are split first.

// hottest is how many constraints that failed lately are split first.
const hottest = 12

// levels is a set of decisions, by their depth.
type levels []uint64

func (s levels) has(level int) bool {
	return level>>6 < len(s) && s[level>>6]>>(uint(level)&63)&1 != 0
}

func (s levels) with(level int) levels {
	for level>>6 >= len(s) {
		s = append(s, 0)
	}
	s[level>>6] |= 1 << (uint(level) & 63)
	return s
}

func (s levels) joined(other levels, without int) levels {
	for len(s) < len(other) {
		s = append(s, 0)
	}
	for i, w := range other {
		s[i] |= w
	}
	s[without>>6] &^= 1 << (uint(without) & 63)
	return s
}

// search looks for a box, with so much more work at most. It leaves the board
// at the box when it found one, and as it was when there is none (false) or the
// work passed the limit (ErrBound).
func (b *board) search(most int) (bool, error) {
	b.limit = b.work + most
	b.hot = b.hot[:0]
	found, _, err := b.searchFrom(0, 0)
	if found {
		copy(b.saved, b.mem[:b.kinds.words])
	}
	return found, err
}

func (b *board) searchFrom(level, next int) (bool, levels, error) {
	f, half, next := b.split(next)
	if f == None {
		return true, nil, nil
	}
	var because levels
	for i, mask := range [2][]uint64{half, without(b.domain(f), half)} {
		if b.work > b.limit {
			return false, nil, ErrBound
		}
		found, failed, err := b.decide(level, next, f, mask)
		switch {
		case found || err != nil:
			return found, nil, err
		case !failed.has(level):
			return false, failed, nil
		case i == 0:
			because = failed
		default:
			because = because.joined(failed, level)
		}
	}
	return false, because, nil
}

// decide goes on with a domain halved. Of a failure it gives the decisions that
// it went by.
func (b *board) decide(level, next int, f int32, half []uint64) (bool, levels, error) {
	mark := b.mark()
	if !b.restrict(f, half, byDecision-int32(level)) || !b.settle() {
		b.heat(b.failed)
		failed := b.blame()
		b.undo(mark)
		return false, failed, nil
	}
	found, failed, err := b.searchFrom(level+1, next)
	if !found {
		b.undo(mark)
	}
	return found, failed, err
}

// heat puts a constraint first among those that failed lately.
func (b *board) heat(i int32) {
	if i < 0 {
		return
	}
	at := len(b.hot)
	for j, other := range b.hot {
		if other == i {
			at = j
		}
	}
	switch {
	case at < len(b.hot):
	case at < hottest:
		b.hot = append(b.hot, i)
	default:
		at--
	}
	copy(b.hot[1:at+1], b.hot[:at])
	b.hot[0] = i
}

// split gives a field and the half of its domain to try first: of the hub, then
// of a constraint that what is left does not keep for sure. Constraints before
// next are kept, since domains only shrink. The field is None when all are.
func (b *board) split(next int) (int32, []uint64, int) {
	if hub := b.base.hub; hub != None && !single(b.domain(hub)) && b.binds(hub) {
		return hub, b.first(hub), next
	}
	for _, i := range b.hot {
		if x := &b.cons[i]; (b.off == nil || !b.off[x.rule]) && !b.entailed(x) {
			f, half := b.halve(x)
			return f, half, next
		}
	}
	next = b.unsettled(next)
	if next == len(b.cons) {
		return None, nil, next
	}
	f, half := b.halve(&b.cons[next])
	return f, half, next
}

// binds tells whether a rule that is on reads a field.
func (b *board) binds(f int32) bool {
	if b.off == nil {
		return true
	}
	for _, o := range b.occurs[f] {
		if !b.off[b.cons[o.constraint].rule] {
			return true
		}
	}
	return false
}

// unsettled gives the first constraint from next on that what is left does not
// keep for sure.
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

// first is one class of a field: one that the last box found had, if it is left.
func (b *board) first(f int32) []uint64 {
	d := b.domain(f)
	one := both(d, b.saved[b.kinds.off[f]:])
	if empty(one) {
		copy(one, d)
	}
	class := lowest(one)
	clear(one)
	put(one, class)
	return one
}

// halve gives a field of a constraint and the half of its domain to try first.
// What the last box found had goes first.
func (b *board) halve(x *constraint) (int32, []uint64) {
	var open *literal
	for i := range x.lits {
		l := &x.lits[i]
		d := b.domain(l.field)
		if !meets(d, l.mask) {
			continue
		}
		half := both(d, l.mask)
		if meets(half, b.saved[b.kinds.off[l.field]:]) {
			return l.field, half
		}
		if open == nil {
			open = l
		}
	}
	if open != nil {
		return open.field, both(b.domain(open.field), open.mask)
	}
	f := x.a
	if x.kind == table {
		f = b.smallestOpen(x)
	} else if single(b.domain(f)) {
		f = x.b
	}
	return f, b.first(f)
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
