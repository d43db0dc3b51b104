package cutting

import (
	"cmp"
	"math"
	"slices"
)

// filler fills a sheet piece by piece: each goes where it fits best, and the
// rectangle it goes into is cut in two beside it and above it.
type filler struct {
	m     *sheetModel
	nodes []cutNode
	free  []int32
	rule  rule
	work  *meter
}

// rule is one way to choose.
type rule struct {
	// fit: 0 least area left, 1 least shorter side left, 2 least longer side left.
	fit int
	// split: 0 the longer rest in one part, 1 the shorter, 2 always along, 3
	// always across, 4 the larger area in one part.
	split int
}

const (
	fits   = 3
	splits = 5
)

// fill puts as many of the items as go in, in the given order, into one sheet.
func (f *filler) fill(sheet int, order []int, need []int64) *layout {
	size := f.m.sheets[sheet]
	f.nodes = append(f.nodes[:0], cutNode{length: size.length, width: size.width, item: -1})
	f.free = append(f.free[:0], 0)
	l := &layout{sheet: sheet}
	for _, i := range order {
		n := int64(0)
		for n < need[i] && f.place(i) {
			n++
		}
		if n > 0 {
			l.count = append(l.count, term{i, n})
		}
		if len(f.free) == 0 {
			break
		}
	}
	sortTerms(l.count)
	l.nodes = slices.Clone(f.nodes)
	return l
}

// place puts one piece where it fits best, or returns false.
func (f *filler) place(item int) bool {
	r := f.m.items[item]
	best, at, turned := int64(math.MaxInt64), -1, false
	f.work.spend(int64(len(f.free)))
	for k, node := range f.free {
		n := &f.nodes[node]
		for turn := 0; turn < 2; turn++ {
			if s := f.score(n, r.length, r.width); s < best {
				best, at, turned = s, k, turn == 1
			}
			if !r.turn || r.length == r.width {
				break
			}
			r.length, r.width = r.width, r.length
		}
		r = f.m.items[item]
	}
	if at < 0 {
		return false
	}
	node := f.free[at]
	f.free = slices.Delete(f.free, at, at+1)
	if turned {
		r.length, r.width = r.width, r.length
	}
	f.cut(node, item, r, turned)
	return true
}

// lay cuts a node to a piece as it lies, turned only where it does not fit else, or
// returns false.
func (f *filler) lay(node int32, item int) bool {
	n, r := f.nodes[node], f.m.items[item]
	turned := r.length > n.length || r.width > n.width
	if turned {
		r.length, r.width = r.width, r.length
	}
	if r.length > n.length || r.width > n.width || turned && !r.turn {
		return false
	}
	f.cut(node, item, r, turned)
	return true
}

func (f *filler) score(n *cutNode, length, width int64) int64 {
	dl, dw := n.length-length, n.width-width
	if dl < 0 || dw < 0 || f.m.p.Stages > 0 && f.stagesNeeded(n, dl, dw) > f.m.p.Stages {
		return math.MaxInt64
	}
	switch f.rule.fit {
	case 1:
		return min(dl, dw)
	case 2:
		return max(dl, dw)
	}
	return n.length*n.width - length*width
}

// stagesNeeded is after how many directions of cuts a piece is free.
func (f *filler) stagesNeeded(n *cutNode, dl, dw int64) int {
	switch {
	case dl == 0 && dw == 0:
		return n.stages
	case dw == 0:
		return n.after(true)
	case dl == 0:
		return n.after(false)
	}
	return min(n.after(true), n.after(false)) + 1
}

// after is how many directions of cuts there are with one more cut.
func (n *cutNode) after(along bool) int {
	if n.stages > 0 && n.lastWas == along {
		return n.stages
	}
	return n.stages + 1
}

// cut frees the piece by one or two cuts.
func (f *filler) cut(node int32, item int, r rectangle, turned bool) {
	n := f.nodes[node]
	dl, dw := n.length-r.length, n.width-r.width
	if dl > 0 && dw > 0 {
		along := f.alongFirst(&n, dl, dw)
		if f.m.p.Stages > 0 && n.after(along)+1 > f.m.p.Stages {
			along = !along
		}
		if along {
			node = f.split(node, true, r.length)
		} else {
			node = f.split(node, false, r.width)
		}
		f.cut(node, item, r, turned)
		return
	}
	if dl > 0 {
		node = f.split(node, true, r.length)
	} else if dw > 0 {
		node = f.split(node, false, r.width)
	}
	f.nodes[node].item, f.nodes[node].turned = item, turned
}

func (f *filler) alongFirst(n *cutNode, dl, dw int64) bool {
	switch f.rule.split {
	case 0:
		return dl > dw
	case 1:
		return dl <= dw
	case 2:
		return true
	case 3:
		return false
	}
	return dl*n.width > dw*n.length
}

// split cuts a rectangle in two and returns the first; the second is free.
func (f *filler) split(node int32, along bool, distance int64) int32 {
	n := &f.nodes[node]
	a := cutNode{length: n.length, width: n.width, item: -1, stages: n.after(along), lastWas: along}
	b := a
	if along {
		a.length, b.length = distance, n.length-distance
	} else {
		a.width, b.width = distance, n.width-distance
	}
	n.along, n.first, n.second = along, int32(len(f.nodes)), int32(len(f.nodes)+1)
	first := n.first
	f.nodes = append(f.nodes, a, b)
	f.free = append(f.free, first+1)
	return first
}

// sheetSearch looks for plans by filling sheets again and again, with luck: what
// lay on badly filled sheets is worth more the next time (in the manner of
// Belov & Scheithauer's sequential value correction, 2007).
type sheetSearch struct {
	m     *sheetModel
	work  *meter
	rnd   *random
	value []float64
	found []*layout
	seen  map[uint64]bool
}

func newSheetSearch(m *sheetModel, work *meter) *sheetSearch {
	s := &sheetSearch{m: m, work: work, rnd: &random{seed: 7}, seen: map[uint64]bool{}}
	for _, it := range m.items {
		s.value = append(s.value, float64(it.area()))
	}
	return s
}

// plan fills sheets until nothing is left, trying some ways for every sheet. It
// returns nil when it comes to below or more, or stock runs out.
func (s *sheetSearch) plan(r rest, ways int, below int64) []layoutRun {
	f := &filler{m: s.m, work: s.work}
	return s.planBy(r, below, func(r *rest) *layout { return s.bestSheet(f, r, ways) })
}

// planBy fills sheets until nothing is left, each as next tells.
func (s *sheetSearch) planBy(r rest, below int64, next func(*rest) *layout) []layoutRun {
	var runs []layoutRun
	var cost int64
	for !r.empty() {
		best := next(&r)
		if best == nil || s.work.done() {
			return nil
		}
		p := pattern{best.sheet, best.count}
		t := r.times(&p)
		if cost += s.m.cost[best.sheet] * t; cost >= below {
			return nil
		}
		r.take(&p, t)
		runs = append(runs, layoutRun{best, t})
		s.keep(best)
	}
	return runs
}

func (s *sheetSearch) keep(l *layout) {
	p := pattern{l.sheet, l.count}
	if h := p.hash(); !s.seen[h] && len(s.found) < 3000 {
		s.seen[h] = true
		s.found = append(s.found, l)
	}
}

// bestSheet tries some ways to fill the next sheet and takes the one worth most
// for its cost.
func (s *sheetSearch) bestSheet(f *filler, r *rest, ways int) *layout {
	var best *layout
	most := math.Inf(-1)
	for way := range ways {
		sheet := way % len(s.m.sheets)
		if r.limit[sheet] == 0 {
			continue
		}
		f.rule = rule{int(s.rnd.float() * fits), int(s.rnd.float() * splits)}
		l := f.fill(sheet, s.order(r, false), r.need)
		if len(l.count) == 0 {
			continue
		}
		if worth := s.forCost(l); worth > most {
			best, most = l, worth
		}
	}
	return best
}

// forCost is what a layout's pieces are worth for the cost of the sheet.
func (s *sheetSearch) forCost(l *layout) float64 {
	worth := 0.0
	for _, t := range l.count {
		worth += float64(s.value[t.item] * float64(t.count))
	}
	if c := s.m.cost[l.sheet]; c > 0 {
		return worth / float64(c)
	}
	return worth * 1e6
}

// order sorts what is needed by value, or a side, or by value for its area, with
// some luck.
func (s *sheetSearch) order(r *rest, byWorth bool) []int {
	kind, noise := int(s.rnd.float()*4), 0.6*s.rnd.float()
	noise *= noise
	type entry struct {
		item int
		key  float64
	}
	var all []entry
	for i, n := range r.need {
		if n == 0 {
			continue
		}
		it := s.m.items[i]
		var key float64
		if byWorth && kind == 3 {
			kind = 4
		}
		switch kind {
		case 0:
			key = s.value[i]
		case 1:
			key = float64(max(it.length, it.width))
		case 2:
			key = float64(it.length)
		case 3:
			key = float64(it.width)
		default:
			key = s.value[i] / float64(it.area())
		}
		all = append(all, entry{i, key * (1 + noise*(2*s.rnd.float()-1))})
	}
	s.work.spend(int64(100 * len(all)))
	slices.SortFunc(all, func(a, b entry) int { return cmp.Or(cmp.Compare(b.key, a.key), cmp.Compare(a.item, b.item)) })
	order := make([]int, len(all))
	for k, e := range all {
		order[k] = e.item
	}
	return order
}

// correct raises the value of what lay on badly filled sheets.
func (s *sheetSearch) correct(runs []layoutRun) {
	for _, r := range runs {
		var used int64
		for _, t := range r.count {
			used += s.m.items[t.item].area() * t.count
		}
		full := float64(s.m.sheets[r.sheet].area()) / float64(max(used, 1))
		for _, t := range r.count {
			a := float64(s.m.items[t.item].area())
			s.value[t.item] = min(float64(0.7*s.value[t.item])+float64(0.3*a*full), 2*a)
		}
	}
}
