package choices

import "math/bits"

// act lets a constraint take out what it leaves no place for.
func (b *board) act(i int32) bool {
	switch x := &b.cons[i]; x.kind {
	case clause:
		return b.actClause(i, x)
	case table:
		return b.actTable(i, x)
	default:
		return b.actRelation(i, x)
	}
}

// literals tells of a clause's literals: whether one is true for sure, and else
// how many may be and the last of those.
func (b *board) literals(x *constraint) (sure bool, may int, last *literal) {
	for j := range x.lits {
		l := &x.lits[j]
		d := b.domain(l.field)
		if !meets(d, l.mask) {
			continue
		}
		if within(d, l.mask) {
			return true, 1, l
		}
		may++
		last = l
	}
	return false, may, last
}

func (b *board) actClause(i int32, x *constraint) bool {
	sure, may, last := b.literals(x)
	switch {
	case sure || may > 1:
		return true
	case may == 1:
		return b.restrict(last.field, last.mask, i)
	}
	return b.fail(i)
}

func (b *board) fail(i int32) bool {
	b.failed, b.failure = i, None
	return false
}

func (b *board) actTable(i int32, x *constraint) bool {
	alive := b.aliveOf(x)
	any := false
	for j, f := range x.fields {
		b.keepRows(x, alive, j, b.domain(f), i)
	}
	for _, w := range alive {
		any = any || w != 0
	}
	if !any {
		return b.fail(i)
	}
	for j, f := range x.fields {
		if !b.keepClasses(x, alive, j, f, i) {
			return false
		}
	}
	return true
}

// keepRows leaves the rows that let a field be in a class of its domain.
func (b *board) keepRows(x *constraint, alive []uint64, j int, d []uint64, reason int32) {
	some := b.scratch[:len(alive)]
	clear(some)
	for k, w := range d {
		for ; w != 0; w &= w - 1 {
			for r, rows := range x.supports[j][k*64+bits.TrailingZeros64(w)] {
				some[r] |= rows
			}
		}
	}
	for r, w := range alive {
		if left := w & some[r]; left != w {
			b.trail = append(b.trail, change{x.alive + int32(r), None, reason, w})
			alive[r] = left
		}
	}
}

// keepClasses leaves the classes that a row lets a field be in.
func (b *board) keepClasses(x *constraint, alive []uint64, j int, f, reason int32) bool {
	d := b.domain(f)
	keep := b.scratch[:len(d)]
	for k, w := range d {
		keep[k] = 0
		for ; w != 0; w &= w - 1 {
			if meets(alive, x.supports[j][k*64+bits.TrailingZeros64(w)]) {
				keep[k] |= w & -w
			}
		}
	}
	return b.restrict(f, keep, reason)
}

func (b *board) actRelation(i int32, x *constraint) bool {
	sure, may, last := b.literals(x)
	switch {
	case sure || may > 1:
		return true
	case may == 1:
		if b.possible(x) {
			return true
		}
		return b.restrict(last.field, last.mask, i)
	}
	return b.partners(x.a, x.b, x.aToB, i) && b.partners(x.b, x.a, x.bToA, i)
}

// possible tells whether any two classes go together.
func (b *board) possible(x *constraint) bool {
	da, db := b.domain(x.a), b.domain(x.b)
	for k, w := range da {
		for ; w != 0; w &= w - 1 {
			if meets(x.aToB[k*64+bits.TrailingZeros64(w)], db) {
				return true
			}
		}
	}
	return false
}

// certain tells whether all classes of the two fields go together.
func (b *board) certain(x *constraint) bool {
	da, db := b.domain(x.a), b.domain(x.b)
	for k, w := range da {
		for ; w != 0; w &= w - 1 {
			if !within(db, x.aToB[k*64+bits.TrailingZeros64(w)]) {
				return false
			}
		}
	}
	return true
}

// partners leaves what a field may be beside what another may be.
func (b *board) partners(from, to int32, goes [][]uint64, reason int32) bool {
	keep := b.scratch[:b.kinds.wordsOf(to)]
	clear(keep)
	for k, w := range b.domain(from) {
		for ; w != 0; w &= w - 1 {
			for r, m := range goes[k*64+bits.TrailingZeros64(w)] {
				keep[r] |= m
			}
		}
	}
	return b.restrict(to, keep, reason)
}

// entailed tells whether a constraint holds of everything that is left.
func (b *board) entailed(x *constraint) bool {
	switch x.kind {
	case table:
		return b.covered(x)
	case relation:
		if sure, _, _ := b.literals(x); sure {
			return true
		}
		return b.certain(x)
	}
	sure, _, _ := b.literals(x)
	return sure
}

// covered tells whether one row of a table holds of everything that is left. A
// table that has only one field open is covered too, since each class left has
// its row.
func (b *board) covered(x *constraint) bool {
	undecided := 0
	for j, f := range x.fields {
		if b.openInTable(x, j, f) {
			undecided++
		}
	}
	return undecided <= 1
}

// openInTable tells whether the rows left treat the classes left of a field
// differently.
func (b *board) openInTable(x *constraint, j int, f int32) bool {
	d := b.domain(f)
	if single(d) {
		return false
	}
	alive := b.aliveOf(x)
	for k, w := range d {
		for ; w != 0; w &= w - 1 {
			if !within(alive, x.supports[j][k*64+bits.TrailingZeros64(w)]) {
				return true
			}
		}
	}
	return false
}
