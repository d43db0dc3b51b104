package cutting

import (
	"math"
	"slices"
)

// open is a node of the search to be looked at: its rows, and a basis to begin
// with.
type open struct {
	at    int // in the tree
	rows  []limitRow
	basis []int
	// bound is what is proved of it so far, and leaf how.
	bound int64
	leaf  *Leaf
	// waited: it was solved and put back.
	waited bool
	// grafted: a tree of short bars stands below, instead of a leaf.
	grafted bool
}

// search proves the plan or finds a cheaper one by branch and price (Vance 1998,
// "Branch-and-price algorithms for the one-dimensional cutting stock problem",
// Computational Optimization and Applications 9), with cuts. Where two pieces are
// together in a part of a bar only, one side has them together once more, the
// other side not (Ryan & Foster 1981); bars of one stock branch on their number.
// Nodes come in the order of their bounds, so that one with a plan at its bound
// ends the search; of nodes alike the youngest comes first.
func (s *solver) search(a *master) {
	t := &tree{s: s, a: a, aim: s.aim(), nodes: []Node{{}}, least: noLimit, tried: map[string]int{}}
	a.stand()
	t.open = []open{{at: 0, basis: a.named(nil), bound: s.bound, leaf: s.m.leaf(s.leaf, nil)}}
	if s.nodes != nil {
		// What is proved so far took a search: this tree begins with less.
		t.open[0].bound, t.open[0].leaf = 0, s.m.leaf(s.m.noPrices(), nil)
	}
	for len(t.open) > 0 && !s.work.done() {
		o := t.next()
		if o.bound >= t.aim {
			t.open = append(t.open, o)
			break
		}
		t.visit(o)
	}
	// What was not looked at, or in vain, is proved as far as what is above it.
	for _, o := range t.open {
		t.nodes[o.at].Leaf = o.leaf
		t.least = min(t.least, o.bound)
	}
	if t.least > s.bound {
		s.bound, s.nodes, s.below = min(t.least, s.cost), t.nodes, 0
		if t.grafted {
			s.below = s.cost
		}
	}
}

type tree struct {
	s     *solver
	a     *master
	aim   int64
	nodes []Node
	open  []open
	// least is the least bound of all leaves.
	least int64
	count int
	// tried is, by numbers of bars, how often they were tried; grafted tells that
	// trees of short bars stand below some nodes.
	tried   map[string]int
	grafted bool
}

// next takes the open node of least bound, the youngest of those.
func (t *tree) next() open {
	best := len(t.open) - 1
	for i := best - 1; i >= 0; i-- {
		if t.open[i].bound < t.open[best].bound {
			best = i
		}
	}
	o := t.open[best]
	t.open = slices.Delete(t.open, best, best+1)
	return o
}

// comesFirst tells whether another open node has a lesser bound.
func (t *tree) comesFirst(bound int64) bool {
	return slices.ContainsFunc(t.open, func(o open) bool { return o.bound < bound })
}

// visit solves a node and puts the nodes below it up to be looked at.
func (t *tree) visit(o open) {
	a := t.a
	t.count++
	a.enter(&o)
	a.solve(t.aim)
	if len(a.m.size) == 1 {
		t.cutOff(&o)
	}
	t.improve(&o)
	t.byWholeBars(&o)
	if o.bound >= t.aim {
		t.close(&o)
		return
	}
	if t.s.work.done() {
		t.open = append(t.open, o)
		return
	}
	if !o.waited && t.comesFirst(o.bound) {
		o.waited, o.basis = true, a.named(a.rows[a.standing:])
		t.open = append(t.open, o)
		return
	}
	t.plans(&o)
	t.takeWhole()
	row, most, found := t.branching(&o)
	t.aim = min(t.aim, t.s.target())
	if !found || o.bound >= t.aim {
		t.close(&o)
		return
	}
	t.branch(&o, row, most)
}

// improve keeps the better of what was known of a node and what its own prices
// prove.
func (t *tree) improve(o *open) {
	a := t.a
	if a.proof != nil && (a.bound > o.bound || a.bound == o.bound && a.bound >= t.aim) {
		o.bound, o.leaf = a.bound, a.leaf(o.rows)
	}
}

// byWholeBars improves the bound by what whole bars can come to.
func (t *tree) byWholeBars(o *open) {
	if o.bound >= t.aim || len(t.a.m.size) == 1 {
		return
	}
	if b := t.a.wholeBound(t.aim); b > o.bound {
		o.bound, o.leaf = b, t.a.m.leaf(&prices{scale: 1, item: t.a.proof.item}, nil)
		o.leaf.Whole, o.leaf.Branches = true, make([]int64, decisions(o.rows))
	}
}

func decisions(rows []limitRow) (n int) {
	for i := range rows {
		if !rows[i].cut {
			n++
		}
	}
	return n
}

func (t *tree) close(o *open) {
	if !o.grafted {
		t.nodes[o.at].Leaf = o.leaf
	}
	t.least = min(t.least, o.bound)
}

// plans looks for plans: where there are bars of several kinds, where their
// numbers are whole, and if there is none, cuts may show that they are too few.
func (t *tree) plans(o *open) {
	a := t.a
	if len(a.m.size) > 1 {
		t.pack(o)
		return
	}
	if t.count%16 == 1 {
		t.s.dives(a, 2)
		a.lp.primal()
	}
}

func (t *tree) branch(o *open, row countRow, most int64) {
	a := t.a
	rows := slices.DeleteFunc(slices.Clone(o.rows), func(r limitRow) bool { return r.cut && math.Abs(a.lp.y[r.at]) < 1e-9 })
	own := slices.DeleteFunc(slices.Clone(rows), func(r limitRow) bool { return a.stands(&r) })
	basis := a.named(own)
	if row.stock == nil || a.standing == 0 {
		// The decision's own slack is basic at first.
		basis = append(basis, slackOf(len(a.lp.rhs)-len(a.rows)+a.standing+len(own)))
	}
	// Until they have prices of their own, both sides have those from here.
	leaf := *o.leaf
	leaf.Branches = append(slices.Clone(leaf.Branches), 0)
	n := &t.nodes[o.at]
	n.Row, n.Most = a.m.publicRow(&row), most
	n.Low, n.High = len(t.nodes), len(t.nodes)+1
	t.open = append(t.open,
		open{at: n.Low, rows: append(slices.Clone(rows), limitRow{countRow: row, limit: most}), basis: basis, bound: o.bound, leaf: &leaf},
		open{at: n.High, rows: append(slices.Clone(rows), limitRow{countRow: row, atLeast: true, limit: most + 1}), basis: basis, bound: o.bound, leaf: &leaf})
	t.nodes = append(t.nodes, Node{}, Node{})
}

// cutOff adds cuts as long as they raise the bound.
func (t *tree) cutOff(o *open) {
	a := t.a
	if int64(len(a.m.width))*a.m.size[0] > 16*maxTable {
		return
	}
	// Cuts raise the value a little: they are for bounds just below, and for
	// numbers of bars that are hardly enough.
	if len(a.m.size) == 1 && float64(t.aim-1)-a.value > 0.1*a.unit {
		return
	}
	if _, _, found := a.branchOnStock(a.used()); found {
		return
	}
	rounds := 4
	if t.count == 1 {
		rounds = 20
	}
	for ; rounds > 0 && a.bound < t.aim && !a.work.done(); rounds-- {
		cuts := a.separate()
		if len(cuts) == 0 {
			return
		}
		for _, c := range cuts {
			a.addLimitRow(limitRow{countRow: c, cut: true, limit: c.all(a.m.need)})
			o.rows = append(o.rows, a.rows[len(a.rows)-1])
		}
		a.lp.settle()
		a.solve(t.aim)
		if _, _, found := a.branchOnStock(a.used()); found {
			return
		}
	}
}

// takeWhole keeps the linear programme's solution if it is a plan.
func (t *tree) takeWhole() {
	a := t.a
	var runs []run
	r := a.m.all()
	for place, v := range a.lp.basis {
		x := a.lp.x[place]
		whole := math.Round(x)
		if v < 0 || a.pool[v].stock < 0 || whole < 1 {
			continue
		}
		p := r.within(&a.pool[v])
		for n := int64(whole); n > 0 && len(p.terms) > 0; p = r.within(&p) {
			k := min(n, r.times(&p))
			if k == 0 {
				break
			}
			r.take(&p, k)
			runs = append(runs, run{p, k})
			n -= k
		}
	}
	t.s.take(runs, &r)
}

// enter sets the master up for a node.
func (a *master) enter(o *open) {
	var own []limitRow
	for _, r := range o.rows {
		if !a.stands(&r) {
			own = append(own, r)
		}
	}
	if a.standing > 0 && len(own) == 0 && len(a.rows) == a.standing {
		a.limit(o.rows)
		a.lp.start(o.basis)
		a.lp.settle()
		return
	}
	a.start(own)
	k := a.standing
	for i := range o.rows {
		if !a.stands(&o.rows[i]) {
			o.rows[i].at = a.rows[k].at
			k++
		}
	}
	a.limit(o.rows)
	a.lp.start(o.basis)
	a.lp.settle()
}

// start makes the linear programme anew, of all patterns and the given rows
// behind those that always stand.
func (a *master) start(rows []limitRow) {
	a.left = a.m.all()
	a.newProgramme()
	standing := a.rows[:a.standing:a.standing]
	a.rows = nil
	for i := range a.pool {
		if a.pool[i].stock < 0 {
			a.lp.addColumn(column{cost: 8})
			continue
		}
		a.lp.addColumn(a.column(&a.pool[i]))
	}
	for _, r := range append(standing, rows...) {
		a.addLimitRow(r)
	}
}

// stand adds the rows that always stand, saying nothing for now.
func (a *master) stand() {
	if a.standing > 0 || len(a.m.size) == 1 {
		return
	}
	for s, cost := range a.m.cost {
		if cost == 0 {
			continue
		}
		for _, atLeast := range []bool{false, true} {
			r := limitRow{atLeast: atLeast, silent: true}
			r.stock = make([]bool, len(a.m.size))
			r.stock[s], r.limit = true, r.silence()
			a.addLimitRow(r)
		}
	}
	a.standing = len(a.rows)
	a.lp.settle()
}

// stands tells whether one of the rows that always stand does for a decision.
func (a *master) stands(r *limitRow) bool { return a.standing > 0 && r.stock != nil }

func (a *master) standIn(r *limitRow) int {
	for i := range a.rows[:a.standing] {
		if a.rows[i].atLeast == r.atLeast && slices.Equal(a.rows[i].stock, r.stock) {
			return i
		}
	}
	return -1
}

// limit sets the rows that always stand as the decisions say.
func (a *master) limit(rows []limitRow) {
	for i := range a.rows[:a.standing] {
		r := &a.rows[i]
		r.limit, r.silent = r.silence(), true
	}
	for i := range rows {
		if a.stands(&rows[i]) {
			// Of two decisions on one stock the later is the narrower.
			r := &a.rows[a.standIn(&rows[i])]
			r.limit, r.silent = rows[i].limit, false
		}
	}
	for i := range a.rows[:a.standing] {
		r := &a.rows[i]
		a.left.rows[i] = r.limit
		a.lp.rhs[r.at] = float64(r.limit)
	}
}

// leaf is the proof at hand for the decisions and cuts of a node.
func (a *master) leaf(rows []limitRow) *Leaf {
	p := &prices{scale: a.proof.scale, item: a.proof.item, stock: a.proof.stock, rows: make([]int64, len(rows))}
	own := a.standing
	spent := map[int]bool{}
	for i := len(rows) - 1; i >= 0; i-- {
		if !a.stands(&rows[i]) {
			continue
		}
		if at := a.standIn(&rows[i]); !spent[at] {
			spent[at] = true
			p.rows[i] = a.proof.rows[at]
		}
	}
	for i := range rows {
		if !a.stands(&rows[i]) {
			p.rows[i] = a.proof.rows[own]
			own++
		}
	}
	return a.m.leaf(p, rows)
}

// named is the basis with the rows as they are in a node below: rows that are
// left out take their slack with them.
func (a *master) named(rows []limitRow) []int {
	fixed := len(a.lp.rhs) - len(a.rows) + a.standing
	to := map[int]int{}
	for i := range rows {
		to[rows[i].at] = fixed + i
	}
	var basis []int
	for _, v := range a.lp.basis {
		if v < 0 {
			if r := rowOf(v); r >= fixed {
				at, stays := to[r]
				if !stays {
					continue
				}
				if isSlack(v) {
					v = slackOf(at)
				} else {
					v = shortageOf(at)
				}
			}
		}
		basis = append(basis, v)
	}
	return basis
}

// branching finds what to decide next: how many bars of a stock, or else how
// often two items are together.
func (a *master) branching() (countRow, int64, bool) {
	used := a.used()
	if row, most, found := a.branchOnStock(used); found {
		return row, most, true
	}
	b := brancher{used: used, least: 0.001}
	y := meetings(len(a.m.width), used)
	for i := range y {
		for j := i; j < len(y); j++ {
			if y[i][j] < 0.001 && y[i][i]+y[j][j] < 0.001 {
				continue
			}
			row := countRow{terms: []term{{i, 1}}, over: 2}
			if j > i {
				row.terms = append(row.terms, term{j, 1})
			}
			b.consider(row, float64(a.m.width[i]+a.m.width[j])/float64(a.m.size[0]))
		}
	}
	return b.row, b.most, b.best > 0
}

func (a *master) branchOnStock(used []usedColumn) (countRow, int64, bool) {
	// A few bars of many decide the cost: they must be whole to the last digit.
	b := brancher{used: used, least: 1e-6}
	for s, size := range a.m.size {
		if len(a.m.size) > 1 && a.m.cost[s] > 0 {
			in := make([]bool, len(a.m.size))
			in[s] = true
			b.consider(countRow{stock: in}, float64(size))
		}
	}
	return b.row, b.most, b.best > 0
}

// brancher chooses the row farthest from whole, by weight.
type brancher struct {
	used []usedColumn
	// least is how far from whole is not whole.
	least float64
	best  float64
	row   countRow
	most  int64
}

func (b *brancher) consider(r countRow, weight float64) {
	x := 0.0
	for _, u := range b.used {
		x += float64(u.x * float64(r.count(u.p)))
	}
	part := x - math.Floor(x)
	if score := min(part, 1-part); score > b.least+float64(1e-9*x) && float64(score*weight) > b.best {
		b.best, b.row, b.most = float64(score*weight), r, int64(math.Floor(x))
	}
}
