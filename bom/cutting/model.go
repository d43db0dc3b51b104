package cutting

import (
	"cmp"
	"math"
	"slices"
)

const noLimit = int64(math.MaxInt64)

// model is one group, reckoned without kerf and trim: a piece is as wide as it
// is long and its cut, a bar has one cut more to give (Gilmore & Gomory 1963
// treat trim likewise). Both come out exactly as with the saw. Widths and sizes
// are descending and divided by the widths' greatest common divisor.
type model struct {
	width, need       []int64
	size, cost, limit []int64
	// grain divides all costs; the proof's costs are in it.
	grain int64

	group  string
	length []int64 // of a width, as given
	pieces [][]int // lines of that length
	stock  [][]int // stock lines merged into one size
	// instead are lines left out, by the size that is never worse.
	instead [][]int
}

type pattern struct {
	stock int
	terms []term // by item, ascending
}

type term struct {
	item  int
	count int64
}

// run is a pattern cut several times over.
type run struct {
	pattern
	times int64
}

// models splits a checked problem into its groups.
func models(p *Problem) []*model {
	var groups []string
	lines := map[string][]int{}
	for i, piece := range p.Pieces {
		if _, seen := lines[piece.Group]; !seen {
			groups = append(groups, piece.Group)
		}
		lines[piece.Group] = append(lines[piece.Group], i)
	}
	stock := map[string][]int{}
	for i, s := range p.Stock {
		stock[s.Group] = append(stock[s.Group], i)
	}
	all := make([]*model, len(groups))
	for i, g := range groups {
		all[i] = newModel(p, g, lines[g], stock[g])
		if p.OrdersTogether {
			all[i].together(p)
		}
	}
	return all
}

func newModel(p *Problem, group string, lines, stock []int) *model {
	m := &model{group: group}
	m.addPieces(p, lines)
	var g int64
	for _, w := range m.width {
		g = gcd(g, w)
	}
	for i := range m.width {
		m.width[i] /= g
	}
	m.addStock(p, stock, g)
	return m
}

func (m *model) addPieces(p *Problem, lines []int) {
	slices.SortStableFunc(lines, func(a, b int) int { return cmp.Compare(p.Pieces[b].Length, p.Pieces[a].Length) })
	for _, line := range lines {
		piece := p.Pieces[line]
		last := len(m.length) - 1
		if last < 0 || m.length[last] != piece.Length {
			m.length = append(m.length, piece.Length)
			m.width = append(m.width, piece.Length+p.Kerf)
			m.need = append(m.need, 0)
			m.pieces = append(m.pieces, nil)
			last++
		}
		m.need[last] += piece.Count
		m.pieces[last] = append(m.pieces[last], line)
	}
}

// addStock merges stock of the same size and cost, and leaves out what can
// hold nothing or is no longer and no cheaper than stock without limit.
func (m *model) addStock(p *Problem, stock []int, g int64) {
	type entry struct {
		size, cost, limit int64
		lines             []int
	}
	type key struct {
		size, cost int64
		unlimited  bool
	}
	found := map[key]*entry{}
	var entries []*entry
	least := m.width[len(m.width)-1]
	for _, line := range stock {
		s := p.Stock[line]
		size := (p.usable(s) + p.Kerf - p.kerfAfter()) / g
		if s.Limit == 0 || size < least {
			continue
		}
		k := key{size, s.Cost, s.Limit == Unlimited}
		e := found[k]
		if e == nil {
			e = &entry{size: size, cost: s.Cost}
			found[k] = e
			entries = append(entries, e)
		}
		e.lines = append(e.lines, line)
		if e.limit += s.Limit; s.Limit == Unlimited {
			e.limit = noLimit
		}
	}
	slices.SortStableFunc(entries, func(a, b *entry) int {
		return cmp.Or(cmp.Compare(b.size, a.size), cmp.Compare(a.cost, b.cost), cmp.Compare(b.limit, a.limit))
	})
	cheapest, at := noLimit, -1
	for _, e := range entries {
		m.grain = gcd(m.grain, e.cost)
		if e.cost >= cheapest {
			m.instead[at] = append(m.instead[at], e.lines...)
			continue
		}
		if e.limit == noLimit {
			cheapest, at = e.cost, len(m.size)
		}
		m.size = append(m.size, e.size)
		m.cost = append(m.cost, e.cost)
		m.limit = append(m.limit, e.limit)
		m.stock = append(m.stock, e.lines)
		m.instead = append(m.instead, nil)
	}
	m.grain = max(m.grain, 1)
	for i := range m.cost {
		m.cost[i] /= m.grain
	}
}

func gcd(a, b int64) int64 {
	for b != 0 {
		a, b = b, a%b
	}
	return a
}

func (m *model) weight(terms []term) int64 {
	var w int64
	for _, t := range terms {
		w += m.width[t.item] * t.count
	}
	return w
}

func (m *model) costOf(runs []run) int64 {
	var c int64
	for _, r := range runs {
		c += m.cost[r.stock] * r.times
	}
	return c
}

// most is how many of an item a bar of a size holds of need.
func most(size, width, need int64) int64 { return min(size/width, need) }
