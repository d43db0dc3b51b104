package cutting

// add writes a solver's result with the problem's own lines and sides.
func (plan *SheetPlan) add(s *sheetSolver) {
	m := s.m
	q := make([]queue, len(m.items))
	for i, ls := range m.lines {
		for _, line := range ls {
			q[i].add(line, m.p.Pieces[line].Count)
		}
	}
	for _, r := range s.runs {
		for times := r.times; times > 0; {
			n := min(times, commonCount(q, r.layout))
			l := &sheetLines{m: m, q: q, given: map[int]int64{}}
			c := CutSheet{Sheet: m.line[r.sheet], Count: n}
			c.Part = l.part(r.layout, 0)
			for _, t := range r.count {
				// All n sheets use the same lines, or n is 1.
				l.book(t.item, n)
			}
			plan.Sheets = append(plan.Sheets, c)
			times -= n
		}
	}
	plan.Cost = s.cost * m.grain
	plan.Bound = min(s.bound, s.cost) * m.grain
	proved := s.proved
	if proved == nil {
		proved = &sheetProved{leaf: s.leaf}
	}
	plan.Proof.Grain = m.grain
	m.write(&plan.Proof, proved)
	switch {
	case plan.Bound < plan.Cost:
		plan.Status = NotProved
	case len(plan.Proof.Nodes) > 1:
		plan.Status = BySearch
	}
}

// commonCount is how many sheets can be cut alike from the first lines left.
func commonCount(q []queue, l *layout) int64 {
	n := noLimit
	for _, t := range l.count {
		n = min(n, q[t.item].left[q[t.item].first]/t.count)
	}
	return max(n, 1)
}

// write appends a node and those below it, and returns its index.
func (m *sheetModel) write(proof *SheetProof, p *sheetProved) int {
	at := len(proof.Nodes)
	proof.Nodes = append(proof.Nodes, SheetNode{})
	if p.leaf != nil {
		proof.Nodes[at].Leaf = m.prices(p)
		return at
	}
	together := m.write(proof, p.together)
	apart := m.write(proof, p.apart)
	proof.Nodes[at] = SheetNode{First: m.lines[p.pair.first][0], Second: m.lines[p.pair.second][0], Together: together, Apart: apart}
	return at
}

func (m *sheetModel) prices(p *sheetProved) *SheetPrices {
	leaf := &SheetPrices{Scale: p.leaf.scale, Pieces: make([]int64, len(m.p.Pieces)), Sheets: make([]int64, len(m.p.Sheets))}
	for i, ls := range m.lines {
		for _, line := range ls {
			leaf.Pieces[line] = p.leaf.item[i]
		}
	}
	for s, line := range m.line {
		leaf.Sheets[line] = p.leaf.stock[s]
	}
	for _, item := range p.counted {
		leaf.Counted = append(leaf.Counted, m.lines[item][0])
	}
	return leaf
}

// sheetLines hands out lines to the pieces of one layout.
type sheetLines struct {
	m     *sheetModel
	q     []queue
	given map[int]int64 // by line
}

// line is the next line of an item with a piece left.
func (l *sheetLines) line(item int) int {
	q := &l.q[item]
	for at := q.first; ; at++ {
		line := q.line[at]
		if l.given[line] < q.left[at] {
			l.given[line]++
			return line
		}
	}
}

func (l *sheetLines) book(item int, sheets int64) {
	q := &l.q[item]
	for at := q.first; at < len(q.line); at++ {
		if n := l.given[q.line[at]]; n > 0 {
			q.use(at, n*sheets)
		}
	}
}

// part writes a node; parts that are cut the same way stand in one list.
func (l *sheetLines) part(o *layout, node int32) Part {
	n := &o.nodes[node]
	p := Part{Length: n.length*l.m.scale - l.m.p.Kerf, Width: n.width*l.m.scale - l.m.p.Kerf, Piece: -1}
	if n.item >= 0 {
		p.Piece = l.line(n.item)
		piece := l.m.p.Pieces[p.Piece]
		p.Turned = p.Length != piece.Length || p.Width != piece.Width
		return p
	}
	if n.first == 0 {
		return p
	}
	p.Along = n.along
	for _, child := range []int32{n.first, n.second} {
		c := l.part(o, child)
		switch {
		case len(c.Parts) > 0 && c.Along == p.Along:
			p.Parts = append(p.Parts, c.Parts...)
		case c.Length > 0 && c.Width > 0:
			p.Parts = append(p.Parts, c)
		}
	}
	return p
}
