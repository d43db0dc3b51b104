package cutting

// part is the model of what is left to cut, with the items in it: smaller, so
// that its linear programme is faster.
func (m *model) part(r *rest) (*model, []int) {
	q := &model{size: m.size, cost: m.cost, limit: r.limit, grain: m.grain, group: m.group}
	var items []int
	for i, n := range r.need {
		if n > 0 {
			items = append(items, i)
			q.width, q.need = append(q.width, m.width[i]), append(q.need, n)
		}
	}
	return q, items
}

// partSize is the share of items from which on a rest is a part of its own, and
// leastToPart how many items there must be for that to be worth the trouble.
const (
	partSize    = 0.6
	leastToPart = 30
)

// parts tells whether so little is left that it is better cut as a part.
func (a *master) parts(r *rest) bool {
	n := 0
	for _, need := range r.need {
		if need > 0 {
			n++
		}
	}
	return len(r.need) >= leastToPart && float64(n) <= partSize*float64(len(r.need))
}

// cutPart cuts a rest for less than below by a master of its own, which begins
// with the patterns found so far; or it returns nil.
func (a *master) cutPart(r *rest, rnd *random, noise float64, below int64, tries int) []run {
	m, items := a.m.part(r)
	b := newMaster(m, a.work)
	at := make([]int, len(a.m.width))
	for k, i := range items {
		at[i] = k
	}
	for i := range a.pool {
		if p := &a.pool[i]; p.stock >= 0 && r.times(p) > 0 {
			b.addPattern(pattern{p.stock, renamed(p.terms, at)})
		}
	}
	b.seed(nil)
	return b.diveIn(items, rnd, noise, below, tries)
}

// diveIn dives some times, and names the pieces as the items of a whole.
func (a *master) diveIn(items []int, rnd *random, noise float64, below int64, tries int) []run {
	if !a.reaches(below - 1) {
		return nil
	}
	for try := range tries {
		back := 3
		if try == 0 && tries > 1 {
			back = 12
		}
		if runs := a.dive(rnd, noise+0.1*float64(try), back, below); runs != nil {
			for i := range runs {
				runs[i].terms = renamed(runs[i].terms, items)
			}
			return runs
		}
	}
	return nil
}

func renamed(terms []term, to []int) []term {
	out := make([]term, len(terms))
	for i, t := range terms {
		out[i] = term{to[t.item], t.count}
	}
	return out
}
