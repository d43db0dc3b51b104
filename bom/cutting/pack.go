package cutting

import "math"

// pack looks for a plan of the bars that the linear programme takes, all of them
// whole in number, at the bound.
func (s *solver) pack(a *master, bound int64) {
	r := a.m.all()
	for i, cost := range a.m.cost {
		if cost > 0 {
			r.limit[i] = 0
		}
	}
	counts := make([]float64, len(a.m.size))
	for _, u := range a.used() {
		counts[u.p.stock] += u.x
	}
	for i, n := range counts {
		if a.m.cost[i] > 0 {
			r.limit[i] = int64(math.Round(n))
		}
	}
	filling := r.copy()
	s.take(a.m.byFilling(&filling, 1000, 0, s.work), &filling)
	if s.cost <= bound || s.work.done() {
		return
	}
	rnd := &random{seed: uint64(s.tries)}
	s.tries++
	for range packTries {
		s.packExactly(a, r.copy(), rnd, bound)
		if s.cost <= bound || s.work.done() {
			return
		}
	}
	if runs := a.cutPart(&r, rnd, 0, bound+1, 3); runs != nil {
		s.runs, s.cost = runs, s.m.costOf(runs)
	}
}

const (
	// packTries is how often bars are filled exactly, one by one, before they are
	// packed all together.
	packTries = 6
	// lastPacked is how many bars are left to be packed together.
	lastPacked = 24
)

// packExactly fills most of the given bars one by one with nothing left over, in
// an order by luck, so that what may be left over is left to the last, which are
// packed together as a part.
func (s *solver) packExactly(a *master, r rest, rnd *random, bound int64) {
	m := s.m
	bars := r.bars(rnd)
	if len(bars) <= lastPacked || m.size[0] >= mostRooms {
		return
	}
	kept := r.some(rnd, int64(len(bars)), lastPacked*2/3)
	can := newReach(m)
	var runs []run
	for left := len(bars); left > lastPacked && !s.work.done(); left-- {
		stock := bars[left-1]
		can.reckon(r.need)
		s.work.spend(int64(len(m.width)) * m.size[0] / 32)
		if can.most(m.size[stock]) < m.size[stock] {
			continue
		}
		p := pattern{stock: stock, terms: can.fill(m.size[stock], r.need, rnd)}
		r.take(&p, 1)
		runs = append(runs, run{p, 1})
	}
	for i, n := range kept {
		r.need[i] += n
	}
	if last := a.cutPart(&r, rnd, 0, bound+1-m.costOf(runs), 1); last != nil {
		s.runs = append(runs, last...)
		s.cost = m.costOf(s.runs)
	}
}

// bars are the stocks of all bars there are, shuffled; nil when they are very many.
func (r *rest) bars(rnd *random) []int {
	var bars []int
	for s, n := range r.limit {
		if n > 200 {
			return nil
		}
		for range n {
			bars = append(bars, s)
		}
	}
	for i := len(bars) - 1; i > 0; i-- {
		k := int(rnd.float() * float64(i+1))
		bars[i], bars[k] = bars[k], bars[i]
	}
	return bars
}
