package choices

import (
	"math/bits"
	"slices"
)

// finish reckons what is known of a rule once it is read: the fields it names
// and its fingerprint, which its ID and its sentence are no part of.
func (r *rule) finish() {
	p := fingerprint{1}
	if r.forbid {
		p = fingerprint{2}
	}
	named := map[int32]bool{}
	note := func(terms []term) {
		p = p.with(uint64(len(terms)))
		for _, t := range terms {
			p = p.and(t.set.print)
			named[t.field] = true
		}
	}
	note(r.where)
	for _, row := range r.rows {
		note(row)
	}
	if c := r.compare; c != nil {
		c.print = fingerprint{3, uint64(c.a)}.with(uint64(c.b)).with(uint64(c.timesA)).with(uint64(c.timesB)).with(uint64(c.plus)).with(c.high).with(c.low)
		named[c.a], named[c.b] = true, true
		p = p.and(c.print)
	}
	r.print = p
	for f := range named {
		r.fields = append(r.fields, f)
	}
	slices.Sort(r.fields)
}

// eachTerm gives every term of every rule.
func (b *base) eachTerm(yield func(term)) {
	for i := range b.rules {
		for _, t := range b.rules[i].where {
			yield(t)
		}
		for _, row := range b.rules[i].rows {
			for _, t := range row {
				yield(t)
			}
		}
	}
}

// holds tells of two numbers whether the condition holds.
func (c *compare) holds(a, b int64) bool {
	if !c.product {
		return a*c.timesA <= b*c.timesB+c.plus
	}
	high, low := bits.Mul64(uint64(a), uint64(b))
	return high < c.high || high == c.high && low <= c.low
}

// allows tells of two values, which need not be numbers.
func (c *compare) allows(b *base, va, vb int32) bool {
	na, is := b.fields[c.a].number(va)
	nb, both := b.fields[c.b].number(vb)
	return !is || !both || c.holds(na, nb)
}

// state is what is known of a row or a rule when only some fields are picked.
type state uint8

const (
	open state = iota
	yes
	no
)

// of judges a row by picks: no as soon as one term fails.
func judgeRow(row []term, picks Picks) state {
	verdict := yes
	for _, t := range row {
		switch v := picks[t.field]; {
		case v == None:
			verdict = open
		case !has(t.set.in, v):
			return no
		}
	}
	return verdict
}

// judge tells whether picks keep the rule, break it or leave it open, and for a
// forbidden row that holds, which. It looks at one rule alone.
func (r *rule) judge(b *base, picks Picks) (state, int) {
	applies := judgeRow(r.where, picks)
	if applies == no {
		return yes, -1
	}
	says, row := r.judgeRest(b, picks)
	if says == no && applies == open {
		return open, -1
	}
	return says, row
}

func (r *rule) judgeRest(b *base, picks Picks) (state, int) {
	switch {
	case r.compare != nil:
		va, vb := picks[r.compare.a], picks[r.compare.b]
		switch {
		case va == None || vb == None:
			return open, -1
		case r.compare.allows(b, va, vb):
			return yes, -1
		}
		return no, -1
	case r.forbid:
		verdict := yes
		for i, row := range r.rows {
			switch judgeRow(row, picks) {
			case yes:
				return no, i
			case open:
				verdict = open
			}
		}
		return verdict, -1
	}
	verdict := no
	for _, row := range r.rows {
		switch judgeRow(row, picks) {
		case yes:
			return yes, -1
		case open:
			verdict = open
		}
	}
	return verdict, -1
}
