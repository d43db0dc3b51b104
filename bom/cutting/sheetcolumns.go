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

// aim is when to stop adding layouts: when the bound reaches enough, when it
// cannot reach it any more if only that counts, or when the table was filled so
// many times.
type aim struct {
	enough int64
	only   bool
	fills  int
}

// solve adds layouts until none is worth more than it costs, the bound cannot
// rise, or the aim is reached.
func (a *sheetMaster) solve(to aim) {
	a.bound, a.proof = 0, nil
	for !a.work.done() {
		a.lp.primal()
		if !a.lp.refresh() {
			a.lp.settle()
			a.lp.primal()
		}
		value := a.lp.value() * a.unit
		up := math.Ceil(value - 1e-6)
		if a.lp.unmet() > 1e-7 {
			up = math.Inf(1)
		}
		if to.only && up < float64(to.enough) {
			return
		}
		if a.priceByFilling() || a.hold != nil && a.priceByHolding() {
			continue
		}
		if to.fills--; a.table == nil || to.fills < 0 || !a.price() || a.bound >= to.enough || float64(a.bound) >= up {
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
	// By the whole need, so that what is found serves other dives too.
	a.hold.limit(a.m.need)
	a.hold.fill(a.itemPrices(), a.node.apart, a.work)
	if a.work.done() {
		return false
	}
	added := false
	for s, ask := range a.asks() {
		for _, l := range a.hold.layouts(s, ask+a.tolerance(), layoutsHeld) {
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

// itemPrices are the prices at hand in whole numbers.
func (a *sheetMaster) itemPrices() []int64 {
	price := make([]int64, len(a.m.items))
	for i := range price {
		price[i] = a.whole(a.lp.y[i])
	}
	return price
}

// asks are what the content of each sheet must be worth more than.
func (a *sheetMaster) asks() []int64 {
	ask := make([]int64, len(a.m.cost))
	for s, cost := range a.m.cost {
		if ask[s] = a.scale * cost; a.limited[s] >= 0 {
			ask[s] += a.whole(-a.lp.y[a.limited[s]])
		}
	}
	return ask
}

// tolerance is what a worth must be above a cost to count.
func (a *sheetMaster) tolerance() int64 { return int64(float64(a.scale) * a.unit * 1e-9) }

// price adds the worthiest layout of every sheet, and smaller ones of worth, and
// improves the bound as for bars.
func (a *sheetMaster) price() bool {
	p := &prices{scale: a.scale, item: a.itemPrices(), stock: make([]int64, len(a.m.sheets))}
	a.table.fill(p.item, a.work)
	if a.work.done() {
		return false
	}
	best := make([]int64, len(a.m.cost))
	for s, cost := range a.m.cost {
		switch best[s] = a.table.best(s, a.node.together); {
		case a.limited[s] >= 0:
		case cost > 0:
			p.scale = max(p.scale, (best[s]+cost-1)/cost)
		case best[s] > 0:
			return false
		}
	}
	for s, cost := range a.m.cost {
		if a.limited[s] >= 0 {
			p.stock[s] = max(0, best[s]-p.scale*cost)
		}
	}
	if b := a.boundBy(p); a.proof == nil || b > a.bound {
		a.bound, a.proof = b, p
	}
	return a.addWorthy()
}

// addWorthy adds layouts from the filled table.
func (a *sheetMaster) addWorthy() bool {
	added := false
	for s, ask := range a.asks() {
		for _, l := range a.table.layouts(s, ask+a.tolerance(), a.node.together, layoutsAtOnce) {
			if a.strict {
				l = l.without(&a.left)
			}
			added = a.add(l) || added
		}
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
