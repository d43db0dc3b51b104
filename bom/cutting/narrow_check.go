package cutting

import (
	"errors"
	"fmt"
	"math/big"
)

// filling is one way to fill a bar: how many of each item.
type filling struct {
	bar   int
	count []lotOf
}

// lotOf is how many of an item.
type lotOf struct {
	item  int
	count int64
}

// mostFillings bounds a checker's list.
const mostFillings = 1_000_000

// narrow takes the prices of a node that narrows: all bars must keep to what they
// may hold, and those that fall short of it by more than the prices' sum falls
// short of the cost below are left out from here on.
func (c *checker) narrow(l *Leaf) error {
	w, err := c.weigh(l)
	if err != nil {
		return err
	}
	gap := new(big.Int).Mul(big.NewInt(c.proof.Below-1), big.NewInt(l.Scale))
	gap.Sub(gap, w.value)
	if gap.Sign() < 0 || !gap.IsInt64() {
		return fmt.Errorf("the gap %s is not one to narrow by", gap)
	}
	if c.list != nil {
		kept := make([]filling, 0, len(c.list))
		for i := range c.list {
			f := &c.list[i]
			worth := w.worth(f)
			if worth > w.may[f.bar] {
				return fmt.Errorf("a bar of stock line %d can hold %d, and may hold %d", c.bars[f.bar].line, worth, w.may[f.bar])
			}
			if w.may[f.bar]-worth <= gap.Int64() {
				kept = append(kept, *f)
			}
		}
		c.list, c.narrowed = kept, true
		return nil
	}
	if len(w.rows) > 0 {
		return errors.New("the first node that narrows must stand above all decisions on pieces")
	}
	if err := w.holds(); err != nil {
		return err
	}
	c.narrowed = true
	return c.listAll(w, gap.Int64())
}

// worth of a filling at the leaf's prices, rows included.
func (w *weighing) worth(f *filling) int64 {
	var worth int64
	for _, t := range f.count {
		worth += w.price[t.item] * t.count
	}
	for _, r := range w.rows {
		var sum int64
		for _, t := range f.count {
			sum += r.times[t.item] * t.count
		}
		worth += r.price * (sum / r.over)
	}
	return worth
}

// listAll lists the fillings within the gap, by all counts of one item after the
// other, as long as the rest of the bar could still be worth enough.
func (c *checker) listAll(w *weighing, gap int64) error {
	if len(c.bars) == 0 {
		return nil
	}
	size := c.bars[0].size
	if (size+1)*int64(len(c.items)+1) > 1<<25 {
		return errors.New("the bar's grain is too fine to list its fillings")
	}
	later := make([][]int64, len(c.items)+1)
	later[len(c.items)] = make([]int64, size+1)
	for i := len(c.items) - 1; i >= 0; i-- {
		it := c.items[i]
		best := append([]int64(nil), later[i+1]...)
		for range min(it.need, size/it.width) {
			for room := size; room >= it.width; room-- {
				best[room] = max(best[room], best[room-it.width]+w.price[i])
			}
		}
		later[i] = best
	}
	c.list = []filling{}
	return c.listFrom(w, gap, later, 0, 0, 0, nil)
}

func (c *checker) listFrom(w *weighing, gap int64, later [][]int64, item int, width, worth int64, now []lotOf) error {
	enough := false
	for b := range c.bars {
		if c.bars[b].size < width {
			break
		}
		enough = enough || worth+later[item][c.bars[b].size-width] >= w.may[b]-gap
	}
	if !enough {
		return nil
	}
	if item == len(c.items) {
		for b := range c.bars {
			if c.bars[b].size >= width && worth >= w.may[b]-gap && len(now) > 0 {
				c.list = append(c.list, filling{b, append([]lotOf(nil), now...)})
			}
		}
		if len(c.list) > mostFillings {
			return errors.New("too many fillings to check")
		}
		return nil
	}
	it := c.items[item]
	for n := int64(0); n <= it.need && width+n*it.width <= c.bars[0].size; n++ {
		with := now
		if n > 0 {
			with = append(now, lotOf{item, n})
		}
		if err := c.listFrom(w, gap, later, item+1, width+n*it.width, worth+n*w.price[item], with); err != nil {
			return err
		}
	}
	return nil
}

// decide leaves out of the list what a decision rules out: more than at most, or
// so little that all other bars together cannot reach at least.
func (c *checker) decide(d decision) {
	if c.list == nil || len(d.row.Stock) > 0 {
		return
	}
	times := make([]int64, len(c.items))
	var all int64
	for _, t := range d.row.Terms {
		i := c.index[t.Length]
		times[i] = t.Times
		all += t.Times * c.items[i].need
	}
	kept := make([]filling, 0, len(c.list))
	for _, f := range c.list {
		var sum int64
		for _, t := range f.count {
			sum += times[t.item] * t.count
		}
		counts := sum / d.row.Over
		if !d.high && counts <= d.limit || d.high && counts+(all-sum)/d.row.Over >= d.limit {
			kept = append(kept, f)
		}
	}
	c.list = kept
}

// holdsListed checks a leaf where only listed fillings count.
func (w *weighing) holdsListed() error {
	for i := range w.c.list {
		f := &w.c.list[i]
		if worth := w.worth(f); worth > w.may[f.bar] {
			return fmt.Errorf("a bar of stock line %d can hold %d, and may hold %d", w.c.bars[f.bar].line, worth, w.may[f.bar])
		}
	}
	return w.emptyBars()
}
