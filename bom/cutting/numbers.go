package cutting

import (
	"fmt"
	"math"
	"slices"
)

// numbers are how many bars of each stock the linear programme takes, all there
// are of those that cost nothing. It returns false where they are not whole.
func (a *master) numbers() ([]int64, bool) {
	used := a.used()
	if _, _, fractional := a.branchOnStock(used); fractional {
		return nil, false
	}
	counts := make([]float64, len(a.m.size))
	for _, u := range used {
		counts[u.p.stock] += u.x
	}
	numbers := make([]int64, len(counts))
	for s, n := range counts {
		if numbers[s] = int64(math.Round(n)); a.m.cost[s] == 0 {
			numbers[s] = a.m.limit[s]
		}
	}
	return numbers, true
}

// branching decides how many bars of a stock there are, then, where these numbers
// are whole, that there are no more of each, so that just they can be looked at,
// and then which pieces are together.
func (t *tree) branching(o *open) (countRow, int64, bool) {
	a := t.a
	if len(a.m.size) == 1 {
		return a.branching()
	}
	if numbers, whole := a.numbers(); whole {
		if s := t.loose(o, numbers); s >= 0 {
			row := countRow{stock: make([]bool, len(numbers))}
			row.stock[s] = true
			return row, numbers[s], true
		}
	}
	return a.branching()
}

// loose is a stock of which the decisions allow more bars than the linear
// programme takes, the longest; or -1.
func (t *tree) loose(o *open, numbers []int64) int {
	for s, n := range numbers {
		if _, found := t.limits(o, s, n); !found {
			return s
		}
	}
	return -1
}

// limits is the decision that allows no more than n bars of a stock, -1 where
// there are no more.
func (t *tree) limits(o *open, stock int, n int64) (at int, found bool) {
	if t.a.m.limit[stock] == n {
		return -1, true
	}
	k := 0
	for i := range o.rows {
		r := &o.rows[i]
		if r.stock != nil && r.stock[stock] && !r.atLeast && r.limit == n {
			return k, true
		}
		if !r.cut {
			k++
		}
	}
	return 0, false
}

const (
	// decideEvery is how often bars are packed, as decisions on pieces come in,
	// before their numbers are looked at again with more work.
	decideEvery = 6
	// refillMoves is how often bars are filled anew before something else is tried,
	// and decideShare and packShare the work of one try to decide on the numbers at
	// hand by short bars, and by filling bars and by dives. They grow as the numbers
	// come back.
	refillMoves = 4000
	decideShare = int64(120_000_000)
	packShare   = int64(300_000_000)
)

// pack looks at a node where the numbers of bars are whole for a plan of just these
// bars, or proves that there is none.
func (t *tree) pack(o *open) {
	a, s := t.a, t.s
	numbers, whole := a.numbers()
	if !whole {
		return
	}
	key := fmt.Sprint(numbers)
	tries, seen := t.tried[key]
	if !seen {
		t.tried[key] = 0
		t.refill(numbers, o.bound)
	}
	if s.cost <= o.bound || t.loose(o, numbers) >= 0 {
		return
	}
	t.tried[key]++
	grown := int64(1) << (2 * min(tries/decideEvery, 8))
	again := tries%decideEvery == 0
	if again {
		s.work.share(decideShare*grown, func() { t.decide(o, numbers, longBars[:1]) })
	}
	if s.cost <= o.bound || o.grafted || s.work.done() {
		return
	}
	s.work.share(packShare*grown, func() { s.pack(a, o.bound) })
	if s.cost > o.bound && again && tries > 0 {
		s.work.share(2*decideShare*grown, func() { t.decide(o, numbers, longBars[1:]) })
	}
	t.packed(o)
}

// packed adds cuts where there was no plan: they may show that the bars are too few.
func (t *tree) packed(o *open) {
	if t.s.cost > o.bound && !o.grafted {
		t.cutOff(o)
		t.improve(o)
	}
}

// rest is all pieces and the given numbers of bars.
func (m *model) rest(numbers []int64) rest {
	r := m.all()
	r.limit = slices.Clone(numbers)
	return r
}

// refill tries to fill the bars, and if that fails and no good plan is known yet,
// somewhat dearer ones.
func (t *tree) refill(numbers []int64, bound int64) {
	a, s := t.a, t.s
	rnd := &random{seed: uint64(s.tries)}
	s.tries++
	r := a.m.rest(numbers)
	runs, over := a.refill(r.copy(), nil, false, rnd, refillMoves)
	if runs != nil {
		s.take(runs, &rest{})
		return
	}
	if over < noLimit && float64(s.cost) > 1.01*float64(bound) {
		t.dearer(numbers, over, rnd)
	}
}

// dearer fills somewhat dearer bars, with more room by what was lacking, so that
// there is a good plan, should the search not end.
func (t *tree) dearer(numbers []int64, over int64, rnd *random) {
	a, s := t.a, t.s
	for try := int64(1); try <= 4; try++ {
		best, cost := []int64(nil), s.target()
		for _, n := range a.changed(numbers, try*over) {
			if c := a.m.costOfNumbers(n); c < cost {
				best, cost = n, c
			}
		}
		if best == nil {
			return
		}
		if runs, _ := a.refill(a.m.rest(best), nil, false, rnd, refillMoves/2); runs != nil {
			s.take(runs, &rest{})
			return
		}
	}
}

// changed are the numbers with a bar more of one stock, and a bar less of another,
// where that makes more room by some width.
func (a *master) changed(numbers []int64, room int64) [][]int64 {
	var all [][]int64
	for more, size := range a.m.size {
		if a.m.cost[more] == 0 || numbers[more] >= a.m.limit[more] {
			continue
		}
		for less := -1; less < len(numbers); less++ {
			n := slices.Clone(numbers)
			n[more]++
			switch {
			case less < 0 && size < room:
			case less < 0:
				all = append(all, n)
			case less != more && n[less] > 0 && a.m.cost[less] > 0 && size-a.m.size[less] >= room:
				n[less]--
				all = append(all, n)
			}
		}
	}
	return all
}

func (m *model) costOfNumbers(numbers []int64) int64 {
	var cost int64
	for s, n := range numbers {
		cost += n * m.cost[s]
	}
	return cost
}

// decide looks for a plan by short bars. Where it proves that there is none, its
// tree stands below the node.
func (t *tree) decide(o *open, numbers []int64, longBars []int64) {
	a, s := t.a, t.s
	rnd := &random{seed: uint64(s.tries)}
	s.tries++
	var limits []int
	for k, n := range numbers {
		at, _ := t.limits(o, k, n)
		limits = append(limits, at)
	}
	fill := func(short []run, lock bool) bool {
		runs, _ := a.refill(a.m.rest(numbers), short, lock, rnd, refillMoves)
		if runs != nil {
			s.take(runs, &rest{})
		}
		return runs != nil
	}
	for _, pieces := range longBars {
		b := newShortBars(a, numbers, pieces, t.aim)
		if b == nil {
			continue
		}
		d := &shortTree{b: b, above: decisions(o.rows), prices: limits, fill: fill, rnd: rnd}
		if d.decide() {
			t.graft(o, d.nodes)
		}
		if o.grafted || d.filled || s.work.done() {
			return
		}
	}
}

// graft puts a tree below a node, which thereby is proved.
func (t *tree) graft(o *open, nodes []Node) {
	from := len(t.nodes) - 1 // the first is the node itself
	for i := range nodes {
		if nodes[i].Leaf == nil {
			nodes[i].Low += from
			nodes[i].High += from
		}
	}
	t.nodes[o.at] = nodes[0]
	t.nodes = append(t.nodes, nodes[1:]...)
	o.bound, o.grafted, t.grafted = t.aim, true, true
}
