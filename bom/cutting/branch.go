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
}

// search proves the plan or finds a cheaper one by branch and price (Vance 1998,
// "Branch-and-price algorithms for the one-dimensional cutting stock problem",
// Computational Optimization and Applications 9), with cuts. Where two pieces are
// together in a part of a bar only, one side has them together once more, the
// other side not (Ryan & Foster 1981); bars of one stock branch on their number.
func (s *solver) search(a *master) {
	t := &tree{s: s, a: a, aim: s.aim(), nodes: []Node{{}}}
	stack := []open{{at: 0, basis: a.named(nil)}}
	least := noLimit
	for len(stack) > 0 {
		o := stack[len(stack)-1]
		stack = stack[:len(stack)-1]
		children, bound := t.visit(o)
		stack = append(stack, children...)
		if children == nil {
			least = min(least, bound)
		}
		if s.work.done() {
			// What was not looked at is proved as far as the root is.
			return
		}
	}
	if least > s.bound {
		s.bound, s.nodes, s.below = min(least, s.cost), t.nodes, 0
	}
}

type tree struct {
	s     *solver
	a     *master
	aim   int64
	nodes []Node
	count int
}

// visit solves a node. It returns the nodes below it, the one to be looked at
// first last; or, of a leaf, its bound.
func (t *tree) visit(o open) ([]open, int64) {
	a := t.a
	t.count++
	a.enter(&o)
	a.solve(t.aim)
	t.cutOff()
	if a.bound >= t.aim || a.proof == nil {
		return nil, t.leaf(o.at)
	}
	_, _, fractional := a.branchOnStock(a.used())
	switch {
	case len(a.m.size) > 1 && !fractional:
		// The stock is whole and most likely enough: a plan ends this side.
		t.s.dives(a, 4)
		a.lp.primal()
	case t.count%16 == 1:
		t.s.dives(a, 2)
		a.lp.primal()
	}
	t.takeWhole()
	row, most, found := a.branching()
	t.aim = min(t.aim, t.s.target())
	if !found || a.bound >= t.aim {
		return nil, t.leaf(o.at)
	}
	rows := slices.DeleteFunc(slices.Clone(a.rows), func(r limitRow) bool { return r.cut && math.Abs(a.lp.y[r.at]) < 1e-9 })
	// The decision's own slack is basic at first.
	basis := append(a.named(rows), slackOf(len(a.lp.rhs)-len(a.rows)+len(rows)))
	n := &t.nodes[o.at]
	n.Row, n.Most = a.m.publicRow(&row), most
	n.Low, n.High = len(t.nodes), len(t.nodes)+1
	low := open{n.Low, append(slices.Clone(rows), limitRow{countRow: row, limit: most}), basis}
	high := open{n.High, append(slices.Clone(rows), limitRow{countRow: row, atLeast: true, limit: most + 1}), basis}
	t.nodes = append(t.nodes, Node{}, Node{})
	return []open{low, high}, 0
}

// cutOff adds cuts as long as they raise the bound.
func (t *tree) cutOff() {
	a := t.a
	if int64(len(a.m.width))*a.m.size[0] > 16*maxTable {
		return
	}
	// Cuts raise the value a little: they are for bounds just below.
	if float64(t.aim-1)-a.value > 0.1*a.unit {
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
		}
		a.lp.settle()
		a.solve(t.aim)
	}
}

func (t *tree) leaf(at int) int64 {
	a := t.a
	if a.proof == nil {
		// Without proof of its own the leaf has the weakest.
		a.proof = &prices{scale: 1, item: make([]int64, len(a.m.width)), rows: make([]int64, len(a.rows))}
	}
	t.nodes[at].Leaf = a.m.leaf(a.proof, a.rows)
	return a.bound
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
	a.rows = nil
	a.start(o.rows)
	a.lp.start(o.basis)
	a.lp.settle()
}

// start makes the linear programme anew, of all patterns and the given rows.
func (a *master) start(rows []limitRow) {
	a.left = a.m.all()
	a.newProgramme()
	for i := range a.pool {
		if a.pool[i].stock < 0 {
			a.lp.addColumn(column{cost: 8})
			continue
		}
		a.lp.addColumn(a.column(&a.pool[i]))
	}
	for _, r := range rows {
		a.addLimitRow(r)
	}
}

// named is the basis with the rows as they are in a node below: rows that are
// left out take their slack with them.
func (a *master) named(rows []limitRow) []int {
	fixed := len(a.lp.rhs) - len(a.rows)
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
	b := brancher{used: used}
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
	b := brancher{used: used}
	for s, size := range a.m.size {
		if len(a.m.size) > 1 {
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
	best float64
	row  countRow
	most int64
}

func (b *brancher) consider(r countRow, weight float64) {
	x := 0.0
	for _, u := range b.used {
		x += float64(u.x * float64(r.count(u.p)))
	}
	part := x - math.Floor(x)
	if score := min(part, 1-part); score > 0.001 && float64(score*weight) > b.best {
		b.best, b.row, b.most = float64(score*weight), r, int64(math.Floor(x))
	}
}
