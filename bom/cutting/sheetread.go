package cutting

import (
	"cmp"
	"slices"
)

// bestOf is the worthiest content of a state that any sheet could have.
func (t *guillotineTable) bestOf(state int) int64 {
	return t.cells[state][len(t.xs)-1][len(t.ys)-1]
}

// cell are the indices of a sheet's sides.
func (t *guillotineTable) cell(sheet int) (int, int) {
	s := t.m.sheets[sheet]
	return indexBelow(t.xs, s.length), indexBelow(t.ys, s.width)
}

// best is the worthiest cutting of a sheet in which pieces that belong together
// come together.
func (t *guillotineTable) best(sheet int, together []itemPair) int64 {
	i, j := t.cell(sheet)
	best := int64(0)
	for state := range t.states.count {
		if v := t.cells[state][i][j]; v > best && t.states.allows(state, together) {
			best = v
		}
	}
	return best
}

// opening is the first cut of a sheet, or none, and what its content is worth.
type opening struct {
	worth int64
	state int
	along bool
	k     int // 0 for a sheet that is not cut in two
	pair  statePair
}

// layouts reads cuttings of a sheet worth more than it asks for, the worthiest of
// each state and of each first cut, at most so many.
func (t *guillotineTable) layouts(sheet int, ask int64, together []itemPair, most int) []*layout {
	var all []opening
	for state := range t.states.count {
		if t.states.allows(state, together) {
			all = t.openings(all, sheet, state, ask)
		}
	}
	slices.SortStableFunc(all, func(a, b opening) int { return cmp.Compare(b.worth, a.worth) })
	var found []*layout
	for i := 0; i < len(all) && len(found) < most; i++ {
		l := t.layout(sheet, &all[i])
		if !slices.ContainsFunc(found, func(f *layout) bool { return slices.Equal(f.count, l.count) }) {
			found = append(found, l)
		}
	}
	return found
}

// openings are the first cuts of a sheet whose content is worth more than ask.
func (t *guillotineTable) openings(all []opening, sheet, state int, ask int64) []opening {
	i, j := t.cell(sheet)
	if best := t.cells[state][i][j]; best > ask {
		all = append(all, opening{worth: best, state: state})
	}
	for _, p := range t.states.pairs[state] {
		a, b := t.cells[p.a], t.cells[p.b]
		for k := 1; k < len(t.lessX[i]); k++ {
			if v := a[k][j] + b[t.lessX[i][k]][j]; v > ask {
				all = append(all, opening{v, state, true, k, p})
			}
		}
		for k := 1; k < len(t.lessY[j]); k++ {
			if v := a[i][k] + b[i][t.lessY[j][k]]; v > ask {
				all = append(all, opening{v, state, false, k, p})
			}
		}
	}
	return all
}

func (t *guillotineTable) layout(sheet int, o *opening) *layout {
	s := t.m.sheets[sheet]
	r := &tableReader{t: t, f: &filler{m: t.m, rule: rule{split: 4}}, count: make([]int64, len(t.m.items))}
	r.f.nodes = append(r.f.nodes, cutNode{length: s.length, width: s.width, item: -1})
	switch {
	case o.k == 0:
		r.read(0, o.state)
	case o.along:
		r.two(0, true, t.xs[o.k], o.pair)
	default:
		r.two(0, false, t.ys[o.k], o.pair)
	}
	l := &layout{sheet: sheet, nodes: r.f.nodes}
	for i, n := range r.count {
		if n > 0 {
			l.count = append(l.count, term{i, n})
		}
	}
	return l
}

// tableReader reads how cells came to their worth.
type tableReader struct {
	t     *guillotineTable
	f     *filler
	count []int64
}

// read cuts a node as its cell was reckoned.
func (r *tableReader) read(node int32, state int) {
	t, n := r.t, r.f.nodes[node]
	i, j := indexBelow(t.xs, n.length), indexBelow(t.ys, n.width)
	v := t.cells[state][i][j]
	if state == 0 && v == 0 || r.piece(node, state, v) {
		return
	}
	for _, p := range t.states.pairs[state] {
		a, b := t.cells[p.a], t.cells[p.b]
		for k := 1; k < len(t.lessX[i]); k++ {
			if a[k][j]+b[t.lessX[i][k]][j] == v {
				r.two(node, true, t.xs[k], p)
				return
			}
		}
		for k := 1; k < len(t.lessY[j]); k++ {
			if a[i][k]+b[i][t.lessY[j][k]] == v {
				r.two(node, false, t.ys[k], p)
				return
			}
		}
	}
}

// piece puts in a single piece of the worth, if there is one that fits.
func (r *tableReader) piece(node int32, state int, worth int64) bool {
	for item := range r.t.m.items {
		if r.t.worth[item] == worth && r.t.states.of[item] == state && r.f.lay(node, item) {
			r.count[item]++
			return true
		}
	}
	return false
}

func (r *tableReader) two(node int32, along bool, distance int64, p statePair) {
	first := r.f.split(node, along, distance)
	r.read(first, p.a)
	r.read(first+1, p.b)
}
