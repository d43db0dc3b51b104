package cutting

import "math/bits"

// prices are a proof for one model: no bar holds more than scale x its cost plus
// its stock price, so no plan costs less than bound.
type prices struct {
	scale             int64
	item, stock, rows []int64
}

// sum adds products of numbers that are not negative, in 128 bits.
type sum struct{ high, low uint64 }

func (s *sum) add(a, b int64) {
	high, low := bits.Mul64(uint64(a), uint64(b))
	var carry uint64
	s.low, carry = bits.Add64(s.low, low, 0)
	s.high, _ = bits.Add64(s.high, high, carry)
}

func (s *sum) float() float64 { return float64(float64(s.high)*(1<<64)) + float64(s.low) }

// dividedUp returns (s - less) / by rounded up, 0 where it is negative.
func (s *sum) dividedUp(less sum, by int64) int64 {
	low, borrow := bits.Sub64(s.low, less.low, 0)
	high, borrow := bits.Sub64(s.high, less.high, borrow)
	if borrow > 0 || by <= 0 {
		return 0
	}
	if high >= uint64(by) {
		return noLimit
	}
	q, rest := bits.Div64(high, low, uint64(by))
	if rest > 0 {
		q++
	}
	return int64(min(q, uint64(noLimit)))
}

// bound is what the prices prove for the whole model without rows.
func (m *model) bound(p *prices) int64 {
	var worth, less sum
	for i, need := range m.need {
		worth.add(p.item[i], need)
	}
	for s, price := range p.stock {
		if price > 0 {
			less.add(price, m.limit[s])
		}
	}
	return worth.dividedUp(less, p.scale)
}

// noPrices prove nothing.
func (m *model) noPrices() *prices {
	return &prices{scale: 1, item: make([]int64, len(m.width)), stock: make([]int64, len(m.size))}
}

// byWidth prices pieces by their width: the cheapest unlimited stock by width
// sets the scale, and cheaper limited stock gets a price for its advantage.
func (m *model) byWidth() *prices {
	p := &prices{item: m.width, stock: make([]int64, len(m.size))}
	for s, size := range m.size {
		if m.limit[s] == noLimit && m.cost[s] == 0 {
			return m.noPrices()
		}
		if m.limit[s] == noLimit {
			p.scale = max(p.scale, (size+m.cost[s]-1)/m.cost[s])
		}
	}
	p.scale = max(p.scale, 1)
	for s, size := range m.size {
		if m.limit[s] == noLimit {
			continue
		}
		if high, low := bits.Mul64(uint64(p.scale), uint64(m.cost[s])); high == 0 && low < uint64(size) {
			p.stock[s] = size - int64(low)
		}
	}
	return p
}

// byRounding is bound L2 of Martello & Toth (1990) for stock of one size, as
// prices: for some e up to half a bar, pieces that leave less than e count as a
// whole bar and those below e as nothing; or only pieces above half a bar count.
// No bar's pieces come to more than the bar (Fekete & Schepers 2001 show why).
func (m *model) byRounding() *prices {
	size := m.size[0]
	best := m.pricesBy(size, func(w int64) int64 {
		if 2*w > size {
			return size
		}
		return 0
	})
	most := m.bound(best)
	last := int64(-1)
	for _, w := range m.width {
		e := min(w, size/2)
		if e == last {
			continue
		}
		last = e
		p := m.pricesBy(size, func(w int64) int64 {
			switch {
			case w > size-e:
				return size
			case w < e:
				return 0
			}
			return w
		})
		if b := m.bound(p); b > most {
			best, most = p, b
		}
	}
	return best
}

func (m *model) pricesBy(scale int64, worth func(width int64) int64) *prices {
	p := &prices{scale: scale, item: make([]int64, len(m.width)), stock: make([]int64, len(m.size))}
	for i, w := range m.width {
		p.item[i] = worth(w)
	}
	// One bar of the only size costs cost[0]; worth a bar is its size.
	p.scale = (scale + m.cost[0] - 1) / max(m.cost[0], 1)
	return p
}
