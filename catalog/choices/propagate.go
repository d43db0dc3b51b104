package choices

import "math/bits"

// What took a class out of a domain, besides the constraints' own numbers. The
// decision at depth n of a search is byDecision - n.
const (
	byPick     = int32(-1)
	byDecision = int32(-2)
)

// board is a state of a problem: the classes that each field may still be in
// and the rows left of each table. It only shrinks; undo takes it back.
type board struct {
	*problem
	mem     []uint64
	trail   []change
	watches [][]watch // literals that wait for a class to go, by field and class as classing.values
	queue   []int32
	queued  []bool
	off     []bool // rules left out; nil for none
	failed  int32  // the constraint that cannot hold, or a reason above
	failure int32  // a field that it concerns, or None
	work    int    // constraints looked at so far
	scratch []uint64
	blamed  []bool   // rules that failures went by; nil when nobody asks
	marked  []bool   // fields, while a failure is traced
	hot     []int32  // constraints that failed lately, the last first
	saved   []uint64 // the last box found
	limit   int      // of work in a search
}

// watch is a literal that may still be true as long as the class that it is kept
// with is left; when that goes it is kept with another one of its mask, and only
// when there is none is its constraint looked at. Nothing is done about it when
// a board is taken back: the class that went last comes back first.
type watch struct {
	constraint int32
	mask       []uint64
}

type change struct {
	at     int32 // a word of mem
	field  int32 // None for rows of a table
	reason int32
	old    uint64
}

func newBoard(p *problem) *board {
	b := &board{problem: p, mem: make([]uint64, p.words), queued: make([]bool, len(p.cons))}
	b.watches = make([][]watch, len(p.kinds.values))
	widest := 1
	for f := range p.base.fields {
		n := p.kinds.count(int32(f))
		if n > 0 {
			fill(b.domain(int32(f)), n)
		}
		widest = max(widest, wordsFor(n))
	}
	for i := range p.cons {
		b.watch(int32(i))
		if x := &p.cons[i]; x.kind == table {
			fill(b.aliveOf(x), x.count)
			widest = max(widest, wordsFor(x.count))
		}
	}
	b.scratch = make([]uint64, widest)
	b.marked = make([]bool, len(p.base.fields))
	b.saved = make([]uint64, p.kinds.words)
	return b
}

func (b *board) domain(f int32) []uint64 {
	off := b.kinds.off[f]
	return b.mem[off : int(off)+b.kinds.wordsOf(f)]
}

func (b *board) aliveOf(x *constraint) []uint64 {
	return b.mem[x.alive : int(x.alive)+wordsFor(x.count)]
}

func (b *board) mark() int { return len(b.trail) }

func (b *board) undo(mark int) {
	for i := len(b.trail) - 1; i >= mark; i-- {
		c := &b.trail[i]
		b.mem[c.at] = c.old
	}
	b.trail = b.trail[:mark]
	for _, i := range b.queue {
		b.queued[i] = false
	}
	b.queue = b.queue[:0]
}

// restrict takes a field down to the classes of a mask. False means that none
// is left.
func (b *board) restrict(f int32, mask []uint64, reason int32) bool {
	off := b.kinds.off[f]
	d := b.mem[off : int(off)+len(mask)]
	from, some := len(b.trail), uint64(0)
	for i, w := range mask {
		left := d[i] & w
		some |= left
		if left != d[i] {
			b.trail = append(b.trail, change{off + int32(i), f, reason, d[i]})
			d[i] = left
		}
	}
	if some == 0 {
		b.failed, b.failure = reason, f
		return false
	}
	if len(b.trail) > from {
		for _, c := range b.trail[from:] {
			b.wake(f, int(c.at-off), c.old)
		}
		for _, i := range b.wider[f] {
			b.enqueue(i)
		}
	}
	return true
}

// watch keeps the literals of a constraint with a class each.
func (b *board) watch(i int32) {
	for _, l := range b.cons[i].lits {
		if class := lowest(l.mask); class != None {
			at := b.kinds.first[l.field] + class
			b.watches[at] = append(b.watches[at], watch{i, l.mask})
		}
	}
}

// wake queues what must be looked at once classes of a field have gone: word at
// of its domain was old.
func (b *board) wake(f int32, at int, old uint64) {
	off := b.kinds.off[f]
	d := b.mem[off : int(off)+b.kinds.wordsOf(f)]
	first := b.kinds.first[f]
	for gone := old &^ d[at]; gone != 0; gone &= gone - 1 {
		class := first + int32(at*64+bits.TrailingZeros64(gone))
		list := b.watches[class]
		kept := 0
		for _, w := range list {
			if to := shared(d, w.mask); to != None {
				b.watches[first+to] = append(b.watches[first+to], w)
				continue
			}
			list[kept] = w
			kept++
			b.enqueue(w.constraint)
		}
		b.watches[class] = list[:kept]
	}
}

// shared gives the first bit of both, or None.
func shared(a, b []uint64) int32 {
	for i, w := range a {
		if w &= b[i]; w != 0 {
			return int32(i*64 + bits.TrailingZeros64(w))
		}
	}
	return None
}

func (b *board) enqueue(i int32) {
	if b.queued[i] || b.off != nil && b.off[b.cons[i].rule] {
		return
	}
	b.queued[i] = true
	b.queue = append(b.queue, i)
}

// wakeAll makes every constraint be looked at.
func (b *board) wakeAll() {
	for i := range b.cons {
		b.enqueue(int32(i))
	}
}

// settle lets the constraints act until none has more to say. False means that
// one cannot hold.
func (b *board) settle() bool {
	for head := 0; head < len(b.queue); head++ {
		i := b.queue[head]
		b.queued[i] = false
		b.work++
		if !b.act(i) {
			for _, rest := range b.queue[head:] {
				b.queued[rest] = false
			}
			b.queue = b.queue[:0]
			return false
		}
	}
	b.queue = b.queue[:0]
	return true
}
