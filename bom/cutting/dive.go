package cutting

import (
	"cmp"
	"math"
	"slices"
)

// random is a splitmix64 sequence: the same on every machine.
type random struct{ seed uint64 }

func (r *random) float() float64 {
	r.seed++
	return float64(mix(r.seed)>>11) / (1 << 53)
}

// dive rounds the linear programme to a plan: it fixes the patterns nearest to
// whole, adjusts the rest and goes on, until the rest is cut or cannot be cut
// for less than below. It returns nil then. The master is left with the full
// need again.
func (a *master) dive(rnd *random, noise float64, below int64) []run {
	r := a.left.copy()
	defer func(left rest, bound int64, proof *prices) {
		a.reset(left)
		a.bound, a.proof = bound, proof
	}(a.left, a.bound, a.proof)
	var fixed []run
	var cost int64
	for !r.empty() {
		if a.work.done() {
			return nil
		}
		picked := a.pick(&r, rnd, noise)
		if len(picked) == 0 {
			return nil
		}
		fixed = append(fixed, picked...)
		cost += a.m.costOf(picked)
		if cost >= below {
			return nil
		}
		if done := a.finish(&r, below-cost); done != nil {
			return append(fixed, done...)
		}
		a.reset(r.copy())
		a.solve(noLimit)
		if a.bound >= below-cost || a.lp.unmet() > 1e-6 {
			return nil
		}
	}
	if cost >= below {
		return nil
	}
	return fixed
}

// finish tries the quick ways on the rest.
func (a *master) finish(r *rest, below int64) []run {
	if r.empty() {
		return []run{}
	}
	var pieces int64
	for _, n := range r.need {
		if pieces += n; pieces > 60 {
			return nil
		}
	}
	left := r.copy()
	runs := a.m.byFilling(&left, 400, a.work)
	if left.empty() && a.m.costOf(runs) < below {
		return runs
	}
	return nil
}

// reset makes the rest what the master is about.
func (a *master) reset(r rest) {
	a.left = r
	rhs := slices.Clone(a.lp.rhs)
	for i, n := range r.need {
		rhs[i] = float64(n)
	}
	for s, row := range a.limited {
		if row >= 0 {
			rhs[row] = float64(r.limit[s])
		}
	}
	for i, limit := range r.rows {
		rhs[a.rows[i].at] = float64(limit)
	}
	a.lp.setRHS(rhs)
	a.lp.settle()
}

// times is how often a pattern may be cut without making a piece too many or
// breaking a row.
func (a *master) times(r *rest, p *pattern) int64 {
	t := r.times(p)
	for i := range a.rows {
		if n := a.rows[i].count(p); n > 0 && !a.rows[i].atLeast {
			t = min(t, max(r.rows[i], 0)/n)
		}
	}
	return t
}

func (a *master) take(r *rest, p *pattern, times int64) {
	r.take(p, times)
	for i := range a.rows {
		r.rows[i] -= times * a.rows[i].count(p)
	}
}

// pick takes from the rest the patterns with a whole part, or else those nearest to
// one bar, with some luck, as long as they do not get into each other's way.
func (a *master) pick(r *rest, rnd *random, noise float64) []run {
	type candidate struct {
		column int
		x, key float64
	}
	var all []candidate
	var picked []run
	for place, v := range a.lp.basis {
		x := a.lp.x[place]
		if v < 0 || x < 1e-6 || a.pool[v].stock < 0 {
			continue
		}
		if whole := math.Floor(x + 1e-6); whole >= 1 {
			p := r.within(&a.pool[v])
			if t := min(int64(whole), a.times(r, &p)); t > 0 {
				a.take(r, &p, t)
				picked = append(picked, run{p, t})
			}
			continue
		}
		all = append(all, candidate{v, x, x + float64(noise*rnd.float())})
	}
	if len(picked) > 0 {
		return picked
	}
	slices.SortFunc(all, func(x, y candidate) int { return cmp.Or(cmp.Compare(y.key, x.key), cmp.Compare(x.column, y.column)) })
	for i, c := range all {
		if i > 0 && c.x < 0.8 {
			break
		}
		p := r.within(&a.pool[c.column])
		if i > 0 && len(p.terms) != len(a.pool[c.column].terms) || a.times(r, &p) == 0 {
			continue
		}
		a.take(r, &p, 1)
		picked = append(picked, run{p, 1})
	}
	return picked
}
