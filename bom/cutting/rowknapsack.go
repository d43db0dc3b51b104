package cutting

import (
	"cmp"
	"slices"
)

// maxTable bounds the bounds' table of one rowKnapsack: 8 bytes each.
const maxTable = int64(6 << 20)

// rowKnapsack finds the worthiest patterns where rows give or take worth by
// whole counts. It goes through the pieces in rows one after another, knowing
// for every room what all later pieces could be worth at most, rows aside.
type rowKnapsack struct {
	m    *model
	work *meter
	ask  []int64
	rows []pricedRow
	of   [][]rowTerm // rows of an item
	// order is the items to go through, those in rows first; inRows is how many.
	order  []int
	inRows int
	value  []int64 // of an item with what "at least" rows add at most
	plain  []int64 // of an item
	gives  bool    // whether there are "at least" rows
	need   []int64
	// table[j][room] is the most that items from order[j] on are worth; nil when
	// it would be too large, and then rate[j] is the most worth by width.
	table [][]int64
	rate  []float64
	sums  []int64
	now   []term
	found []foundPattern
	// excess is how much above what is asked the worthiest pattern is.
	excess int64
	// worth is, for each size, at least what its worthiest pattern is worth.
	worth []int64
}

// pricedRow takes price for each count, or gives it when price is below 0.
type pricedRow struct {
	over, price int64
}

type rowTerm struct {
	row   int
	times int64
}

type foundPattern struct {
	pattern
	excess int64
}

// mostFound is how many patterns one run returns.
const mostFound = 24

// run returns false when the work ran out: what it found is then not all.
func (k *rowKnapsack) run(value, need []int64) bool {
	k.need, k.found, k.excess, k.now = need, k.found[:0], 0, k.now[:0]
	k.value, k.plain, k.gives = append(k.value[:0], value...), value, false
	for item, terms := range k.of {
		for _, t := range terms {
			if r := k.rows[t.row]; r.price < 0 {
				k.value[item] += (-r.price*t.times + r.over - 1) / r.over
				k.gives = true
			}
		}
	}
	k.arrange()
	k.fillTable()
	k.sums = append(k.sums[:0], make([]int64, len(k.rows))...)
	k.worth = append(k.worth[:0], k.ask...)
	k.search(0, 0, 0)
	for s := range k.worth {
		k.worth[s] = max(k.worth[s], k.ask[s]+k.excess/2)
	}
	return !k.work.done()
}

func (k *rowKnapsack) arrange() {
	k.order = k.order[:0]
	for i := range k.value {
		if k.value[i] > 0 && k.need[i] > 0 {
			k.order = append(k.order, i)
		}
	}
	rate := func(i int) float64 { return float64(k.value[i]) / float64(k.m.width[i]) }
	slices.SortFunc(k.order, func(a, b int) int {
		rowsA, rowsB := len(k.of[a]) > 0, len(k.of[b]) > 0
		switch {
		case rowsA && !rowsB:
			return -1
		case rowsB && !rowsA:
			return 1
		}
		return cmp.Or(cmp.Compare(rate(b), rate(a)), cmp.Compare(a, b))
	})
	k.inRows = 0
	for k.inRows < len(k.order) && len(k.of[k.order[k.inRows]]) > 0 {
		k.inRows++
	}
	k.rate = append(k.rate[:0], make([]float64, len(k.order)+1)...)
	for j := len(k.order) - 1; j >= 0; j-- {
		k.rate[j] = max(k.rate[j+1], rate(k.order[j]))
	}
}

func (k *rowKnapsack) fillTable() {
	rooms := k.m.size[0] + 1
	if rooms*int64(len(k.order)+1) > maxTable {
		k.table = nil
		return
	}
	for len(k.table) <= len(k.order) {
		k.table = append(k.table, make([]int64, rooms))
	}
	clear(k.table[len(k.order)])
	for j := len(k.order) - 1; j >= 0; j-- {
		item := k.order[j]
		best := k.table[j]
		copy(best, k.table[j+1])
		width, value := k.m.width[item], k.value[item]
		for range most(rooms-1, width, k.need[item]) {
			for room := rooms - 1; room >= width; room-- {
				best[room] = max(best[room], best[room-width]+value)
			}
			k.work.spend(rooms)
		}
	}
}

// alive tells whether some size could still come to more than is asked for, by
// more than half of the best so far.
func (k *rowKnapsack) alive(j int, width, value int64) bool {
	least := k.excess / 2
	for s, size := range k.m.size {
		room := size - width
		if room < 0 {
			return false
		}
		if k.table != nil {
			if value+k.table[j][room]-k.ask[s] > least {
				return true
			}
		} else if float64(value)+float64(float64(room)*k.rate[j])+16 > float64(k.ask[s]+least) {
			return true
		}
	}
	return false
}

// search adds pieces from order[j] on. value is what the pieces so far are worth
// at most, counts of "at most" rows and cuts taken off.
func (k *rowKnapsack) search(j int, width, value int64) {
	k.offer(width, value)
	for ; j < len(k.order) && !k.work.done(); j++ {
		k.work.spend(2 + int64(len(k.m.size)))
		if !k.alive(j, width, value) {
			return
		}
		item := k.order[j]
		w := k.m.width[item]
		n := most(k.m.size[0]-width, w, k.need[item])
		if n <= 0 {
			continue
		}
		added := int64(0)
		for c := int64(1); c <= n; c++ {
			added += k.value[item] - k.shift(item, 1)
			k.now = append(k.now, term{item, 1})
			k.search(j+1, width+c*w, value+added)
		}
		k.now = k.now[:len(k.now)-int(n)]
		k.shift(item, -n)
	}
}

// shift counts n pieces more in the item's rows and returns what that takes.
func (k *rowKnapsack) shift(item int, n int64) int64 {
	var taken int64
	for _, t := range k.of[item] {
		r := &k.rows[t.row]
		before := k.sums[t.row] / r.over
		k.sums[t.row] += n * t.times
		if r.price > 0 {
			taken += r.price * (k.sums[t.row]/r.over - before)
		}
	}
	return taken
}

// offer keeps the pieces at hand for every size in which they are worth more
// than asked; "at least" rows now give only what they count.
func (k *rowKnapsack) offer(width, value int64) {
	if !k.exceeds(width, value) {
		return
	}
	if k.gives {
		for _, t := range k.now {
			value += k.plain[t.item] - k.value[t.item]
		}
		for i, r := range k.rows {
			if r.price < 0 {
				value += -r.price * (k.sums[i] / r.over)
			}
		}
	}
	most, at := int64(0), -1
	for s, size := range k.m.size {
		if size < width {
			break
		}
		k.worth[s] = max(k.worth[s], value)
		if e := value - k.ask[s]; e > most {
			most, at = e, s
		}
	}
	if at >= 0 {
		k.keep(at, most)
	}
}

func (k *rowKnapsack) exceeds(width, value int64) bool {
	for s, size := range k.m.size {
		if size < width {
			return false
		}
		if value > k.ask[s] {
			return true
		}
	}
	return false
}

func (k *rowKnapsack) terms() []term {
	terms := slices.Clone(k.now)
	sortTerms(terms)
	return merged(terms)
}

func (k *rowKnapsack) keep(stock int, excess int64) {
	k.excess = max(k.excess, excess)
	if len(k.found) < mostFound {
		k.found = append(k.found, foundPattern{pattern{stock, k.terms()}, excess})
		return
	}
	least := 0
	for i := range k.found {
		if k.found[i].excess < k.found[least].excess {
			least = i
		}
	}
	if k.found[least].excess < excess {
		k.found[least] = foundPattern{pattern{stock, k.terms()}, excess}
	}
}
