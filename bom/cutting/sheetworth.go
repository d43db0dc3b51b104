package cutting

import (
	"errors"
	"math"
	"math/big"
	"slices"
)

// oriented is a priced piece as it may lie, with its kerfs.
type oriented struct{ length, width, price, count int64 }

// worths returns the worth of the worthiest content of any rectangle, whatever
// cuts from edge to edge divide it.
func (v *sheetVerifier) worths() (func(length, width int64) int64, error) {
	var ways []oriented
	for i, piece := range v.p.Pieces {
		l, w, price := piece.Length+v.p.Kerf, piece.Width+v.p.Kerf, v.plan.Proof.Pieces[i]
		if price == 0 {
			continue
		}
		ways = append(ways, oriented{l, w, price, piece.Count})
		if piece.Turn && l != w {
			ways = append(ways, oriented{w, l, price, piece.Count})
		}
	}
	if perArea := v.perArea(ways); perArea != nil {
		return perArea, nil
	}
	var length, width int64
	for _, s := range v.p.Sheets {
		length, width = max(length, s.Length-2*v.p.Trim+v.p.Kerf), max(width, s.Width-2*v.p.Trim+v.p.Kerf)
	}
	lengths, okL := reachable(ways, length, func(o oriented) int64 { return o.length })
	widths, okW := reachable(ways, width, func(o oriented) int64 { return o.width })
	if n, k := int64(len(lengths)), int64(len(widths)); !okL || !okW || n*k > 1<<23 {
		return nil, errors.New("the sheets are too fine to check these prices")
	}
	most := worthTable(ways, lengths, widths)
	return func(l, w int64) int64 {
		return most[notAbove(lengths, l+v.p.Kerf)][notAbove(widths, w+v.p.Kerf)]
	}, nil
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

// worthTable fills from small rectangles to large ones: a rectangle holds one
// piece, or is cut in two at some reachable place.
func worthTable(ways []oriented, lengths, widths []int64) [][]int64 {
	rest := func(sums []int64) [][]int {
		table := make([][]int, len(sums))
		for i := range sums {
			for k := range i + 1 {
				if sums[k] > 0 && 2*sums[k] <= sums[i] {
					table[i] = append(table[i], notAbove(sums[:i+1], sums[i]-sums[k]))
				}
			}
		}
		return table
	}
	restL, restW := rest(lengths), rest(widths)
	most := make([][]int64, len(lengths))
	for i, l := range lengths {
		most[i] = make([]int64, len(widths))
		for j, w := range widths {
			best := int64(0)
			for _, o := range ways {
				if o.length <= l && o.width <= w {
					best = max(best, o.price)
				}
			}
			for k, r := range restL[i] {
				best = max(best, most[k+1][j]+most[r][j])
			}
			for k, r := range restW[j] {
				best = max(best, most[i][k+1]+most[i][r])
			}
			// Not beyond what may be asked for, so that sums stay in range.
			most[i][j] = min(best, mostWorth)
		}
	}
	return most
}
