package cutting

import (
	"cmp"
	"slices"
)

// maxStates bounds the memory of one knapsack: 32 bytes a state.
const maxStates = 4 << 20

// state is a set of pieces: its width, its worth, and the state it came from by
// adding one item.
type state struct {
	width, value int64
	from, item   int32
}

// knapsack finds the worthiest patterns for all bar sizes at once: lists of
// states none of which is wider and worth less than another, items in order of
// worth by width, and no state that cannot come to more than what is asked for
// (Martello & Toth 1990, chapter 2, treat both). One list serves all sizes.
type knapsack struct {
	m     *model
	nodes []state
	list  []int32
	next  []int32
	order []int
	floor []float64
	// endless: the item at hand may be added to what it was just added to.
	endless bool
	// full tells that the last run gave up for lack of room.
	full bool
}

// run finds the states worth more than ask[s] in a bar of size s. They stand in
// k.list by width; for each size the worthiest is the last that fits.
func (k *knapsack) run(value, need, ask []int64, work *meter) {
	k.begin(value, need)
	biggest := k.m.size[0]
	for _, item := range k.order {
		width := k.m.width[item]
		copies := most(biggest, width, need[item])
		k.setFloor(float64(value[item])/float64(width), ask)
		if copies > 1 && need[item] >= biggest/width {
			// As often as there is room: the list can feed on itself.
			copies = 1
			k.endless = true
		}
		for c := range copies {
			before := len(k.nodes)
			k.add(int32(item), width, value[item], float64(value[item])/float64(width), c > 0)
			work.spend(int64(len(k.list)))
			if k.endless = false; len(k.nodes) == before {
				break
			}
			if len(k.nodes) > maxStates || work.done() {
				k.full = true
				return
			}
		}
		if len(k.list) == 0 {
			return
		}
	}
}

func (k *knapsack) begin(value, need []int64) {
	k.full = false
	k.nodes = append(k.nodes[:0], state{from: -1, item: -1})
	k.list = append(k.list[:0], 0)
	k.order = k.order[:0]
	for i := range k.m.width {
		if value[i] > 0 && need[i] > 0 {
			k.order = append(k.order, i)
		}
	}
	slices.SortFunc(k.order, func(a, b int) int {
		ea, eb := float64(value[a])/float64(k.m.width[a]), float64(value[b])/float64(k.m.width[b])
		return cmp.Or(cmp.Compare(eb, ea), cmp.Compare(a, b))
	})
}

// setFloor reckons, for each size, what a state must be worth more than, less
// its width at the best worth to come: the least over this and longer sizes.
func (k *knapsack) setFloor(worth float64, ask []int64) {
	k.floor = k.floor[:0]
	for s, size := range k.m.size {
		f := float64(ask[s]) - float64(float64(size)*worth)
		if s > 0 {
			f = min(f, k.floor[s-1])
		}
		k.floor = append(k.floor, f)
	}
}

// add merges the list with itself one item on; again takes only states that
// end with the item, for its second and further copies.
func (k *knapsack) add(item int32, width, value int64, worth float64, again bool) {
	out := k.next[:0]
	list := k.list
	size := len(k.m.size) - 1
	best := int64(-1)
	a, b := 0, 0
	if !k.endless {
		b = k.following(-1, item, width, again)
	}
	from := list
	for {
		if k.endless {
			if from = out; b < len(out) && k.nodes[out[b]].width+width > k.m.size[0] {
				from = nil
			}
		}
		if a >= len(list) && b >= len(from) {
			break
		}
		var s state
		old := a < len(list)
		if old {
			s = k.nodes[list[a]]
		}
		if b < len(from) {
			n := &k.nodes[from[b]]
			if w, v := n.width+width, n.value+value; !old || w < s.width || w == s.width && v > s.value {
				s, old = state{w, v, from[b], item}, false
			}
		}
		index := int32(len(k.nodes))
		if old {
			index = list[a]
			a++
		} else if k.endless {
			b++
		} else {
			b = k.following(b, item, width, again)
		}
		if s.value <= best {
			continue
		}
		best = s.value
		for k.m.size[size] < s.width {
			size--
		}
		if float64(s.value)+16 <= k.floor[size]+float64(float64(s.width)*worth) {
			continue
		}
		if !old {
			k.nodes = append(k.nodes, s)
		}
		out = append(out, index)
	}
	k.next, k.list = k.list, out
}

// following returns the next place in the list that the item can be added to.
func (k *knapsack) following(b int, item int32, width int64, again bool) int {
	b++
	for again && b < len(k.list) && k.nodes[k.list[b]].item != item {
		b++
	}
	if b < len(k.list) && k.nodes[k.list[b]].width+width > k.m.size[0] {
		return len(k.list)
	}
	return b
}

// terms reads a state's pieces.
func (k *knapsack) terms(index int32) []term {
	var terms []term
	for n := k.nodes[index]; n.item >= 0; n = k.nodes[n.from] {
		if last := len(terms) - 1; last >= 0 && terms[last].item == int(n.item) {
			terms[last].count++
			continue
		}
		terms = append(terms, term{int(n.item), 1})
	}
	slices.SortFunc(terms, func(a, b term) int { return cmp.Compare(a.item, b.item) })
	return terms
}

// worthiest returns the best state that fits each size, or -1 where none is
// worth more than asked.
func (k *knapsack) worthiest(ask []int64) []int32 {
	best := make([]int32, len(k.m.size))
	at := len(k.list) - 1
	for s, size := range k.m.size {
		for at >= 0 && k.nodes[k.list[at]].width > size {
			at--
		}
		best[s] = -1
		if at >= 0 && k.nodes[k.list[at]].value > ask[s] {
			best[s] = k.list[at]
		}
	}
	return best
}
