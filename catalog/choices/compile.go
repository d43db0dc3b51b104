package choices

import (
	"encoding/binary"
	"errors"
	"slices"
)

var errBound = errors.New("the bound was reached")

// draft is a node while a diagram is made.
type draft struct {
	field int32
	arcs  []draftArc
	kids  []int32
	vars  []uint64 // the fields that it speaks of
}

type draftArc struct {
	mask  []uint64
	child int32
}

// compiler makes a diagram from the top: it decides a field, lets the
// constraints act, splits what is left into parts, and makes each part once.
type compiler struct {
	*splitter
	rank   []int32
	full   []uint64
	drafts []draft
	unique map[string]int32
	cache  map[fingerprint]int32
	nodes  int // most
	limit  int // most work
	key    []byte
}

// impossibleNode is no node: nothing holds.
const impossibleNode = int32(-1)

func compile(p *problem, nodes, limit int) *diagram {
	b := newBoard(p)
	d := &diagram{kinds: p.kinds, words: wordsFor(len(p.base.fields))}
	b.wakeAll()
	for f := range p.base.fields {
		d.none = d.none || p.kinds.count(int32(f)) == 0
	}
	if d.none || !b.settle() {
		d.none = true
		return d
	}
	d.full = slices.Clone(b.mem[:p.kinds.words])
	c := &compiler{splitter: newSplitter(b), rank: ranks(p), full: d.full, unique: map[string]int32{}, cache: map[fingerprint]int32{}, nodes: nodes, limit: limit}
	c.drafts = append(c.drafts, draft{field: None, vars: make([]uint64, d.words)})
	roots, err := c.top()
	d.work = b.work
	switch {
	case err != nil:
		d.over = true
	case slices.Contains(roots, impossibleNode):
		d.none = true
	default:
		c.write(d, roots)
	}
	return d
}

func (c *compiler) top() ([]int32, error) {
	all := make([]int32, len(c.base.fields))
	for f := range all {
		all[f] = int32(f)
	}
	return c.side(all, None)
}

// side makes what stands side by side once a field is decided: a node for each
// part, and for each field that is free now but not of everything.
func (c *compiler) side(fields []int32, decided int32) ([]int32, error) {
	parts := c.split(fields)
	slices.SortStableFunc(parts, func(a, b part) int { return len(a.fields) - len(b.fields) })
	var kids []int32
	for i := range parts {
		n, err := c.part(&parts[i])
		if err != nil || n == impossibleNode {
			return []int32{n}, err
		}
		kids = c.beside(kids, n)
	}
	bound := map[int32]bool{}
	for i := range parts {
		for _, f := range parts[i].fields {
			bound[f] = true
		}
	}
	for _, f := range fields {
		if f == decided || bound[f] {
			continue
		}
		if d := c.domain(f); !slices.Equal(d, c.fullOf(f)) {
			n, err := c.node(draft{field: f, arcs: []draftArc{{slices.Clone(d), leaf}}})
			if err != nil {
				return nil, err
			}
			kids = append(kids, n)
		}
	}
	return kids, nil
}

// beside adds a node to those that stand side by side: an and by its kids.
func (c *compiler) beside(kids []int32, n int32) []int32 {
	switch {
	case n == leaf:
		return kids
	case c.drafts[n].field == None:
		return append(kids, c.drafts[n].kids...)
	}
	return append(kids, n)
}

func (c *compiler) fullOf(f int32) []uint64 {
	off := c.kinds.off[f]
	return c.full[off : int(off)+c.kinds.wordsOf(f)]
}

func (c *compiler) part(p *part) (int32, error) {
	print := c.print(p)
	if n, found := c.cache[print]; found {
		return n, nil
	}
	if c.work > c.limit {
		return 0, errBound
	}
	f := p.fields[0]
	for _, g := range p.fields {
		if c.rank[g] < c.rank[f] {
			f = g
		}
	}
	d := draft{field: f}
	for _, group := range c.groups(p, f) {
		child, err := c.decide(p.fields, f, group)
		if err != nil {
			return 0, err
		}
		if child != impossibleNode {
			d.arcs = append(d.arcs, draftArc{group, child})
		}
	}
	n, err := c.node(d)
	if err == nil {
		c.cache[print] = n
	}
	return n, err
}

func (c *compiler) decide(fields []int32, f int32, group []uint64) (int32, error) {
	mark := c.mark()
	defer c.undo(mark)
	if !c.restrict(f, group, byDecision) || !c.settle() {
		return impossibleNode, nil
	}
	kids, err := c.side(fields, f)
	switch {
	case err != nil:
		return 0, err
	case len(kids) == 0:
		return leaf, nil
	case len(kids) == 1:
		return kids[0], nil
	}
	return c.node(draft{field: None, kids: kids})
}

// groups parts a field's classes by what the constraints of its part still make
// of them.
func (c *compiler) groups(p *part, f int32) [][]uint64 {
	d := slices.Clone(c.domain(f))
	marks := make([]fingerprint, c.kinds.count(f))
	for _, i := range p.cons {
		c.markGroups(i, f, d, marks)
	}
	var groups [][]uint64
	var prints []fingerprint
	ones(d, func(class int32) {
		at := slices.Index(prints, marks[class])
		if at < 0 {
			at = len(prints)
			prints = append(prints, marks[class])
			groups = append(groups, make([]uint64, len(d)))
		}
		put(groups[at], class)
	})
	return groups
}

func (c *compiler) markGroups(i, f int32, d []uint64, marks []fingerprint) {
	x := &c.cons[i]
	note := func(class int32, what fingerprint) {
		marks[class] = marks[class].plus(what.with(uint64(i)))
	}
	for j := range x.lits {
		if x.lits[j].field == f {
			ones(x.lits[j].mask, func(class int32) { note(class, fingerprint{37}) })
		}
	}
	if j := slices.Index(x.fields, f); j >= 0 {
		alive := c.aliveOf(x)
		ones(d, func(class int32) { note(class, masked(x.supports[j][class], alive)) })
	}
	if x.kind != relation {
		return
	}
	if x.a == f {
		ones(d, func(class int32) { note(class, masked(x.aToB[class], c.domain(x.b))) })
	}
	if x.b == f {
		ones(d, func(class int32) { note(class, masked(x.bToA[class], c.domain(x.a)).with(1)) })
	}
}

func masked(a, b []uint64) fingerprint {
	p := fingerprint{41}
	for i, w := range a {
		p = p.with(w & b[i])
	}
	return p
}

// node gives the one node of a content. Arcs that lead to the same are one, and
// a decision that leaves everything open is none.
func (c *compiler) node(d draft) (int32, error) {
	if d.field == None {
		slices.Sort(d.kids)
	} else {
		d.arcs = joinArcs(d.arcs)
		switch {
		case len(d.arcs) == 0:
			return impossibleNode, nil
		case len(d.arcs) == 1 && slices.Equal(d.arcs[0].mask, c.fullOf(d.field)):
			return d.arcs[0].child, nil
		}
	}
	c.key = d.key(c.key[:0])
	if n, found := c.unique[string(c.key)]; found {
		return n, nil
	}
	if len(c.drafts) >= c.nodes {
		return 0, errBound
	}
	d.vars = make([]uint64, len(c.drafts[0].vars))
	for _, kid := range d.kids {
		orInto(d.vars, c.drafts[kid].vars)
	}
	for i := range d.arcs {
		orInto(d.vars, c.drafts[d.arcs[i].child].vars)
	}
	if d.field != None {
		put(d.vars, d.field)
	}
	n := int32(len(c.drafts))
	c.drafts = append(c.drafts, d)
	c.unique[string(c.key)] = n
	return n, nil
}

func orInto(a, b []uint64) {
	for i, w := range b {
		a[i] |= w
	}
}

func joinArcs(arcs []draftArc) []draftArc {
	var out []draftArc
	for _, a := range arcs {
		at := slices.IndexFunc(out, func(b draftArc) bool { return b.child == a.child })
		if at < 0 {
			out = append(out, draftArc{slices.Clone(a.mask), a.child})
			continue
		}
		orInto(out[at].mask, a.mask)
	}
	slices.SortFunc(out, func(a, b draftArc) int { return int(a.child - b.child) })
	return out
}

func (d *draft) key(into []byte) []byte {
	into = binary.LittleEndian.AppendUint32(into, uint32(d.field))
	for _, kid := range d.kids {
		into = binary.LittleEndian.AppendUint32(into, uint32(kid))
	}
	for _, a := range d.arcs {
		into = binary.LittleEndian.AppendUint32(into, uint32(a.child))
		for _, w := range a.mask {
			into = binary.LittleEndian.AppendUint64(into, w)
		}
	}
	return into
}
