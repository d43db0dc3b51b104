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

// sizedLine is a stock line with its size in the widths' unit.
type sizedLine struct {
	size, cost, limit int64
	line              int
}

// addStock merges stock of the same size and cost, and leaves out what can
// hold nothing or is no longer and no cheaper than stock without limit.
func (m *model) addStock(p *Problem, stock []int, g int64) {
	lines := m.sizedLines(p, stock, g)
	cheapest, at := noLimit, -1
	for first := 0; first < len(lines); {
		e := lines[first]
		end := first + 1
		for ; end < len(lines) && lines[end].size == e.size && lines[end].cost == e.cost && (lines[end].limit == noLimit) == (e.limit == noLimit); end++ {
			if e.limit != noLimit {
				e.limit += lines[end].limit
			}
		}
		named := make([]int, 0, end-first)
		for _, l := range lines[first:end] {
			named = append(named, l.line)
		}
		first = end
		m.grain = gcd(m.grain, e.cost)
		if e.cost >= cheapest {
			m.instead[at] = append(m.instead[at], named...)
			continue
		}
		if e.limit == noLimit {
			cheapest, at = e.cost, len(m.size)
		}
		m.size, m.cost, m.limit = append(m.size, e.size), append(m.cost, e.cost), append(m.limit, e.limit)
		m.stock, m.instead = append(m.stock, named), append(m.instead, nil)
	}
	m.grain = max(m.grain, 1)
	for i := range m.cost {
		m.cost[i] /= m.grain
	}
}

// sizedLines are the lines that can hold something, longest first, of those alike
// the cheapest, and of those the ones without limit first.
func (m *model) sizedLines(p *Problem, stock []int, g int64) []sizedLine {
	least := m.width[len(m.width)-1]
	var lines []sizedLine
	for _, line := range stock {
		s := p.Stock[line]
		size := (p.usable(s) + p.Kerf - p.kerfAfter()) / g
		if s.Limit == 0 || size < least {
			continue
		}
		l := sizedLine{size, s.Cost, s.Limit, line}
		if s.Limit == Unlimited {
			l.limit = noLimit
		}
		lines = append(lines, l)
	}
	slices.SortStableFunc(lines, func(a, b sizedLine) int {
		if c := cmp.Or(cmp.Compare(b.size, a.size), cmp.Compare(a.cost, b.cost)); c != 0 {
			return c
		}
		switch {
		case a.limit == noLimit && b.limit != noLimit:
			return -1
		case b.limit == noLimit && a.limit != noLimit:
			return 1
		}
		return 0
	})
	return lines
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
