package cutting

import (
	"cmp"
	"math"
	"slices"
)

// dive rounds the linear programme of short bars: it fixes the patterns nearest to
// whole, with some luck, and goes on with the rest. Where the heap has no room then,
// it takes the last step back and fixes another, back times in all. It returns the
// bars fixed.
func (b *shortBars) dive(rnd *random, noise float64, back int) []run {
	left := rest{need: slices.Clone(b.m.need), limit: slices.Clone(b.m.limit)}
	var fixed []run
	not := map[int]bool{}
	for !b.work.done() {
		before := left.copy()
		picked, first := b.pick(&left, rnd, noise, not)
		if len(picked) == 0 {
			break
		}
		if b.leave(&left); float64(b.lp.value()*b.unit) <= float64(b.room)+0.5 {
			fixed = append(fixed, picked...)
			clear(not)
			continue
		}
		if back--; back < 0 {
			break
		}
		not[first] = true
		left = before
		b.leave(&left)
	}
	all := rest{need: b.m.need, limit: b.m.limit}
	b.leave(&all)
	return fixed
}

// inWhole names bars as those of the whole model.
func (b *shortBars) inWhole(runs []run) []run {
	out := slices.Clone(runs)
	for i := range out {
		out[i].stock = b.stock[out[i].stock]
	}
	return out
}

// without is the same problem without some bars and their pieces.
func (b *shortBars) without(fixed []run) *shortBars {
	left := rest{need: slices.Clone(b.m.need), limit: slices.Clone(b.m.limit)}
	for _, r := range fixed {
		left.take(&r.pattern, r.times)
	}
	q := *b
	q.m = &model{width: b.m.width, size: b.m.size, need: left.need, limit: left.limit}
	q.newProgramme()
	for _, p := range b.pats[len(b.m.width):] {
		if left.times(&p) > 0 {
			q.addColumn(p)
		}
	}
	return &q
}

// leave makes what is left what the programme is about.
func (b *shortBars) leave(left *rest) {
	rhs := slices.Clone(b.lp.rhs)
	for i, n := range left.need {
		rhs[i] = float64(n)
	}
	for s, n := range left.limit {
		rhs[len(left.need)+s] = float64(n)
	}
	b.lp.setRHS(rhs)
	b.lp.settle()
	b.optimise()
}

// pick takes from what is left the patterns with a whole part, or else the one
// nearest to whole; after a step back only one. It returns also the first column.
func (b *shortBars) pick(left *rest, rnd *random, noise float64, not map[int]bool) (picked []run, first int) {
	var order []roundable
	for place, v := range b.lp.basis {
		if x := b.lp.x[place]; v >= len(b.m.width) && x > 1e-6 && !not[v] {
			order = append(order, roundable{v, x, 0})
		}
	}
	slices.SortFunc(order, func(x, y roundable) int { return cmp.Compare(x.column, y.column) })
	first = -1
	most := 0.0
	for _, c := range order {
		p := &b.pats[c.column]
		if whole := min(int64(math.Floor(c.x+1e-6)), left.times(p)); whole >= 1 && len(not) == 0 {
			left.take(p, whole)
			picked, first = append(picked, run{*p, whole}), c.column
			continue
		}
		if key := min(c.x, 1) + float64(noise*rnd.float()); len(picked) == 0 && key > most && left.times(p) > 0 {
			first, most = c.column, key
		}
	}
	if len(picked) == 0 && first >= 0 {
		left.take(&b.pats[first], 1)
		picked = []run{{b.pats[first], 1}}
	}
	return picked, first
}
