package cutting

import (
	"math"
	"slices"
)

// shortBars decides whether given numbers of bars hold all pieces. Bars that hold
// many pieces come out full nearly always; what decides is how little the short
// ones, which hold few, leave free. So only these have patterns, and the others are
// one heap, of which all that is asked for is that it is not too wide. A linear
// programme finds the heap's least width; its prices leave so little up to the
// heap's room that few patterns of short bars matter (as with reduced costs in any
// branch and bound), and a tree over these either finds how to fill the short bars
// or proves that the numbers of bars will not do.
type shortBars struct {
	m *model // of the short bars only; limit is how many there are
	// stock is, of a size here, that of the whole model.
	stock []int
	// room is the heap's, unit the width that counts 1 in the linear programme.
	room int64
	unit float64
	lp   *simplex
	// pats are the patterns by columns; those of stock -1 put a piece on the heap.
	pats  []pattern
	seen  map[uint64]bool
	table roomTable
	work  *meter
	// below and cost are the cost to stay below, and that of the bars.
	below, cost int64
	numbers     []int64 // of bars, by stock of the whole model
	// partly tells that the patterns listed are not all that matter, so that the
	// tree proves nothing.
	partly bool
	whole  *model
}

// longBars are how many halves of pieces of the mean width fill a bar that is not
// short: with fewer short bars all is faster, with more of them more can be proved.
var longBars = []int64{5, 7, 10}

const (
	// widthParts is how many parts of a price a unit of width is worth on the heap.
	// The cost that stays below the one aimed at must be nothing beside it.
	widthParts  = int64(1 << 30)
	mostAtStake = int64(1 << 24)
	// mostShort is how many patterns are listed, mostOfBar how many of each bar
	// where these are too many.
	mostShort, mostOfBar = 6000, 60
)

// newShortBars is for all pieces in the numbers of bars given by stock, for less
// than below; nil where it is no help.
func newShortBars(a *master, numbers []int64, longBar, below int64) *shortBars {
	b := &shortBars{m: &model{width: a.m.width, need: a.m.need}, whole: a.m, work: a.work, seen: map[uint64]bool{}, below: below, numbers: numbers}
	var width, pieces int64
	for i, n := range a.m.need {
		width += n * a.m.width[i]
		pieces += n
	}
	longest := slices.IndexFunc(numbers, func(n int64) bool { return n > 0 })
	for s, n := range numbers {
		if n > 0 && (s == longest || 2*a.m.size[s]*pieces >= longBar*width) {
			b.room += n * a.m.size[s]
		} else if n > 0 {
			b.stock = append(b.stock, s)
			b.m.size, b.m.limit = append(b.m.size, a.m.size[s]), append(b.m.limit, n)
		}
		b.cost += n * a.m.cost[s]
	}
	if len(b.stock) == 0 || b.m.size[0] >= mostRooms || b.cost >= below || below-b.cost > mostAtStake {
		return nil
	}
	b.programme(a)
	return b
}

// programme makes the rows, and columns of the heap and the patterns found so far.
func (b *shortBars) programme(a *master) {
	b.newProgramme()
	at := make([]int, len(a.m.size))
	for s := range at {
		at[s] = slices.Index(b.stock, s)
	}
	for i := range a.pool {
		if p := &a.pool[i]; p.stock >= 0 && at[p.stock] >= 0 {
			b.add(pattern{at[p.stock], p.terms})
		}
	}
}

// newProgramme begins with the heap's columns.
func (b *shortBars) newProgramme() {
	b.lp, b.pats = &simplex{work: b.work}, nil
	b.unit = float64(b.m.width[0])
	for _, n := range b.m.need {
		b.lp.addRow(1, float64(n), 4)
	}
	for _, n := range b.m.limit {
		b.lp.addRow(-1, float64(n), 0)
	}
	for i, width := range b.m.width {
		b.pats = append(b.pats, pattern{stock: -1})
		b.lp.addColumn(column{cost: float64(width) / b.unit, rows: []int32{int32(i)}, vals: []float64{1}})
	}
}

// add adds a pattern unless it is there.
func (b *shortBars) add(p pattern) bool {
	key := p.hash()
	if b.seen[key] || len(p.terms) == 0 {
		return false
	}
	b.seen[key] = true
	b.addColumn(p)
	return true
}

func (b *shortBars) addColumn(p pattern) {
	b.pats = append(b.pats, p)
	var c column
	for _, t := range p.terms {
		c.rows, c.vals = append(c.rows, int32(t.item)), append(c.vals, float64(t.count))
	}
	c.rows, c.vals = append(c.rows, int32(len(b.m.width)+p.stock)), append(c.vals, 1)
	b.lp.addColumn(c)
}

// price finds the best prices of all patterns. It returns false when the work ran
// out.
func (b *shortBars) price() bool {
	for !b.work.done() {
		b.optimise()
		values := b.values()
		b.table.run(b.m, values, b.m.need, b.work)
		found := false
		for s, size := range b.m.size {
			price := float64(float64(max(-b.lp.y[len(values)+s], 0)*b.unit) * float64(widthParts))
			if float64(b.table.best[size]) > price+float64(1e-7*float64(widthParts)) {
				found = b.add(pattern{s, b.table.terms(size)}) || found
			}
		}
		if !found {
			return true
		}
	}
	return false
}

func (b *shortBars) optimise() {
	b.lp.primal()
	if !b.lp.refresh() {
		b.lp.settle()
		b.lp.primal()
	}
}

// values are the pieces' prices in whole parts: on the heap none is worth more
// than its width.
func (b *shortBars) values() []int64 {
	v := make([]int64, len(b.m.width))
	for i, width := range b.m.width {
		v[i] = min(b.parts(b.lp.y[i]), width*widthParts)
	}
	return v
}

func (b *shortBars) parts(y float64) int64 {
	return int64(math.Round(float64(float64(max(y, 0)*b.unit) * float64(widthParts))))
}

// proof is the prices with what each short bar's worthiest content comes to. The
// bars' own cost counts one part, so that their numbers and not their costs tell.
func (b *shortBars) proof(values, most []int64) *prices {
	p := &prices{scale: 1, item: values, stock: make([]int64, len(b.whole.size))}
	for s, size := range b.whole.size {
		worth := size * widthParts
		if k := slices.Index(b.stock, s); k >= 0 {
			worth = most[k]
		}
		p.stock[s] = max(0, worth-b.whole.cost[s])
	}
	return p
}

// sums are what the prices prove: worth less the bars' prices.
func (b *shortBars) sums(p *prices) (worth, less sum) {
	for i, n := range b.m.need {
		worth.add(p.item[i], n)
	}
	for s, n := range b.numbers {
		less.add(p.stock[s], n)
	}
	return worth, less
}

// list leaves only the patterns within the gap, or where these are too many those
// nearest to full of each bar.
func (b *shortBars) list(values, most []int64, gap int64) bool {
	if int64(len(b.m.width)+1)*(b.m.size[0]+1) > maxTable {
		return false
	}
	l := &listing{m: b.m, work: b.work, value: values, need: b.m.need}
	l.fillTable()
	listed, whole := b.listAll(l, most, gap, mostShort, 0)
	if b.partly = !whole; b.partly {
		listed, _ = b.listAll(l, most, gap, mostOfBar, widthParts/100)
	}
	if b.work.done() {
		return false
	}
	basis := b.kept(listed)
	b.newProgramme()
	for _, p := range listed {
		b.addColumn(p)
	}
	b.lp.start(basis)
	b.lp.settle()
	return true
}

// listAll lists the patterns of one stock after another within the gap, each time
// no more than some. Where there are more, it tries a smaller gap, or with a least
// gap of 0 returns false.
func (b *shortBars) listAll(l *listing, most []int64, gap int64, limit int, least int64) (all []pattern, whole bool) {
	for s, size := range b.m.size {
		l.m = &model{width: b.m.width, need: b.m.need, size: []int64{size}}
		for g := gap; ; g /= 3 {
			l.least, l.found, l.now, l.limit = []int64{most[s] - g}, nil, nil, limit
			if l.search(0, 0, 0) || g < least || b.work.done() {
				break
			}
			if least == 0 {
				return nil, false
			}
		}
		for _, p := range l.found {
			all = append(all, pattern{s, p.terms})
		}
		if least == 0 && len(all) > limit {
			return nil, false
		}
	}
	return all, true
}

// kept is the basis with the columns as they will be numbered.
func (b *shortBars) kept(listed []pattern) []int {
	at := map[uint64]int{}
	for i := range listed {
		at[listed[i].hash()] = len(b.m.width) + i
	}
	var basis []int
	for _, v := range b.lp.basis {
		if v < len(b.m.width) {
			basis = append(basis, v)
		} else if w, found := at[b.pats[v].hash()]; found {
			basis = append(basis, w)
		}
	}
	return basis
}
