package cutting

import (
	"errors"
	"fmt"
	"slices"
)

// rowCheck goes through all counts of the pieces that stand in rows, with a
// table of what the others can be worth in the room that is left.
type rowCheck struct {
	w *weighing
	// items in rows, and what each and those after it are worth in any room, if
	// rows took nothing and gave all that a fraction of a count is worth.
	items []int
	worth []int64
	most  [][]int64
	sums  []int64
	steps int
}

// maxCheckSteps bounds the check of one leaf.
const maxCheckSteps = 2_000_000_000

func (w *weighing) holdsWithRows() error {
	r := &rowCheck{w: w, worth: slices.Clone(w.price), sums: make([]int64, len(w.rows))}
	if len(w.c.bars) == 0 {
		return nil
	}
	var others []lot
	for i, it := range w.c.items {
		inRow := false
		for _, row := range w.rows {
			if row.times[i] == 0 {
				continue
			}
			inRow = true
			if row.price > 0 {
				r.worth[i] += row.price*row.times[i]/row.over + 1
			}
		}
		switch {
		case inRow && r.worth[i] > 0:
			r.items = append(r.items, i)
		case w.price[i] > 0:
			others = append(others, lot{it.width, w.price[i], it.need})
		}
	}
	biggest := w.c.bars[0].size
	if (biggest+1)*int64(len(r.items)+1) > 1<<25 {
		return errors.New("the bar's grain is too fine to check rows")
	}
	r.fillMost(others, biggest)
	return r.try(0, 0, 0)
}

func (r *rowCheck) fillMost(others []lot, biggest int64) {
	r.most = make([][]int64, len(r.items)+1)
	r.most[len(r.items)] = table(others, biggest)
	for j := len(r.items) - 1; j >= 0; j-- {
		it := r.w.c.items[r.items[j]]
		best := slices.Clone(r.most[j+1])
		for range min(it.need, biggest/it.width) {
			for room := biggest; room >= it.width; room-- {
				best[room] = max(best[room], best[room-it.width]+r.worth[r.items[j]])
			}
		}
		r.most[j] = best
	}
}

// try decides how many of items[j] a bar holds. sure is what the pieces so far
// are worth, less what rows take for them.
func (r *rowCheck) try(j int, width, sure int64) error {
	if r.steps++; r.steps > maxCheckSteps {
		return errors.New("too many ways to fill a bar to check these prices")
	}
	if !r.exceeds(j, width, sure+r.given(true)) {
		return nil
	}
	if j == len(r.items) {
		if r.exceeds(j, width, sure+r.given(false)) {
			return fmt.Errorf("a bar can hold pieces worth %d beside the rest, more than it may", sure+r.given(false))
		}
		return nil
	}
	i := r.items[j]
	it := r.w.c.items[i]
	most := min(it.need, (r.w.c.bars[0].size-width)/it.width)
	for n := int64(0); n <= most; n++ {
		if n > 0 {
			sure += r.w.price[i] - r.add(i, 1)
		}
		if err := r.try(j+1, width+n*it.width, sure); err != nil {
			return err
		}
	}
	r.add(i, -most)
	return nil
}

// add counts n pieces more and returns what rows take for them.
func (r *rowCheck) add(item int, n int64) int64 {
	var taken int64
	for k, row := range r.w.rows {
		if row.times[item] == 0 {
			continue
		}
		before := r.sums[k] / row.over
		r.sums[k] += n * row.times[item]
		if row.price < 0 {
			taken -= row.price * (r.sums[k]/row.over - before)
		}
	}
	return taken
}

// given is what "at least" rows give for the pieces so far, with fractions of a
// count or without.
func (r *rowCheck) given(fractions bool) int64 {
	var given int64
	for k, row := range r.w.rows {
		switch {
		case row.price <= 0:
		case fractions:
			given += row.price*r.sums[k]/row.over + 1
		default:
			given += row.price * (r.sums[k] / row.over)
		}
	}
	return given
}

func (r *rowCheck) exceeds(j int, width, value int64) bool {
	for i, b := range r.w.c.bars {
		if b.size < width {
			return false
		}
		if value+r.most[j][b.size-width] > r.w.may[i] {
			return true
		}
	}
	return false
}
