package choices

import "slices"

// doubts asks of each rule whether anything breaks it alone. For that it has
// the whole base and, as further rules that are off, the opposites of rules:
// rule i's opposite is rule n+i of n.
type doubts struct {
	c      *Compiled
	e      *refuter
	masker *masker
	n      int32
}

// mostOpposites bounds the clauses that stand for opposites of allowed rows.
const mostOpposites = 50_000

func newDoubts(c *Compiled) *doubts {
	n := len(c.base.rules)
	p := *c.whole
	p.cons = slices.Clip(p.cons)
	p.occurs, p.wider = make([][]occurrence, len(c.whole.occurs)), make([][]int32, len(c.whole.wider))
	for f := range p.occurs {
		p.occurs[f], p.wider[f] = slices.Clip(c.whole.occurs[f]), slices.Clip(c.whole.wider[f])
	}
	p.byRule = make([][]int32, 2*n)
	copy(p.byRule, c.whole.byRule)
	d := &doubts{c: c, n: int32(n), masker: &masker{problem: &p, bySet: map[*set][]uint64{}, relations: map[fingerprint]int32{}}}
	opposites := 0
	for i := range c.base.rules {
		r := &c.base.rules[i]
		if opposites += len(r.rows); opposites <= mostOpposites {
			d.oppose(&p, int32(i), r)
		}
	}
	d.e = newRefuter(&p, n, c.options.Search)
	return d
}

// oppose adds the opposite of a rule that is not of forbidden rows: those are
// opposed by taking the board to a row.
func (d *doubts) oppose(p *problem, i int32, r *rule) {
	add := func(x constraint) {
		x.rule = d.n + i
		p.cons = append(p.cons, x)
		p.index(int32(len(p.cons) - 1))
	}
	if r.compare != nil {
		add(d.opposite(r.compare))
		return
	}
	if r.forbid {
		return
	}
	for _, row := range r.rows {
		x := constraint{kind: clause, row: -1}
		for _, t := range row {
			x.lits = append(x.lits, literal{t.field, d.masker.mask(t.field, t.set.not)})
		}
		add(x)
	}
}

// opposite is the relation of the numbers that break a condition.
func (d *doubts) opposite(c *compare) constraint {
	p := d.masker.problem
	x := constraint{kind: relation, row: -1, a: c.a, b: c.b, same: int32(len(p.cons))}
	na, nb := int32(p.kinds.count(c.a)), int32(p.kinds.count(c.b))
	x.aToB, x.bToA = blank(int(na), p.kinds.wordsOf(c.b)), blank(int(nb), p.kinds.wordsOf(c.a))
	for ca := range na {
		for cb := range nb {
			if !c.allows(d.c.base, lowest(p.kinds.members(c.a, ca)), lowest(p.kinds.members(c.b, cb))) {
				put(x.aToB[ca], cb)
				put(x.bToA[cb], ca)
			}
		}
	}
	return x
}

// box takes a board to where terms hold.
func (d *doubts) box(terms ...[]term) func(*board) bool {
	return func(b *board) bool {
		for _, some := range terms {
			for _, t := range some {
				if !b.restrict(t.field, d.masker.mask(t.field, t.set), byPick) {
					return false
				}
			}
		}
		return true
	}
}

// refuted tells whether the rules given leave nothing where start is, and the
// rules that make it so. Known is false when a bound was reached.
func (d *doubts) refuted(start func(*board) bool, rules []int32) (because []int32, refuted, known bool) {
	d.e.bound = false
	_, refuted = d.e.refute(start, rules)
	if !refuted {
		if !d.e.bound && slices.Equal(rules, d.e.all) {
			d.c.kept.add(slices.Clone(d.e.b.mem[:d.e.b.kinds.words]))
		}
		return nil, false, !d.e.bound
	}
	because, _ = d.e.minimal(start, rules)
	return slices.DeleteFunc(because, func(r int32) bool { return r >= d.n }), true, true
}

// others are all rules but one, and the opposite of that.
func (d *doubts) others(r int32, opposed bool) []int32 {
	rules := slices.Delete(slices.Clone(d.e.all), int(r), int(r)+1)
	if opposed {
		rules = append(rules, d.n+r)
	}
	return rules
}

// rule finds whether a rule, and each row of it, has anything to say beside the
// other rules.
func (l *lint) rule(i int32) {
	r := &l.c.base.rules[i]
	one := finding(NeverApplies)
	one.Rule = i
	if len(r.where) > 0 && l.tell(one, l.d.box(r.where), l.d.others(i, false)) {
		return
	}
	l.rowsWithin(i, r)
	one.Kind = Redundant
	switch {
	case r.forbid:
		l.forbidden(i, r)
	default:
		if len(l.d.e.b.byRule[l.d.n+i]) == 0 && len(r.rows) > 0 {
			one.Kind = NotExamined
			l.add(one)
			return
		}
		if !l.tell(one, l.d.box(r.where), l.d.others(i, true)) {
			l.allowed(i, r)
		}
	}
}

// tell adds a finding when the rules leave nothing where start is, or a search
// about that was given up.
func (l *lint) tell(f Finding, start func(*board) bool, rules []int32) bool {
	because, refuted, known := l.d.refuted(start, rules)
	switch {
	case !known:
		f.Kind = NotExamined
		l.add(f)
	case refuted:
		f.Because = because
		l.add(f)
	}
	return refuted
}

// forbidden finds forbidden rows that the other rules forbid already; a rule of
// nothing else is redundant.
func (l *lint) forbidden(i int32, r *rule) {
	from, unused := len(l.all), 0
	others := l.d.others(i, false)
	because := map[int32]bool{}
	for row, terms := range r.rows {
		f := finding(RowNeverUsed)
		f.Rule, f.Row = i, int32(row)
		if l.tell(f, l.d.box(r.where, terms), others) {
			unused++
			for _, other := range l.all[len(l.all)-1].Because {
				because[other] = true
			}
		}
	}
	if unused < len(r.rows) {
		return
	}
	l.all = l.all[:from]
	one := finding(Redundant)
	one.Rule = i
	for other := range because {
		one.Because = append(one.Because, other)
	}
	slices.Sort(one.Because)
	l.add(one)
}

// allowed finds allowed rows that nothing may be.
func (l *lint) allowed(i int32, r *rule) {
	for row, terms := range r.rows {
		if len(r.rows) == 1 || l.d.seen(r.where, terms) {
			continue
		}
		f := finding(RowNeverUsed)
		f.Rule, f.Row = i, int32(row)
		l.tell(f, l.d.box(r.where, terms), l.d.e.all)
	}
}

// seen tells whether a box found before, of all rules, has a choice of which
// the terms of both rows hold.
func (d *doubts) seen(where, row []term) bool {
	masks := map[int32][]uint64{}
	for _, t := range slices.Concat(where, row) {
		mask := d.masker.mask(t.field, t.set)
		if before := masks[t.field]; before != nil {
			mask = both(before, mask)
		}
		masks[t.field] = mask
	}
	return slices.ContainsFunc(d.c.kept.all(), func(box []uint64) bool {
		for f, mask := range masks {
			if !meets(mask, box[d.c.whole.kinds.off[f]:]) {
				return false
			}
		}
		return true
	})
}

// rowsWithin finds rows that another row of their rule covers.
func (l *lint) rowsWithin(i int32, r *rule) {
	if len(r.rows) > mostRowsCompared {
		return
	}
	for a, row := range r.rows {
		for b, other := range r.rows {
			if a == b || !rowWithin(row, other) || a < b && rowWithin(other, row) {
				continue // of two equal rows the later is told
			}
			f := finding(RowWithinRow)
			f.Rule, f.Row, f.Other = i, int32(a), int32(b)
			l.add(f)
			break
		}
	}
}

// mostRowsCompared is how many rows of a rule are compared with each other.
const mostRowsCompared = 2000

func rowWithin(row, other []term) bool {
	for _, t := range other {
		at := slices.IndexFunc(row, func(x term) bool { return x.field == t.field })
		if at < 0 && !empty(t.set.not.in) || at >= 0 && !within(row[at].set.in, t.set.in) {
			return false
		}
	}
	return true
}
