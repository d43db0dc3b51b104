package api

import (
	"context"
	"fmt"
	"strings"

	"billwright/bom"
	"billwright/bom/cutting"
	"billwright/bom/demand/demanddb"
	"billwright/bom/saw"
	"billwright/catalog"
)

// barsToBuy is what a plan of all of a week's pieces of a section buys: whole
// bars, reckoned anew from the pieces.
type barsToBuy struct {
	Bars      int64          `json:"bars" doc:"Whole bars to buy."`
	LeastBars *int64         `json:"least_bars,omitempty" doc:"The fewest that any plan buys, where they come in one length."`
	Buy       []saw.Bought   `json:"buy" doc:"Bars by length."`
	Least     string         `json:"least,omitempty" enum:"price,bars,length" doc:"What the plan has the least of."`
	Cost      saw.Amount     `json:"cost" doc:"What the bars cost in that."`
	Bound     saw.Amount     `json:"bound" doc:"The least that any plan costs."`
	Status    cutting.Status `json:"status" doc:"Whether no plan costs less: proved by bound, proved by search, or not proved; or not planned."`
	Why       []string       `json:"why,omitempty" doc:"Why the pieces have no plan."`
}

// unplanned is the status of pieces that no plan could be made of.
const unplanned = cutting.Status("not planned")

// weekBarsToBuy are the bars to buy by section: of all pieces, and of firm ones
// where that is another plan.
type weekBarsToBuy struct{ all, firm map[string]*barsToBuy }

// barsOfWeek plans a week's pieces, so that its requirements tell whole bars.
func (s *Server) barsOfWeek(ctx context.Context, cat *catalog.Catalog, pieces []demanddb.Piece) (weekBarsToBuy, error) {
	newest := newestOf(pieces)
	buy := weekBarsToBuy{}
	var err error
	all, firm := needsOf(pieces, true), needsOf(mixed(pieces), false)
	if buy.all, err = s.barsByNeed(ctx, cat, newest, all, len(firm)); err != nil {
		return buy, err
	}
	buy.firm, err = s.barsByNeed(ctx, cat, newest, firm, 0)
	return buy, err
}

// mixed are the pieces of sections of which some pieces are firm and some not.
func mixed(pieces []demanddb.Piece) []demanddb.Piece {
	firm, held := map[string]bool{}, map[string]bool{}
	for i := range pieces {
		if pieces[i].Firm {
			firm[pieces[i].Section] = true
		} else {
			held[pieces[i].Section] = true
		}
	}
	var both []demanddb.Piece
	for i := range pieces {
		if section := pieces[i].Section; firm[section] && held[section] {
			both = append(both, pieces[i])
		}
	}
	return both
}

// barsByNeed plans sections, with as many to come after them.
func (s *Server) barsByNeed(ctx context.Context, cat *catalog.Catalog, older catalogsOf, needs []saw.Need, after int) (map[string]*barsToBuy, error) {
	buy := map[string]*barsToBuy{}
	for i := range needs {
		plan, why, err := s.planSection(ctx, cat, older, &needs[i], nil, func(list *saw.List) (*saw.Plan, error) { return s.saws.plan(ctx, list, share(ctx, len(needs)-i+after)) })
		if err != nil {
			return nil, err
		}
		one := &barsToBuy{Buy: []saw.Bought{}, Status: unplanned, Why: why}
		if plan != nil {
			one = &barsToBuy{Bars: plan.Bought, LeastBars: plan.LeastBars, Buy: plan.Buy, Least: plan.Least, Cost: plan.Cost, Bound: plan.Bound, Status: plan.Status}
		}
		buy[needs[i].Section] = one
	}
	return buy, nil
}

// text is what a sheet says: the bars, what they take, the least, and how that
// is known.
func (b *barsToBuy) text(units bom.Units) (bars, cost, bound, status string) {
	if b == nil {
		return "", "", "", ""
	}
	var lengths []string
	for _, one := range b.Buy {
		lengths = append(lengths, fmt.Sprintf("%d x %s", one.Bars, units.Length(one.Length)))
	}
	return strings.Join(lengths, " + "), b.Cost.In(units), b.Bound.In(units), string(b.Status)
}

// of are the bars of one row of the week: none of what is not steel.
func (w *weekBarsToBuy) of(n *demanddb.Need) (all, firm *barsToBuy) {
	if n.Kind != bom.KindSteel {
		return nil, nil
	}
	return w.all[n.Item], w.firm[n.Item]
}
