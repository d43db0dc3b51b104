package cutting

import (
	"cmp"
	"math"
	"slices"
)

// price adds the patterns worth more than they cost and improves the bound. It
// returns false when there were none.
func (a *master) price() bool {
	p := a.wholePrices()
	ask, extra := a.asks(p)
	if slices.ContainsFunc(a.rows, func(r limitRow) bool { return r.stock == nil && a.lp.y[r.at] != 0 }) {
		return a.priceWithRows(p, ask, extra)
	}
	if a.m.wantsTable() {
		return a.priceByTable(p, ask, extra)
	}
	a.ks.run(p.item, a.left.need, ask, a.work)
	if a.ks.full {
		return false
	}
	best := a.ks.worthiest(ask)
	worth := slices.Clone(ask)
	for s, at := range best {
		if at >= 0 {
			worth[s] = a.ks.nodes[at].value
		}
	}
	a.improve(p, worth, extra)
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

func (a *master) priceByTable(p *prices, ask, extra []int64) bool {
	t := &a.table
	t.run(a.m, p.item, a.left.need, a.work)
	worth := slices.Clone(ask)
	for s, size := range a.m.size {
		worth[s] = max(worth[s], t.best[size])
	}
	a.improve(p, worth, extra)
	added := false
	for s, size := range a.m.size {
		if t.best[size] > ask[s] && a.addPattern(pattern{s, t.terms(size)}) {
			added = true
		}
	}
	return added
}

// asks is what a pattern of each stock must be worth more than, and how much of
// it is not for the stock's cost but for its limit and the rows that count it.
func (a *master) asks(p *prices) (ask, extra []int64) {
	tolerance := int64(float64(a.scale) * a.unit * 1e-9)
	extra = slices.Clone(p.stock)
	for i := range a.rows {
		r := &a.rows[i]
		for s, in := range r.stock {
			if in && r.atLeast {
				extra[s] -= p.rows[i]
			} else if in {
				extra[s] += p.rows[i]
			}
		}
	}
	for s, cost := range a.m.cost {
		if ask = append(ask, a.scale*cost+extra[s]); cost > 0 || a.limited[s] >= 0 {
			ask[s] += tolerance
		}
	}
	return ask, extra
}

func (a *master) priceWithRows(p *prices, ask, extra []int64) bool {
	k := &a.rk
	k.ask = ask
	k.rows, k.of = k.rows[:0], make([][]rowTerm, len(a.m.width))
	for i := range a.rows {
		r := &a.rows[i]
		if r.stock != nil || p.rows[i] == 0 {
			continue
		}
		price := p.rows[i]
		if r.atLeast {
			price = -price
		}
		for _, t := range r.terms {
			k.of[t.item] = append(k.of[t.item], rowTerm{len(k.rows), t.count})
		}
		k.rows = append(k.rows, pricedRow{r.over, price})
	}
	if !k.run(p.item, a.left.need) {
		return false
	}
	a.improve(p, k.worth, extra)
	added := false
	for _, f := range k.found {
		added = a.addPattern(f.pattern) || added
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

// wholePrices rounds the linear programme's prices to whole parts. What fits a
// free bar of which there is no end costs nothing.
func (a *master) wholePrices() *prices {
	free := int64(-1)
	for s, cost := range a.m.cost {
		if cost == 0 && a.limited[s] < 0 {
			free = max(free, a.m.size[s])
		}
	}
	p := &prices{scale: a.scale, item: make([]int64, len(a.m.width)), stock: make([]int64, len(a.m.size)), rows: make([]int64, len(a.rows))}
	for i, w := range a.m.width {
		if w > free {
			p.item[i] = a.whole(a.lp.y[i])
		}
	}
	for s, r := range a.limited {
		if r >= 0 {
			p.stock[s] = a.whole(-a.lp.y[r])
		}
	}
	for i := range a.rows {
		if a.rows[i].silent {
			continue
		}
		y := a.lp.y[a.rows[i].at]
		if !a.rows[i].atLeast {
			y = -y
		}
		p.rows[i] = a.whole(y)
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
func (a *master) improve(p *prices, worth, extra []int64) {
	q := &prices{scale: a.scale, item: p.item, stock: make([]int64, len(p.stock)), rows: p.rows}
	for s, cost := range a.m.cost {
		if a.limited[s] >= 0 {
			continue
		}
		short := worth[s] - extra[s]
		if cost == 0 && short > 0 {
			return // free bars without end: no price but 0 would do
		}
		if cost == 0 {
			continue
		}
		q.scale = max(q.scale, (short+cost-1)/cost)
	}
	for s := range q.stock {
		if a.limited[s] >= 0 {
			q.stock[s] = max(0, worth[s]-(extra[s]-p.stock[s])-q.scale*a.m.cost[s])
		}
	}
	if b, value := a.boundBy(q); a.proof == nil || b > a.bound || b == a.bound && value > a.tight {
		a.bound, a.tight, a.proof = b, value, q
	}
}

// boundBy is what prices prove of what is left, and before rounding up.
func (a *master) boundBy(p *prices) (int64, float64) {
	var worth, less sum
	for i, need := range a.left.need {
		worth.add(p.item[i], need)
	}
	for s, price := range p.stock {
		if price > 0 {
			less.add(price, a.left.limit[s])
		}
	}
	for i, limit := range a.left.rows {
		if a.rows[i].atLeast == (limit >= 0) {
			worth.add(p.rows[i], max(limit, -limit))
		} else {
			less.add(p.rows[i], max(limit, -limit))
		}
	}
	return worth.dividedUp(less, p.scale), (worth.float() - less.float()) / float64(p.scale)
}
