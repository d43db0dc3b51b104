package cutting

import (
	"math"
	"slices"
)

// shortTree searches the listed patterns of short bars. Its decisions are on how
// many of an item, or of a pair of items, bars of one stock hold.
type shortTree struct {
	b *shortBars
	// path is how many decisions stand above the tree, and prices which of them
	// takes the price of a stock's bars; -1 where the stock's own limit does.
	above  int
	prices []int
	most   []int64
	// rows are the linear programme's rows of decisions on several bars; at a node
	// they have its limits, or limits that say nothing.
	rows  []limitRow
	live  []bool
	nodes []Node
	// fill is asked for a plan from the short bars as they are filled, which lock
	// keeps as they are.
	fill func(short []run, lock bool) bool
	rnd  *random
	// filled is set when there is a plan, stuck when a node could neither be
	// proved nor divided.
	filled, stuck bool
	count         int
}

// mostShortNodes bounds the tree, so that it can be checked soon.
const mostShortNodes = 20_000

// decide searches; it returns true when the tree proves that there is no plan.
func (t *shortTree) decide() bool {
	b := t.b
	if !b.price() {
		return false
	}
	values := b.values()
	b.table.run(b.m, values, b.m.need, b.work)
	for _, size := range b.m.size {
		t.most = append(t.most, b.table.best[size])
	}
	p := b.proof(values, t.most)
	worth, less := b.sums(p)
	if worth.dividedUp(less, 1) >= b.below {
		t.nodes = []Node{{Leaf: t.leaf(p, nil)}}
		return true
	}
	gap, ok := gapOf(p, worth, less, b.below-1)
	if !ok || !b.list(values, t.most, gap) {
		return false
	}
	t.nodes = []Node{{Narrow: t.leaf(p, nil)}}
	for _, s := range b.stock {
		t.nodes[0].Listed = append(t.nodes[0].Listed, b.whole.lines(s)...)
	}
	if slices.Max(b.m.limit) > manyAlike && t.dives() {
		return false
	}
	t.live = make([]bool, len(b.pats))
	return t.search() && !b.partly
}

// manyAlike is from how many bars alike on rounding does better than a tree, which
// must tell them apart, and shortDives how often it is tried, with
// shortBack steps back each.
const (
	manyAlike  = 4
	shortDives = 3
	shortBack  = 25
	// lastShort is how many of the steps are left to a tree, with shortShare work.
	lastShort  = 12
	shortShare = int64(30_000_000)
)

// dives rounds most bars and searches a tree for the last of them.
func (t *shortTree) dives() bool {
	b := t.b
	for try := range shortDives {
		fixed := b.dive(t.rnd, 0.1*float64(try), shortBack)
		if b.work.done() {
			return false
		}
		if t.fill(b.inWhole(fixed), false) {
			t.filled = true
			return true
		}
		fixed = fixed[:max(0, len(fixed)-lastShort)]
		q := &shortTree{b: b.without(fixed), above: t.above, prices: t.prices, most: slices.Clone(t.most), nodes: []Node{{}}}
		q.fill = func(short []run, lock bool) bool { return t.fill(append(b.inWhole(fixed), short...), lock) }
		q.live = make([]bool, len(q.b.pats))
		b.work.share(shortShare, func() { q.search() })
		if t.filled = q.filled; t.filled {
			return true
		}
	}
	return false
}

func (t *shortTree) search() bool {
	all := []int32{}
	for v := len(t.b.m.width); v < len(t.b.pats); v++ {
		all = append(all, int32(v))
	}
	stack := []coverNode{{live: all}}
	for len(stack) > 0 {
		if t.b.work.done() || len(t.nodes) > mostShortNodes {
			return false
		}
		n := stack[len(stack)-1]
		stack = append(stack[:len(stack)-1], t.visit(n)...)
		if t.filled || t.stuck {
			return false
		}
	}
	return true
}

// visit proves a node's leaf or divides it.
func (t *shortTree) visit(n coverNode) []coverNode {
	b := t.b
	if t.enter(&n); b.work.done() {
		t.stuck = true
		return nil
	}
	p, worth, less := t.prove(&n)
	if worth.dividedUp(less, 1) >= b.below {
		t.nodes[n.at].Leaf = t.leaf(p, n.path)
		return nil
	}
	if gap, ok := gapOf(p, worth, less, b.below-1); ok && n.at > 0 {
		if live := t.narrowed(&n, p, gap); len(live) < len(n.live) {
			n.live, t.nodes[n.at].Narrow = live, t.leaf(p, n.path)
		}
	}
	row, most, part := t.branching()
	if row.terms == nil {
		short := b.inWhole(t.short())
		t.filled = t.fill(short, true) || t.fill(short, false)
		t.stuck = !t.filled
		return nil
	}
	return t.divide(&n, row, most, part)
}

func (t *shortTree) divide(n *coverNode, row countRow, most int64, part float64) []coverNode {
	low := limitRow{countRow: row, limit: most, at: -1}
	high := limitRow{countRow: row, limit: most + 1, atLeast: true, at: -1}
	if !t.single(&row) {
		if len(t.rows) > mostCoverRows {
			t.stuck = true
			return nil
		}
		low.at, high.at = t.addRow(low), t.addRow(high)
	}
	at := len(t.nodes)
	t.nodes = append(t.nodes, Node{}, Node{})
	node := &t.nodes[n.at]
	node.Row, node.Most, node.Low, node.High = t.b.whole.publicRow(t.inWhole(&row)), most, at, at+1
	below := coverNode{at, t.allowed(n.live, &low), append(slices.Clone(n.path), low)}
	above := coverNode{at + 1, t.allowed(n.live, &high), append(slices.Clone(n.path), high)}
	if part > 0.5 {
		return []coverNode{below, above}
	}
	return []coverNode{above, below}
}

// single tells whether a row counts one bar only, so that its patterns say all.
func (t *shortTree) single(r *countRow) bool { return t.b.m.limit[slices.Index(r.stock, true)] == 1 }

// inWhole is a row with its stock as in the whole model.
func (t *shortTree) inWhole(r *countRow) *countRow {
	stock := make([]bool, len(t.b.whole.size))
	stock[t.b.stock[slices.Index(r.stock, true)]] = true
	return &countRow{stock: stock, terms: r.terms, over: r.over}
}

// counts is what a row of pieces in bars of one stock counts.
func (t *shortTree) counts(r *countRow, p *pattern) int64 {
	if p.stock < 0 || !r.stock[p.stock] {
		return 0
	}
	return r.sum(p) / r.over
}

func (t *shortTree) addRow(r limitRow) int {
	sign, penalty := -1.0, 0.0
	if r.atLeast {
		sign, penalty = 1, 16
	}
	r.at = t.b.lp.addLimit(sign, silent(&r), penalty, func(v int) float64 { return float64(t.counts(&r.countRow, &t.b.pats[v])) })
	t.rows = append(t.rows, r)
	return r.at
}

// enter blocks what is not live by its cost, sets the limits of the decisions, and
// finds the best prices.
func (t *shortTree) enter(n *coverNode) {
	b := t.b
	clear(t.live)
	for _, v := range n.live {
		t.live[v] = true
	}
	for v := len(b.m.width); v < len(b.pats); v++ {
		b.lp.cols[v].cost = 0
		if !t.live[v] {
			b.lp.cols[v].cost = 16
		}
	}
	b.lp.solveY()
	if len(t.rows) > 0 {
		b.lp.setRHS(n.sides(b.lp.rhs, t.rows))
		b.lp.settle()
	}
	b.optimise()
	b.work.spend(int64(len(b.pats)))
}

// prove takes the prices as a proof over the live patterns, with what it comes to.
func (t *shortTree) prove(n *coverNode) (p *prices, worth, less sum) {
	b := t.b
	q := &prices{item: b.values(), rows: make([]int64, len(n.path))}
	for i := range n.path {
		switch r := &n.path[i]; {
		case r.at < 0:
		case r.atLeast:
			q.rows[i] = b.parts(b.lp.y[r.at])
		default:
			q.rows[i] = b.parts(-b.lp.y[r.at])
		}
	}
	t.most = append(t.most[:0], make([]int64, len(b.m.size))...)
	for _, v := range n.live {
		s := b.pats[v].stock
		t.most[s] = max(t.most[s], t.worth(q, n, v))
	}
	b.work.spend(int64(4 * len(n.live)))
	p = b.proof(q.item, t.most)
	p.rows = q.rows
	worth, less = b.sums(p)
	for i := range n.path {
		if n.path[i].atLeast {
			worth.add(p.rows[i], n.path[i].limit)
		} else {
			less.add(p.rows[i], n.path[i].limit)
		}
	}
	return p, worth, less
}

func (t *shortTree) worth(p *prices, n *coverNode, v int32) (worth int64) {
	q := &t.b.pats[v]
	for _, x := range q.terms {
		worth += p.item[x.item] * x.count
	}
	for i := range n.path {
		switch r := &n.path[i]; {
		case p.rows[i] == 0:
		case r.atLeast:
			worth += p.rows[i] * t.counts(&r.countRow, q)
		default:
			worth -= p.rows[i] * t.counts(&r.countRow, q)
		}
	}
	return worth
}

// narrowed leaves out what falls short by more than the gap.
func (t *shortTree) narrowed(n *coverNode, p *prices, gap int64) []int32 {
	kept := make([]int32, 0, len(n.live))
	for _, v := range n.live {
		s := t.b.stock[t.b.pats[v].stock]
		if p.stock[s]+t.b.whole.cost[s]-t.worth(p, n, v) <= gap {
			kept = append(kept, v)
		}
	}
	return kept
}

// allowed leaves out what a decision forbids by itself.
func (t *shortTree) allowed(live []int32, r *limitRow) []int32 {
	kept := make([]int32, 0, len(live))
	for _, v := range live {
		p := &t.b.pats[v]
		n := t.counts(&r.countRow, p)
		if !r.stock[p.stock] || !r.atLeast && n <= r.limit || r.atLeast && (n >= r.limit || !t.single(&r.countRow)) {
			kept = append(kept, v)
		}
	}
	return kept
}

// short is the linear programme's solution, whole, as bars.
func (t *shortTree) short() []run {
	var runs []run
	for place, v := range t.b.lp.basis {
		if n := int64(math.Round(t.b.lp.x[place])); v >= len(t.b.m.width) && n > 0 {
			runs = append(runs, run{t.b.pats[v], n})
		}
	}
	return runs
}

// leaf writes prices with the decisions above the tree and those in it.
func (t *shortTree) leaf(p *prices, path []limitRow) *Leaf {
	q := &prices{scale: p.scale, item: p.item, stock: slices.Clone(p.stock)}
	branches := make([]int64, t.above+len(path))
	for s, at := range t.prices {
		if at >= 0 {
			branches[at], q.stock[s] = p.stock[s], 0
		}
	}
	copy(branches[t.above:], p.rows)
	l := t.b.whole.leaf(q, nil)
	l.Branches = branches
	return l
}
