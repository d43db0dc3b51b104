package cutting

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"math/big"
	"slices"
)

// barKind is bars that the decisions on the way treat alike: the cheapest and the
// worthiest of them stand for all.
type barKind struct{ cost, worth, least, most int64 }

// mostKindSteps bounds the check of one leaf by whole bars.
const mostKindSteps = 20_000_000

// whole returns the least cost of bars, in numbers that the decisions on stock
// allow, whose worthiest contents together are worth no less than all pieces.
func (c *checker) whole(l *Leaf) (*big.Int, error) {
	w := &weighing{c: c, price: make([]int64, len(c.items)), value: new(big.Int)}
	if err := w.pieces(l); err != nil {
		return nil, err
	}
	if len(l.Stock) > 0 || len(l.Cuts) > 0 || c.list != nil || len(c.bars) == 0 || c.bars[0].size > 1<<21 {
		return nil, errors.New("a leaf by whole bars has prices of pieces only, and bars of not too fine a grain")
	}
	var lots []lot
	for i, it := range c.items {
		if w.price[i] > mostWorth/(1+c.bars[0].size/it.width) {
			return nil, errors.New("the prices are too much to reckon")
		}
		if w.price[i] > 0 {
			lots = append(lots, lot{it.width, w.price[i], it.need})
		}
	}
	kinds, free, err := c.barKinds(table(lots, c.bars[0].size))
	if err != nil || kinds == nil {
		return new(big.Int), err
	}
	need := w.value.Sub(w.value, free)
	if need.Sign() < 0 {
		need.SetInt64(0)
	}
	if need.Cmp(big.NewInt(mostWorth)) > 0 {
		return nil, errors.New("the pieces are worth too much to reckon")
	}
	slices.SortStableFunc(kinds, func(a, b barKind) int {
		return cmp.Compare(float64(a.cost)*float64(b.worth), float64(b.cost)*float64(a.worth))
	})
	s := &kindSearch{kinds: kinds, left: mostKindSteps}
	s.from(0, need.Int64(), 0)
	if s.left < 0 {
		return nil, errors.New("too many numbers of bars to check")
	}
	if !s.found {
		return big.NewInt(math.MaxInt64), nil // no plan keeps to these decisions
	}
	return big.NewInt(s.least), nil
}

// barKinds returns nil kinds where bars are free without end, so that nothing is
// proved. What limited free bars hold comes back by itself.
func (c *checker) barKinds(best []int64) ([]barKind, *big.Int, error) {
	free := new(big.Int)
	at := map[string]int{}
	kinds := []barKind{}
	for i := range c.bars {
		b := &c.bars[i]
		worth := best[b.size]
		if b.cost == 0 {
			if b.limit == Unlimited {
				return nil, nil, nil
			}
			free.Add(free, new(big.Int).Mul(big.NewInt(worth), big.NewInt(b.limit)))
			continue
		}
		k, seen := at[c.treatment(b)]
		if !seen {
			k = len(kinds)
			at[c.treatment(b)] = k
			kinds = append(kinds, c.newKind(b))
		}
		kind := &kinds[k]
		kind.cost, kind.worth = min(kind.cost, b.cost), max(kind.worth, worth)
	}
	for i := range kinds {
		if k := &kinds[i]; k.least > mostWorth/max(k.worth, k.cost, 1) {
			return nil, nil, errors.New("a decision on too many bars to reckon")
		}
	}
	return kinds, free, nil
}

// treatment names the decisions that count a bar; a bar in none is by itself.
func (c *checker) treatment(b *checkBar) string {
	key := ""
	for i, d := range c.path {
		for _, line := range d.row.Stock {
			if line == b.line {
				key += fmt.Sprint(i, " ")
			}
		}
	}
	if key == "" {
		return fmt.Sprint("line ", b.line)
	}
	return key
}

// newKind has the limits that the decisions on a bar's kind set; a stock's own
// limit is left out, which proves no more than is true.
func (c *checker) newKind(b *checkBar) barKind {
	k := barKind{cost: b.cost, most: MaxCount}
	for _, d := range c.path {
		for _, line := range d.row.Stock {
			switch {
			case line != b.line:
			case d.high:
				k.least = max(k.least, d.limit)
			default:
				k.most = min(k.most, d.limit)
			}
		}
	}
	return k
}

// kindSearch goes through numbers of bars, one kind after another.
type kindSearch struct {
	kinds []barKind
	least int64
	found bool
	left  int
}

func (s *kindSearch) from(k int, need, cost int64) {
	if s.left--; s.left < 0 {
		return
	}
	if k == len(s.kinds) {
		if need <= 0 && (!s.found || cost < s.least) {
			s.least, s.found = cost, true
		}
		return
	}
	// Many of the worthiest for their cost come first, so that little is left to
	// beat. More than what is needed only cost more.
	kind := &s.kinds[k]
	most := kind.least
	if kind.worth > 0 && need > 0 {
		most = max(most, min(kind.most, (need+kind.worth-1)/kind.worth))
	}
	for n := most; n >= kind.least && s.left >= 0; n-- {
		rest := need - n*kind.worth
		if k == len(s.kinds)-1 && rest > 0 {
			return
		}
		if spent := cost + n*kind.cost; !s.found || s.canBeat(k+1, rest, spent) {
			s.from(k+1, rest, spent)
		}
	}
}

// canBeat tells whether the kinds from k on could still come to less: what is
// needed, at the least cost for its worth, and the least numbers of each.
func (s *kindSearch) canBeat(k int, need, cost int64) bool {
	rate := 0.0
	for i := k; i < len(s.kinds); i++ {
		if kind := &s.kinds[i]; kind.worth > 0 {
			if r := float64(kind.cost) / float64(kind.worth); rate == 0 || r < rate {
				rate = r
			}
		}
	}
	if need > 0 && rate == 0 {
		return false
	}
	return float64(cost)+float64(max(need, 0))*rate*(1-1e-9) < float64(s.least)
}
