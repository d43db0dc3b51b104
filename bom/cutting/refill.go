package cutting

import (
	"cmp"
	"math"
	"slices"
)

// refilling packs pieces into bars of given numbers that must be full nearly all.
// One long bar is a heap, which may hold more than the bar: the heap and a few
// bars are again and again emptied, and the bars filled anew as full as can be, by
// luck one way or another, so that what the bars leave free never grows. The heap
// is the rest; once it fits its bar, all pieces have their place. Searches of this
// kind are common for bins: Fleszar and Hindi, "New heuristics for one-dimensional
// bin-packing", Computers & Operations Research 29 (2002).
type refilling struct {
	m    *model
	work *meter
	rnd  *random
	bars []refilled
	heap []int32 // items
	// locked is how many bars, the first, stay as they are.
	locked int
	// over is by how much the heap is wider than its bar, which is of stock.
	over  int64
	stock int
	// most is the greatest width that pieces come to in a bar of each stock.
	most []int64
	// sets are the widths that the pieces from some place of a pool on come to.
	sets [][]uint64
	pool []int32
}

// refilled is one bar, its pieces by item, and its room.
type refilled struct {
	stock int
	items []int32
	room  int64
}

const (
	// mostRefilled bounds the bars of a refilling, mostPool the pieces looked at
	// together.
	mostRefilled = 400
	mostPool     = 64
)

// refill looks for a plan of all the bars that r has: from the given ones, which
// lock keeps as they are, or where there are none from near the linear programme's
// solution. It gives up after some moves that did not make the heap narrower, and
// returns by how much too wide it is then, or 0 and the plan.
func (a *master) refill(r rest, given []run, lock bool, rnd *random, moves int) ([]run, int64) {
	f := &refilling{m: a.m, work: a.work, rnd: rnd}
	if a.m.size[0] >= mostRooms || !f.begin(a, &r, given, lock) {
		return nil, noLimit
	}
	least := f.over
	for left := moves; left > 0 && f.over > 0 && f.locked < len(f.bars) && !a.work.done(); left-- {
		if f.move(); f.over < least {
			least, left = f.over, moves
		}
	}
	if f.over > 0 {
		return nil, f.over
	}
	f.bars = append(f.bars, refilled{stock: f.stock, items: f.heap})
	return f.runs(), 0
}

// begin takes the given bars, or of the linear programme's columns what is whole
// or nearly, and fills the other bars one by one, the shortest first.
func (f *refilling) begin(a *master, r *rest, given []run, lock bool) bool {
	if !r.few(mostRefilled) {
		return false
	}
	for _, g := range given {
		for range g.times {
			p := r.within(&g.pattern) // patterns may hold more than is needed
			if r.times(&p) > 0 {
				f.add(p.stock, p.terms)
				r.take(&p, 1)
			}
		}
	}
	if lock {
		f.locked = len(f.bars)
	}
	if given == nil {
		f.takeColumns(a, r)
	}
	f.fillOthers(r)
	if len(f.bars) == f.locked {
		return false
	}
	f.takeHeap(r)
	return len(f.heap) <= mostPool/2
}

// few tells whether there are no more than some bars.
func (r *rest) few(most int64) bool {
	for _, n := range r.limit {
		if n > most {
			return false
		}
		most -= n
	}
	return true
}

func (f *refilling) takeColumns(a *master, r *rest) {
	var all []roundable
	for place, v := range a.lp.basis {
		if x := a.lp.x[place]; v >= 0 && x > 0.2 && a.pool[v].stock >= 0 {
			all = append(all, roundable{v, x, x + float64(0.3*f.rnd.float())})
		}
	}
	slices.SortFunc(all, func(x, y roundable) int { return cmp.Or(cmp.Compare(y.key, x.key), cmp.Compare(x.column, y.column)) })
	for _, c := range all {
		p := &a.pool[c.column]
		for n := min(int64(math.Round(c.x+0.2)), r.times(p)); n > 0; n-- {
			f.add(p.stock, p.terms)
			r.take(p, 1)
		}
	}
}

func (f *refilling) fillOthers(r *rest) {
	can := newReach(f.m)
	can.reckon(f.m.need)
	for _, size := range f.m.size {
		f.most = append(f.most, can.most(size))
	}
	for s := len(f.m.size) - 1; s >= 0; s-- {
		for ; r.limit[s] > 0; r.limit[s]-- {
			f.work.spend(int64(len(f.m.width)) * f.m.size[0] / 16)
			p := pattern{stock: s}
			if first := f.first(s, r); first >= 0 {
				r.need[first]--
				can.reckon(r.need)
				p.terms = append(can.fill(can.most(f.m.size[s]-f.m.width[first]), r.need, f.rnd), term{first, 1})
				r.need[first]++
			} else {
				can.reckon(r.need)
				p.terms = can.fill(can.most(f.m.size[s]), r.need, f.rnd)
			}
			for _, t := range p.terms {
				r.need[t.item] -= t.count
			}
			f.add(s, p.terms)
		}
	}
}

// first is the longest piece for a bar that holds two of any; -1 for other bars.
func (f *refilling) first(stock int, r *rest) int {
	if f.m.size[stock] < 2*f.m.width[0] {
		return -1
	}
	return slices.IndexFunc(r.need, func(n int64) bool { return n > 0 })
}

// takeHeap makes a heap of one of the longest bars and of what is left.
func (f *refilling) takeHeap(r *rest) {
	at := f.locked
	for b := f.locked; b < len(f.bars); b++ {
		if f.bars[b].stock < f.bars[at].stock {
			at = b
		}
	}
	b := f.bars[at]
	f.bars = slices.Delete(f.bars, at, at+1)
	f.heap, f.stock, f.over = b.items, b.stock, -b.room
	for i, n := range r.need {
		for range n {
			f.heap = append(f.heap, int32(i))
		}
		f.over += n * f.m.width[i]
	}
}

func (f *refilling) add(stock int, terms []term) {
	b := refilled{stock: stock, room: f.m.size[stock]}
	for _, t := range terms {
		for range t.count {
			b.items = append(b.items, int32(t.item))
		}
		b.room -= t.count * f.m.width[t.item]
	}
	f.bars = append(f.bars, b)
}

func (f *refilling) below(n int) int { return min(int(f.rnd.float()*float64(n)), n-1) }

// wasted is how much more a bar could hold, if it could choose.
func (f *refilling) wasted(b *refilled) int64 { return b.room - (f.m.size[b.stock] - f.most[b.stock]) }

// some is a bar that is not locked.
func (f *refilling) some() int { return f.locked + f.below(len(f.bars)-f.locked) }

// move fills one or more bars anew from their pieces and the heap, the first of
// them one that could be fuller.
func (f *refilling) move() {
	at := [3]int{f.some(), f.some(), f.some()}
	for range len(f.bars) - f.locked {
		if f.wasted(&f.bars[at[0]]) > 0 {
			break
		}
		if at[0]++; at[0] == len(f.bars) {
			at[0] = f.locked
		}
	}
	n := 1 + f.below(3)
	if n > 1 && at[1] == at[0] || n > 2 && (at[2] == at[0] || at[2] == at[1]) {
		return
	}
	bars := at[:n]
	f.pool = append(f.pool[:0], f.heap...)
	before := int64(0)
	for _, b := range bars {
		f.pool = append(f.pool, f.bars[b].items...)
		before += f.bars[b].room
	}
	if len(f.pool) > mostPool {
		return
	}
	for i := len(f.pool) - 1; i > 0; i-- {
		k := f.below(i + 1)
		f.pool[i], f.pool[k] = f.pool[k], f.pool[i]
	}
	var fresh [3][]int32
	var rooms [3]int64
	after := int64(0)
	for k, b := range bars {
		fresh[k], rooms[k] = f.fill(f.m.size[f.bars[b].stock])
		if after += rooms[k]; after > before {
			return
		}
	}
	for k, b := range bars {
		f.bars[b].items, f.bars[b].room = fresh[k], rooms[k]
	}
	f.heap, f.over = append(f.heap[:0], f.pool...), f.over+after-before
}

// fill takes pieces from the pool for a bar, as full as can be.
func (f *refilling) fill(size int64) (items []int32, room int64) {
	words := int(size/64) + 1
	n := len(f.pool)
	for len(f.sets) <= n {
		f.sets = append(f.sets, make([]uint64, f.m.size[0]/64+1))
	}
	clear(f.sets[n][:words])
	f.sets[n][0] = 1
	for i := n - 1; i >= 0; i-- {
		shiftInto(f.sets[i][:words], f.sets[i+1][:words], f.m.width[f.pool[i]])
	}
	f.work.spend(int64(3 * n * words))
	width := highest(f.sets[0][:words], size)
	room = size - width
	rest := f.pool[:0]
	for i, item := range f.pool {
		w := f.m.width[item]
		can := width >= w && has(f.sets[i+1], width-w)
		if can && (!has(f.sets[i+1], width) || f.rnd.float() < 0.5) {
			items = append(items, item)
			width -= w
		} else {
			rest = append(rest, item)
		}
	}
	f.pool = rest
	return items, room
}

// shiftInto makes a set that of another and its members raised by some width.
func shiftInto(to, from []uint64, by int64) {
	copy(to, from)
	words, rest := int(by/64), uint(by%64)
	for k := len(to) - 1; k >= words; k-- {
		v := from[k-words] << rest
		if rest > 0 && k > words {
			v |= from[k-words-1] >> (64 - rest)
		}
		to[k] |= v
	}
}

func has(set []uint64, width int64) bool { return set[width/64]>>(width%64)&1 == 1 }

func (f *refilling) runs() []run {
	var bars []openBar
	for _, b := range f.bars {
		var terms []term
		slices.Sort(b.items)
		for _, i := range b.items {
			terms = append(terms, term{int(i), 1})
		}
		bars = append(bars, openBar{pattern{b.stock, merged(terms)}, b.room})
	}
	return asRuns(bars)
}
