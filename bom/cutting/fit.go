package cutting

import (
	"cmp"
	"slices"
)

// rest is what is still to be cut, the stock that is left, and the limits left
// to rows.
type rest struct{ need, limit, rows []int64 }

func (m *model) all() rest { return rest{need: slices.Clone(m.need), limit: slices.Clone(m.limit)} }

func (r *rest) copy() rest {
	return rest{slices.Clone(r.need), slices.Clone(r.limit), slices.Clone(r.rows)}
}

func (r *rest) empty() bool {
	for _, n := range r.need {
		if n > 0 {
			return false
		}
	}
	return true
}

// sides are a linear programme's right-hand sides with what is left of the pieces,
// whose rows come first, and of the stock in the rows that limit it.
func (r *rest) sides(rhs []float64, limited []int) []float64 {
	rhs = slices.Clone(rhs)
	for i, n := range r.need {
		rhs[i] = float64(n)
	}
	for s, row := range limited {
		if row >= 0 {
			rhs[row] = float64(r.limit[s])
		}
	}
	return rhs
}

// times is how often a pattern may be cut without making a piece too many.
func (r *rest) times(p *pattern) int64 {
	t := r.limit[p.stock]
	for _, x := range p.terms {
		t = min(t, r.need[x.item]/x.count)
	}
	if len(p.terms) == 0 {
		return 0
	}
	return t
}

func (r *rest) take(p *pattern, times int64) {
	for _, t := range p.terms {
		r.need[t.item] -= t.count * times
	}
	if r.limit[p.stock] != noLimit {
		r.limit[p.stock] -= times
	}
}

// within is the pattern less what is not needed.
func (r *rest) within(p *pattern) pattern {
	q := pattern{stock: p.stock}
	for _, t := range p.terms {
		if n := min(t.count, r.need[t.item]); n > 0 {
			q.terms = append(q.terms, term{t.item, n})
		}
	}
	return q
}

// openBars are bars alike with room left.
type openBars struct {
	run
	room int64
}

func (o *openBars) has(item int) bool {
	return slices.ContainsFunc(o.terms, func(t term) bool { return t.item == item })
}

// bestFit is best-fit decreasing, the usual way by hand: the longest piece
// first, into the bar that it fills best; a new bar is the one that costs least
// for its size. The pieces that found no room come back as the rest. Lengths is
// the most different ones on a bar, 0 for no limit.
func (m *model) bestFit(r *rest, lengths int) []run {
	var open []openBars
	for item := range m.width {
		for r.need[item] > 0 {
			best := -1
			for i := range open {
				if open[i].room >= m.width[item] && (lengths == 0 || open[i].has(item) || len(open[i].terms) < lengths) && (best < 0 || open[i].room < open[best].room) {
					best = i
				}
			}
			if best < 0 {
				s := m.cheapestFor(item, r)
				if s < 0 {
					break
				}
				perBar := m.size[s] / m.width[item]
				bars := min(r.limit[s], (r.need[item]+perBar-1)/perBar)
				if r.limit[s] != noLimit {
					r.limit[s] -= bars
				}
				open = append(open, openBars{run{pattern{stock: s}, bars}, m.size[s]})
				continue
			}
			open = m.put(open, best, item, r)
		}
	}
	runs := make([]run, 0, len(open))
	for _, o := range open {
		if len(o.terms) > 0 {
			runs = append(runs, o.run)
		}
	}
	return runs
}

// put fills bars alike with an item, as many to a bar as go in, and splits off
// those that are not reached.
func (m *model) put(open []openBars, at, item int, r *rest) []openBars {
	o := open[at]
	perBar := min(o.room/m.width[item], r.need[item])
	filled := min(o.times, r.need[item]/perBar)
	if filled < o.times {
		rest := o
		rest.times -= filled
		open = append(open, rest)
		o.times = filled
	}
	o.terms = append(slices.Clone(o.terms), term{item, perBar})
	o.room -= perBar * m.width[item]
	open[at] = o
	r.need[item] -= perBar * filled
	return open
}

func (m *model) cheapestFor(item int, r *rest) int {
	best := -1
	for s, size := range m.size {
		if size < m.width[item] || r.limit[s] == 0 {
			continue
		}
		if best < 0 || float64(m.cost[s])*float64(m.size[best]) < float64(m.cost[best])*float64(size) {
			best = s
		}
	}
	return best
}

// fill looks for the pieces that fill one bar best, the longest piece first.
type fill struct {
	m     *model
	need  []int64
	tries int
	// lengths is the most different ones on a bar, 0 for no limit.
	lengths int
	best    int64
	now     []term
	found   []term
	from    []int64 // width of all that is needed from an item on
}

// fullest fills a bar of a size starting with the given item (Gupta & Ho 1999
// fill bars in this way). It looks at no more than tries sets.
func (f *fill) fullest(size int64, first, tries int) []term {
	f.best, f.found, f.now, f.tries = -1, f.found[:0], append(f.now[:0], term{first, 1}), tries
	f.need[first]--
	f.search(first, size-f.m.width[first], size-f.m.width[first])
	f.need[first]++
	return merged(f.found)
}

// search returns true when the bar is full.
func (f *fill) search(item int, room, size int64) bool {
	if used := size - room; used > f.best {
		f.best = used
		f.found = append(f.found[:0], f.now...)
		if room == 0 {
			return true
		}
	}
	for ; item < len(f.need); item++ {
		if f.lengths > 0 && len(f.now) > 0 && f.now[len(f.now)-1].item != item && f.different() >= f.lengths {
			return false
		}
		if f.tries--; f.tries < 0 {
			return true
		}
		if size-room+f.from[item] <= f.best {
			return false
		}
		n := most(room, f.m.width[item], f.need[item])
		for ; n > 0; n-- {
			f.now = append(f.now, term{item, n})
			done := f.search(item+1, room-n*f.m.width[item], size)
			f.now = f.now[:len(f.now)-1]
			if done {
				return true
			}
		}
	}
	return false
}

// different counts the lengths on the bar as it is filled so far.
func (f *fill) different() int {
	n := 0
	for i, t := range f.now {
		if i == 0 || f.now[i-1].item != t.item {
			n++
		}
	}
	return n
}

// merged joins neighbours of the same item.
func merged(terms []term) []term {
	out := make([]term, 0, len(terms))
	for _, t := range terms {
		if last := len(out) - 1; last >= 0 && out[last].item == t.item {
			out[last].count += t.count
			continue
		}
		out = append(out, t)
	}
	return out
}

// byFilling fills one bar after another as full as can be, each beginning with
// the longest piece left; of several sizes it takes the one that costs least
// above what its content is worth by width.
func (m *model) byFilling(r *rest, tries, lengths int, work *meter) []run {
	var runs []run
	f := &fill{m: m, need: r.need, lengths: lengths, from: make([]int64, len(m.width)+1)}
	worth := m.worthOfWidth()
	for first := 0; first < len(m.width) && !work.done(); {
		if r.need[first] == 0 {
			first++
			continue
		}
		for i := len(m.width) - 1; i >= 0; i-- {
			f.from[i] = f.from[i+1] + m.width[i]*min(r.need[i], m.size[0]/m.width[i])
		}
		best, least := pattern{stock: -1}, 0.0
		for s, size := range m.size {
			if size < m.width[first] || r.limit[s] == 0 {
				continue
			}
			terms := f.fullest(size, first, tries)
			work.spend(int64(4 * (tries - f.tries)))
			over := float64(m.cost[s]) - float64(worth*float64(m.weight(terms)))
			if best.stock < 0 || over < least {
				best, least = pattern{s, terms}, over
			}
		}
		if best.stock < 0 {
			break
		}
		t := r.times(&best)
		r.take(&best, t)
		runs = append(runs, run{best, t})
	}
	return runs
}

// worthOfWidth is what one unit of width costs in the stock that costs least
// for its size.
func (m *model) worthOfWidth() float64 {
	least := -1.0
	for s, size := range m.size {
		if c := float64(m.cost[s]) / float64(size); m.limit[s] == noLimit && (least < 0 || c < least) {
			least = c
		}
	}
	if least >= 0 {
		return least
	}
	for s, size := range m.size {
		least = max(least, float64(m.cost[s])/float64(size))
	}
	return least
}

func sortTerms(terms []term) {
	slices.SortFunc(terms, func(a, b term) int { return cmp.Compare(a.item, b.item) })
}
