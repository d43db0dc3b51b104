package cutting

import (
	"cmp"
	"math/bits"
	"slices"
)

// holdTable is a good cutting of every rectangle that holds no piece more often
// than it is needed: of what the parts of a cut come to it keeps the worthiest
// that may stand together, one for each rectangle, so it may miss the worthiest
// of all. It proves nothing, but finds layouts at the cost of one table, however
// many pieces there are to count.
type holdTable struct {
	t     *guillotineTable
	worth []int64 // by cell: index of the length x number of widths + index of the width
	cut   []holdCut
	// held is how often each item is held, a field of bits an item, words to a
	// cell; over is added to it to reach the guards where it is too much.
	held         []uint64
	words        int
	field        []field
	over, guards []uint64
	apart        []itemPair
	price        []int64
}

// field is where an item's count stands: in which word, from which bit on; of
// an item never held too often it has no mask.
type field struct {
	word  int
	shift uint
	mask  uint64
}

// holdCut is how a cell came to its worth: a piece, or two cells.
type holdCut struct {
	a, b  int32
	item  int32 // -1 for none
	along bool
}

// mostHeld bounds a table's memory, in words.
const mostHeld = 8 << 20

// newHoldTable returns nil when it would be too large.
func newHoldTable(t *guillotineTable, need []int64) *holdTable {
	h := &holdTable{t: t}
	if h.limit(need); len(t.xs)*len(t.ys)*(h.words+3) > mostHeld {
		return nil
	}
	cells := len(t.xs) * len(t.ys)
	h.worth, h.cut = make([]int64, cells), make([]holdCut, cells)
	return h
}

// limit sets how often each item may be held.
func (h *holdTable) limit(need []int64) {
	var area int64
	for _, s := range h.t.m.sheets {
		area = max(area, s.area())
	}
	word, shift := 0, uint(0)
	h.field = make([]field, len(need))
	h.over, h.guards = []uint64{0}, []uint64{0}
	for item, n := range need {
		if n*h.t.m.items[item].area() >= area {
			continue
		}
		width := uint(bits.Len64(uint64(n))) + 1
		if shift+width > 64 {
			word, shift = word+1, 0
			h.over, h.guards = append(h.over, 0), append(h.guards, 0)
		}
		guard := uint64(1) << (width - 1)
		h.field[item] = field{word, shift, 2*guard - 1}
		h.over[word] |= (guard - 1 - uint64(n)) << shift
		h.guards[word] |= guard << shift
		shift += width
	}
	h.words = word + 1
}

// count is how often a cell holds an item of those that have a field.
func (h *holdTable) count(cell int, item int) uint64 {
	f := h.field[item]
	return h.held[cell*h.words+f.word] >> f.shift & f.mask
}

// may tells whether two cells together hold nothing too often and no pair that
// must be apart.
func (h *holdTable) may(a, b int) bool {
	x, y := h.held[a*h.words:(a+1)*h.words], h.held[b*h.words:(b+1)*h.words]
	for w, v := range x {
		if (v+y[w]+h.over[w])&h.guards[w] != 0 {
			return false
		}
	}
	for _, p := range h.apart {
		if h.count(a, p.first)+h.count(b, p.first) > 0 && h.count(a, p.second)+h.count(b, p.second) > 0 {
			return false
		}
	}
	return true
}

// fill reckons all cells for the given prices of items.
func (h *holdTable) fill(price []int64, apart []itemPair, work *meter) {
	h.price, h.apart = price, apart
	for i := range h.cut {
		h.cut[i] = holdCut{a: -1, b: -1, item: -1}
	}
	clear(h.worth)
	if n := len(h.cut) * h.words; cap(h.held) < n {
		h.held = make([]uint64, n)
	} else {
		h.held = h.held[:n]
		clear(h.held)
	}
	for item, it := range h.t.m.items {
		h.put(item, it.length, it.width)
		if it.turn {
			h.put(item, it.width, it.length)
		}
	}
	ny := len(h.t.ys)
	for i := range h.t.xs {
		steps := 0
		for j := range ny {
			steps += h.cell(i, j)
		}
		if work.spend(int64(3 * steps)); work.done() {
			return
		}
	}
}

func (h *holdTable) put(item int, length, width int64) {
	i, _ := slices.BinarySearch(h.t.xs, length)
	j, _ := slices.BinarySearch(h.t.ys, width)
	if f := h.field[item]; i == len(h.t.xs) || j == len(h.t.ys) || h.price[item] <= 0 || f.mask == 1 {
		return
	}
	if at := i*len(h.t.ys) + j; h.price[item] > h.worth[at] {
		h.worth[at] = h.price[item]
		h.cut[at] = holdCut{a: -1, b: -1, item: int32(item)}
	}
}

// cell finds the worthiest way to cut one rectangle, and returns the steps taken.
func (h *holdTable) cell(i, j int) int {
	ny := len(h.t.ys)
	at := i*ny + j
	best, how := h.worth[at], h.cut[at]
	if i > 0 && h.worth[at-ny] > best {
		best, how = h.worth[at-ny], holdCut{a: int32(at - ny), b: -1, item: -1}
	}
	if j > 0 && h.worth[at-1] > best {
		best, how = h.worth[at-1], holdCut{a: int32(at - 1), b: -1, item: -1}
	}
	less := h.t.lessX[i]
	for k := 1; k < len(less); k++ {
		a, b := k*ny+j, int(less[k])*ny+j
		if v := h.worth[a] + h.worth[b]; v > best && h.may(a, b) {
			best, how = v, holdCut{int32(a), int32(b), -1, true}
		}
	}
	row := i * ny
	lessY := h.t.lessY[j]
	for k := 1; k < len(lessY); k++ {
		a, b := row+k, row+int(lessY[k])
		if v := h.worth[a] + h.worth[b]; v > best && h.may(a, b) {
			best, how = v, holdCut{int32(a), int32(b), -1, false}
		}
	}
	h.worth[at], h.cut[at] = best, how
	h.take(at, &how)
	return len(less) + len(lessY)
}

// take sets what a cell holds by how it is cut.
func (h *holdTable) take(at int, how *holdCut) {
	held := h.held[at*h.words : (at+1)*h.words]
	if how.item >= 0 {
		if f := h.field[how.item]; f.mask != 0 {
			held[f.word] = 1 << f.shift
		}
		return
	}
	for _, part := range []int32{how.a, how.b} {
		if part < 0 {
			continue
		}
		for w, v := range h.held[int(part)*h.words : (int(part)+1)*h.words] {
			held[w] += v
		}
	}
}

// layouts reads cuttings of a sheet worth more than it asks for, the worthiest
// of each first cut, at most so many.
func (h *holdTable) layouts(sheet int, ask int64, most int) []*layout {
	i, j := h.t.cell(sheet)
	ny := len(h.t.ys)
	type opening struct {
		worth int64
		cut   holdCut
	}
	all := []opening{{h.worth[i*ny+j], h.cut[i*ny+j]}}
	add := func(a, b int, along bool) {
		if v := h.worth[a] + h.worth[b]; v > ask && h.may(a, b) {
			all = append(all, opening{v, holdCut{int32(a), int32(b), -1, along}})
		}
	}
	for k := 1; k < len(h.t.lessX[i]); k++ {
		add(k*ny+j, int(h.t.lessX[i][k])*ny+j, true)
	}
	for k := 1; k < len(h.t.lessY[j]); k++ {
		add(i*ny+k, i*ny+int(h.t.lessY[j][k]), false)
	}
	slices.SortStableFunc(all, func(a, b opening) int { return cmp.Compare(b.worth, a.worth) })
	var found []*layout
	for n := 0; n < len(all) && len(found) < most && all[n].worth > ask; n++ {
		l := h.layout(sheet, &all[n].cut)
		if !slices.ContainsFunc(found, func(f *layout) bool { return slices.Equal(f.count, l.count) }) {
			found = append(found, l)
		}
	}
	return found
}

func (h *holdTable) layout(sheet int, cut *holdCut) *layout {
	s := h.t.m.sheets[sheet]
	f := &filler{m: h.t.m, rule: rule{split: 4}}
	f.nodes = append(f.nodes, cutNode{length: s.length, width: s.width, item: -1})
	count := make([]int64, len(h.t.m.items))
	h.read(f, 0, cut, count)
	l := &layout{sheet: sheet, nodes: f.nodes}
	for i, n := range count {
		if n > 0 {
			l.count = append(l.count, term{i, n})
		}
	}
	return l
}

// read cuts a node as a cell was cut.
func (h *holdTable) read(f *filler, node int32, cut *holdCut, count []int64) {
	if cut.item >= 0 {
		f.lay(node, int(cut.item))
		count[cut.item]++
		return
	}
	switch {
	case cut.a < 0:
		return
	case cut.b < 0:
		h.read(f, node, &h.cut[cut.a], count)
		return
	}
	ny := len(h.t.ys)
	distance := h.t.ys[int(cut.a)%ny]
	if cut.along {
		distance = h.t.xs[int(cut.a)/ny]
	}
	first := f.split(node, cut.along, distance)
	h.read(f, first, &h.cut[cut.a], count)
	h.read(f, first+1, &h.cut[cut.b], count)
}

// planByHolding fills sheet after sheet with what is left, by prices that are the
// search's values with some luck.
func (s *sheetSearch) planByHolding(h *holdTable, r rest, below int64) []layoutRun {
	return s.planBy(r, below, func(r *rest) *layout { return s.bestHeld(h, r) })
}

// bestHeld is the layout of a sheet that there is which is worth most for its
// cost.
func (s *sheetSearch) bestHeld(h *holdTable, r *rest) *layout {
	price := make([]int64, len(s.m.items))
	for i, v := range s.value {
		price[i] = int64(v * (1 + float64(0.04*(s.rnd.float()-0.5))) * 1024)
	}
	h.limit(r.need)
	h.fill(price, nil, s.work)
	var best *layout
	most := 0.0
	for sheet := range s.m.sheets {
		if r.limit[sheet] == 0 {
			continue
		}
		for _, l := range h.layouts(sheet, 0, 1) {
			l = l.without(r)
			if worth := s.forCost(l); len(l.count) > 0 && worth > most {
				best, most = l, worth
			}
		}
	}
	return best
}
