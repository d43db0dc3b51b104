package choices

import "sort"

// classing joins the values of each field that no constraint tells apart.
// Numbers so become the intervals between the rules' break-points.
type classing struct {
	of     []int32    // class of a value, by valueAt; None outside the domain
	first  []int32    // where a field's classes begin in values; one more than there are fields
	values [][]uint64 // the values of each class, as a vector of the field
	off    []int32    // of a field's words in a vector of all fields' classes
	words  int
}

// count is how many classes a field has.
func (c *classing) count(f int32) int { return int(c.first[f+1] - c.first[f]) }

func (c *classing) wordsOf(f int32) int { return wordsFor(c.count(f)) }

// members gives the values of a class.
func (c *classing) members(f, class int32) []uint64 { return c.values[c.first[f]+class] }

// class gives the class of a value, or None outside the domain.
func (c *classing) class(b *base, f, value int32) int32 {
	return c.of[b.fields[f].off*64+int(value)]
}

// classes joins the values of the conditioner's domain.
func (c *conditioner) classes() *classing {
	b := c.base
	k := &classing{of: make([]int32, b.words*64), first: make([]int32, 1, len(b.fields)+1), off: make([]int32, 0, len(b.fields))}
	for i := range k.of {
		k.of[i] = None
	}
	marks := c.marks()
	for f := range b.fields {
		k.off = append(k.off, int32(k.words))
		k.addField(&b.fields[f], c.domain(int32(f)), marks)
		k.words += wordsFor(k.count(int32(f)))
	}
	return k
}

func (k *classing) addField(fd *field, dom []uint64, marks []fingerprint) {
	at := fd.off * 64
	byMark := map[fingerprint]int32{}
	start := k.first[len(k.first)-1]
	ones(dom, func(v int32) {
		mark := marks[at+int(v)]
		class, seen := byMark[mark]
		if !seen {
			class = int32(len(byMark))
			byMark[mark] = class
			k.values = append(k.values, make([]uint64, fd.words))
		}
		k.of[at+int(v)] = class
		put(k.values[start+class], v)
	})
	k.first = append(k.first, start+int32(len(byMark)))
}

// marks gives for each value a fingerprint of how the constraints treat it.
func (c *conditioner) marks() []fingerprint {
	marks := make([]fingerprint, c.base.words*64)
	seen := map[fingerprint]bool{}
	note := func(f int32, s *set) {
		print := s.print.with(uint64(f))
		if seen[print] {
			return
		}
		seen[print] = true
		at := c.base.fields[f].off * 64
		ones(s.in, func(v int32) { marks[at+int(v)] = marks[at+int(v)].plus(print) })
	}
	if !c.reduce {
		c.base.eachTerm(func(t term) { note(t.field, t.set) }) // a rule may also be asked about by its parts
	}
	for i := range c.raws {
		r := &c.raws[i]
		for _, t := range r.lits {
			note(t.field, t.set)
		}
		for _, row := range r.rows {
			for j, s := range row {
				if s != nil {
					note(r.fields[j], s)
				}
			}
		}
		if r.compare != nil && !seen[r.compare.print] {
			seen[r.compare.print] = true
			c.markCompare(r.compare, marks)
		}
	}
	return marks
}

// numbered is a value with its number.
type numbered struct {
	value  int32
	number int64
}

// numbersOf gives the numbers of a field that are in the domain, rising.
func (c *conditioner) numbersOf(f int32) []numbered {
	fd := &c.base.fields[f]
	all := make([]numbered, 0, fd.size)
	ones(c.domain(f), func(v int32) {
		if n, is := fd.number(v); is {
			all = append(all, numbered{v, n})
		}
	})
	return all
}

// markCompare marks the numbers of either field by how many of the other they
// go with; that says which, since those are always the least or the greatest.
func (c *conditioner) markCompare(p *compare, marks []fingerprint) {
	as, bs := c.numbersOf(p.a), c.numbersOf(p.b)
	atA, atB := c.base.fields[p.a].off*64, c.base.fields[p.b].off*64
	for _, a := range as {
		n := partner(bs, func(b int64) bool { return p.holds(a.number, b) }, p.product)
		marks[atA+int(a.value)] = marks[atA+int(a.value)].plus(p.print.with(uint64(n)))
	}
	for _, b := range bs {
		n := partner(as, func(a int64) bool { return p.holds(a, b.number) }, true)
		marks[atB+int(b.value)] = marks[atB+int(b.value)].plus(p.print.with(uint64(n)).with(1))
	}
}

// partner finds where a condition changes along rising numbers: how many hold
// when the least do, or how many fail when the greatest do.
func partner(all []numbered, holds func(int64) bool, leastHold bool) int {
	return sort.Search(len(all), func(i int) bool { return holds(all[i].number) != leastHold })
}
