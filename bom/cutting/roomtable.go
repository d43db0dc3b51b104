package cutting

// roomTable is the worthiest content of every room up to the longest bar. For
// many bar sizes of few grains it takes less than lists, which must keep what
// any of the sizes could still need.
type roomTable struct {
	best   []int64
	passes []tablePass
	taken  []bool // by pass and room
}

// tablePass adds count pieces of an item at once.
type tablePass struct {
	item  int
	count int64
	width int64
}

const (
	// leastSizes is from how many sizes on, and mostRooms up to what length a
	// table is used.
	leastSizes = 9
	mostRooms  = int64(1 << 14)
)

func (m *model) wantsTable() bool { return len(m.size) >= leastSizes && m.size[0] < mostRooms }

func (t *roomTable) run(m *model, value, need []int64, work *meter) {
	rooms := int(m.size[0]) + 1
	if len(t.best) != rooms {
		t.best = make([]int64, rooms)
	}
	clear(t.best)
	t.passes = t.passes[:0]
	for i, w := range m.width {
		if value[i] <= 0 {
			continue
		}
		for left, n := most(m.size[0], w, need[i]), int64(1); left > 0; n *= 2 {
			n = min(n, left)
			left -= n
			t.passes = append(t.passes, tablePass{i, n, n * w})
		}
	}
	if n := len(t.passes) * rooms; len(t.taken) < n {
		t.taken = make([]bool, n+n/4)
	}
	clear(t.taken[:len(t.passes)*rooms])
	for k, p := range t.passes {
		t.pass(p, value[p.item]*p.count, t.taken[k*rooms:(k+1)*rooms])
	}
	work.spend(int64(len(t.passes) * rooms))
}

func (t *roomTable) pass(p tablePass, value int64, taken []bool) {
	to := t.best[p.width:]
	taken = taken[p.width:]
	from := t.best[:len(to)]
	for k := len(to) - 1; k >= 0; k-- {
		if v := from[k] + value; v > to[k] {
			to[k], taken[k] = v, true
		}
	}
}

// terms reads the worthiest content of a room.
func (t *roomTable) terms(room int64) []term {
	var terms []term
	rooms := len(t.best)
	for k := len(t.passes) - 1; k >= 0; k-- {
		if p := t.passes[k]; t.taken[k*rooms+int(room)] {
			terms = append(terms, term{p.item, p.count})
			room -= p.width
		}
	}
	sortTerms(terms)
	return merged(terms)
}
