package cutting

import "slices"

// guillotineTable is the worth of the worthiest cutting of every rectangle by
// cuts from edge to edge, each piece as often as one likes, at the sides that
// sums of pieces' sides can have (Gilmore & Gomory 1965; Beasley 1985).
type guillotineTable struct {
	m      *sheetModel
	xs, ys []int64
	// less[i][k] is the index of the greatest side not above xs[i]-xs[k].
	lessX, lessY [][]int32
	cells        [][]int64
	// worth of each item; steps is the work of filling the table once.
	worth []int64
	steps int64
}

// mostCells bounds a table's memory, mostSteps the work of filling it once.
const (
	mostCells = 3 << 20
	mostSteps = int64(1_500_000_000)
)

// newGuillotineTable returns nil when it would be too large.
func newGuillotineTable(m *sheetModel) *guillotineTable {
	var length, width int64
	for _, s := range m.sheets {
		length, width = max(length, s.length), max(width, s.width)
	}
	t := &guillotineTable{m: m}
	t.xs = m.sides(length, func(r rectangle) int64 { return r.length })
	t.ys = m.sides(width, func(r rectangle) int64 { return r.width })
	if t.xs == nil || t.ys == nil || len(t.xs)*len(t.ys) > mostCells {
		return nil
	}
	t.lessX, t.lessY = lessTable(t.xs), lessTable(t.ys)
	for _, less := range t.lessX {
		t.steps += int64(len(less) * len(t.ys))
	}
	for _, less := range t.lessY {
		t.steps += int64(len(less) * len(t.xs))
	}
	if t.steps > mostSteps {
		return nil
	}
	t.cells = make([][]int64, len(t.xs))
	for i := range t.cells {
		t.cells[i] = make([]int64, len(t.ys))
	}
	return t
}

// sides are the sums that sides of needed pieces can have, from 0; nil when
// they are too many.
func (m *sheetModel) sides(most int64, side func(rectangle) int64) []int64 {
	if most > 1<<17 {
		return nil
	}
	can := make([]bool, most+1)
	can[0] = true
	for i, it := range m.items {
		left := m.need[i]
		one := []int64{side(it)}
		if it.turn && it.length != it.width {
			one = []int64{it.length, it.width}
		}
		for _, s := range one {
			for range min(left, most/s) {
				changed := false
				for at := most; at >= s; at-- {
					if !can[at] && can[at-s] {
						can[at], changed = true, true
					}
				}
				if !changed {
					break
				}
			}
		}
	}
	var all []int64
	for at, ok := range can {
		if ok {
			all = append(all, int64(at))
		}
	}
	return all
}

func lessTable(xs []int64) [][]int32 {
	less := make([][]int32, len(xs))
	for i := range xs {
		at := i
		for k := 0; k <= i && 2*xs[k] <= xs[i]; k++ {
			for xs[at] > xs[i]-xs[k] {
				at--
			}
			less[i] = append(less[i], int32(at))
		}
	}
	return less
}

func indexBelow(xs []int64, x int64) int {
	i, found := slices.BinarySearch(xs, x)
	if !found {
		i--
	}
	return i
}

// fill reckons all cells for the given worths of items.
func (t *guillotineTable) fill(worth []int64, work *meter) {
	t.worth = worth
	for i := range t.cells {
		clear(t.cells[i])
	}
	for i, it := range t.m.items {
		t.put(it.length, it.width, worth[i])
		if it.turn {
			t.put(it.width, it.length, worth[i])
		}
	}
	for i := range t.cells {
		row := t.cells[i]
		if i > 0 {
			raise(row, t.cells[i-1])
		}
		for k := 1; k < len(t.lessX[i]); k++ {
			raiseBySum(row, t.cells[k], t.cells[t.lessX[i][k]])
		}
		for j := 1; j < len(row); j++ {
			best := max(row[j], row[j-1])
			for k, at := range t.lessY[j] {
				best = max(best, row[k]+row[at])
			}
			row[j] = best
		}
	}
	work.spend(t.steps)
}

func (t *guillotineTable) put(length, width, worth int64) {
	i, foundI := slices.BinarySearch(t.xs, length)
	j, foundJ := slices.BinarySearch(t.ys, width)
	if foundI && foundJ {
		t.cells[i][j] = max(t.cells[i][j], worth)
	}
}

func raise(row, by []int64) {
	by = by[:len(row)]
	for j, v := range by {
		if v > row[j] {
			row[j] = v
		}
	}
}

func raiseBySum(row, a, b []int64) {
	a, b = a[:len(row)], b[:len(row)]
	for j, v := range a {
		if v += b[j]; v > row[j] {
			row[j] = v
		}
	}
}

// best is the worthiest cutting of a sheet.
func (t *guillotineTable) best(sheet int) int64 {
	s := t.m.sheets[sheet]
	return t.cells[indexBelow(t.xs, s.length)][indexBelow(t.ys, s.width)]
}

// layout reads the worthiest cutting of a sheet from the table.
func (t *guillotineTable) layout(sheet int) *layout {
	s := t.m.sheets[sheet]
	l := &layout{sheet: sheet}
	count := make([]int64, len(t.m.items))
	f := &filler{m: t.m}
	f.nodes = append(f.nodes, cutNode{length: s.length, width: s.width, item: -1})
	t.read(f, 0, count)
	l.nodes = f.nodes
	for i, n := range count {
		if n > 0 {
			l.count = append(l.count, term{i, n})
		}
	}
	return l
}

// read cuts a node as its cell was reckoned.
func (t *guillotineTable) read(f *filler, node int32, count []int64) {
	n := f.nodes[node]
	i, j := indexBelow(t.xs, n.length), indexBelow(t.ys, n.width)
	v := t.cells[i][j]
	if v == 0 {
		return
	}
	for item, it := range t.m.items {
		if t.worth[item] != v {
			continue
		}
		turned := it.length > n.length || it.width > n.width
		if turned {
			it.length, it.width = it.width, it.length
		}
		if it.length > n.length || it.width > n.width || turned && !it.turn {
			continue
		}
		f.rule.split = 4
		f.cut(node, item, it, turned)
		count[item]++
		return
	}
	for k := 1; k < len(t.lessX[i]); k++ {
		if t.cells[k][j]+t.cells[t.lessX[i][k]][j] == v {
			t.readTwo(f, node, true, t.xs[k], count)
			return
		}
	}
	for k := 1; k < len(t.lessY[j]); k++ {
		if t.cells[i][k]+t.cells[i][t.lessY[j][k]] == v {
			t.readTwo(f, node, false, t.ys[k], count)
			return
		}
	}
}

func (t *guillotineTable) readTwo(f *filler, node int32, along bool, distance int64, count []int64) {
	first := f.split(node, along, distance)
	t.read(f, first, count)
	t.read(f, first+1, count)
}
