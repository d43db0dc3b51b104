package cutting

import (
	"cmp"
	"errors"
	"fmt"
	"slices"
)

// holds checks that no bar can hold more than it may: by one knapsack, and where
// rows count, by going through all counts of the pieces in them with the
// knapsack of the others.
func (w *weighing) holds() error {
	if len(w.rows) > 0 {
		return w.holdsWithRows()
	}
	var lots []lot
	for i, it := range w.c.items {
		if w.price[i] > 0 {
			lots = append(lots, lot{it.width, w.price[i], it.need})
		}
	}
	if len(lots) == 0 || len(w.c.bars) == 0 {
		return w.emptyBars()
	}
	biggest := w.c.bars[0].size
	if biggest <= 1<<21 {
		return w.compare(table(lots, biggest))
	}
	return w.byLists(lots)
}

// lot is pieces of one width, each with its price.
type lot struct{ width, price, count int64 }

// table is the worthiest content of every room up to size.
func table(lots []lot, size int64) []int64 {
	best := make([]int64, size+1)
	for _, l := range lots {
		left := min(l.count, size/l.width)
		for batch := int64(1); left > 0; batch *= 2 {
			n := min(batch, left)
			left -= n
			width, price := n*l.width, n*l.price
			for room := size; room >= width; room-- {
				best[room] = max(best[room], best[room-width]+price)
			}
		}
	}
	return best
}

func (w *weighing) compare(best []int64) error {
	for i, b := range w.c.bars {
		if b.size >= 0 && best[b.size] > w.may[i] {
			return fmt.Errorf("a bar of stock line %d can hold %d, and may hold %d", b.line, best[b.size], w.may[i])
		}
	}
	return nil
}

func (w *weighing) emptyBars() error {
	for i, may := range w.may {
		if may < 0 {
			return fmt.Errorf("an empty bar of stock line %d is worth more than it may", w.c.bars[i].line)
		}
	}
	return nil
}

// content is a possible width and price of a bar's pieces.
type content struct{ width, price int64 }

// byLists does without a table, for bars of very many grains: all contents that
// are not beaten by a lighter and dearer one and that could still come to more
// than a bar may hold. Lots are taken in order of price by width.
func (w *weighing) byLists(lots []lot) error {
	slices.SortFunc(lots, func(a, b lot) int {
		return cmp.Compare(float64(b.price)/float64(b.width), float64(a.price)/float64(a.width))
	})
	list := []content{{}}
	for _, l := range lots {
		rate := float64(l.price) / float64(l.width)
		grown := list
		for n := int64(0); n < l.count && len(grown) > 0; n++ {
			next := make([]content, 0, len(grown))
			for _, c := range grown {
				if c.width+l.width <= w.c.bars[0].size {
					next = append(next, content{c.width + l.width, c.price + l.price})
				}
			}
			before := len(list)
			list, grown = w.unbeaten(list, next, rate)
			if before+len(list) > 1<<24 {
				return errors.New("the bar's grain is too fine to check these prices")
			}
		}
	}
	for _, c := range list {
		for i, b := range w.c.bars {
			if c.width <= b.size && c.price > w.may[i] {
				return fmt.Errorf("a bar of stock line %d can hold %d, and may hold %d", b.line, c.price, w.may[i])
			}
		}
	}
	return w.emptyBars()
}

// unbeaten merges two lists ordered by width, and returns also those of the
// second that stayed.
func (w *weighing) unbeaten(old, added []content, rate float64) (all, stayed []content) {
	dearest := int64(-1)
	for len(old) > 0 || len(added) > 0 {
		var c content
		isNew := len(old) == 0 || len(added) > 0 &&
			(added[0].width < old[0].width || added[0].width == old[0].width && added[0].price > old[0].price)
		if isNew {
			c, added = added[0], added[1:]
		} else {
			c, old = old[0], old[1:]
		}
		if c.price <= dearest {
			continue
		}
		dearest = c.price
		if !w.canExceed(c, rate) {
			continue
		}
		all = append(all, c)
		if isNew {
			stayed = append(stayed, c)
		}
	}
	return all, stayed
}

func (w *weighing) canExceed(c content, rate float64) bool {
	for i, b := range w.c.bars {
		if b.size < c.width {
			return false
		}
		if float64(c.price)+float64(b.size-c.width)*rate*(1+1e-12)+1 > float64(w.may[i]) {
			return true
		}
	}
	return false
}
