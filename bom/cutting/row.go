package cutting

import "slices"

// countRow gives each pattern a whole number: 1 for a pattern of one of the
// stocks, or the sum of times x pieces divided by over and rounded down.
type countRow struct {
	stock []bool // by stock; nil for a row that counts pieces
	terms []term // count is the times; ascending by item
	over  int64
}

func (r *countRow) count(p *pattern) int64 {
	if p.stock < 0 {
		return 0
	}
	if r.stock != nil {
		if r.stock[p.stock] {
			return 1
		}
		return 0
	}
	return r.sum(p) / r.over
}

// sum is what a row of pieces counts before it is divided.
func (r *countRow) sum(p *pattern) int64 {
	var sum int64
	at := 0
	for _, t := range p.terms {
		for at < len(r.terms) && r.terms[at].item < t.item {
			at++
		}
		if at == len(r.terms) {
			break
		}
		if r.terms[at].item == t.item {
			sum += r.terms[at].count * t.count
		}
	}
	return sum
}

// all is the row's count of everything needed in one heap, which no plan's bars
// together exceed.
func (r *countRow) all(need []int64) int64 {
	var sum int64
	for _, t := range r.terms {
		sum += t.count * need[t.item]
	}
	return sum / r.over
}

// limitRow is a row of the master besides needs and stock: a decision of the
// search, at most or at least, or a cut.
type limitRow struct {
	countRow
	atLeast bool
	cut     bool
	limit   int64
	at      int // its row in the linear programme
	// silent: no decision stands behind it, so that it must have no price.
	silent bool
}

// silence is a limit that says nothing.
func (r *limitRow) silence() int64 {
	if r.atLeast {
		return 0
	}
	return 1 << 40
}

func (m *model) publicRow(r *countRow) Row {
	row := Row{Over: r.over}
	for s, in := range r.stock {
		if in {
			// What is never better than a size counts as that size, or else it
			// would be a way around the row.
			row.Stock = append(row.Stock, m.lines(s)...)
		}
	}
	for _, t := range r.terms {
		row.Terms = append(row.Terms, Term{m.length[t.item], t.count})
	}
	return row
}

// lines are the stock lines that count as a size.
func (m *model) lines(s int) []int { return slices.Concat(m.stock[s], m.instead[s]) }
