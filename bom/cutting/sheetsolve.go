package cutting

import "math"

// DefaultSheetWork is some five to twelve seconds.
const DefaultSheetWork = int64(8_000_000_000)

// SolveSheets returns the cheapest plan it can find of sheets cut from edge to
// edge (guillotine cuts), and what it can prove of it: a bound by prices, or by a
// search whose leaves are prices; the proof of each is one table of worths. Errors: *Invalid, *TooLittleStock.
func SolveSheets(p SheetProblem, o Options) (*SheetPlan, error) {
	if err := p.Check(); err != nil {
		return nil, err
	}
	plan := &SheetPlan{Status: ByBound, WithoutLimits: p.Stages > 0}
	if len(p.Pieces) == 0 {
		plan.Proof = SheetProof{Grain: 1, Nodes: []SheetNode{{Leaf: &SheetPrices{Scale: 1, Sheets: make([]int64, len(p.Sheets))}}}}
		return plan, nil
	}
	work := &meter{budget: o.Work, stop: o.Stop}
	if work.budget <= 0 {
		work.budget = DefaultSheetWork
	}
	s := &sheetSolver{m: newSheetModel(&p), work: work}
	s.solve()
	if s.runs == nil {
		e := &TooLittleStock{}
		for i, it := range s.m.items {
			e.Short = append(e.Short, Piece{Length: it.length*s.m.scale - p.Kerf, Count: s.m.need[i]})
		}
		return nil, e
	}
	plan.add(s)
	return plan, nil
}

type sheetSolver struct {
	m     *sheetModel
	work  *meter
	runs  []layoutRun
	cost  int64
	bound int64
	leaf  *prices
	// proved is a finished search, where prices alone do not prove the cost.
	proved *sheetProved
}

func (s *sheetSolver) done() bool { return s.runs != nil && (s.cost <= s.bound || s.work.done()) }

func (s *sheetSolver) take(runs []layoutRun) {
	if runs == nil {
		return
	}
	if c := s.m.costOf(runs); s.runs == nil || c < s.cost {
		s.runs, s.cost = runs, c
	}
}

func (s *sheetSolver) below() int64 {
	if s.runs == nil {
		return noLimit
	}
	return s.cost
}

func (s *sheetSolver) prove(p *prices) {
	if b := s.m.bound(p); s.leaf == nil || b > s.bound {
		s.bound, s.leaf = b, p
	}
}

func (s *sheetSolver) all() rest {
	r := rest{need: append([]int64(nil), s.m.need...), limit: append([]int64(nil), s.m.limit...)}
	return r
}

func (s *sheetSolver) solve() {
	s.prove(s.m.byArea())
	// The first plan has work of its own, so that a deadline of zero has one.
	first := newSheetSearch(s.m, &meter{budget: 1 << 40})
	s.take(first.plan(s.all(), 2*len(s.m.sheets), noLimit))
	search := newSheetSearch(s.m, s.work)
	search.found = first.found
	for try := 0; try < 60 && !s.done(); try++ {
		s.search(search)
	}
	if s.done() {
		return
	}
	table, pool := s.byPrices(search)
	// A plan is looked for and proved to be the cheapest in turns, first with little
	// work: the proof of a plan that is not the cheapest is in vain.
	left := s.work.budget - s.work.used
	for _, part := range []struct{ dives, branches int64 }{{left / 32, left / 16}, {left / 8, 3 * left / 8}} {
		s.work.share(part.dives, func() { s.byDiving(search, table) })
		s.work.share(part.branches, func() { s.byBranching(search, table, pool) })
	}
	s.byDiving(search, table)
}

// byPrices improves the bound by layouts that may hold a piece too often.
func (s *sheetSolver) byPrices(search *sheetSearch) (*guillotineTable, []*layout) {
	a := newSheetMaster(s.m, s.work, search, &sheetNode{})
	a.table = newGuillotineTable(s.m)
	if a.table == nil {
		return nil, nil
	}
	for _, l := range search.found {
		a.add(l)
	}
	a.solve(aim{enough: s.below(), fills: math.MaxInt})
	if a.proof != nil {
		s.prove(a.proof)
	}
	for _, l := range a.pool {
		search.keep(l)
	}
	return a.table, a.pool
}

// byDiving looks for cheaper plans among layouts that hold no piece too often.
func (s *sheetSolver) byDiving(search *sheetSearch, table *guillotineTable) {
	if s.done() {
		return
	}
	a := newSheetMaster(s.m, s.work, search, &sheetNode{})
	if a.strict = true; table != nil && s.m.p.Stages == 0 {
		table.count(nothingCounted(s.m))
		a.table = table
		a.hold = newHoldTable(table, s.m.need)
	}
	r := s.all()
	for _, l := range search.found {
		if l = l.without(&r); l.within(s.m.p.Stages) {
			a.add(l)
		}
	}
	a.solve(a.divingAim())
	filled, hold := a.table, a.hold
	for try := 0; !s.done() && try < 1000; try++ {
		// Every other time without tables: these find more, and take longer.
		if a.table, a.hold = filled, hold; try%2 == 1 {
			a.table, a.hold = nil, nil
		}
		s.searchHeld(search, a.hold)
		s.take(a.dive(0.5*search.rnd.float(), s.below()))
		for range 5 {
			if s.done() {
				return
			}
			s.search(search)
		}
	}
}

// searchHeld fills a plan's sheets by a table each, where there is one.
func (s *sheetSolver) searchHeld(search *sheetSearch, h *holdTable) {
	if h == nil {
		return
	}
	if runs := search.planByHolding(h, s.all(), s.below()+1); runs != nil {
		s.take(runs)
		search.correct(runs)
	}
}

func (s *sheetSolver) search(search *sheetSearch) {
	runs := search.plan(s.all(), max(4, 2*len(s.m.sheets))+int(search.rnd.float()*16), noLimit)
	if runs == nil {
		return
	}
	s.take(runs)
	search.correct(runs)
}
