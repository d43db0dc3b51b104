package cutting

import (
	"slices"
)

// Options bound the work of Solve.
type Options struct {
	// Work is the budget; one unit is about half a nanosecond of one core. 0 is
	// DefaultWork. The same budget gives the same plan on every machine.
	Work int64
	// Stop, if given, is asked now and then and ends the work when it returns
	// true, as at a deadline. The plan is then the best so far.
	Stop func() bool
}

// DefaultWork is about a quarter of a minute.
const DefaultWork = int64(30_000_000_000)

// Solve returns the cheapest plan it can find and what it can prove of it. The
// plan always holds every piece. Errors: *Invalid, *TooLittleStock.
func Solve(p Problem, o Options) (*Plan, error) {
	if err := p.Check(); err != nil {
		return nil, err
	}
	work := &meter{budget: o.Work, stop: o.Stop}
	if work.budget <= 0 {
		work.budget = DefaultWork
	}
	plan := &Plan{Status: ByBound}
	for _, m := range models(&p) {
		s := &solver{m: m, work: work}
		if err := s.solve(); err != nil {
			return nil, err
		}
		if err := s.limited(p.LengthsPerBar); err != nil {
			return nil, err
		}
		if p.Keep > 0 {
			s.gather(p.LengthsPerBar)
		}
		plan.add(&p, s)
	}
	return plan, nil
}

// BestFit returns the plan of best-fit decreasing, the usual way by hand, with
// nothing proved but the bound by length.
func BestFit(p Problem) (*Plan, error) {
	if err := p.Check(); err != nil {
		return nil, err
	}
	plan := &Plan{Status: ByBound}
	for _, m := range models(&p) {
		s := &solver{m: m}
		r := m.all()
		s.runs = m.bestFit(&r, p.LengthsPerBar)
		if err := m.short(&r); err != nil {
			return nil, err
		}
		s.cost = m.costOf(s.runs)
		s.prove(m.byWidth())
		plan.add(&p, s)
	}
	return plan, nil
}

// solver finds the plan of one group.
type solver struct {
	m     *model
	work  *meter
	runs  []run
	cost  int64
	bound int64
	leaf  *prices
	nodes []Node
	below int64
	tries int
}

func (s *solver) done() bool { return s.runs != nil && s.cost <= s.bound || s.work.done() }

// take keeps a plan that is cheaper.
func (s *solver) take(runs []run, r *rest) {
	if !r.empty() {
		return
	}
	if c := s.m.costOf(runs); s.runs == nil || c < s.cost {
		s.runs, s.cost = runs, c
	}
}

// prove keeps prices that prove more.
func (s *solver) prove(p *prices) {
	if b := s.m.bound(p); s.leaf == nil || b > s.bound {
		s.bound, s.leaf, s.nodes, s.below = b, p, nil, 0
	}
}

func (s *solver) solve() error {
	m := s.m
	s.prove(m.byWidth())
	r := m.all()
	s.take(m.bestFit(&r, 0), &r)
	if s.done() {
		return nil
	}
	if len(m.size) == 1 && m.limit[0] == noLimit {
		s.prove(m.byRounding())
	}
	if s.done() {
		return nil
	}
	if len(m.size) > mostSizes {
		if s.runs == nil {
			return m.short(&r)
		}
		return nil
	}
	filling := m.all()
	s.take(m.byFilling(&filling, 3000, 0, s.work), &filling)
	if s.done() {
		return nil
	}
	if len(m.size) == 1 && m.limit[0] == noLimit && m.cost[0] == 1 {
		s.byExactFilling(30)
	}
	if s.done() {
		return nil
	}
	s.byColumns()
	if s.runs == nil {
		return m.short(&r)
	}
	return nil
}

// mostSizes is how many different sizes of stock are planned with care: more, as
// a rack of very many offcuts, are only filled one after another.
const mostSizes = 400

func (s *solver) byColumns() {
	a := newMaster(s.m, s.work)
	a.seed(s.runs)
	a.addExchanges()
	a.solve(s.target())
	if a.proof != nil {
		s.prove(a.proof)
	}
	if s.done() || a.lp.unmet() > 1e-6 {
		return // or there is too little stock
	}
	if len(s.m.size) > 1 {
		s.search(a)
		return
	}
	c := s.cover(a)
	if c == nil {
		s.dives(a, 1)
	}
	work := firstShare
	for range mostTurns {
		if s.done() {
			return
		}
		if c != nil {
			s.work.share(3*work, func() { s.byCover(c) })
		}
		s.work.share(work, func() {
			s.dives(a, 3)
			if !s.done() {
				s.search(a)
			}
		})
		if c == nil || c.below != s.aim() {
			c = s.cover(a)
		}
		work *= 4
	}
}

// firstShare is the work of the first turn of each search; they take turns with
// ever larger shares, since each is good at what the other is not.
const (
	firstShare = int64(1_000_000_000)
	mostTurns  = 6
)

// cover lists what plans at the bound can use, if that is little enough; else it
// returns nil.
func (s *solver) cover(a *master) *cover {
	if s.done() || float64(s.aim()-1)-a.value > 0.05*a.unit {
		return nil // the list would be too long
	}
	a.enter(&open{basis: a.named(nil)})
	a.exact = true
	a.solve(noLimit)
	a.exact = false
	if a.proof == nil {
		return nil
	}
	s.prove(a.proof)
	return newCover(s, a, s.aim())
}

// byCover searches the list.
func (s *solver) byCover(c *cover) {
	if c.search() && c.below > s.bound {
		s.bound, s.nodes, s.below = min(c.below, s.cost), c.nodes, c.below
	}
}

// dives rounds the master's solution several times over, with some luck.
func (s *solver) dives(a *master, times int) {
	rnd := &random{seed: uint64(s.tries)}
	for try := 0; try < times && !s.done(); try++ {
		noise, back, below := 0.0, 25, s.target()
		if s.tries > 0 {
			noise, below = 0.1+0.05*float64(s.tries%8), s.aim()
		}
		if s.tries%3 > 0 {
			back = 3
		}
		s.tries++
		if runs := a.dive(rnd, noise, back, below); runs != nil {
			s.runs, s.cost = runs, s.m.costOf(runs)
		}
	}
}

// target is the cost that a better plan must stay below.
func (s *solver) target() int64 {
	if s.runs == nil {
		return noLimit
	}
	return s.cost
}

// aim is the cost that the search tries to stay below: with bars of one kind
// just above the bound, so that it stops where it cannot meet the bound.
func (s *solver) aim() int64 {
	if len(s.m.size) == 1 && s.runs != nil {
		return min(s.cost, s.bound+1)
	}
	return s.target()
}

// seed gives the master columns to begin with: those of a plan, and each item
// by itself in the stock it fills best.
func (a *master) seed(runs []run) {
	for _, r := range runs {
		p := r.pattern
		p.terms = slices.Clone(p.terms)
		sortTerms(p.terms)
		a.addPattern(p)
	}
	for i, w := range a.m.width {
		for s, size := range a.m.size {
			if size >= w && a.limited[s] < 0 {
				a.addPattern(pattern{s, []term{{i, most(size, w, a.m.need[i])}}})
			}
		}
	}
}

func (m *model) short(r *rest) error {
	e := &TooLittleStock{Group: m.group}
	for i, n := range r.need {
		if n > 0 {
			e.Short = append(e.Short, Piece{Length: m.length[i], Count: n, Group: m.group})
		}
	}
	if len(e.Short) == 0 {
		return nil
	}
	return e
}
