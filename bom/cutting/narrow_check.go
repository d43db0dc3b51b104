package cutting

import (
	"errors"
	"fmt"
	"math/big"
	"slices"
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
// short of the cost below are left out from here on. It returns true when the
// prices' sum leaves nothing below that cost.
func (c *checker) narrow(l *Leaf, lines []int) (nothing bool, err error) {
	w, err := c.weigh(l)
	if err != nil {
		return false, err
	}
	gap := new(big.Int).Mul(big.NewInt(c.proof.Below-1), big.NewInt(l.Scale))
	gap.Sub(gap, w.value)
	if !gap.IsInt64() {
		return false, fmt.Errorf("the gap %s is not one to narrow by", gap)
	}
	first := c.list == nil
	switch {
	case !first && len(lines) > 0:
		return false, errors.New("only the first node on a way that narrows says what is listed")
	case first && len(w.rows) > 0:
		return false, errors.New("the first node that narrows must stand above all decisions on pieces")
	case first:
		err = errors.Join(w.holds(), c.choose(lines))
	default:
		err = w.holdsListed()
	}
	if err != nil {
		return false, err
	}
	c.narrowed = true
	if gap.Sign() < 0 {
		return true, nil
	}
	if first {
		return false, c.listAll(w, gap.Int64())
	}
	kept := make([]filling, 0, len(c.list))
	for i := range c.list {
		f := &c.list[i]
		if w.may[f.bar]-w.worth(f) <= gap.Int64() {
			kept = append(kept, *f)
		}
	}
	c.list = kept
	return false, nil
}

// choose says of which bars the list is.
func (c *checker) choose(lines []int) error {
	c.listed = make([]bool, len(c.bars))
	for i := range c.bars {
		c.listed[i] = len(lines) == 0 || slices.Contains(lines, c.bars[i].line)
	}
	if !slices.Contains(c.listed, true) {
		return errors.New("no bar is listed")
	}
	return nil
}

// allListed tells whether the list has all bars of some stock lines.
func (c *checker) allListed(lines []int) bool {
	if c.list == nil {
		return false
	}
	for i := range c.bars {
		if !c.listed[i] && slices.Contains(lines, c.bars[i].line) {
			return false
		}
	}
	return true
}

// worth of a filling at the leaf's prices, rows included.
func (w *weighing) worth(f *filling) int64 {
	var worth int64
	for _, t := range f.count {
		worth += w.price[t.item] * t.count
	}
	for _, r := range w.rows {
		if r.only != nil && !slices.Contains(r.only, w.c.bars[f.bar].line) {
			continue
		}
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
	size := c.bars[slices.Index(c.listed, true)].size
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
		enough = enough || c.listed[b] && worth+later[item][c.bars[b].size-width] >= w.may[b]-gap
	}
	if !enough {
		return nil
	}
	if item == len(c.items) {
		for b := range c.bars {
			if c.listed[b] && c.bars[b].size >= width && worth >= w.may[b]-gap && len(now) > 0 {
				c.list = append(c.list, filling{b, append([]lotOf(nil), now...)})
			}
		}
		if len(c.list) > mostFillings {
			return errors.New("too many fillings to check")
		}
		return nil
	}
	it := c.items[item]
	size := int64(len(later[0])) - 1
	for n := int64(0); n <= it.need && width+n*it.width <= size; n++ {
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
	if c.list == nil || len(d.row.Terms) == 0 {
		return
	}
	times := make([]int64, len(c.items))
	var all int64
	for _, t := range d.row.Terms {
		i := c.index[t.Length]
		times[i] = t.Times
		all += t.Times * c.items[i].need
	}
	alone := len(d.row.Stock) > 0 && c.alone(d.row.Stock)
	kept := make([]filling, 0, len(c.list))
	for _, f := range c.list {
		if len(d.row.Stock) > 0 && !slices.Contains(d.row.Stock, c.bars[f.bar].line) {
			kept = append(kept, f)
			continue
		}
		var sum int64
		for _, t := range f.count {
			sum += times[t.item] * t.count
		}
		counts := sum / d.row.Over
		others := (all - sum) / d.row.Over
		if alone {
			others = 0
		}
		if !d.high && counts <= d.limit || d.high && counts+others >= d.limit {
			kept = append(kept, f)
		}
	}
	c.list = kept
}

// alone tells whether there is no more than one bar of some stock lines, by their
// limits or by a decision on the way.
func (c *checker) alone(lines []int) bool {
	bars := int64(0)
	for i := range c.bars {
		if b := &c.bars[i]; slices.Contains(lines, b.line) {
			if b.limit == Unlimited || bars > 1 {
				bars = 2
				break
			}
			bars += b.limit
		}
	}
	for _, d := range c.path {
		if !d.high && d.limit <= 1 && len(d.row.Terms) == 0 && !slices.ContainsFunc(lines, func(l int) bool { return !slices.Contains(d.row.Stock, l) }) {
			return true
		}
	}
	return bars <= 1
}

// holdsListed checks a leaf where only listed fillings count, and any of the bars
// that are not listed.
func (w *weighing) holdsListed() error {
	for i := range w.c.list {
		f := &w.c.list[i]
		if worth := w.worth(f); worth > w.may[f.bar] {
			return fmt.Errorf("a bar of stock line %d can hold %d, and may hold %d", w.c.bars[f.bar].line, worth, w.may[f.bar])
		}
	}
	if slices.Contains(w.c.listed, false) {
		if err := w.holdsUnlisted(); err != nil {
			return err
		}
	}
	return w.emptyBars()
}

func (w *weighing) holdsUnlisted() error {
	for _, r := range w.rows {
		if r.only == nil {
			return errors.New("a row of pieces in all bars has a price where not all bars are listed")
		}
	}
	var lots []lot
	for i, it := range w.c.items {
		if w.price[i] > 0 {
			lots = append(lots, lot{it.width, w.price[i], it.need})
		}
	}
	biggest := w.c.bars[slices.Index(w.c.listed, false)].size
	if biggest > 1<<21 {
		return errors.New("the bar's grain is too fine to check bars that are not listed")
	}
	best := table(lots, biggest)
	for i, b := range w.c.bars {
		if !w.c.listed[i] && best[b.size] > w.may[i] {
			return fmt.Errorf("a bar of stock line %d can hold %d, and may hold %d", b.line, best[b.size], w.may[i])
		}
	}
	return nil
}
