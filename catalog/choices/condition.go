package choices

import "slices"

// kind is what a constraint is.
type kind uint8

const (
	clause   kind = iota // one of its literals holds
	table                // one of its rows holds
	relation             // one of its literals holds, or two numbers stand as they must
)

// raw is a constraint between values, before values are joined to classes.
type raw struct {
	kind      kind
	rule, row int32
	lits      []term
	fields    []int32  // of a table
	rows      [][]*set // of a table, by fields; nil for any
	compare   *compare
}

// conditioner takes the rules of a base to what they say within a domain. When
// it may reduce, what they say of a single field goes into the domain, again
// and again until that says nothing new; when it may not, each rule stays
// whole, so that a conflict can name it.
type conditioner struct {
	base       *base
	dom        []uint64 // of all fields' values
	reduce     bool
	changed    bool
	impossible bool
	raws       []raw
}

func condition(b *base, dom []uint64, reduce bool) *conditioner {
	c := &conditioner{base: b, dom: dom, reduce: reduce, changed: true}
	for c.changed && !c.impossible {
		c.changed, c.raws = false, c.raws[:0]
		for i := range b.rules {
			c.rule(int32(i), &b.rules[i])
		}
	}
	return c
}

func (c *conditioner) domain(f int32) []uint64 {
	fd := &c.base.fields[f]
	return c.dom[fd.off : fd.off+fd.words]
}

// of tells whether a field's domain lies in a set (yes), outside it (no) or
// both.
func (c *conditioner) of(f int32, s *set) state {
	d := c.domain(f)
	switch {
	case !meets(d, s.in):
		return no
	case within(d, s.in):
		return yes
	}
	return open
}

// guards gives the literals that excuse a rule: the negated terms of when it
// applies. False means that it never does.
func (c *conditioner) guards(where []term) ([]term, bool) {
	var lits []term
	for _, t := range where {
		switch c.of(t.field, t.set) {
		case no:
			return nil, false
		case open:
			lits = append(lits, term{t.field, t.set.not})
		}
	}
	return lits, true
}

func (c *conditioner) rule(i int32, r *rule) {
	lits, applies := c.guards(r.where)
	switch {
	case !applies:
	case r.compare != nil:
		c.compare(i, r.compare, lits)
	case r.forbid:
		for row, terms := range r.rows {
			if more, may := c.guards(terms); may {
				c.clause(i, int32(row), slices.Concat(lits, more))
			}
		}
	default:
		c.allow(i, r.rows, lits)
	}
}

// clause notes literals of which none is true and none false in the domain.
func (c *conditioner) clause(rule, row int32, lits []term) {
	if len(lits) == 0 {
		c.impossible = true
	}
	if !c.reduce || len(lits) > 1 {
		c.raws = append(c.raws, raw{kind: clause, rule: rule, row: row, lits: merged(lits)})
		return
	}
	if len(lits) == 1 {
		c.restrict(lits[0].field, lits[0].set.in)
	}
}

// merged leaves a clause as it is unless it has two literals of one field: then
// the sets are joined.
func merged(lits []term) []term {
	for i := range lits {
		for j := range i {
			if lits[i].field != lits[j].field {
				continue
			}
			rest := append(slices.Clone(lits[:i]), lits[i+1:]...)
			rest[j].set = union(lits[i].set, lits[j].set)
			return merged(rest)
		}
	}
	return lits
}

// union makes a set that is not among the base's own: its id is None.
func union(a, b *set) *set {
	in := make([]uint64, len(a.in))
	for i := range in {
		in[i] = a.in[i] | b.in[i]
	}
	return &set{in: in, print: fingerprint{0xc0}.withAll(in), id: None}
}

func (c *conditioner) restrict(f int32, in []uint64) {
	d := c.domain(f)
	for i, w := range in {
		if d[i]&^w != 0 {
			c.changed = true
			d[i] &= w
		}
	}
	if empty(d) {
		c.impossible = true
	}
}

// allow notes a table of rows, unless the domain already makes it simpler.
func (c *conditioner) allow(rule int32, rows [][]term, guards []term) {
	alive, entailed := c.alive(rows)
	switch {
	case entailed:
		return
	case len(alive) == 0:
		c.clause(rule, 0, guards)
		return
	case len(alive) == 1:
		for _, t := range alive[0] {
			if c.of(t.field, t.set) == open {
				c.clause(rule, 0, append(slices.Clone(guards), t))
			}
		}
		return
	}
	fields := c.openFields(alive)
	if len(fields) == 1 {
		c.clause(rule, 0, append(slices.Clone(guards), term{fields[0], joined(alive, fields[0])}))
		return
	}
	if c.reduce && len(guards) == 0 {
		for _, f := range fields {
			if s := joined(alive, f); s != nil {
				c.restrict(f, s.in)
			}
		}
	}
	c.table(rule, alive, fields, guards)
}

func (c *conditioner) alive(rows [][]term) (alive [][]term, entailed bool) {
	for _, row := range rows {
		verdict := yes
		for _, t := range row {
			switch c.of(t.field, t.set) {
			case no:
				verdict = no
			case open:
				if verdict == yes {
					verdict = open
				}
			}
			if verdict == no {
				break
			}
		}
		switch verdict {
		case yes:
			return nil, true
		case open:
			alive = append(alive, row)
		}
	}
	return alive, false
}

func (c *conditioner) openFields(rows [][]term) []int32 {
	named := map[int32]bool{}
	for _, row := range rows {
		for _, t := range row {
			if !named[t.field] && c.of(t.field, t.set) == open {
				named[t.field] = true
			}
		}
	}
	fields := make([]int32, 0, len(named))
	for f := range named {
		fields = append(fields, f)
	}
	slices.Sort(fields)
	return fields
}

// joined is all that any row lets a field be, or nil for anything.
func joined(rows [][]term, f int32) *set {
	var all *set
	for _, row := range rows {
		at := slices.IndexFunc(row, func(t term) bool { return t.field == f })
		switch {
		case at < 0:
			return nil
		case all == nil:
			s := row[at].set
			all = &set{in: slices.Clone(s.in), id: None}
		default:
			for i, w := range row[at].set.in {
				all.in[i] |= w
			}
		}
	}
	all.print = fingerprint{0xc1, uint64(f)}.withAll(all.in)
	return all
}

// table notes rows over several fields. What excuses the rule becomes rows of
// its own.
func (c *conditioner) table(rule int32, alive [][]term, fields []int32, guards []term) {
	for _, g := range guards {
		if !slices.Contains(fields, g.field) {
			fields = append(fields, g.field)
		}
	}
	slices.Sort(fields)
	t := raw{kind: table, rule: rule, row: -1, fields: fields, rows: make([][]*set, 0, len(alive)+len(guards))}
	cells := make([]*set, (len(alive)+len(guards))*len(fields))
	next := func(row []term) {
		var line []*set
		line, cells = cells[:len(fields):len(fields)], cells[len(fields):]
		for _, x := range row {
			if at, found := slices.BinarySearch(fields, x.field); found {
				line[at] = x.set
			}
		}
		t.rows = append(t.rows, line)
	}
	for _, row := range alive {
		next(row)
	}
	for i := range guards {
		next(guards[i : i+1])
	}
	c.raws = append(c.raws, t)
}

// print is the fingerprint of what is left: domains and constraints.
func (c *conditioner) print() fingerprint {
	p := c.base.layout.withAll(c.dom)
	if c.impossible {
		return p.with(1)
	}
	var sum fingerprint
	for i := range c.raws {
		sum = sum.plus(c.raws[i].print())
	}
	return p.and(sum)
}

func (r *raw) print() fingerprint {
	var lits fingerprint
	for _, t := range r.lits {
		lits = lits.plus(t.set.print.with(uint64(t.field)))
	}
	p := fingerprint{uint64(r.kind), 7}.and(lits)
	if r.compare != nil {
		p = p.and(r.compare.print)
	}
	for _, f := range r.fields {
		p = p.with(uint64(f))
	}
	for _, row := range r.rows {
		for _, s := range row {
			if s == nil {
				p = p.with(0)
			} else {
				p = p.and(s.print)
			}
		}
	}
	return p
}
