package cutting

import "slices"

// limited keeps a plan to a number of different lengths on a bar. The bound and
// its proof stay those of the plan without the limit, which no plan with it can
// pass.
func (s *solver) limited(lengths int) error {
	if lengths == 0 || !slices.ContainsFunc(s.runs, func(r run) bool { return len(r.terms) > lengths }) {
		return nil
	}
	m := s.m
	filling, fitting := m.all(), m.all()
	runs := m.byFilling(&filling, 3000, lengths, s.work)
	by, rest := m.bestFit(&fitting, lengths), &filling
	if fitting.empty() && (!filling.empty() || m.costOf(by) < m.costOf(runs)) {
		runs, rest = by, &fitting
	}
	if err := m.short(rest); err != nil {
		return err
	}
	s.runs, s.cost = runs, m.costOf(runs)
	return nil
}

// together orders lines of one length by their orders, as these first appear
// among the pieces, so that the bars, handed out one after another, come to one
// order after the other. Pieces of one length change places only, which costs
// nothing.
func (m *model) together(p *Problem) {
	rank := map[string]int{}
	for _, piece := range p.Pieces {
		if _, seen := rank[piece.Order]; !seen {
			rank[piece.Order] = len(rank)
		}
	}
	for _, lines := range m.pieces {
		slices.SortStableFunc(lines, func(a, b int) int { return rank[p.Pieces[a].Order] - rank[p.Pieces[b].Order] })
	}
}
