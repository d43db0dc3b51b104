package cutting

// byExactFilling is for bars that must be full nearly all: it fills most of them
// one by one, each beginning with some piece, and cuts the last, where that no
// longer works, as a part.
func (s *solver) byExactFilling(tries int) {
	m := s.m
	var all sum
	for i, w := range m.width {
		all.add(w, m.need[i])
	}
	var room sum
	room.add(s.bound, m.size[0])
	if room.high != all.high || room.high > 0 || room.low-all.low > uint64(m.size[0]/100) || s.bound > 1000 {
		return
	}
	rnd := &random{seed: 3}
	for try := 0; try < tries && !s.done(); try++ {
		s.exactFilling(rnd, int64(room.low-all.low))
	}
}

// lastBars is how many bars are cut as a part.
const lastBars = 35

func (s *solver) exactFilling(rnd *random, spare int64) {
	m := s.m
	r := m.all()
	can := newReach(m)
	var runs []run
	left := s.bound
	kept := r.some(rnd, s.bound, lastBars*5/6)
	for luck := 0; left > lastBars && !r.empty(); {
		p := can.bar(&r, rnd, luck)
		s.work.spend(int64(len(m.width)) * m.size[0] / 32)
		waste := m.size[0] - m.weight(p.terms)
		if waste > spare {
			if luck++; luck > 20 {
				break
			}
			continue
		}
		spare -= waste
		r.take(&p, 1)
		runs = append(runs, run{p, 1})
		left--
	}
	if left > 2*lastBars {
		return
	}
	for i, n := range kept {
		r.need[i] += n
	}
	part, items := m.part(&r)
	b := newMaster(part, s.work)
	filling := part.all()
	b.seed(part.byFilling(&filling, 3000, 0, s.work))
	b.addExchanges()
	if last := b.diveIn(items, rnd, 0, left+1, 3); last != nil {
		s.runs = append(runs, last...)
		s.cost = m.costOf(s.runs)
	}
}

// some takes pieces for a number of bars from the rest, by luck.
func (r *rest) some(rnd *random, bars, some int64) []int64 {
	share := float64(some) / float64(bars)
	taken := make([]int64, len(r.need))
	for i, n := range r.need {
		for range n {
			if rnd.float() < share {
				taken[i]++
			}
		}
		r.need[i] -= taken[i]
	}
	return taken
}
