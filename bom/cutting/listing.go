package cutting

// mostListed is how many patterns a master may list.
const mostListed = 20_000

// newListing lists the patterns that a plan cheaper than below can use: the
// prices leave a gap up to such a plan's cost, and a bar whose pieces are worth
// less than its price by more than the gap cannot be in it. It returns nil when
// they are too many.
func newListing(m *model, p *prices, below int64, work *meter) *listing {
	if p == nil || int64(len(m.width)+1)*(m.size[0]+1) > maxTable {
		return nil
	}
	gap, ok := m.gap(p, below-1)
	if !ok {
		return nil
	}
	l := &listing{m: m, work: work, value: p.item, need: m.need, limit: mostListed}
	for s, cost := range m.cost {
		l.least = append(l.least, p.scale*cost+p.stock[s]-gap)
	}
	if !l.run() {
		return nil
	}
	return l
}

// listing goes through all patterns whose worth stays below what is asked by no
// more than a gap.
type listing struct {
	m     *model
	work  *meter
	value []int64
	need  []int64
	least []int64 // worth that a pattern of each stock must reach
	table [][]int64
	now   []term
	found []pattern
	limit int
}

// gap is how far the prices are from the cost, in parts.
func (m *model) gap(p *prices, cost int64) (int64, bool) {
	var worth, less sum
	for i, need := range m.need {
		worth.add(p.item[i], need)
	}
	for s, price := range p.stock {
		if price > 0 {
			less.add(price, m.limit[s])
		}
	}
	return gapOf(p, worth, less, cost)
}

// gapOf returns false when the gap is below zero or beyond all sense.
func gapOf(p *prices, worth, less sum, cost int64) (int64, bool) {
	less.add(p.scale, cost)
	if less.high != 0 || worth.high != 0 || less.low < worth.low || less.low-worth.low > 1<<60 {
		return 0, false
	}
	return int64(less.low - worth.low), true
}

func (l *listing) run() bool {
	l.fillTable()
	return l.search(0, 0, 0)
}

// fillTable reckons what the items from each on are worth in any room.
func (l *listing) fillTable() {
	size := l.m.size[0]
	l.table = make([][]int64, len(l.value)+1)
	l.table[len(l.value)] = make([]int64, size+1)
	for i := len(l.value) - 1; i >= 0; i-- {
		best := append([]int64(nil), l.table[i+1]...)
		width := l.m.width[i]
		for range most(size, width, l.need[i]) {
			for room := size; room >= width; room-- {
				best[room] = max(best[room], best[room-width]+l.value[i])
			}
			l.work.spend(size)
		}
		l.table[i] = best
	}
}

// search returns false when there are too many patterns.
func (l *listing) search(i int, width, value int64) bool {
	for s, size := range l.m.size {
		if size < width || len(l.now) == 0 {
			break
		}
		if value >= l.least[s] {
			if len(l.found) == l.limit {
				return false
			}
			l.found = append(l.found, pattern{s, append([]term(nil), l.now...)})
		}
	}
	for ; i < len(l.value); i++ {
		if l.work.spend(3); l.work.done() {
			return false
		}
		if !l.alive(i, width, value) {
			return true
		}
		n := most(l.m.size[0]-width, l.m.width[i], l.need[i])
		for c := int64(1); c <= n; c++ {
			l.now = append(l.now, term{i, c})
			if !l.search(i+1, width+c*l.m.width[i], value+c*l.value[i]) {
				return false
			}
			l.now = l.now[:len(l.now)-1]
		}
	}
	return true
}

func (l *listing) alive(i int, width, value int64) bool {
	for s, size := range l.m.size {
		if size < width {
			return false
		}
		if value+l.table[i][size-width] >= l.least[s] {
			return true
		}
	}
	return false
}
