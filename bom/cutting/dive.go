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
// whole, adjusts the rest and goes on, until the rest is cut. Where the rest
// cannot be cut for less than below any more, it takes the last step back and
// fixes another pattern, back times in all (a limited discrepancy search). It returns nil when that
// has not led to a plan. The master is left with all that was left before.
func (a *master) dive(rnd *random, noise float64, back int, below int64) []run {
	r := a.left.copy()
	defer func(left rest, value float64, bound int64, tight float64, proof *prices) {
		a.reset(left)
		a.value, a.bound, a.tight, a.proof = value, bound, tight, proof
	}(a.left, a.value, a.bound, a.tight, a.proof)
	d := &diving{a: a, rnd: rnd, noise: noise, not: map[int]bool{}}
	var fixed []run
	var cost int64
	for !r.empty() {
		before := r.copy()
		picked := d.pick(&r)
		if len(picked) == 0 || a.work.done() {
			return nil
		}
		more := a.m.costOf(picked)
		if cost+more < below {
			if done := a.finish(&r, below-cost-more); done != nil {
				return append(append(fixed, picked...), done...)
			}
			if a.parts(&r) {
				if done := a.cutPart(&r, rnd, noise, below-cost-more, 1); done != nil {
					return append(append(fixed, picked...), done...)
				}
			} else if a.reset(r.copy()); a.reaches(below - cost - more - 1) {
				fixed, cost = append(fixed, picked...), cost+more
				clear(d.not)
				continue
			}
		}
		if back--; back < 0 {
			return nil
		}
		d.not[d.first] = true
		r = before
		a.reset(r.copy())
		a.lp.primal()
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
	runs := a.m.byFilling(&left, 400, 0, a.work)
	if left.empty() && a.m.costOf(runs) < below {
		return runs
	}
	return nil
}

// reset makes the rest what the master is about.
func (a *master) reset(r rest) {
	a.left = r
	rhs := r.sides(a.lp.rhs, a.limited)
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

// diving is the state of one dive.
type diving struct {
	a     *master
	rnd   *random
	noise float64
	first int // the column fixed first
	// not are the columns not to be fixed here, since that led to nothing.
	not map[int]bool
}

type roundable struct {
	column int
	x, key float64
}

// pick takes from the rest the patterns with a whole part, or else those nearest
// to one bar, with some luck, as long as they do not get into each other's way.
// After a step back it takes only one.
func (d *diving) pick(r *rest) []run {
	var all []roundable
	var picked []run
	for place, v := range d.a.lp.basis {
		x := d.a.lp.x[place]
		if v < 0 || x < 1e-6 || d.a.pool[v].stock < 0 || d.not[v] {
			continue
		}
		if whole := math.Floor(x + 1e-6); whole >= 1 && len(d.not) == 0 {
			picked = append(picked, d.fix(r, v, int64(whole))...)
			d.first = v
			continue
		}
		all = append(all, roundable{v, x, min(x, 1) + float64(d.noise*d.rnd.float())})
	}
	if len(picked) > 0 {
		return picked
	}
	slices.SortFunc(all, func(x, y roundable) int { return cmp.Or(cmp.Compare(y.key, x.key), cmp.Compare(x.column, y.column)) })
	for _, c := range all {
		if len(picked) > 0 && (c.x < 0.8 || len(d.not) > 0) {
			break
		}
		if len(picked) > 0 && r.times(&d.a.pool[c.column]) == 0 {
			continue
		}
		if len(picked) == 0 {
			d.first = c.column
		}
		picked = append(picked, d.fix(r, c.column, 1)...)
	}
	return picked
}

// fix takes a pattern from the rest, less what is not needed.
func (d *diving) fix(r *rest, column int, times int64) []run {
	p := r.within(&d.a.pool[column])
	t := min(times, d.a.times(r, &p))
	if t <= 0 {
		return nil
	}
	d.a.take(r, &p, t)
	return []run{{p, t}}
}
