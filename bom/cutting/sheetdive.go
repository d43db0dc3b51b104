package cutting

import "slices"

func (a *sheetMaster) reset(r rest) {
	a.left = r
	a.lp.setRHS(r.sides(a.lp.rhs, a.limited))
	a.lp.settle()
	a.lp.primal()
}

// dive fixes layouts near to whole, one after another, finds new ones for the
// rest, and lets the search fill it.
func (a *sheetMaster) dive(noise float64, below int64) []layoutRun {
	r := rest{need: slices.Clone(a.m.need), limit: slices.Clone(a.m.limit)}
	defer func() { a.reset(rest{need: slices.Clone(a.m.need), limit: slices.Clone(a.m.limit)}) }()
	var fixed []layoutRun
	var cost int64
	for !r.empty() && !a.work.done() {
		for range 3 {
			if done := a.search.plan(r.copy(), 8, below-cost); done != nil {
				return append(fixed, done...)
			}
		}
		run := a.pick(&r, a.search.rnd, noise)
		if run.layout == nil {
			return nil
		}
		fixed = append(fixed, run)
		if cost += a.m.cost[run.sheet] * run.times; cost >= below {
			return nil
		}
		a.reset(r.copy())
		a.solve(a.divingAim())
		if a.lp.value()*a.unit > float64(below-cost)-1+1e-6 {
			return nil
		}
	}
	if r.empty() {
		return fixed
	}
	return nil
}

// divingAim is to find layouts for what is left, by filling the table a few
// times.
func (a *sheetMaster) divingAim() aim {
	if a.table == nil {
		return aim{enough: noLimit}
	}
	return aim{enough: noLimit, fills: int(max(1, min(10, diveFill/a.table.steps)))}
}

// diveFill is about the work of filling tables between two layouts.
const diveFill = int64(30_000_000)

// pick fixes one layout, less what is not needed, as often as its whole part.
func (a *sheetMaster) pick(r *rest, rnd *random, noise float64) layoutRun {
	best, at := -1.0, -1
	for place, v := range a.lp.basis {
		x := a.lp.x[place]
		if v < 0 || x < 1e-6 {
			continue
		}
		p := r.within(&pattern{a.pool[v].sheet, a.pool[v].count})
		if r.times(&p) == 0 {
			continue
		}
		if key := x + float64(noise*rnd.float()); key > best {
			best, at = key, place
		}
	}
	if at < 0 {
		return layoutRun{}
	}
	l := a.pool[a.lp.basis[at]].without(r)
	p := pattern{l.sheet, l.count}
	t := min(max(int64(a.lp.x[at]+1e-6), 1), r.times(&p))
	r.take(&p, t)
	return layoutRun{l, t}
}

// within tells whether no piece needs more stages.
func (l *layout) within(stages int) bool {
	return stages == 0 || !slices.ContainsFunc(l.nodes, func(n cutNode) bool { return n.item >= 0 && n.stages > stages })
}

// without is the layout with pieces that are not needed left over.
func (l *layout) without(r *rest) *layout {
	return l.atMost(func(item int) int64 { return r.need[item] })
}

// atMost is the layout with pieces beyond a number left over.
func (l *layout) atMost(most func(item int) int64) *layout {
	q := &layout{sheet: l.sheet, nodes: slices.Clone(l.nodes)}
	have := map[int]int64{}
	for i := range q.nodes {
		n := &q.nodes[i]
		if n.item < 0 {
			continue
		}
		if have[n.item] == most(n.item) {
			n.item = -1
			continue
		}
		have[n.item]++
	}
	for _, t := range l.count {
		if n := have[t.item]; n > 0 {
			q.count = append(q.count, term{t.item, n})
		}
	}
	return q
}
