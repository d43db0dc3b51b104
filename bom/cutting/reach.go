package cutting

import "math/bits"

// reach tells which widths the pieces from an item on can come to, up to a size:
// one bit each.
type reach struct {
	m    *model
	size int64
	from [][]uint64 // by item
}

func newReach(m *model) *reach {
	r := &reach{m: m, size: m.size[0], from: make([][]uint64, len(m.width)+1)}
	for i := range r.from {
		r.from[i] = make([]uint64, r.size/64+1)
	}
	return r
}

// reckon is for what is needed now; all pieces below item stay as they are.
func (r *reach) reckon(need []int64) {
	last := len(need)
	clear(r.from[last])
	r.from[last][0] = 1
	for i := last - 1; i >= 0; i-- {
		copy(r.from[i], r.from[i+1])
		for range most(r.size, r.m.width[i], need[i]) {
			orShifted(r.from[i], r.m.width[i])
		}
	}
}

// orShifted adds to a set all its members raised by some width.
func orShifted(set []uint64, by int64) {
	words, rest := int(by/64), uint(by%64)
	for k := len(set) - 1; k >= words; k-- {
		v := set[k-words] << rest
		if rest > 0 && k > words {
			v |= set[k-words-1] >> (64 - rest)
		}
		set[k] |= v
	}
}

func (r *reach) has(item int, width int64) bool {
	return width >= 0 && r.from[item][width/64]>>(width%64)&1 == 1
}

// most is the greatest width not above another that all pieces can come to.
func (r *reach) most(width int64) int64 {
	return highest(r.from[0], width)
}

// highest is the greatest member of a set not above a width.
func highest(set []uint64, width int64) int64 {
	k := width / 64
	if w := set[k] << (63 - width%64); w != 0 {
		return width - int64(bits.LeadingZeros64(w))
	}
	for k--; k >= 0; k-- {
		if w := set[k]; w != 0 {
			return 64*k + 63 - int64(bits.LeadingZeros64(w))
		}
	}
	return 0
}

// fill finds pieces that come to a width, by luck one way or another.
func (r *reach) fill(width int64, need []int64, rnd *random) []term {
	var terms []term
	for i, w := range r.m.width {
		n := int64(0)
		for width >= w && n < need[i] && r.has(i+1, width-w) {
			if r.has(i+1, width) && rnd.float() < 0.5 {
				break
			}
			width -= w
			n++
		}
		for n < need[i] && !r.has(i+1, width) {
			width -= w
			n++
		}
		if n > 0 {
			terms = append(terms, term{i, n})
		}
	}
	return terms
}

// bar fills a bar around the longest piece, or another one after that.
func (r *reach) bar(left *rest, rnd *random, after int) pattern {
	first := -1
	for i, n := range left.need {
		if n > 0 {
			if first = i; after == 0 {
				break
			}
			after--
		}
	}
	left.need[first]--
	r.reckon(left.need)
	terms := append(r.fill(r.most(r.size-r.m.width[first]), left.need, rnd), term{first, 1})
	left.need[first]++
	sortTerms(terms)
	return pattern{terms: merged(terms)}
}
