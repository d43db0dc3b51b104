package cutting

import (
	"errors"
	"slices"
)

// worthTables hold, for every way to count the counted pieces in it, the worth of
// the worthiest content of every rectangle of reachable sides. It belongs to the
// check of a proof and shares nothing with the solver.
type worthTables struct {
	ways            []oriented
	way             []pairing
	lengths, widths []int64
	restL, restW    [][]int
	kinds           []int   // counted
	times           []int64 // how often each may come
	// table is by number of the counts, as digits with times+1 values each; nil
	// for counts that no sheet has room for or that a decision rules out.
	table [][][]int64
	// from are the least places of lengths at which a table has anything.
	from []int
}

// impossible is of a rectangle without room for what is counted.
const impossible = int64(-1)

// mostCounts bounds the ways to count.
const mostCounts = 1 << 14

// counting checks and sets what is counted: every piece of a decision must be.
func (w *worthTables) counting(v *sheetVerifier, counted []int) error {
	n := int64(1)
	for _, line := range counted {
		kind := v.kind(line)
		if slices.Contains(w.kinds, kind) || !slices.ContainsFunc(w.ways, func(o oriented) bool { return o.kind == kind }) {
			continue
		}
		w.kinds, w.times = append(w.kinds, kind), append(w.times, v.needed(line))
		if n *= v.needed(line) + 1; n > mostCounts {
			return errors.New("too many pieces are counted to check these prices")
		}
	}
	for _, d := range w.way {
		if !slices.Contains(w.kinds, d.first) || !slices.Contains(w.kinds, d.second) {
			return errors.New("a decision is about a piece that is not counted")
		}
	}
	w.table, w.from = make([][][]int64, n), make([]int, n)
	w.restL, w.restW = rests(w.lengths), rests(w.widths)
	return nil
}

// rests are, for every sum and every smaller sum up to its half, the place of
// the greatest sum in the rest.
func rests(sums []int64) [][]int {
	table := make([][]int, len(sums))
	for i := range sums {
		for k := range i + 1 {
			if sums[k] > 0 && 2*sums[k] <= sums[i] {
				table[i] = append(table[i], notAbove(sums[:i+1], sums[i]-sums[k]))
			}
		}
	}
	return table
}

// digits are how often each counted kind comes in a number.
func (w *worthTables) digits(number int) []int64 {
	d := make([]int64, len(w.times))
	for i, t := range w.times {
		d[i] = int64(number) % (t + 1)
		number /= int(t + 1)
	}
	return d
}

// fill goes through the counts from none on, so that parts come before wholes.
func (w *worthTables) fill() {
	for number := range w.table {
		counts := w.digits(number)
		if w.ruledOut(counts) {
			continue
		}
		if parts, ok := w.parts(number, counts); ok {
			w.fillOne(number, parts)
		}
	}
}

// ruledOut tells whether a decision forbids the counts in any part of a sheet.
func (w *worthTables) ruledOut(counts []int64) bool {
	for _, d := range w.way {
		first, second := slices.Index(w.kinds, d.first), slices.Index(w.kinds, d.second)
		if !d.together && counts[first] > 0 && counts[second] > 0 {
			return true
		}
	}
	return false
}

// parts are the pairs of numbers that make up a number, in every way to share out
// its counts; none with false when a part of it has no room already.
func (w *worthTables) parts(number int, counts []int64) ([][2]int, bool) {
	var parts [][2]int
	share := make([]int64, len(counts))
	for a := 0; ; {
		b := number - a
		if a != number && w.table[a] == nil || b != number && w.table[b] == nil {
			return nil, false
		}
		parts = append(parts, [2]int{a, b})
		// The next share counts up as digits do, each up to its count.
		at, place := 0, 1
		for at < len(share) && share[at] == counts[at] {
			a -= int(share[at]) * place
			share[at] = 0
			place *= int(w.times[at] + 1)
			at++
		}
		if at == len(share) {
			return parts, true
		}
		share[at]++
		a += place
	}
}

// fillOne fills one table from small rectangles to large ones: a rectangle holds
// one piece, or is cut in two at some reachable place.
func (w *worthTables) fillOne(number int, parts [][2]int) {
	most := make([][]int64, len(w.lengths))
	w.table[number] = most
	single := w.singles(number)
	for i, l := range w.lengths {
		most[i] = make([]int64, len(w.widths))
		for j, wide := range w.widths {
			best := impossible
			if number == 0 {
				best = 0
			}
			for _, o := range single {
				if o.length <= l && o.width <= wide {
					best = max(best, o.price)
				}
			}
			for _, p := range parts {
				best = max(best, w.cut(p[0], p[1], i, j))
			}
			// Not beyond what may be asked for, so that sums stay in range.
			most[i][j] = min(best, mostWorth)
		}
	}
	last := len(w.widths) - 1
	if number > 0 && most[len(w.lengths)-1][last] == impossible {
		w.table[number] = nil
		return
	}
	for number > 0 && most[w.from[number]][last] == impossible {
		w.from[number]++
	}
}

// singles are the pieces that alone make up a number: those not counted for
// none.
func (w *worthTables) singles(number int) []oriented {
	var ways []oriented
	for _, o := range w.ways {
		unit, place := 0, 1
		for i, kind := range w.kinds {
			if kind == o.kind {
				unit = place
			}
			place *= int(w.times[i] + 1)
		}
		if unit == number {
			ways = append(ways, o)
		}
	}
	return ways
}

// cut is the worth of a rectangle cut in two, one part being of one number and the
// other of another; a part with nothing in it is the other part alone in a smaller
// rectangle.
func (w *worthTables) cut(first, second, i, j int) int64 {
	best := impossible
	a, b := w.table[first], w.table[second]
	for k := max(1, w.from[first]); k <= len(w.restL[i]); k++ {
		if x, y := a[k][j], b[w.restL[i][k-1]][j]; x >= 0 && y >= 0 {
			best = max(best, x+y)
		}
	}
	if i < w.from[first] || i < w.from[second] {
		return best
	}
	left, right := a[i], b[i]
	for k, r := range w.restW[j] {
		if x, y := left[k+1], right[r]; x >= 0 && y >= 0 {
			best = max(best, x+y)
		}
	}
	return best
}

// most is the worthiest content of a rectangle that keeps pieces together that
// belong together.
func (w *worthTables) most(i, j int) int64 {
	best := int64(0)
	for number, table := range w.table {
		if table == nil || !w.together(w.digits(number)) {
			continue
		}
		best = max(best, table[i][j])
	}
	return best
}

func (w *worthTables) together(counts []int64) bool {
	for _, d := range w.way {
		first, second := slices.Index(w.kinds, d.first), slices.Index(w.kinds, d.second)
		if d.together && (counts[first] > 0) != (counts[second] > 0) {
			return false
		}
	}
	return true
}
