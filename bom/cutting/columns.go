package cutting

import (
	"cmp"
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
	// scale is how many parts a unit of cost has in whole prices, unit the cost
	// that counts 1 in the linear programme.
	scale   int64
	unit    float64
	limited []int // row of a stock, -1 for none
	need    []int64
	limit   []int64
	// value is the optimum of the linear programme in units of cost, bound the
	// best proof so far for what is needed.
	value  float64
	bound  int64
	proof  *prices
	rounds int
}

func newMaster(m *model, work *meter) *master {
	a := &master{m: m, work: work, seen: map[uint64]bool{}, need: slices.Clone(m.need), limit: slices.Clone(m.limit)}
	a.ks.m = m
	dearest := max(slices.Max(m.cost), 1)
	a.unit = float64(dearest)
	a.scale = (1 << 44) / dearest
	a.lp = &simplex{work: work}
	for i, need := range m.need {
		a.lp.addRow(1, float64(need), a.penalty(i))
	}
	for s, limit := range m.limit {
		a.limited = append(a.limited, -1)
		if limit != noLimit {
			a.limited[s] = a.lp.addRow(-1, float64(limit), 0)
		}
	}
	return a
}

// penalty is what leaving a piece out costs: more than any bar for it.
func (a *master) penalty(item int) float64 {
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
	c := column{cost: float64(a.m.cost[p.stock]) / a.unit}
	for _, t := range p.terms {
		c.rows = append(c.rows, int32(t.item))
		c.vals = append(c.vals, float64(t.count))
	}
	if r := a.limited[p.stock]; r >= 0 {
		c.rows = append(c.rows, int32(r))
		c.vals = append(c.vals, 1)
	}
	a.pool = append(a.pool, p)
	a.lp.addColumn(c)
	return true
}

func (p *pattern) hash() uint64 {
	h := uint64(p.stock) + 0x9e3779b97f4a7c15
	for _, t := range p.terms {
		h = mix(h ^ uint64(t.item)<<32 ^ uint64(t.count))
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
// reaches enough, or the value rounded up proves that it cannot. It leaves
// value and bound; the bound is right whenever it stops.
func (a *master) solve(enough int64) {
	a.bound, a.proof = 0, nil
	for !a.work.done() {
		a.rounds++
		a.lp.primal()
		if !a.lp.refresh() {
			a.lp.primal()
		}
		a.value = a.lp.value() * a.unit
		if !a.price() || a.bound >= enough {
			return
		}
		if up := math.Ceil(a.value - 1e-6); float64(a.bound) >= up && a.lp.unmet() < 1e-7 {
			return
		}
	}
}

// price adds the patterns worth more than they cost and improves the bound. It
// returns false when there were none.
func (a *master) price() bool {
	p := a.wholePrices()
	ask := make([]int64, len(a.m.size))
	tolerance := int64(float64(a.scale) * a.unit * 1e-9)
	for s, cost := range a.m.cost {
		ask[s] = a.scale*cost + p.stock[s] + tolerance
	}
	a.ks.run(p.item, a.need, ask, a.work)
	if a.ks.full {
		return false
	}
	best := a.ks.worthiest(ask)
	a.improve(p, ask, best)
	added := false
	for s, at := range best {
		if at >= 0 && a.addPattern(pattern{s, a.ks.terms(at)}) {
			added = true
		}
	}
	if len(a.m.size) <= 8 {
		added = a.addMore(ask) || added
	}
	return added
}

// addMore adds further worthwhile patterns, no two of which end alike.
func (a *master) addMore(ask []int64) bool {
	type found struct {
		at     int32
		stock  int
		excess int64
	}
	var all []found
	s := len(a.m.size) - 1
	for _, at := range a.ks.list {
		n := a.ks.nodes[at]
		for a.m.size[s] < n.width {
			s--
		}
		for stock := s; stock >= 0; stock-- {
			if n.value > ask[stock] {
				all = append(all, found{at, stock, n.value - ask[stock]})
			}
		}
	}
	slices.SortStableFunc(all, func(x, y found) int { return cmp.Compare(y.excess, x.excess) })
	type end struct {
		stock int
		item  int32
	}
	ends := map[end]bool{}
	added := 0
	for _, f := range all {
		e := end{f.stock, a.ks.nodes[f.at].item}
		if ends[e] || added >= 12 {
			continue
		}
		ends[e] = true
		if a.addPattern(pattern{f.stock, a.ks.terms(f.at)}) {
			added++
		}
	}
	return added > 0
}

// wholePrices rounds the linear programme's prices to whole parts.
func (a *master) wholePrices() *prices {
	p := &prices{scale: a.scale, item: make([]int64, len(a.m.width)), stock: make([]int64, len(a.m.size))}
	for i := range p.item {
		p.item[i] = a.whole(a.lp.y[i])
	}
	for s, r := range a.limited {
		if r >= 0 {
			p.stock[s] = a.whole(-a.lp.y[r])
		}
	}
	return p
}

func (a *master) whole(y float64) int64 {
	if y <= 0 {
		return 0
	}
	return int64(math.Round(float64(float64(y*a.unit) * float64(a.scale))))
}

// improve takes the prices as a proof: the scale is raised until unlimited
// stock covers its worthiest pattern (Farley 1990), and limited stock is priced
// up to its own.
func (a *master) improve(p *prices, ask []int64, best []int32) {
	q := &prices{scale: a.scale, item: p.item, stock: make([]int64, len(p.stock))}
	worth := slices.Clone(ask)
	for s, at := range best {
		if at >= 0 {
			worth[s] = a.ks.nodes[at].value
		}
		if cost := a.m.cost[s]; a.limited[s] < 0 {
			if cost == 0 {
				if at >= 0 {
					return
				}
				continue
			}
			q.scale = max(q.scale, (worth[s]+cost-1)/cost)
		}
	}
	for s := range q.stock {
		if a.limited[s] >= 0 {
			q.stock[s] = max(0, worth[s]-q.scale*a.m.cost[s])
		}
	}
	if b := a.boundFor(q); b > a.bound || a.proof == nil {
		a.bound, a.proof = b, q
	}
}

// boundFor is what prices prove of what is needed now.
func (a *master) boundFor(p *prices) int64 {
	var worth, less sum
	for i, need := range a.need {
		worth.add(p.item[i], need)
	}
	for s, price := range p.stock {
		if price > 0 {
			less.add(price, a.limit[s])
		}
	}
	return worth.dividedUp(less, p.scale)
}
