package cutting

import "math"

// branching finds the number farthest from whole, of an item in the bars of a
// stock, of which there is one if possible, or else of a pair of items. Terms are
// nil where all is whole.
func (t *shortTree) branching() (row countRow, most int64, part float64) {
	b := t.b
	var used []usedColumn
	for place, v := range b.lp.basis {
		if x := b.lp.x[place]; v >= len(b.m.width) && x > 1e-7 {
			used = append(used, usedColumn{&b.pats[v], x})
		}
	}
	for _, c := range []shortBranch{{single: true}, {}, {pairs: true}} {
		c.t, c.used = t, used
		for _, u := range used {
			if (b.m.limit[u.p.stock] == 1) == c.single {
				c.consider(u.p)
			}
		}
		if c.best > 0 {
			return c.row, c.most, c.part
		}
	}
	return countRow{}, 0, 0
}

// shortBranch chooses among the rows of one or two items that patterns hold.
type shortBranch struct {
	t             *shortTree
	used          []usedColumn
	single, pairs bool
	best          float64
	row           countRow
	most          int64
	part          float64
}

func (c *shortBranch) consider(p *pattern) {
	for k, x := range p.terms {
		if !c.pairs {
			c.weigh(p.stock, x.item, x.item)
			continue
		}
		for _, y := range p.terms[k:] {
			c.weigh(p.stock, x.item, y.item)
		}
	}
}

func (c *shortBranch) weigh(stock, i, j int) {
	row := countRow{terms: []term{{i, 1}}, over: 1}
	if c.pairs {
		row.over = 2
		if j != i {
			row.terms = append(row.terms, term{j, 1})
		}
	}
	x := 0.0
	for _, u := range c.used {
		if u.p.stock == stock {
			x += float64(u.x * float64(row.sum(u.p)/row.over))
		}
	}
	whole := math.Floor(x)
	part := x - whole
	width := float64(c.t.b.m.width[i] + c.t.b.m.width[j])
	if far := min(part, 1-part); far > 1e-5 && float64(far*width) > c.best {
		row.stock = make([]bool, len(c.t.b.m.size))
		row.stock[stock] = true
		c.best, c.row, c.most, c.part = float64(far*width), row, int64(whole), part
	}
}
