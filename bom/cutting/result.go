package cutting

import (
	"cmp"
	"slices"
)

// add puts a group's result into the plan.
func (plan *Plan) add(p *Problem, s *solver) {
	m := s.m
	lines := newLines(p, m)
	for _, r := range s.runs {
		plan.Bars = append(plan.Bars, lines.bars(p, r)...)
	}
	plan.Cost += s.cost * m.grain
	plan.Bound += min(s.bound, s.cost) * m.grain
	switch {
	case s.bound < s.cost:
		plan.Status = NotProved
	case len(s.nodes) > 0 && plan.Status == ByBound:
		plan.Status = BySearch
	}
	nodes := s.nodes
	if len(nodes) == 0 {
		nodes = []Node{{Leaf: m.leaf(s.leaf, nil)}}
	}
	plan.WithoutLimits = p.LengthsPerBar > 0
	plan.Certificate.Proofs = append(plan.Certificate.Proofs, Proof{Group: m.group, Grain: m.grain, Below: s.below, Nodes: nodes})
}

// leaf writes prices with the problem's own lengths and stock lines; of rows,
// the decisions are those on the way from the root, in order.
func (m *model) leaf(p *prices, rows []limitRow) *Leaf {
	l := &Leaf{Scale: p.scale}
	for i, price := range p.item {
		if price > 0 {
			l.Prices = append(l.Prices, Price{m.length[i], price})
		}
	}
	for s, price := range p.stock {
		if price == 0 {
			continue
		}
		for _, line := range m.stock[s] {
			l.Stock = append(l.Stock, StockPrice{line, price})
		}
	}
	for i := range rows {
		switch r := &rows[i]; {
		case !r.cut:
			l.Branches = append(l.Branches, p.rows[i])
		case p.rows[i] > 0:
			l.Cuts = append(l.Cuts, RowPrice{m.publicRow(&r.countRow), p.rows[i]})
		}
	}
	slices.SortFunc(l.Stock, func(a, b StockPrice) int { return cmp.Compare(a.Stock, b.Stock) })
	return l
}

// lines hands out the problem's lines for items and sizes, in their order.
type lines struct {
	m           *model
	piece, size []queue
}

// queue is lines alike with what is left of each; first is the first not used up.
type queue struct {
	line  []int
	left  []int64
	first int
}

func (q *queue) add(line int, left int64) {
	q.line, q.left = append(q.line, line), append(q.left, left)
}

func (q *queue) use(at int, n int64) {
	if q.left[at] != noLimit {
		q.left[at] -= n
	}
	for q.first < len(q.left) && q.left[q.first] == 0 {
		q.first++
	}
}

func newLines(p *Problem, m *model) *lines {
	l := &lines{m: m, piece: make([]queue, len(m.pieces)), size: make([]queue, len(m.stock))}
	for i, ls := range m.pieces {
		for _, line := range ls {
			l.piece[i].add(line, p.Pieces[line].Count)
		}
	}
	return l
}

// queue hands out the stock lines of a size.
func (l *lines) queue(p *Problem, size int) *queue {
	q := &l.size[size]
	if len(q.line) == 0 {
		for _, line := range l.m.stock[size] {
			n := p.Stock[line].Limit
			if n == Unlimited {
				n = noLimit
			}
			q.add(line, n)
		}
	}
	return q
}

// bars turns a run into bars with lines: as many alike as the lines allow.
func (l *lines) bars(p *Problem, r run) []Bar {
	var bars []Bar
	for times := r.times; times > 0; {
		size := l.queue(p, r.stock)
		bar := Bar{Stock: size.line[size.first], Count: min(times, size.left[size.first])}
		var used []func()
		for _, t := range r.terms {
			used = append(used, l.cut(&bar, t)...)
		}
		for _, use := range used {
			use()
		}
		size.use(size.first, bar.Count)
		bar.finish(p)
		bars = append(bars, bar)
		times -= bar.Count
	}
	return bars
}

// cut adds a term to a bar from the lines that have pieces left, and lowers the
// bar's count to what they allow. What it returns books the pieces afterwards.
func (l *lines) cut(bar *Bar, t term) []func() {
	q := &l.piece[t.item]
	var book []func()
	for at, count := q.first, t.count; count > 0; at++ {
		n := min(count, q.left[at])
		if n == 0 {
			continue
		}
		bar.Cuts = append(bar.Cuts, Cut{q.line[at], n})
		bar.Count = min(bar.Count, q.left[at]/n)
		book = append(book, func() { q.use(at, n*bar.Count) })
		count -= n
	}
	return book
}

// finish reckons what a bar leaves over.
func (b *Bar) finish(p *Problem) {
	left := p.usable(p.Stock[b.Stock])
	var n int64
	for _, c := range b.Cuts {
		left -= p.Pieces[c.Piece].Length * c.Count
		n += c.Count
	}
	// Between pieces there is one cut less than pieces, but a leftover is cut
	// off too: only a last piece that ends with the bar saves its cut.
	b.Leftover = max(0, left-n*p.Kerf)
	b.Kept = p.Keep > 0 && b.Leftover >= p.Keep
}
