package cutting

import (
	"math"
	"slices"
)

// master is the linear programme over patterns, whose columns are found as they
// are needed (Gilmore & Gomory 1961, 1963).
type master struct {
	m    *model
	work *meter
	lp   *simplex
	pool []pattern
	seen map[uint64]bool
	ks   knapsack
	rk   rowKnapsack
	// table is for many sizes.
	table roomTable
	// scale is how many parts a unit of cost has in whole prices, unit the cost
	// that counts 1 in the linear programme.
	scale   int64
	unit    float64
	limited []int // row of a stock, -1 for none
	rows    []limitRow
	// standing is how many of the rows, the first, always stand: they limit the
	// bars of each stock, so that nodes with other limits only differ by those.
	standing int
	// left is what the patterns still have to do; bounds are about that.
	left rest
	// value is the optimum of the linear programme in units of cost, bound the
	// best proof so far.
	value float64
	bound int64
	tight float64 // the bound before it was rounded up
	proof *prices
	// exchange are the columns that let a wide piece stand for a narrower one.
	exchange []int
	// exact asks for the best prices, also where they cannot raise the bound.
	exact bool
}

func newMaster(m *model, work *meter) *master {
	a := &master{m: m, work: work, seen: map[uint64]bool{}, left: m.all()}
	a.ks.m, a.rk.m, a.rk.work = m, m, work
	dearest := max(slices.Max(m.cost), 1)
	a.unit = float64(dearest)
	a.scale = (1 << 44) / dearest
	a.newProgramme()
	return a
}

// newProgramme makes the linear programme's rows of needs and stock.
func (a *master) newProgramme() {
	a.lp = &simplex{work: a.work}
	a.limited = a.limited[:0]
	for i, need := range a.left.need {
		a.lp.addRow(1, float64(need), a.penalty(i))
	}
	for s, limit := range a.m.limit {
		a.limited = append(a.limited, -1)
		if limit != noLimit {
			a.limited[s] = a.lp.addRow(-1, float64(a.left.limit[s]), 0)
		}
	}
}

// penalty is what leaving a piece out costs: more than any bar for it. Where bars
// are limited in number it is as much as the pieces of a bar can be worth without
// overflow, so that bars that lack a thousandth of a piece are seen to be too few.
func (a *master) penalty(item int) float64 {
	if len(a.m.size) > 1 {
		return max(5, min(1000, float64(int64(1)<<17)/float64(a.m.size[0]/a.m.width[item])))
	}
	dearest := 0.0
	for s, size := range a.m.size {
		if size >= a.m.width[item] {
			dearest = max(dearest, float64(a.m.cost[s]))
		}
	}
	return 4*dearest/a.unit + 1
}

// addPattern adds a pattern unless it is there.
func (a *master) addPattern(p pattern) bool {
	key := p.hash()
	if a.seen[key] {
		return false
	}
	a.seen[key] = true
	a.pool = append(a.pool, p)
	a.lp.addColumn(a.column(&p))
	return true
}

func (a *master) column(p *pattern) column {
	c := column{cost: float64(a.m.cost[p.stock]) / a.unit}
	add := func(row int, value int64) {
		if value != 0 {
			c.rows, c.vals = append(c.rows, int32(row)), append(c.vals, float64(value))
		}
	}
	for _, t := range p.terms {
		add(t.item, t.count)
	}
	if r := a.limited[p.stock]; r >= 0 {
		add(r, 1)
	}
	for i := range a.rows {
		add(a.rows[i].at, a.rows[i].count(p))
	}
	return c
}

// addExchanges adds columns by which a piece cut from the place of the next
// wider one costs nothing: they keep prices in the order of widths, as the right
// ones are, and so save rounds (Valerio de Carvalho 2005, "Using extra dual cuts
// to accelerate column generation", INFORMS Journal on Computing 17).
func (a *master) addExchanges() {
	for i := 1; i < len(a.m.width); i++ {
		a.exchange = append(a.exchange, len(a.pool))
		a.pool = append(a.pool, pattern{stock: -1})
		a.lp.addColumn(column{rows: []int32{int32(i - 1), int32(i)}, vals: []float64{-1, 1}})
	}
}

func (a *master) dropExchanges() {
	for _, v := range a.exchange {
		a.lp.cols[v].cost = 8
	}
	a.exchange = nil
	a.lp.solveY()
}

func (p *pattern) hash() uint64 {
	h := mix(uint64(p.stock))
	for _, t := range p.terms {
		h = mix(mix(h^uint64(t.item)) ^ uint64(t.count))
	}
	return h
}

// mix is the finaliser of splitmix64.
func mix(z uint64) uint64 {
	z += 0x9e3779b97f4a7c15
	z = (z ^ z>>30) * 0xbf58476d1ce4e5b9
	z = (z ^ z>>27) * 0x94d049bb133111eb
	return z ^ z>>31
}

// solve adds columns until none is worth more than it costs, or until the bound
// reaches enough, or the value rounded up proves that it cannot rise. It leaves
// value and bound; the bound is right whenever it stops.
func (a *master) solve(enough int64) {
	a.bound, a.proof = 0, nil
	if a.exchange != nil {
		a.converge(enough)
		a.dropExchanges()
		if a.bound >= enough {
			return
		}
	}
	a.converge(enough)
}

func (a *master) converge(enough int64) {
	for !a.work.done() {
		a.optimise()
		if !a.price() || a.bound >= enough {
			return
		}
		if up := math.Ceil(a.value - 1e-6); !a.exact && float64(a.bound) >= up && a.lp.unmet() < 1e-7 {
			return
		}
	}
}

// optimise finds the best value of the columns there are.
func (a *master) optimise() {
	a.lp.primal()
	if !a.lp.refresh() {
		a.lp.settle()
		a.lp.primal()
	}
	a.value = a.lp.value() * a.unit
}

// reaches tells whether the linear programme's value comes down to a cost. It
// looks for columns only as long as those there are do not do.
func (a *master) reaches(cost int64) bool {
	a.bound, a.proof = 0, nil
	for !a.work.done() {
		a.optimise()
		if a.value <= float64(cost)+1e-6 && a.lp.unmet() < 1e-7 {
			return true
		}
		if !a.price() || a.bound > cost {
			return false
		}
	}
	return false
}
