package choices

import "math/bits"

// exactFill is up to how many fields the order looks at the edges that taking a
// field out adds; beyond, at the neighbours only.
const exactFill = 160

// ranks orders the fields for a diagram: those that hold the rest together come
// first, so that what is left falls apart. It takes out, again and again, the
// field whose neighbours are the fewest, weighed by the logarithm of how many classes they have
// (greedy elimination, as for tree decompositions: Rose 1972; Dechter 2003, ch. 4), and ranks
// them the other way about.
func ranks(p *problem) []int32 {
	g := newGraph(p)
	rank := make([]int32, len(p.base.fields))
	for next := int32(len(rank)) - 1; next >= 0; next-- {
		f := g.cheapest()
		rank[f] = next
		g.eliminate(f)
	}
	return rank
}

type graph struct {
	near   [][]uint64
	weight []int
	left   []bool
	cost   []int
	stale  []bool
	exact  bool
}

func newGraph(p *problem) *graph {
	n := len(p.base.fields)
	g := &graph{near: blank(n, wordsFor(n)), weight: make([]int, n), left: make([]bool, n), cost: make([]int, n), stale: make([]bool, n), exact: n <= exactFill}
	for f := range n {
		n := uint64(p.kinds.count(int32(f)))
		g.weight[f] = bits.Len64(n * n * n)
		g.left[f], g.stale[f] = true, true
	}
	for i := range p.cons {
		g.join(scope(&p.cons[i]))
	}
	return g
}

// scope gives the fields that a constraint reads.
func scope(x *constraint) []int32 {
	fields := append([]int32(nil), x.fields...)
	for _, l := range x.lits {
		fields = append(fields, l.field)
	}
	if x.kind == relation {
		fields = append(fields, x.a, x.b)
	}
	return fields
}

func (g *graph) join(fields []int32) {
	for _, f := range fields {
		for _, h := range fields {
			if f != h {
				put(g.near[f], h)
			}
		}
	}
}

func (g *graph) cheapest() int32 {
	best := None
	for f := range g.left {
		if !g.left[f] {
			continue
		}
		if g.stale[f] {
			g.cost[f], g.stale[f] = g.price(int32(f)), false
		}
		if best == None || g.cost[f] < g.cost[best] {
			best = int32(f)
		}
	}
	return best
}

// price is what taking a field out costs: the weight of its neighbourhood, and
// where that is reckoned exactly, first the edges it would add.
func (g *graph) price(f int32) int {
	width := g.weight[f]
	ones(g.near[f], func(h int32) { width += g.weight[h] })
	if !g.exact {
		return width
	}
	fill := 0
	ones(g.near[f], func(h int32) {
		missing := 0
		for i, w := range g.near[f] {
			missing += bits.OnesCount64(w &^ g.near[h][i])
		}
		fill += (missing - 1) * g.weight[h]
	})
	return fill<<20 + width
}

func (g *graph) eliminate(f int32) {
	g.left[f] = false
	ones(g.near[f], func(h int32) {
		for i, w := range g.near[f] {
			g.near[h][i] |= w
		}
		g.near[h][h>>6] &^= 1 << (uint(h) & 63)
		g.near[h][f>>6] &^= 1 << (uint(f) & 63)
		g.stale[h] = true
		if g.exact {
			ones(g.near[h], func(o int32) { g.stale[o] = true })
		}
	})
}
