package cutting

import "slices"

// openBar is one bar with room left.
type openBar struct {
	pattern
	room int64
}

const (
	// mostGathered bounds the bars among which leftovers are gathered, and
	// gatherInto how many bars they are gathered in.
	mostGathered = 300
	gatherInto   = 12
	gatherTries  = 400
)

// gather brings leftovers together in few bars, where they are long enough to
// be kept: beside the bar with the longest leftover every other is filled anew,
// as full as can be, with the pieces of the two; then beside the next. The bars
// stay the same, or one is emptied and left out, so that the cost never rises.
func (s *solver) gather(lengths int) {
	bars := s.m.oneByOne(s.runs)
	if len(bars) < 2 || len(bars) > mostGathered {
		return
	}
	into := make([]bool, len(bars))
	for range min(gatherInto, len(bars)) {
		b := roomiest(bars, into)
		into[b] = true
		for again := true; again; {
			again = false
			for a := range bars {
				if !into[a] && bars[a].room > 0 && s.m.fillBeside(&bars[a], &bars[b], lengths) {
					again = true
				}
			}
		}
	}
	s.runs = asRuns(bars)
	s.cost = s.m.costOf(s.runs)
}

// oneByOne returns nil when the bars are too many.
func (m *model) oneByOne(runs []run) []openBar {
	var bars []openBar
	for _, r := range runs {
		if r.times > mostGathered-int64(len(bars)) {
			return nil
		}
		for range r.times {
			bars = append(bars, openBar{r.pattern, m.size[r.stock] - m.weight(r.terms)})
		}
	}
	return bars
}

func roomiest(bars []openBar, not []bool) int {
	best := -1
	for i := range bars {
		if !not[i] && (best < 0 || bars[i].room > bars[best].room) {
			best = i
		}
	}
	return best
}

// fillBeside fills bar a fuller with pieces of a and b, and leaves the others in
// b, where they have the room that a now takes less. It returns false when that
// does not work.
func (m *model) fillBeside(a, b *openBar, lengths int) bool {
	r := rest{need: make([]int64, len(m.width))}
	for _, t := range append(slices.Clone(a.terms), b.terms...) {
		r.need[t.item] += t.count
	}
	part, items := m.part(&r)
	f := &fill{m: part, need: part.need, from: make([]int64, len(part.width)+1), best: -1, tries: gatherTries, lengths: lengths}
	for i := len(part.width) - 1; i >= 0; i-- {
		f.from[i] = f.from[i+1] + part.width[i]*part.need[i]
	}
	size := m.size[a.stock]
	f.search(0, size, size)
	terms := renamed(merged(f.found), items)
	room := size - m.weight(terms)
	if room >= a.room {
		return false
	}
	for _, t := range terms {
		r.need[t.item] -= t.count
	}
	var others []term
	for i, n := range r.need {
		if n > 0 {
			others = append(others, term{i, n})
		}
	}
	if lengths > 0 && len(others) > lengths {
		return false
	}
	b.room += a.room - room
	a.terms, a.room, b.terms = terms, room, others
	return true
}

// asRuns joins bars alike, in the order of the first of each.
func asRuns(bars []openBar) []run {
	var runs []run
	at := map[uint64]int{}
	for i := range bars {
		p := bars[i].pattern
		p.terms = slices.Clone(p.terms)
		sortTerms(p.terms)
		if len(p.terms) == 0 {
			continue
		}
		h := p.hash()
		if k, seen := at[h]; seen {
			runs[k].times++
			continue
		}
		at[h] = len(runs)
		runs = append(runs, run{p, 1})
	}
	return runs
}
