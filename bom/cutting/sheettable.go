package cutting

import "slices"

// guillotineTable is the worth of the worthiest cutting of every rectangle by
// cuts from edge to edge, at the sides that sums of pieces' sides can have
// (Gilmore & Gomory 1965; Beasley 1985). Pieces are cut as often as one likes,
// but those of which states keeps count no more often than they are needed.
type guillotineTable struct {
	m      *sheetModel
	xs, ys []int64
	// less[i][k] is the index of the greatest side not above xs[i]-xs[k].
	lessX, lessY [][]int32
	// steps is the work of filling the table of one state once.
	steps  int64
	states *sheetStates
	cells  [][][]int64 // by state, and index of each side
	worth  []int64     // of each item
}

const (
	// mostCells bounds a table's memory over all states, mostSteps the work of
	// filling it once without states.
	mostCells = 6 << 20
	mostSteps = int64(1_500_000_000)
	// noWorth is of a rectangle that cannot hold what its state asks for.
	noWorth = int64(-1 << 60)
)

// newGuillotineTable returns nil when it would be too large.
func newGuillotineTable(m *sheetModel) *guillotineTable {
	t := &guillotineTable{m: m}
	t.xs = m.sides(func(r rectangle) int64 { return r.length }, func(r rectangle) int64 { return r.width })
	t.ys = m.sides(func(r rectangle) int64 { return r.width }, func(r rectangle) int64 { return r.length })
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
	t.count(nothingCounted(m))
	return t
}

// count makes the table keep count by other states.
func (t *guillotineTable) count(states *sheetStates) {
	t.states = states
	for len(t.cells) < len(states.count) {
		rows := make([][]int64, len(t.xs))
		all := make([]int64, len(t.xs)*len(t.ys))
		for i := range rows {
			rows[i], all = all[:len(t.ys):len(t.ys)], all[len(t.ys):]
		}
		t.cells = append(t.cells, rows)
	}
	states.place(t)
}

// sides are the sums that sides of needed pieces can have, from 0, of which
// cutting a sheet can come to; nil when they are too many. The other side is that
// of a piece that lies across.
func (m *sheetModel) sides(side, other func(rectangle) int64) []int64 {
	var most int64
	for _, s := range m.sheets {
		most = max(most, side(s))
	}
	if most > 1<<17 {
		return nil
	}
	can := make([]bool, most+1)
	can[0] = true
	for i, it := range m.items {
		one := []int64{side(it)}
		if it.turn && it.length != it.width {
			one = append(one, other(it))
		}
		for _, s := range one {
			addMultiples(can, s, min(m.need[i], most/s))
		}
	}
	var all []int64
	for at, ok := range can {
		if ok {
			all = append(all, int64(at))
		}
	}
	if len(all) > 1<<13 {
		return nil
	}
	return m.cutSides(all, side)
}

// addMultiples adds up to times a side to every sum.
func addMultiples(can []bool, side, times int64) {
	for range times {
		changed := false
		for at := int64(len(can)) - 1; at >= side; at-- {
			if !can[at] && can[at-side] {
				can[at], changed = true, true
			}
		}
		if !changed {
			return
		}
	}
}

// cutSides are those of the sums that parts of a sheet have when each cut makes
// its smaller part a sum and its greater one as small a sum as holds the same.
func (m *sheetModel) cutSides(sums []int64, side func(rectangle) int64) []int64 {
	kept := make([]bool, len(sums))
	kept[0] = true
	for _, s := range m.sheets {
		kept[indexBelow(sums, side(s))] = true
	}
	for i := len(sums) - 1; i > 0; i-- {
		if !kept[i] {
			continue
		}
		at := i
		for k := 1; 2*sums[k] <= sums[i]; k++ {
			for sums[at] > sums[i]-sums[k] {
				at--
			}
			kept[k], kept[at] = true, true
		}
	}
	var all []int64
	for i, ok := range kept {
		if ok {
			all = append(all, sums[i])
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
	for s := range t.states.count {
		t.fillState(s, work)
		if work.done() {
			return
		}
	}
}

// start clears a state's cells and puts single pieces in.
func (t *guillotineTable) start(state int) {
	empty := noWorth
	if state == 0 {
		empty = 0
	}
	for _, row := range t.cells[state] {
		for j := range row {
			row[j] = empty
		}
	}
	for i, it := range t.m.items {
		if t.states.of[i] != state {
			continue
		}
		t.put(state, it.length, it.width, t.worth[i])
		if it.turn {
			t.put(state, it.width, it.length, t.worth[i])
		}
	}
}

// put puts a worth into the least cell that holds the sides.
func (t *guillotineTable) put(state int, length, width, worth int64) {
	i, _ := slices.BinarySearch(t.xs, length)
	j, _ := slices.BinarySearch(t.ys, width)
	if i < len(t.xs) && j < len(t.ys) {
		cell := &t.cells[state][i][j]
		*cell = max(*cell, worth)
	}
}

// fillState goes from small rectangles to large ones. What a state counts is
// shared out between the two parts of a cut in every way.
func (t *guillotineTable) fillState(state int, work *meter) {
	t.start(state)
	cells := t.cells[state]
	for i := t.states.firstX[state]; i < len(cells) && !work.done(); i++ {
		row, steps := cells[i], 0
		if i > 0 {
			raise(row, cells[i-1])
		}
		for _, p := range t.states.pairs[state] {
			from := max(t.states.firstY[p.a], t.states.firstY[p.b])
			a, b, less := t.cells[p.a], t.cells[p.b], t.lessX[i]
			for k := max(1, t.states.firstX[p.a]); k < len(less) && int(less[k]) >= t.states.firstX[p.b]; k++ {
				raiseBySum(row[from:], a[k][from:], b[less[k]][from:])
				steps += len(row) - from
			}
			if p.a > 0 && p.b > 0 && i >= t.states.firstX[p.a] && i >= t.states.firstX[p.b] {
				steps += t.across(row, a[i], b[i], p)
			}
		}
		work.spend(int64(steps + t.finishRow(row, t.cells[0][i], state)))
	}
}

// across raises a row by cuts across its width into parts of two other states.
func (t *guillotineTable) across(row, a, b []int64, p statePair) int {
	firstA, firstB := max(1, t.states.firstY[p.a]), t.states.firstY[p.b]
	steps := 0
	for j := firstA; j < len(row); j++ {
		best, less := row[j], t.lessY[j]
		for k := firstA; k < len(less) && int(less[k]) >= firstB; k++ {
			best = max(best, a[k]+b[less[k]])
		}
		row[j] = best
		steps += len(less)
	}
	return steps
}

// finishRow raises a row by cuts across its width into a part of its own state
// and one in which nothing is counted.
func (t *guillotineTable) finishRow(row, none []int64, state int) int {
	steps := 0
	for j := max(1, t.states.firstY[state]); j < len(row); j++ {
		best := max(row[j], row[j-1])
		less := t.lessY[j]
		if state == 0 {
			for k, at := range less {
				best = max(best, row[k]+row[at])
			}
		} else {
			for k, at := range less {
				best = max(best, row[k]+none[at], none[k]+row[at])
			}
		}
		row[j] = best
		steps += len(less)
	}
	return steps
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
