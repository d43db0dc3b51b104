package cutting

import (
	"math"
	"slices"
)

// sheetMaster is the linear programme over layouts of sheets.
type sheetMaster struct {
	m       *sheetModel
	work    *meter
	lp      *simplex
	pool    []*layout
	seen    map[uint64]bool
	table   *guillotineTable
	search  *sheetSearch
	scale   int64
	unit    float64
	limited []int
	left    rest
	bound   int64
	proof   *prices
	node    *sheetNode
	// strict: no layout holds more of a piece than is left to cut.
	strict bool
	hold   *holdTable
}

func newSheetMaster(m *sheetModel, work *meter, search *sheetSearch, node *sheetNode) *sheetMaster {
	a := &sheetMaster{m: m, work: work, search: search, node: node, seen: map[uint64]bool{}}
	dearest := max(slices.Max(m.cost), 1)
	a.unit, a.scale = float64(dearest), (1<<40)/dearest
	a.lp = &simplex{work: work}
	a.left = rest{need: slices.Clone(m.need), limit: slices.Clone(m.limit)}
	for _, need := range m.need {
		a.lp.addRow(1, float64(need), 5)
	}
	for s, limit := range m.limit {
		a.limited = append(a.limited, -1)
		if limit != noLimit {
			a.limited[s] = a.lp.addRow(-1, float64(limit), 0)
		}
	}
	return a
}

// layoutsAtOnce is how many layouts of a sheet are read from a table at most.
const (
	layoutsAtOnce = 5
	layoutsHeld   = 10
)

func (a *sheetMaster) add(l *layout) bool {
	p := pattern{l.sheet, l.count}
	h := p.hash()
	if a.seen[h] || len(l.count) == 0 {
		return false
	}
	a.seen[h] = true
	c := column{cost: float64(a.m.cost[l.sheet]) / a.unit}
	for _, t := range l.count {
		c.rows, c.vals = append(c.rows, int32(t.item)), append(c.vals, float64(t.count))
	}
	if r := a.limited[l.sheet]; r >= 0 {
		c.rows, c.vals = append(c.rows, int32(r)), append(c.vals, 1)
	}
	a.pool = append(a.pool, l)
	a.lp.addColumn(c)
	return true
}

// solve adds layouts until none is worth more than it costs, or the bound
// reaches enough or cannot rise. Where only that counts, it ends as soon as the
// bound cannot reach enough. It fills the table at most so many times.
func (a *sheetMaster) solve(enough int64, only bool, fills int) {
	a.bound, a.proof = 0, nil
	for !a.work.done() {
		a.lp.primal()
		if !a.lp.refresh() {
			a.lp.settle()
			a.lp.primal()
		}
		value := a.lp.value() * a.unit
		if only && a.lp.unmet() < 1e-7 && math.Ceil(value-1e-6) < float64(enough) {
			return
		}
		if a.priceByFilling() {
			continue
		}
		if a.hold != nil && a.priceByHolding() {
			continue
		}
		if fills--; a.table == nil || fills < 0 || !a.price() || a.bound >= enough {
			return
		}
		if up := math.Ceil(value - 1e-6); float64(a.bound) >= up && a.lp.unmet() < 1e-7 {
			return
		}
	}
}

// priceByFilling fills sheets by the prices at hand and adds what is worth more
// than it costs: unlike the table's, these layouts hold no piece too often.
func (a *sheetMaster) priceByFilling() bool {
	s := a.search
	kept := s.value
	s.value = make([]float64, len(a.m.items))
	for i := range s.value {
		// A little for area, so that what costs nothing is still filled in.
		s.value[i] = max(a.lp.y[i], 0) + float64(1e-6*float64(a.m.items[i].area())/float64(a.m.sheets[0].area()))
	}
	defer func() { s.value = kept }()
	added := 0
	f := &filler{m: a.m, work: a.work}
	for try := 0; try < 60 && added < 6 && !a.work.done(); try++ {
		sheet := try % len(a.m.sheets)
		if a.left.limit[sheet] == 0 {
			continue
		}
		f.rule = rule{int(s.rnd.float() * fits), int(s.rnd.float() * splits)}
		l := a.node.repaired(f.fill(sheet, s.order(&a.left, true), a.left.need))
		if a.worth(l) > 1e-6 && a.add(l) {
			added++
		}
	}
	return added > 0
}

// priceByHolding adds layouts of the table that holds no piece too often.
func (a *sheetMaster) priceByHolding() bool {
	price := make([]int64, len(a.m.items))
	for i := range price {
		price[i] = a.whole(a.lp.y[i])
	}
	a.hold.fill(price, a.node.apart, a.work)
	if a.work.done() {
		return false
	}
	added := false
	for s, cost := range a.m.cost {
		ask := a.scale*cost + a.tolerance()
		if r := a.limited[s]; r >= 0 {
			ask += a.whole(-a.lp.y[r])
		}
		for _, l := range a.hold.layouts(s, ask, layoutsHeld) {
			if l = a.node.repaired(l); a.worth(l) > 1e-6 {
				added = a.add(l) || added
			}
		}
	}
	return added
}

// worth is by how much a layout is worth more than its sheet, in the unit of
// costs.
func (a *sheetMaster) worth(l *layout) float64 {
	worth := -float64(a.m.cost[l.sheet]) / a.unit
	if r := a.limited[l.sheet]; r >= 0 {
		worth += a.lp.y[r]
	}
	for _, t := range l.count {
		worth += float64(a.lp.y[t.item] * float64(t.count))
	}
	return worth
}

// tolerance is what a worth must be above a cost to count.
func (a *sheetMaster) tolerance() int64 { return int64(float64(a.scale) * a.unit * 1e-9) }

// price adds the worthiest layout of every sheet, and smaller ones of worth, and
// improves the bound as for bars.
func (a *sheetMaster) price() bool {
	p := &prices{scale: a.scale, stock: make([]int64, len(a.m.sheets))}
	for i := range a.m.items {
		p.item = append(p.item, a.whole(a.lp.y[i]))
	}
	a.table.fill(p.item, a.work)
	if a.work.done() {
		return false
	}
	added := false
	for s, cost := range a.m.cost {
		best := a.table.best(s, a.node.together)
		ask := a.scale * cost
		if r := a.limited[s]; r >= 0 {
			ask += a.whole(-a.lp.y[r])
		} else if cost > 0 {
			p.scale = max(p.scale, (best+cost-1)/cost)
		} else if best > 0 {
			return false
		}
		for _, l := range a.table.layouts(s, ask+a.tolerance(), a.node.together, layoutsAtOnce) {
			if a.strict {
				l = l.without(&a.left)
			}
			added = a.add(l) || added
		}
	}
	for s, cost := range a.m.cost {
		if a.limited[s] >= 0 {
			p.stock[s] = max(0, a.table.best(s, a.node.together)-p.scale*cost)
		}
	}
	if b := a.boundBy(p); a.proof == nil || b > a.bound {
		a.bound, a.proof = b, p
	}
	return added
}

func (a *sheetMaster) whole(y float64) int64 {
	if y <= 0 {
		return 0
	}
	return int64(math.Round(float64(float64(y*a.unit) * float64(a.scale))))
}

func (a *sheetMaster) boundBy(p *prices) int64 {
	var worth, less sum
	for i, need := range a.left.need {
		worth.add(p.item[i], need)
	}
	for s, price := range p.stock {
		if price > 0 {
			less.add(price, a.left.limit[s])
		}
	}
	return worth.dividedUp(less, p.scale)
}

func (a *sheetMaster) reset(r rest) {
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
	a.lp.setRHS(rhs)
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
		a.solve(noLimit, false, a.fills())
		if a.lp.value()*a.unit > float64(below-cost)-1+1e-6 {
			return nil
		}
	}
	if r.empty() {
		return fixed
	}
	return nil
}

// fills is how often the table is filled between two layouts that are fixed.
func (a *sheetMaster) fills() int {
	if a.table == nil {
		return 0
	}
	return int(max(1, min(10, diveFill/a.table.steps)))
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
	q := &layout{sheet: l.sheet, nodes: slices.Clone(l.nodes)}
	have := map[int]int64{}
	for i := range q.nodes {
		n := &q.nodes[i]
		if n.item < 0 {
			continue
		}
		if have[n.item] == r.need[n.item] {
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
