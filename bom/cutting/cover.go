package cutting

import (
	"math"
	"slices"
)

// cover searches for a plan among listed patterns. Its tree has no more columns
// to find, and every node narrows the list by its own prices: once the prices of
// a node come close to the cost aimed at, few patterns are left.
type cover struct {
	s     *solver
	m     *model
	lp    *simplex
	work  *meter
	pats  []pattern
	root  *prices // by which the patterns were listed
	below int64
	unit  float64
	scale int64
	// limited is the row of a stock, -1 for none; live are the patterns that
	// count at the node at hand.
	limited []int
	live    []bool
	nodes   []Node
	// rows are those of the linear programme's rows that stand for decisions.
	// At a node they have its limits, or limits that say nothing.
	rows []limitRow
	// stuck is set when a node could neither be proved nor divided.
	stuck bool
}

type coverNode struct {
	at   int
	live []int32
	path []limitRow
}

// newCover takes the list that the master's proof allows; nil if it is too long.
func newCover(s *solver, a *master, below int64) *cover {
	l := newListing(a.m, a.proof, below, a.work)
	if l == nil {
		return nil
	}
	c := &cover{s: s, m: a.m, work: a.work, pats: l.found, root: a.proof, below: below, unit: a.unit, scale: a.scale}
	c.lp = &simplex{work: a.work}
	for i, need := range c.m.need {
		c.lp.addRow(1, float64(need), a.penalty(i))
	}
	for s, limit := range c.m.limit {
		c.limited = append(c.limited, -1)
		if limit != noLimit {
			c.limited[s] = c.lp.addRow(-1, float64(limit), 0)
		}
	}
	at := map[uint64]int{}
	for v := range c.pats {
		p := &c.pats[v]
		at[p.hash()] = v
		col := column{cost: float64(c.m.cost[p.stock]) / c.unit}
		for _, t := range p.terms {
			col.rows, col.vals = append(col.rows, int32(t.item)), append(col.vals, float64(t.count))
		}
		if r := c.limited[p.stock]; r >= 0 {
			col.rows, col.vals = append(col.rows, int32(r)), append(col.vals, 1)
		}
		c.lp.addColumn(col)
	}
	c.live = make([]bool, len(c.pats))
	c.warm(a, at)
	return c
}

// warm begins with the master's basis, as far as it is listed.
func (c *cover) warm(a *master, at map[uint64]int) {
	var basis []int
	for _, v := range a.lp.basis {
		if v < 0 {
			if rowOf(v) < len(c.lp.rhs) {
				basis = append(basis, v)
			}
		} else if w, found := at[a.pool[v].hash()]; found && a.pool[v].stock >= 0 {
			basis = append(basis, w)
		}
	}
	c.lp.start(basis)
	c.lp.settle()
}

// search goes through the tree, together before apart. It returns false when it
// had to leave nodes open.
func (c *cover) search() bool {
	c.stuck = false
	all := make([]int32, len(c.pats))
	for v := range all {
		all[v] = int32(v)
	}
	c.nodes = []Node{{Narrow: c.m.leaf(c.root, nil)}}
	stack := []coverNode{{live: all}}
	for len(stack) > 0 {
		n := stack[len(stack)-1]
		stack = append(stack[:len(stack)-1], c.visit(n)...)
		if c.stuck || c.work.done() || c.s.cost < c.below {
			return false
		}
	}
	return true
}

// visit proves a node's leaf or divides it.
func (c *cover) visit(n coverNode) []coverNode {
	c.enter(&n)
	p, worth, less := c.prove(&n)
	if worth.dividedUp(less, p.scale) >= c.below {
		c.nodes[n.at].Leaf = c.leaf(p)
		return nil
	}
	if c.whole() {
		return nil
	}
	if gap, ok := gapOf(p, worth, less, c.below-1); ok && n.at > 0 {
		if live := c.narrowed(n.path, n.live, p, gap); len(live) < len(n.live) {
			n.live, c.nodes[n.at].Narrow = live, c.leaf(p)
		}
	}
	row, most, found := c.branching()
	if !found || len(c.rows) > mostCoverRows {
		c.stuck = true
		return nil
	}
	low := limitRow{countRow: row, limit: most, at: -1}
	high := limitRow{countRow: row, limit: most + 1, atLeast: true, at: -1}
	if c.m.need[row.terms[0].item] > 1 || c.m.need[row.terms[1].item] > 1 {
		// Forbidding patterns does not say all of it.
		low.at, high.at = c.addRow(low), c.addRow(high)
	}
	at := len(c.nodes)
	c.nodes = append(c.nodes, Node{}, Node{})
	node := &c.nodes[n.at]
	node.Row, node.Most, node.Low, node.High = c.m.publicRow(&row), most, at, at+1
	return []coverNode{
		{at, c.allowed(n.live, &low), append(slices.Clone(n.path), low)},
		{at + 1, c.allowed(n.live, &high), append(slices.Clone(n.path), high)},
	}
}

// mostCoverRows bounds the rows of decisions in the linear programme.
const mostCoverRows = 400

// addRow adds a decision to the linear programme, saying nothing for now.
func (c *cover) addRow(r limitRow) int {
	sign, penalty := -1.0, 0.0
	if r.atLeast {
		sign, penalty = 1, 16
	}
	at := c.lp.addLimit(sign, silent(&r), penalty, func(v int) float64 { return float64(r.count(&c.pats[v])) })
	r.at = at
	c.rows = append(c.rows, r)
	return at
}

// silent is a limit that says nothing.
func silent(r *limitRow) float64 {
	if r.atLeast {
		return 0
	}
	return 1 << 30
}

// sides are a linear programme's right-hand sides in which, of the rows of all
// decisions, only those on the way to the node say something.
func (n *coverNode) sides(rhs []float64, rows []limitRow) []float64 {
	rhs = slices.Clone(rhs)
	for i := range rows {
		rhs[rows[i].at] = silent(&rows[i])
	}
	for i := range n.path {
		if n.path[i].at >= 0 {
			rhs[n.path[i].at] = float64(n.path[i].limit)
		}
	}
	return rhs
}

func (c *cover) leaf(p *prices) *Leaf {
	l := c.m.leaf(p, nil)
	l.Branches = slices.Clone(p.rows)
	return l
}

// enter blocks what is not live by its cost, sets the limits of the decisions,
// and finds the best prices.
func (c *cover) enter(n *coverNode) {
	clear(c.live)
	for _, v := range n.live {
		c.live[v] = true
	}
	for v := range c.pats {
		cost := float64(c.m.cost[c.pats[v].stock]) / c.unit
		if !c.live[v] {
			cost += 16
		}
		c.lp.cols[v].cost = cost
	}
	c.lp.solveY()
	if len(c.rows) > 0 {
		c.lp.setRHS(n.sides(c.lp.rhs, c.rows))
		c.lp.settle()
	}
	c.lp.primal()
	if !c.lp.refresh() {
		c.lp.settle()
		c.lp.primal()
	}
}

// prove takes the prices as a proof over the live patterns, and returns also
// what it comes to: worth less the limits' prices, in parts.
func (c *cover) prove(n *coverNode) (p *prices, worth, less sum) {
	whole := func(y float64) int64 {
		return int64(math.Round(float64(float64(max(y, 0)*c.unit) * float64(c.scale))))
	}
	p = &prices{scale: c.scale, stock: make([]int64, len(c.m.size)), rows: make([]int64, len(n.path))}
	for i, need := range c.m.need {
		p.item = append(p.item, whole(c.lp.y[i]))
		worth.add(p.item[i], need)
	}
	for i := range n.path {
		r := &n.path[i]
		switch {
		case r.at < 0:
		case r.atLeast:
			p.rows[i] = whole(c.lp.y[r.at])
			worth.add(p.rows[i], r.limit)
		default:
			p.rows[i] = whole(-c.lp.y[r.at])
			less.add(p.rows[i], r.limit)
		}
	}
	most := make([]int64, len(c.m.size))
	for _, v := range n.live {
		most[c.pats[v].stock] = max(most[c.pats[v].stock], worthOf(p, n.path, &c.pats[v]))
	}
	for s, cost := range c.m.cost {
		if c.limited[s] < 0 && cost > 0 {
			p.scale = max(p.scale, (most[s]+cost-1)/cost)
		}
	}
	for s, cost := range c.m.cost {
		if c.limited[s] >= 0 {
			p.stock[s] = max(0, most[s]-p.scale*cost)
			less.add(p.stock[s], c.m.limit[s])
		}
	}
	c.work.spend(int64(4 * len(n.live)))
	return p, worth, less
}

func worthOf(p *prices, path []limitRow, q *pattern) int64 {
	var sum int64
	for _, t := range q.terms {
		sum += p.item[t.item] * t.count
	}
	for i := range path {
		switch {
		case p.rows[i] == 0:
		case path[i].atLeast:
			sum += p.rows[i] * path[i].count(q)
		default:
			sum -= p.rows[i] * path[i].count(q)
		}
	}
	return sum
}

// narrowed leaves out what falls short by more than the gap.
func (c *cover) narrowed(path []limitRow, live []int32, p *prices, gap int64) []int32 {
	kept := make([]int32, 0, len(live))
	for _, v := range live {
		q := &c.pats[v]
		if p.scale*c.m.cost[q.stock]+p.stock[q.stock]-worthOf(p, path, q) <= gap {
			kept = append(kept, v)
		}
	}
	return kept
}

// allowed leaves out what a decision forbids: more than at most, or so little
// that the others cannot make up for it.
func (c *cover) allowed(live []int32, r *limitRow) []int32 {
	kept := make([]int32, 0, len(live))
	var all int64
	for _, t := range r.terms {
		all += t.count * c.m.need[t.item]
	}
	for _, v := range live {
		n, sum := r.count(&c.pats[v]), r.sum(&c.pats[v])
		if !r.atLeast && n <= r.limit || r.atLeast && n+(all-sum)/r.over >= r.limit {
			kept = append(kept, v)
		}
	}
	return kept
}

// whole takes the solution as a plan if it is one.
func (c *cover) whole() bool {
	var runs []run
	r := c.m.all()
	for place, v := range c.lp.basis {
		x := c.lp.x[place]
		if v < 0 || x < 1e-6 {
			continue
		}
		if math.Abs(x-math.Round(x)) > 1e-6 {
			return false
		}
		for n := int64(math.Round(x)); n > 0; {
			p := r.within(&c.pats[v])
			t := min(n, r.times(&p))
			if t <= 0 {
				break
			}
			r.take(&p, t)
			runs = append(runs, run{p, t})
			n -= t
		}
	}
	before := c.s.cost
	c.s.take(runs, &r)
	return c.s.cost < before
}

// branching finds two pieces that are together in a part of a bar, single ones if
// possible.
func (c *cover) branching() (countRow, int64, bool) {
	var used []usedColumn
	for place, v := range c.lp.basis {
		if x := c.lp.x[place]; v >= 0 && x > 1e-7 {
			used = append(used, usedColumn{&c.pats[v], x})
		}
	}
	b := brancher{used: used, least: 0.001}
	y := meetings(len(c.m.width), used)
	for _, single := range []bool{true, false} {
		for i := range y {
			for j := i + 1; j < len(y); j++ {
				if (c.m.need[i] == 1 && c.m.need[j] == 1) != single || y[i][j]+y[i][i]+y[j][j] < 1e-6 {
					continue
				}
				row := countRow{terms: []term{{i, 1}, {j, 1}}, over: 2}
				b.consider(row, float64(c.m.width[i]+c.m.width[j])/float64(c.m.size[0]))
			}
		}
		if b.best > 0 {
			return b.row, b.most, true
		}
	}
	return b.row, b.most, false
}
