package choices

import "sync/atomic"

// mostWitnesses is how many boxes are kept.
const mostWitnesses = 1024

// witnesses are boxes that searches found, kept for later questions: a value
// that a box has beside the picks needs no search. What is kept has no bearing
// on any answer, only on how soon it is given.
type witnesses struct {
	list atomic.Pointer[[][]uint64]
	next atomic.Uint32
}

func newWitnesses() *witnesses {
	w := &witnesses{}
	w.list.Store(&[][]uint64{})
	return w
}

func (w *witnesses) all() [][]uint64 { return *w.list.Load() }

// add keeps a box. When there are enough, one of the oldest goes.
func (w *witnesses) add(box []uint64) {
	for {
		old := w.list.Load()
		list := append(make([][]uint64, 0, len(*old)+1), *old...)
		if len(list) < mostWitnesses {
			list = append(list, box)
		} else {
			list[w.next.Add(1)%mostWitnesses] = box
		}
		if w.list.CompareAndSwap(old, &list) {
			return
		}
	}
}

// whole gives the board of the whole base, settled with all rules and no pick,
// and whether that can be.
func (a *Asker) whole() (*board, bool) {
	if a.board == nil {
		a.board = newBoard(a.c.whole)
		a.board.wakeAll()
		a.possible = a.board.settle()
		a.root = a.board.mark()
	}
	a.board.undo(a.root)
	a.board.work = 0
	return a.board, a.possible
}

// remainingBySearch finds what remains by the exact search: the values that
// kept boxes have beside the picks, and of the others those that a search finds
// a box for. With given-up hubs only, it looks at those values of the hub that
// have no diagram.
func (a *Asker) remainingBySearch(picks Picks, into Values, givenUpOnly bool) error {
	clear(into)
	b, possible := a.whole()
	if !possible || givenUpOnly && !a.restrictToGivenUp(b) || !b.assume(picks) {
		return ErrContradiction
	}
	s := &sweep{Asker: a, b: b, picks: picks, covered: make([]uint64, a.c.whole.kinds.words)}
	s.coverByKept()
	err := s.coverBySearch()
	if err == ErrContradiction {
		return err
	}
	for f := range a.c.base.fields {
		s.expand(int32(f), into)
	}
	return err
}

func (a *Asker) restrictToGivenUp(b *board) bool {
	hub := a.c.base.hub
	mask := make([]uint64, b.kinds.wordsOf(hub))
	for h, d := range a.c.byHub {
		if d.over {
			put(mask, b.kinds.class(b.base, hub, int32(h)))
		}
	}
	return b.restrict(hub, mask, byPick) && b.settle()
}

// sweepSearches is how many searches' work one question may take together.
const sweepSearches = 5

// sweep is one question to the search.
type sweep struct {
	*Asker
	b       *board
	picks   Picks
	covered []uint64 // classes that remain for sure
}

// coverByKept covers what the kept boxes have that meet the board's domains in
// every field.
func (s *sweep) coverByKept() {
	for _, box := range s.c.kept.all() {
		s.cover(box)
	}
}

func (s *sweep) cover(box []uint64) {
	for f := range s.c.base.fields {
		off := s.b.kinds.off[f]
		if d := s.b.domain(int32(f)); !meets(d, box[off:]) {
			return
		}
	}
	for i := range s.covered {
		s.covered[i] |= box[i] & s.b.mem[i]
	}
}

// coverBySearch looks for a box for every class that none covers yet.
func (s *sweep) coverBySearch() error {
	if empty(s.covered) {
		switch found, err := s.try(None, 0); {
		case err != nil:
			copy(s.covered, s.b.mem)
			return err
		case !found:
			return ErrContradiction
		}
	}
	var given error
	for f := range s.c.base.fields {
		f := int32(f)
		off := s.b.kinds.off[f]
		open := without(s.b.domain(f), s.covered[off:int(off)+s.b.kinds.wordsOf(f)])
		ones(open, func(class int32) {
			if has(s.covered[off:], class) {
				return
			}
			if _, err := s.try(f, class); err != nil {
				given = err
				put(s.covered[off:], class)
			}
		})
	}
	return given
}

// try searches with a field in a class, or as the board is.
func (s *sweep) try(f, class int32) (bool, error) {
	mark := s.b.mark()
	defer func() { s.b.undo(mark) }()
	if f != None && (!s.b.restrict(f, s.b.one(f, class), byPick) || !s.b.settle()) {
		return false, nil
	}
	found, err := s.b.search(min(s.c.options.Search, sweepSearches*s.c.options.Search-s.b.work))
	if !found {
		return false, err
	}
	box := append([]uint64(nil), s.b.mem[:s.b.kinds.words]...)
	s.b.undo(mark)
	s.c.kept.add(box)
	s.cover(box)
	return true, nil
}

func (s *sweep) expand(f int32, into Values) {
	out := s.c.of(into, f)
	if v := s.picks[f]; v != None {
		put(out, v)
		return
	}
	off := s.b.kinds.off[f]
	ones(s.covered[off:int(off)+s.b.kinds.wordsOf(f)], func(class int32) {
		orInto(out, s.b.kinds.members(f, class))
	})
}
