package cutting

import (
	"errors"
	"math"
	"math/big"
	"slices"
)

// oriented is a priced piece as it may lie, with its kerfs; kind is the first
// line of pieces alike.
type oriented struct {
	length, width, price, count int64
	kind                        int
}

// worths returns the worth of the worthiest content of any rectangle, whatever
// cuts from edge to edge divide it, that holds counted pieces no more often than
// they are needed and keeps to the decisions.
func (v *sheetVerifier) worths(q *SheetPrices, way []pairing) (func(length, width int64) int64, error) {
	ways := v.ways(q, way)
	if len(q.Counted) == 0 && len(way) == 0 {
		if perArea := v.perArea(ways); perArea != nil {
			return perArea, nil
		}
	}
	var length, width int64
	for _, s := range v.p.Sheets {
		length, width = max(length, s.Length-2*v.p.Trim+v.p.Kerf), max(width, s.Width-2*v.p.Trim+v.p.Kerf)
	}
	w := &worthTables{ways: ways, way: way}
	var okL, okW bool
	w.lengths, okL = reachable(ways, length, func(o oriented) int64 { return o.length })
	w.widths, okW = reachable(ways, width, func(o oriented) int64 { return o.width })
	if n, k := int64(len(w.lengths)), int64(len(w.widths)); !okL || !okW || n*k > 1<<23 {
		return nil, errors.New("the sheets are too fine to check these prices")
	}
	if err := w.counting(v, q.Counted); err != nil {
		return nil, err
	}
	w.fill()
	return func(l, wide int64) int64 {
		return w.most(notAbove(w.lengths, l+v.p.Kerf), notAbove(w.widths, wide+v.p.Kerf))
	}, nil
}

// ways are the pieces that matter: those with a price or a decision.
func (v *sheetVerifier) ways(q *SheetPrices, way []pairing) []oriented {
	var ways []oriented
	for i, piece := range v.p.Pieces {
		l, w, price := piece.Length+v.p.Kerf, piece.Width+v.p.Kerf, q.Pieces[i]
		if v.kind(i) != i || price == 0 && !slices.ContainsFunc(way, func(d pairing) bool { return d.first == i || d.second == i }) {
			continue
		}
		ways = append(ways, oriented{l, w, price, v.needed(i), i})
		if piece.Turn && l != w {
			ways = append(ways, oriented{w, l, price, v.needed(i), i})
		}
	}
	return ways
}

// perArea serves prices that are just the area in some unit: no content is worth
// more than the sheet's area. It returns nil for other prices.
func (v *sheetVerifier) perArea(ways []oriented) func(length, width int64) int64 {
	area := func(l, w int64) *big.Int { return new(big.Int).Mul(big.NewInt(l), big.NewInt(w)) }
	if len(ways) == 0 {
		return func(int64, int64) int64 { return 0 }
	}
	// A side counts only up to a multiple of what divides all pieces' sides.
	step := new(big.Int)
	for _, o := range ways {
		step.GCD(nil, nil, step, big.NewInt(o.length))
		step.GCD(nil, nil, step, big.NewInt(o.width))
	}
	unit := new(big.Int).Quo(area(ways[0].length, ways[0].width), big.NewInt(ways[0].price))
	for _, o := range ways {
		if new(big.Int).Mul(unit, big.NewInt(o.price)).Cmp(area(o.length, o.width)) != 0 {
			return nil
		}
	}
	return func(l, w int64) int64 {
		l, w = l+v.p.Kerf, w+v.p.Kerf
		most := area(l-l%step.Int64(), w-w%step.Int64())
		if most.Quo(most, unit); !most.IsInt64() {
			return math.MaxInt64
		}
		return most.Int64()
	}
}

// reachable are the sums of sides up to most, of each side no more than there
// are pieces: in any plan every piece can be moved to such a place.
func reachable(ways []oriented, most int64, side func(oriented) int64) ([]int64, bool) {
	sums := []int64{0}
	seen := map[int64]bool{0: true}
	for _, o := range ways {
		last := sums
		for n := int64(0); n < o.count && len(last) > 0; n++ {
			var more []int64
			for _, s := range last {
				if s += side(o); s <= most && !seen[s] {
					seen[s] = true
					more = append(more, s)
				}
			}
			if sums = append(slices.Clone(sums), more...); len(sums) > 20_000 {
				return nil, false
			}
			last = more
		}
	}
	slices.Sort(sums)
	return sums, true
}

// notAbove is the place of the greatest sum that is at most x.
func notAbove(sums []int64, x int64) int {
	at, _ := slices.BinarySearch(sums, x+1)
	return max(0, at-1)
}
