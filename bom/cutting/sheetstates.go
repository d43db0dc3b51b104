package cutting

import "slices"

// sheetStates is how often a rectangle holds each of some items, in every way
// that a sheet can: what a table keeps apart so that no piece is cut more often
// than it is needed, and so that pieces come together or apart as decided.
type sheetStates struct {
	m     *sheetModel
	items []int
	apart []itemPair
	count [][]int64 // by state; the first counts nothing
	index map[string]int
	// boxes are the least rectangles that hold just what a state counts.
	boxes [][]box
	pairs [][]statePair
	links int // all pairs
	// of is the state in which an item alone is counted: 0 for one not counted.
	of []int
	// first are the least indices of sides that a state fits in.
	firstX, firstY []int
}

// statePair are the states of the two parts of a cut.
type statePair struct{ a, b int }

// itemPair are two items needed once each, the first being less.
type itemPair struct{ first, second int }

// box is a rectangle that some pieces can be cut from without any other.
type box struct{ length, width int64 }

// nothingCounted is the one state of a table that counts nothing.
func nothingCounted(m *sheetModel) *sheetStates {
	return newSheetStates(m, nil, nil, 1, &meter{budget: 1 << 40})
}

// newSheetStates counts items; no state holds both of a pair apart. It returns
// nil where the pairs of states are more than most, or the work ends before.
func newSheetStates(m *sheetModel, items []int, apart []itemPair, most int, work *meter) *sheetStates {
	s := &sheetStates{m: m, items: items, apart: apart, index: map[string]int{}, of: make([]int, len(m.items))}
	s.add(make([]int64, len(items)), nil, []statePair{{0, 0}})
	// Of every state, in order of how much it counts, those that count one more.
	for state := 0; state < len(s.count); state++ {
		for at, item := range items {
			count := slices.Clone(s.count[state])
			if count[at]++; count[at] > m.need[item] || s.parted(count, at) {
				continue
			}
			if _, known := s.index[stateKey(count)]; !known {
				s.try(count, at, work)
			}
			if s.links > most || work.done() {
				return nil
			}
		}
	}
	return s
}

func (s *sheetStates) add(count []int64, boxes []box, pairs []statePair) {
	s.index[stateKey(count)] = len(s.count)
	s.count, s.boxes, s.pairs = append(s.count, count), append(s.boxes, boxes), append(s.pairs, pairs)
	s.links += len(pairs)
}

// try adds a state whose count at a place is above 0, unless no sheet holds it.
func (s *sheetStates) try(count []int64, at int, work *meter) {
	pairs := s.parts(count)
	work.spend(int64(40 * len(pairs)))
	if pairs == nil {
		return
	}
	var boxes []box
	if len(pairs) == 2 {
		it := s.m.items[s.items[at]]
		boxes = s.hold(boxes, box{it.length, it.width})
		if it.turn {
			boxes = s.hold(boxes, box{it.width, it.length})
		}
		s.of[s.items[at]] = len(s.count)
	}
	for _, p := range pairs {
		if p.a == 0 || p.b == 0 {
			continue
		}
		work.spend(int64(10 * len(s.boxes[p.a]) * len(s.boxes[p.b])))
		for _, a := range s.boxes[p.a] {
			for _, b := range s.boxes[p.b] {
				boxes = s.hold(boxes, box{a.length + b.length, max(a.width, b.width)})
				boxes = s.hold(boxes, box{max(a.length, b.length), a.width + b.width})
			}
		}
	}
	if len(boxes) > 0 {
		s.add(count, boxes, pairs)
	}
}

// parts are the pairs of states that come to a count, the whole being the next
// state; nil when one of them is none.
func (s *sheetStates) parts(count []int64) []statePair {
	var pairs []statePair
	part, rest := make([]int64, len(count)), slices.Clone(count)
	for {
		a, okA := s.index[stateKey(part)]
		b, okB := s.index[stateKey(rest)]
		switch {
		case total(part) == 0:
			pairs = append(pairs, statePair{0, len(s.count)})
		case total(rest) == 0:
			return append(pairs, statePair{len(s.count), 0})
		case !okA || !okB:
			return nil
		default:
			pairs = append(pairs, statePair{a, b})
		}
		for at := range part {
			if part[at]++; part[at] <= count[at] {
				rest[at]--
				break
			}
			part[at], rest[at] = 0, count[at]
		}
	}
}

// hold adds a box that a sheet holds and that is not larger than another.
func (s *sheetStates) hold(boxes []box, b box) []box {
	larger := func(o box) bool { return o.length <= b.length && o.width <= b.width }
	fits := func(sheet rectangle) bool { return b.length <= sheet.length && b.width <= sheet.width }
	if slices.ContainsFunc(boxes, larger) || !slices.ContainsFunc(s.m.sheets, fits) {
		return boxes
	}
	boxes = slices.DeleteFunc(boxes, func(o box) bool { return b.length <= o.length && b.width <= o.width })
	return append(boxes, b)
}

// parted tells whether the item at a place must be apart from another counted.
func (s *sheetStates) parted(count []int64, at int) bool {
	counts := func(item int) bool {
		k := slices.Index(s.items, item)
		return k >= 0 && count[k] > 0
	}
	return slices.ContainsFunc(s.apart, func(p itemPair) bool {
		return (p.first == s.items[at] || p.second == s.items[at]) && counts(p.first) && counts(p.second)
	})
}

func total(count []int64) int64 {
	var n int64
	for _, c := range count {
		n += c
	}
	return n
}

func stateKey(count []int64) string {
	key := make([]byte, 0, 16)
	for _, n := range count {
		key = append(key, byte(n), byte(n>>8))
	}
	return string(key)
}

// place finds the least sides of a table that hold each state.
func (s *sheetStates) place(t *guillotineTable) {
	s.firstX, s.firstY = make([]int, len(s.count)), make([]int, len(s.count))
	for state, boxes := range s.boxes {
		if state == 0 {
			continue
		}
		length, width := boxes[0].length, boxes[0].width
		for _, b := range boxes {
			length, width = min(length, b.length), min(width, b.width)
		}
		s.firstX[state], _ = slices.BinarySearch(t.xs, length)
		s.firstY[state], _ = slices.BinarySearch(t.ys, width)
	}
}

// allows tells whether a sheet may hold what a state counts.
func (s *sheetStates) allows(state int, together []itemPair) bool {
	for _, p := range together {
		if s.has(state, p.first) != s.has(state, p.second) {
			return false
		}
	}
	return true
}

func (s *sheetStates) has(state, item int) bool {
	at := slices.Index(s.items, item)
	return at >= 0 && s.count[state][at] > 0
}
