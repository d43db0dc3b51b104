package cutting

import (
	"cmp"
	"math"
	"slices"
)

// wholeBars finds the least that bars can cost whose worthiest contents come to
// what all pieces are worth: since bars are whole, that can be much more than the
// prices' sum.
type wholeBars struct {
	kinds []wholeKind
	best  int64
	steps int
}

// wholeKind is bars of one kind: their cost, worth, and how many more than the
// least there may be.
type wholeKind struct{ cost, worth, most int64 }

const (
	mostWholeKinds = 8
	mostWholeSteps = 100_000
)

// wholeBound is the bound of whole bars by the proof at hand, for the decisions
// of a node; or 0. It looks no further than below.
func (a *master) wholeBound(below int64) int64 {
	if a.proof == nil || !a.m.wantsTable() || len(a.rows) > a.standing {
		return 0
	}
	for i, w := range a.m.width {
		if a.proof.item[i] > (1<<60)/(1+a.m.size[0]/w) {
			return 0
		}
	}
	a.table.run(a.m, a.proof.item, a.m.need, a.work)
	var worth, less sum
	for i, need := range a.m.need {
		worth.add(a.proof.item[i], need)
	}
	w := &wholeBars{}
	cost := int64(0)
	for s, size := range a.m.size {
		least, most := a.between(s)
		switch c := a.m.cost[s]; {
		case c == 0 && a.m.limit[s] == noLimit:
			return 0
		case c == 0:
			less.add(a.table.best[size], a.m.limit[s])
		default:
			less.add(a.table.best[size], least)
			cost += c * least
			if most > least {
				w.kinds = append(w.kinds, wholeKind{c, a.table.best[size], most - least})
			}
		}
	}
	if slices.ContainsFunc(w.kinds, func(k wholeKind) bool { return k.worth == 0 }) {
		return 0
	}
	if worth.high > 0 || less.high > 0 || worth.low > 1<<60 || less.low > 1<<60 || len(w.kinds) > mostWholeKinds {
		return 0
	}
	return w.least(int64(worth.low)-int64(less.low), cost, below)
}

// between is how many bars of a stock the decisions allow.
func (a *master) between(stock int) (least, most int64) {
	most = noLimit
	for i := range a.rows[:a.standing] {
		if r := &a.rows[i]; r.stock[stock] && !r.silent {
			if r.atLeast {
				least = r.limit
			} else {
				most = r.limit
			}
		}
	}
	return least, most
}

func (w *wholeBars) least(worth, cost, below int64) int64 {
	slices.SortFunc(w.kinds, func(x, y wholeKind) int {
		return cmp.Or(cmp.Compare(float64(x.cost)/float64(x.worth), float64(y.cost)/float64(y.worth)), cmp.Compare(x.cost, y.cost))
	})
	w.best = below
	w.search(0, worth, cost)
	if w.steps > mostWholeSteps {
		return 0
	}
	return w.best
}

func (w *wholeBars) search(k int, worth, cost int64) {
	if w.steps++; w.steps > mostWholeSteps {
		return
	}
	if worth <= 0 {
		w.best = min(w.best, cost)
		return
	}
	if k == len(w.kinds) {
		return
	}
	kind := w.kinds[k]
	// The kinds to come are no cheaper for their worth.
	more := float64(worth) * float64(kind.cost) / float64(kind.worth)
	if float64(cost)+math.Floor(more*(1-1e-9)) >= float64(w.best) {
		return
	}
	for n := min(kind.most, (worth+kind.worth-1)/kind.worth); n >= 0; n-- {
		w.search(k+1, worth-n*kind.worth, cost+n*kind.cost)
	}
}
