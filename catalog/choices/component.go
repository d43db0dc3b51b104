package choices

import (
	"cmp"
	"math/bits"
	"slices"
)

// part is fields that constraints still bind to each other, and those
// constraints.
type part struct {
	fields []int32 // rising
	cons   []int32 // rising
}

// splitter finds the parts that a settled board falls into.
type splitter struct {
	*board
	seenField []uint32
	seenCon   []uint32
	stamp     uint32
	rowPrints []fingerprint
	openAt    []int32
}

func newSplitter(b *board) *splitter {
	return &splitter{board: b, seenField: make([]uint32, len(b.base.fields)), seenCon: make([]uint32, len(b.cons))}
}

// split gives the parts of some fields. Fields that no constraint binds are in
// none.
func (s *splitter) split(fields []int32) []part {
	s.stamp++
	var parts []part
	for _, f := range fields {
		if s.seenField[f] == s.stamp || single(s.domain(f)) {
			continue
		}
		p := part{fields: []int32{f}}
		s.seenField[f] = s.stamp
		for next := 0; next < len(p.fields); next++ {
			s.grow(&p, p.fields[next])
		}
		if len(p.cons) == 0 {
			s.seenField[f] = s.stamp - 1 // free
			continue
		}
		slices.Sort(p.fields)
		slices.Sort(p.cons)
		parts = append(parts, p)
	}
	return parts
}

// grow adds the constraints that still bind a field, and the fields they bind
// it to.
func (s *splitter) grow(p *part, f int32) {
	for _, o := range s.occurs[f] {
		if s.seenCon[o.constraint] == s.stamp {
			continue
		}
		x := &s.cons[o.constraint]
		if o.mask != nil && !meets(s.domain(f), o.mask) {
			continue // false here: another field may still find it
		}
		s.work++
		if x.kind != table && s.entailed(x) {
			s.seenCon[o.constraint] = s.stamp
			continue
		}
		s.openAt = s.openFields(x, s.openAt[:0])
		if x.kind == table && len(s.openAt) < 2 {
			s.seenCon[o.constraint] = s.stamp
			continue
		}
		if !slices.Contains(s.openAt, f) {
			continue
		}
		s.seenCon[o.constraint] = s.stamp
		p.cons = append(p.cons, o.constraint)
		for _, g := range s.openAt {
			if s.seenField[g] != s.stamp {
				s.seenField[g] = s.stamp
				p.fields = append(p.fields, g)
			}
		}
	}
}

// openFields gives the fields whose classes left a constraint tells apart.
func (s *splitter) openFields(x *constraint, into []int32) []int32 {
	for i := range x.lits {
		if l := &x.lits[i]; meets(s.domain(l.field), l.mask) {
			into = append(into, l.field)
		}
	}
	switch x.kind {
	case table:
		for j, f := range x.fields {
			if s.openInTable(x, j, f) {
				into = append(into, f)
			}
		}
	case relation:
		into = s.openInRelation(x, into)
	}
	return into
}

func (s *splitter) openInRelation(x *constraint, into []int32) []int32 {
	if uneven(s.domain(x.a), s.domain(x.b), x.aToB) {
		into = append(into, x.a)
	}
	if uneven(s.domain(x.b), s.domain(x.a), x.bToA) {
		into = append(into, x.b)
	}
	return into
}

// uneven tells whether the classes of a domain go with different ones of
// another.
func uneven(d, other []uint64, goes [][]uint64) bool {
	first := goes[lowest(d)]
	for k, w := range d {
		for ; w != 0; w &= w - 1 {
			row := goes[k*64+bits.TrailingZeros64(w)]
			for i, o := range other {
				if (row[i]^first[i])&o != 0 {
					return true
				}
			}
		}
	}
	return false
}

// print is the fingerprint of what is left of a part: the domains of its fields
// and what its constraints still say of them. Equal prints have equal diagrams.
func (s *splitter) print(p *part) fingerprint {
	print := fingerprint{uint64(len(p.fields)), 11}
	for _, f := range p.fields {
		print = print.with(uint64(f)).withAll(s.domain(f))
	}
	var sum fingerprint
	for _, i := range p.cons {
		sum = sum.plus(s.residue(i))
	}
	return print.and(sum)
}

func (s *splitter) residue(i int32) fingerprint {
	x := &s.cons[i]
	print := fingerprint{uint64(x.kind), 13}
	if x.kind == table {
		return print.and(s.tableResidue(x))
	}
	var sum fingerprint
	for j := range x.lits {
		l := &x.lits[j]
		d := s.domain(l.field)
		if !meets(d, l.mask) {
			continue
		}
		one := fingerprint{uint64(l.field), 17}
		for k, w := range l.mask {
			one = one.with(w & d[k])
		}
		sum = sum.plus(one)
	}
	if x.kind == relation {
		sum = sum.plus(s.relationResidue(x))
	}
	return print.and(sum)
}

// relationResidue tells of a relation's fields what those of the part do not:
// where only one is open still, which of its classes the other lets it be.
func (s *splitter) relationResidue(x *constraint) fingerprint {
	da, db := s.domain(x.a), s.domain(x.b)
	openA, openB := uneven(da, db, x.aToB), uneven(db, da, x.bToA)
	print := fingerprint{uint64(x.same), 19}
	switch {
	case openA && openB:
		return print
	case openA:
		return print.with(uint64(x.a)).and(compatible(da, db, x.aToB))
	case openB:
		return print.with(uint64(x.b)).and(compatible(db, da, x.bToA))
	}
	return fingerprint{19} // never met: a clause of the literals is left
}

// compatible is the fingerprint of the classes of a domain that go with another.
func compatible(d, other []uint64, goes [][]uint64) fingerprint {
	print := fingerprint{31}
	ones(d, func(c int32) {
		if meets(goes[c], other) {
			print = print.with(uint64(c))
		}
	})
	return print
}

// tableResidue is the fingerprint of the set of rows left, as far as the fields
// still open see them.
func (s *splitter) tableResidue(x *constraint) fingerprint {
	s.openAt = s.openAt[:0]
	print := fingerprint{23}
	for j, f := range x.fields {
		if s.openInTable(x, j, f) {
			s.openAt = append(s.openAt, int32(j))
			print = print.with(uint64(f))
		}
	}
	s.rowPrints = s.rowPrints[:0]
	ones(s.aliveOf(x), func(row int32) {
		one := fingerprint{29}
		for _, j := range s.openAt {
			d := s.domain(x.fields[j])
			mask := x.rows[int(row)*len(x.fields)+int(j)]
			for k, w := range d {
				if mask != nil {
					w &= mask[k]
				}
				one = one.with(w)
			}
		}
		s.rowPrints = append(s.rowPrints, one)
	})
	slices.SortFunc(s.rowPrints, func(a, b fingerprint) int {
		if c := cmp.Compare(a[0], b[0]); c != 0 {
			return c
		}
		return cmp.Compare(a[1], b[1])
	})
	for i, one := range s.rowPrints {
		if i == 0 || one != s.rowPrints[i-1] {
			print = print.and(one)
		}
	}
	return print
}
