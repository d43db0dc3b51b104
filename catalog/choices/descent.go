package choices

// descent is a branch and bound over the board: what is left of each domain
// bounds what any choice in it costs from below.
type descent struct {
	*board
	costs *costs
	order *Order
	limit int
}

func (s *descent) descend(next int) error {
	if s.bound() >= s.order.Cost {
		return nil
	}
	next = s.unsettled(next)
	if next == len(s.cons) {
		s.take()
		return nil
	}
	f, half := s.halveByCost(&s.cons[next])
	for _, mask := range [2][]uint64{half, without(s.domain(f), half)} {
		if s.work > s.limit {
			return ErrBound
		}
		mark := s.mark()
		if s.restrict(f, mask, byDecision) && s.settle() {
			if err := s.descend(next); err != nil {
				return err
			}
		}
		s.undo(mark)
	}
	return nil
}

// bound is the sum of what each field costs at least.
func (s *descent) bound() int64 {
	sum := int64(0)
	for f := range s.base.fields {
		c, _ := s.cheapestOf(int32(f))
		sum = plusCost(sum, c)
	}
	return sum
}

// cheapestOf gives the cheapest value left of a field.
func (s *descent) cheapestOf(f int32) (int64, int32) {
	best, which := unreachable, None
	at := s.base.fields[f].off * 64
	ones(s.domain(f), func(class int32) {
		ones(s.kinds.members(f, class), func(v int32) {
			if c := s.costs.value[at+int(v)]; which == None || c < best {
				best, which = c, v
			}
		})
	})
	return best, which
}

func (s *descent) take() {
	cost := int64(0)
	for f := range s.base.fields {
		c, v := s.cheapestOf(int32(f))
		cost = plusCost(cost, c)
		s.order.Picks[f] = v
	}
	s.order.Cost = cost
}

// halveByCost splits off the cheapest class of a field that the constraint
// still binds: of the field where that matters the most.
func (s *descent) halveByCost(x *constraint) (int32, []uint64) {
	best, gap := None, int64(-1)
	for _, f := range scope(x) {
		if single(s.domain(f)) {
			continue
		}
		if g := s.gap(f); g > gap {
			best, gap = f, g
		}
	}
	if gap <= 0 {
		return s.halve(x)
	}
	_, v := s.cheapestOf(best)
	return best, s.one(best, s.kinds.class(s.base, best, v))
}

// gap is how much the cheapest value of a field is cheaper than one of another
// class.
func (s *descent) gap(f int32) int64 {
	best, second := unreachable, unreachable
	at := s.base.fields[f].off * 64
	ones(s.domain(f), func(class int32) {
		own := unreachable
		ones(s.kinds.members(f, class), func(v int32) { own = min(own, s.costs.value[at+int(v)]) })
		if own < best {
			own, best = best, own
		}
		second = min(second, own)
	})
	return second - best
}
