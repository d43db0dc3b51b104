package choices

import "slices"

// compare notes a condition on two numbers.
func (c *conditioner) compare(rule int32, p *compare, guards []term) {
	if c.reduce {
		low, high := c.bounds(p)
		switch {
		case high: // holds of any two
			return
		case len(guards) == 0 && low:
			c.impossible = true
		case low:
			c.clause(rule, 0, guards)
			return
		}
		if one, is := c.decided(p); is {
			c.clause(rule, 0, append(slices.Clone(guards), one))
			return
		}
	}
	c.raws = append(c.raws, raw{kind: relation, rule: rule, row: -1, lits: merged(guards), compare: p})
}

// decided gives what a condition says of one of its fields when the domain of
// the other is a single value.
func (c *conditioner) decided(p *compare) (term, bool) {
	one, other := p.a, p.b
	if !single(c.domain(one)) {
		one, other = p.b, p.a
	}
	if !single(c.domain(one)) {
		return term{}, false
	}
	v := lowest(c.domain(one))
	all := &set{in: make([]uint64, c.base.fields[other].words), id: None}
	ones(c.domain(other), func(w int32) {
		if one == p.a && p.allows(c.base, v, w) || one == p.b && p.allows(c.base, w, v) {
			put(all.in, w)
		}
	})
	all.print = fingerprint{0xc2, uint64(other)}.withAll(all.in)
	return term{other, all}, true
}

// bounds tells whether a condition fails of any two values of the domain, and
// whether it holds of any two.
func (c *conditioner) bounds(p *compare) (never, always bool) {
	minA, maxA, wordsA := c.extent(p.a)
	minB, maxB, wordsB := c.extent(p.b)
	if minA > maxA || minB > maxB {
		return false, true // one of them is never a number
	}
	if p.product {
		return !wordsA && !wordsB && !p.holds(minA, minB), p.holds(maxA, maxB)
	}
	return !wordsA && !wordsB && !p.holds(minA, maxB), p.holds(maxA, minB)
}

// extent gives the least and the greatest number in a field's domain, and
// whether it may also be a named value.
func (c *conditioner) extent(f int32) (least, most int64, words bool) {
	fd, d := &c.base.fields[f], c.domain(f)
	least, most = 1, 0
	first := true
	ones(d, func(v int32) {
		n, is := fd.number(v)
		switch {
		case !is:
			words = true
		case first:
			least, most, first = n, n, false
		default:
			most = n
		}
	})
	return least, most, words
}
