package cutting

import (
	"cmp"
	"math"
	"slices"
)

// sheetNode is a node of the search over sheets: the items of which a sheet's
// content keeps count, and the pairs that were decided to share a sheet or not
// (Ryan & Foster 1981). Every pair's items are counted.
type sheetNode struct {
	counted         []int
	together, apart []itemPair
}

// with is the node below with one more decision; decided items are counted first.
func (n *sheetNode) with(p itemPair, together bool) *sheetNode {
	c := &sheetNode{slices.Clone(n.counted), slices.Clone(n.together), slices.Clone(n.apart)}
	if together {
		c.together = append(c.together, p)
	} else {
		c.apart = append(c.apart, p)
	}
	for _, item := range []int{p.first, p.second} {
		if at := slices.Index(c.counted, item); at >= 0 {
			c.counted = slices.Delete(c.counted, at, at+1)
		}
		c.counted = slices.Insert(c.counted, 0, item)
	}
	return c
}

// decided tells whether a decision is about an item.
func (n *sheetNode) decided(item int) bool {
	is := func(p itemPair) bool { return p.first == item || p.second == item }
	return slices.ContainsFunc(n.together, is) || slices.ContainsFunc(n.apart, is)
}

// repaired is a layout less the pieces that break a decision.
func (n *sheetNode) repaired(l *layout) *layout {
	var out []int
	has := func(item int) bool {
		return !slices.Contains(out, item) && slices.ContainsFunc(l.count, func(t term) bool { return t.item == item })
	}
	for _, p := range n.apart {
		if has(p.first) && has(p.second) {
			out = append(out, p.second)
		}
	}
	// Who belongs together goes together, one pulling out the other.
	for again := true; again; {
		again = false
		for _, p := range n.together {
			if a, b := has(p.first), has(p.second); a != b {
				out, again = append(out, map[bool]int{true: p.first, false: p.second}[a]), true
			}
		}
	}
	if len(out) == 0 {
		return l
	}
	return l.atMost(func(item int) int64 {
		if slices.Contains(out, item) {
			return 0
		}
		return noLimit
	})
}

// sheetProved is a node of a finished search: a leaf with its prices, or two
// nodes below.
type sheetProved struct {
	leaf            *prices
	counted         []int
	pair            itemPair
	together, apart *sheetProved
}

// sheetBrancher searches until every leaf's bound is the cost of the plan.
type sheetBrancher struct {
	s      *sheetSolver
	search *sheetSearch
	table  *guillotineTable
	hold   *holdTable
	pool   []*layout
	seen   map[uint64]bool
}

const (
	// mostFill is the work of filling a table once with counted states.
	mostFill = int64(500_000_000)
	// mostStates and mostLinks bound the states and their pairs, so that they are
	// found fast.
	mostStates = 1200
	mostLinks  = int64(20_000)
	// mostTried is how many pairs are looked at to find one that can be counted.
	mostTried = 12
)

// byBranching tries to prove that no plan is cheaper than the one there is, and
// takes cheaper ones that it comes by.
func (s *sheetSolver) byBranching(search *sheetSearch, table *guillotineTable, pool []*layout) {
	if table == nil || s.done() {
		return
	}
	b := &sheetBrancher{s: s, search: search, table: table, hold: newHoldTable(table, s.m.need), seen: map[uint64]bool{}}
	for _, l := range pool {
		b.keep(l)
	}
	if proved := b.prove(&sheetNode{}); proved != nil {
		s.bound, s.proved = s.cost, proved
	}
}

func (b *sheetBrancher) keep(l *layout) {
	p := pattern{l.sheet, l.count}
	if h := p.hash(); !b.seen[h] && len(b.pool) < 20_000 {
		b.seen[h] = true
		b.pool = append(b.pool, l)
	}
}

// prove returns nil where work or means end before every leaf is proved.
func (b *sheetBrancher) prove(n *sheetNode) *sheetProved {
	for !b.s.work.done() {
		states := b.statesOf(n)
		if states == nil {
			return nil
		}
		b.table.count(states)
		a := b.master(n)
		a.solve(aim{enough: b.s.cost, only: true, fills: math.MaxInt})
		for _, l := range a.pool {
			b.keep(l)
		}
		if a.proof != nil && a.bound >= b.s.cost {
			return &sheetProved{leaf: a.proof, counted: slices.Clone(n.counted)}
		}
		before := b.s.cost
		if b.s.take(a.wholePlan()); b.s.done() {
			return nil
		}
		if b.s.cost < before {
			continue // less is to be proved now
		}
		over := a.overused(n)
		if more := (&sheetNode{append(slices.Clone(n.counted), over), n.together, n.apart}); over >= 0 && b.statesOf(more) != nil {
			n = more
			continue
		}
		pair, ok := b.splitPair(n, a.sharing(n))
		if !ok {
			return nil
		}
		return b.split(n, pair)
	}
	return nil
}

// split proves both nodes below a decision, the one that leads to plans sooner
// first.
func (b *sheetBrancher) split(n *sheetNode, p itemPair) *sheetProved {
	together := b.prove(b.lightened(n.with(p, true)))
	if together == nil {
		return nil
	}
	apart := b.prove(b.lightened(n.with(p, false)))
	if apart == nil {
		return nil
	}
	return &sheetProved{pair: p, together: together, apart: apart}
}

// lightened counts fewer of the items that no decision is about, the last counted
// first, until the states are not too many.
func (b *sheetBrancher) lightened(n *sheetNode) *sheetNode {
	for at := len(n.counted) - 1; at >= 0 && b.statesOf(n) == nil; at-- {
		if !n.decided(n.counted[at]) {
			n.counted = slices.Delete(n.counted, at, at+1)
		}
	}
	return n
}

// statesOf are the states that a node counts, or nil where they are too many.
func (b *sheetBrancher) statesOf(n *sheetNode) *sheetStates {
	most := min(mostLinks, mostFill/b.table.steps)
	states := newSheetStates(b.s.m, n.counted, n.apart, int(most), b.s.work)
	if states == nil || len(states.count) > mostStates || len(states.count)*len(b.table.xs)*len(b.table.ys) > mostCells {
		return nil
	}
	return states
}

// master is a linear programme with the known layouts that a node allows.
func (b *sheetBrancher) master(n *sheetNode) *sheetMaster {
	a := newSheetMaster(b.s.m, b.s.work, b.search, n)
	a.table, a.hold = b.table, b.hold
	all := b.s.all()
	for _, l := range b.pool {
		if !n.overfull(b.s.m, l) {
			a.add(n.repaired(l))
		}
		a.add(n.repaired(l.without(&all)))
	}
	return a
}

// overfull tells whether a layout holds a counted piece more often than needed.
func (n *sheetNode) overfull(m *sheetModel, l *layout) bool {
	return slices.ContainsFunc(l.count, func(t term) bool { return t.count > m.need[t.item] && slices.Contains(n.counted, t.item) })
}

// wholePlan is the plan of a solution all of whose layouts are whole in number,
// or nil.
func (a *sheetMaster) wholePlan() []layoutRun {
	r := rest{need: slices.Clone(a.m.need), limit: slices.Clone(a.m.limit)}
	var runs []layoutRun
	for place, v := range a.lp.basis {
		x := a.lp.x[place]
		n := math.Round(x)
		if math.Abs(x-n) > 1e-6 {
			return nil
		}
		for ; v >= 0 && n > 0; n-- {
			l := a.pool[v].without(&r)
			p := pattern{l.sheet, l.count}
			if r.times(&p) > 0 && l.within(a.m.p.Stages) {
				r.take(&p, 1)
				runs = append(runs, layoutRun{l, 1})
			}
		}
	}
	if !r.empty() {
		return nil
	}
	return runs
}

// overused is the item not yet counted that the solution's layouts hold most
// often beyond its need, or -1.
func (a *sheetMaster) overused(n *sheetNode) int {
	over := make([]float64, len(a.m.items))
	for place, v := range a.lp.basis {
		if v < 0 {
			continue
		}
		for _, t := range a.pool[v].count {
			if more := t.count - a.m.need[t.item]; more > 0 {
				over[t.item] += float64(a.lp.x[place] * float64(more))
			}
		}
	}
	most, at := 1e-6, -1
	for item, v := range over {
		if v > most && !slices.Contains(n.counted, item) {
			most, at = v, item
		}
	}
	return at
}

// sharedPair is how often two pieces come together, and how good it seems to
// decide on it.
type sharedPair struct {
	itemPair
	times, key float64
}

// sharing are the undecided pairs of pieces needed once that come together a
// broken number of times: best those nearest to half a time, large, and counted
// already.
func (a *sheetMaster) sharing(n *sheetNode) []sharedPair {
	shared := map[itemPair]float64{}
	for place, v := range a.lp.basis {
		if v < 0 || a.lp.x[place] < 1e-6 {
			continue
		}
		l := a.pool[v].count
		for i := range l {
			for k := range i {
				if a.m.need[l[i].item] == 1 && a.m.need[l[k].item] == 1 {
					shared[itemPair{l[k].item, l[i].item}] += a.lp.x[place]
				}
			}
		}
	}
	var all []sharedPair
	most := a.m.largestItem()
	for p, x := range shared {
		if x < 1e-5 || x > 1-1e-5 || slices.Contains(n.together, p) || slices.Contains(n.apart, p) {
			continue
		}
		size := float64(a.m.items[p.first].area()+a.m.items[p.second].area()) / float64(2*most)
		key := float64(0.5*size) - math.Abs(x-0.5)
		for _, item := range []int{p.first, p.second} {
			if slices.Contains(n.counted, item) {
				key += 0.15
			}
		}
		all = append(all, sharedPair{p, x, key})
	}
	slices.SortFunc(all, func(p, q sharedPair) int {
		return cmp.Or(cmp.Compare(q.key, p.key), cmp.Compare(p.first, q.first), cmp.Compare(p.second, q.second))
	})
	return all
}

// splitPair is the best pair of which both decisions can be counted.
func (b *sheetBrancher) splitPair(n *sheetNode, all []sharedPair) (itemPair, bool) {
	for _, p := range all[:min(len(all), mostTried)] {
		if b.statesOf(b.lightened(n.with(p.itemPair, true))) != nil && b.statesOf(b.lightened(n.with(p.itemPair, false))) != nil {
			return p.itemPair, true
		}
	}
	return itemPair{}, false
}

func (m *sheetModel) largestItem() int64 {
	var most int64
	for _, it := range m.items {
		most = max(most, it.area())
	}
	return most
}
