package choices

// constraint is a raw one between classes.
type constraint struct {
	kind      kind
	rule, row int32
	lits      []literal
	// of a table
	fields   []int32
	rows     [][]uint64   // masks by row and field: row*len(fields)+field; nil for any
	count    int          // of rows
	supports [][][]uint64 // rows that let a field be in a class, by field and class
	alive    int32        // of the words that tell which rows are left, in a state
	// of a relation
	a, b int32
	aToB [][]uint64 // what b may be for each class of a
	bToA [][]uint64
	same int32 // an equal relation's first constraint
}

// literal holds when the field's class is in the mask.
type literal struct {
	field int32
	mask  []uint64
}

// occurrence is a constraint that reads a field. A clause is looked at only
// when the literal's mask is left.
type occurrence struct {
	constraint int32
	mask       []uint64
}

// problem is a rule base, or what is left of it for one value of the hub, over
// classes of values.
type problem struct {
	base   *base
	kinds  *classing
	cons   []constraint
	occurs [][]occurrence // by field
	wider  [][]int32      // tables and relations by field that they read beside literals
	byRule [][]int32      // constraints
	words  int            // of a state: domains, then what is alive of each table
}

func newProblem(c *conditioner) *problem {
	p := &problem{base: c.base, kinds: c.classes(), occurs: make([][]occurrence, len(c.base.fields)), wider: make([][]int32, len(c.base.fields)), byRule: make([][]int32, len(c.base.rules))}
	p.words = p.kinds.words
	m := &masker{problem: p, bySet: map[*set][]uint64{}, relations: map[fingerprint]int32{}}
	seen := map[fingerprint]bool{}
	for i := range c.raws {
		r := &c.raws[i]
		if c.reduce && r.kind != table {
			print := r.print()
			if seen[print] {
				continue
			}
			seen[print] = true
		}
		p.cons = append(p.cons, m.constraint(r))
	}
	for i := range p.cons {
		p.index(int32(i))
	}
	return p
}

func (p *problem) index(i int32) {
	x := &p.cons[i]
	p.byRule[x.rule] = append(p.byRule[x.rule], i)
	for _, l := range x.lits {
		p.occurs[l.field] = append(p.occurs[l.field], occurrence{i, l.mask})
	}
	for _, f := range x.fields {
		p.occurs[f] = append(p.occurs[f], occurrence{constraint: i})
		p.wider[f] = append(p.wider[f], i)
	}
	if x.kind == relation {
		p.wider[x.a], p.wider[x.b] = append(p.wider[x.a], i), append(p.wider[x.b], i)
		p.occurs[x.a] = append(p.occurs[x.a], occurrence{constraint: i})
		p.occurs[x.b] = append(p.occurs[x.b], occurrence{constraint: i})
	}
}

// masker turns sets of values into masks of classes.
type masker struct {
	problem   *problem
	bySet     map[*set][]uint64
	relations map[fingerprint]int32
}

func (m *masker) mask(f int32, s *set) []uint64 {
	if mask := m.bySet[s]; mask != nil {
		return mask
	}
	k := m.problem.kinds
	mask := make([]uint64, k.wordsOf(f))
	for class := range int32(k.count(f)) {
		if has(s.in, lowest(k.members(f, class))) {
			put(mask, class)
		}
	}
	m.bySet[s] = mask
	return mask
}

func (m *masker) constraint(r *raw) constraint {
	x := constraint{kind: r.kind, rule: r.rule, row: r.row, fields: r.fields}
	for _, t := range r.lits {
		x.lits = append(x.lits, literal{t.field, m.mask(t.field, t.set)})
	}
	switch r.kind {
	case table:
		m.table(&x, r)
	case relation:
		m.relation(&x, r.compare)
	}
	return x
}

func (m *masker) table(x *constraint, r *raw) {
	x.count = len(r.rows)
	x.alive = int32(m.problem.words)
	words := wordsFor(x.count)
	m.problem.words += words
	x.rows = make([][]uint64, 0, x.count*len(x.fields))
	for _, f := range x.fields {
		n := m.problem.kinds.count(f)
		flat := make([]uint64, n*words)
		byClass := make([][]uint64, n)
		for c := range byClass {
			byClass[c] = flat[c*words : (c+1)*words]
		}
		x.supports = append(x.supports, byClass)
	}
	for i, row := range r.rows {
		for j, s := range row {
			var mask []uint64
			if s != nil {
				mask = m.mask(x.fields[j], s)
			}
			x.rows = append(x.rows, mask)
			for c := range int32(len(x.supports[j])) {
				if mask == nil || has(mask, c) {
					put(x.supports[j][c], int32(i))
				}
			}
		}
	}
}

func (m *masker) relation(x *constraint, p *compare) {
	x.a, x.b = p.a, p.b
	if first, found := m.relations[p.print]; found {
		x.same = first
		x.aToB, x.bToA = m.problem.cons[first].aToB, m.problem.cons[first].bToA
		return
	}
	x.same = int32(len(m.problem.cons))
	m.relations[p.print] = x.same
	k, b := m.problem.kinds, m.problem.base
	na, nb := int32(k.count(p.a)), int32(k.count(p.b))
	x.aToB, x.bToA = blank(int(na), k.wordsOf(p.b)), blank(int(nb), k.wordsOf(p.a))
	for ca := range na {
		va := lowest(k.members(p.a, ca))
		for cb := range nb {
			if p.allows(b, va, lowest(k.members(p.b, cb))) {
				put(x.aToB[ca], cb)
				put(x.bToA[cb], ca)
			}
		}
	}
}

func blank(n, words int) [][]uint64 {
	flat := make([]uint64, n*words)
	rows := make([][]uint64, n)
	for i := range rows {
		rows[i] = flat[i*words : (i+1)*words]
	}
	return rows
}
