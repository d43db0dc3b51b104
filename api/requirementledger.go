package api

import (
	"context"
	"time"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"

	"billwright/bom"
	"billwright/bom/demand"
	"billwright/bom/demand/demanddb"
	"billwright/bom/order/orderdb"
	"billwright/catalog"
	"billwright/catalog/calendar"
	"billwright/catalog/unit"
	"billwright/migrations/tenancy"
)

// requirementLedger is what was done about a requirement.
type requirementLedger struct {
	Pulled   quantity  `json:"pulled" doc:"What pulls have taken, rows of what was cancelled taken off."`
	ToPull   quantity  `json:"to_pull" doc:"What is firm less what was pulled; negative where more was pulled than is needed."`
	Ordered  quantity  `json:"ordered"`
	Received quantity  `json:"received"`
	Short    quantity  `json:"short" doc:"What was found short when it was received."`
	OnHand   *quantity `json:"on_hand,omitempty" doc:"As last counted, for all weeks together; absent where nothing was counted."`
	ToBuy    quantity  `json:"to_buy" doc:"All that is needed less what is on hand and what was ordered; never below nothing."`
}

type ledgerKey struct {
	kind, item string
	measure    bom.Measure
}

// ledgerAmounts are in the grain of the measure.
type ledgerAmounts struct {
	pulled, ordered, received, short, onHand int64
	counted                                  bool
}

// toPull is negative where more was pulled than is firm now, what is not firm
// and was pulled counting as needed.
func (a ledgerAmounts) toPull(n *demanddb.Need) int64 {
	return max(n.Amount-n.NotFirm, min(n.Amount, a.pulled)) - a.pulled
}

// ledgers are the books of a week beside its requirements.
type ledgers struct {
	pulled  []demanddb.Pulled
	byItem  map[ledgerKey]ledgerAmounts
	counted []demanddb.Counted
	// apart are cloth of one dye lot, of which nothing on hand is another order's.
	apart map[ledgerKey]bool
}

func ledgersOf(books *demanddb.Books) ledgers {
	l := ledgers{pulled: books.Pulled, counted: books.Counted, byItem: map[ledgerKey]ledgerAmounts{}}
	for _, p := range l.pulled {
		l.byItem[ledgerKey{p.Kind, p.Item, p.Measure}] = ledgerAmounts{pulled: p.Amount, ordered: p.Ordered, received: p.Received, short: p.Short}
	}
	for _, c := range l.counted {
		key := ledgerKey{c.Kind, c.Item, c.Measure}
		amounts := l.byItem[key]
		amounts.onHand, amounts.counted = amounts.onHand+c.Amount, true
		l.byItem[key] = amounts
	}
	return l
}

func (l *ledgers) amounts(n *demanddb.Need) ledgerAmounts {
	return l.byItem[ledgerKey{n.Kind, n.Item, n.Measure}]
}

// withPulled adds what was pulled and is not needed any more at all.
func (l *ledgers) withPulled(needs []demanddb.Need, monday calendar.Date) []demanddb.Need {
	known := map[ledgerKey]bool{}
	for _, n := range needs {
		known[ledgerKey{n.Kind, n.Item, n.Measure}] = true
	}
	for _, p := range l.pulled {
		if !known[ledgerKey{p.Kind, p.Item, p.Measure}] && (p.Amount != 0 || p.Ordered != 0 || p.Received != 0) {
			needs = append(needs, demanddb.Need{Kind: p.Kind, Item: p.Item, Measure: p.Measure, FirstNeedBy: monday})
		}
	}
	return needs
}

// toBuy is all that is needed less what is on hand and what was ordered. What is
// on hand of own material or of a dye lot is nobody else's, and not netted.
func (l *ledgers) toBuy(n *demanddb.Need) int64 {
	a := l.amounts(n)
	if n.Kind == bom.KindOwnMaterial || l.apart[ledgerKey{n.Kind, n.Item, n.Measure}] {
		a.onHand = 0
	}
	return max(n.Amount-a.onHand-a.ordered, 0)
}

// dyeLots are the needs of cloth whose dye lot is tied.
func dyeLots(cat *catalog.Catalog, needs []demanddb.Need) map[ledgerKey]bool {
	tied := map[ledgerKey]bool{}
	for i := range needs {
		n := &needs[i]
		if fabric, found := cat.Fabrics.Get(n.Item); found && fabric.DyeLot && (n.Kind == bom.KindCloth || n.Kind == bom.KindLeather) {
			tied[ledgerKey{n.Kind, n.Item, n.Measure}] = true
		}
	}
	return tied
}

// readByOrder reads the amounts of each order of what is bought by the order.
func readByOrder(ctx context.Context, tx pgx.Tx, workshop uuid.UUID, monday calendar.Date, cat *catalog.Catalog, needs []demanddb.Need) (map[ledgerKey][]int64, error) {
	byOrder := map[ledgerKey][]int64{}
	for i := range needs {
		n := &needs[i]
		if unit, found := demand.UnitOf(cat, n.Kind, n.Item, n.Measure); !found || !unit.ByOrder {
			continue
		}
		amounts, err := demanddb.ByOrder(ctx, tx, workshop, monday, n.Kind, n.Item)
		if err != nil {
			return nil, err
		}
		byOrder[ledgerKey{n.Kind, n.Item, n.Measure}] = amounts
	}
	return byOrder, nil
}

func (l *ledgers) of(n *demanddb.Need, units bom.Units) requirementLedger {
	a := l.amounts(n)
	shown := requirementLedger{Pulled: quantityOf(n, a.pulled, units), ToPull: quantityOf(n, a.toPull(n), units), Ordered: quantityOf(n, a.ordered, units),
		Received: quantityOf(n, a.received, units), Short: quantityOf(n, a.short, units), ToBuy: quantityOf(n, l.toBuy(n), units)}
	if a.counted {
		onHand := quantityOf(n, a.onHand, units)
		shown.OnHand = &onHand
	}
	return shown
}

type getPegsInput struct {
	Week string `path:"week" maxLength:"40" doc:"ISO 8601 week, such as 2026-W48." example:"2026-W48"`
	Kind string `query:"kind" required:"true" maxLength:"40" doc:"Kind of material, such as steel."`
	Item string `query:"item" required:"true" maxLength:"200" doc:"Item as the requirements name it."`
}

type pegsReply struct {
	Week string    `json:"week"`
	Kind string    `json:"kind"`
	Item string    `json:"item"`
	AsOf time.Time `json:"as_of" doc:"When it was read."`
	Pegs []peg     `json:"pegs" doc:"By need-by day."`
}

// peg is one order row that needs an item.
type peg struct {
	Order  string        `json:"order"`
	Dealer string        `json:"dealer"`
	Line   int           `json:"line"`
	Unit   int           `json:"unit"`
	Path   string        `json:"path"`
	Pieces int64         `json:"pieces"`
	Length string        `json:"length,omitempty" doc:"Of each piece, where it is cut from bars or sheets."`
	Width  string        `json:"width,omitempty" doc:"Of each piece, where it is cut from sheets."`
	Amount quantity      `json:"amount"`
	NeedBy calendar.Date `json:"need_by"`
	Firm   bool          `json:"firm"`
}

type pegsOutput struct{ Body pegsReply }

// getPegs tells which orders need an item of a week.
func (s *Server) getPegs(ctx context.Context, in *getPegsInput) (*pegsOutput, error) {
	who := principalOf(ctx)
	week, err := calendar.ParseWeek(in.Week)
	if err != nil {
		return nil, badSyntax("", Finding{Parameter: "path.week", Code: "week", Message: sentence(err.Error())})
	}
	st, err := s.catalogFor(ctx, who.workshop)
	if err != nil {
		return nil, err
	}
	units := bom.Units(st.catalog.Workshop.Units)
	reply := pegsReply{Week: week.String(), Kind: in.Kind, Item: in.Item, AsOf: s.set.Clock(), Pegs: []peg{}}
	err = tenancy.Transact(ctx, s.set.Pool, who.scope(), func(tx pgx.Tx) error {
		pegs, err := demanddb.Pegs(ctx, tx, who.workshop, week.Monday(), in.Kind, in.Item)
		for i := range pegs {
			p := &pegs[i]
			reply.Pegs = append(reply.Pegs, peg{Order: p.OrderNumber, Dealer: p.Dealer, Line: p.Line, Unit: p.Unit, Path: p.Path, Pieces: p.Pieces,
				Length: lengthOf(p.Length, units), Width: lengthOf(p.Width, units), Amount: quantityOf(&demanddb.Need{Kind: in.Kind, Measure: p.Measure}, p.Amount, units), NeedBy: p.NeedBy, Firm: p.Firm})
		}
		return err
	})
	if err != nil {
		return nil, err
	}
	return &pegsOutput{reply}, nil
}

func lengthOf(l unit.Length, units bom.Units) string {
	if l == 0 {
		return ""
	}
	return units.Length(l)
}

type orderNeeds struct {
	Order        string      `json:"order"`
	Requirements []orderNeed `json:"requirements" doc:"In the order of the bill."`
}

// orderNeed is one thing that an order needs.
type orderNeed struct {
	Week   string        `json:"week"`
	NeedBy calendar.Date `json:"need_by"`
	Kind   string        `json:"kind"`
	Item   string        `json:"item"`
	Line   int           `json:"line"`
	Unit   int           `json:"unit"`
	Path   string        `json:"path"`
	Pieces int           `json:"pieces"`
	Length string        `json:"length,omitempty"`
	Width  string        `json:"width,omitempty"`
	Amount quantity      `json:"amount"`
	Firm   bool          `json:"firm"`
}

type orderNeedsOutput struct{ Body orderNeeds }

// getOrderNeeds tells what one order needs, and by when.
func (s *Server) getOrderNeeds(ctx context.Context, in *Numbered) (*orderNeedsOutput, error) {
	who := principalOf(ctx)
	st, err := s.catalogFor(ctx, who.workshop)
	if err != nil {
		return nil, err
	}
	units := bom.Units(st.catalog.Workshop.Units)
	reply := orderNeeds{Requirements: []orderNeed{}}
	err = tenancy.Transact(ctx, s.set.Pool, who.scope(), func(tx pgx.Tx) error {
		stored, err := findOrder(ctx, tx, who, in.Number)
		if err != nil {
			return err
		}
		reply.Order = stored.Number
		rows, err := orderdb.Requirements(ctx, tx, who.workshop, stored.ID)
		for i := range rows {
			r := &rows[i]
			reply.Requirements = append(reply.Requirements, orderNeed{Week: r.NeedBy.Week().String(), NeedBy: r.NeedBy, Kind: r.Kind, Item: r.Item, Line: r.Line, Unit: r.Unit,
				Path: r.Path, Pieces: r.Pieces, Length: lengthOf(r.Length, units), Width: lengthOf(r.Width, units), Amount: quantityOf(&demanddb.Need{Kind: r.Kind, Measure: r.Measure}, r.Amount, units), Firm: r.Firm})
		}
		return err
	})
	if err != nil {
		return nil, err
	}
	return &orderNeedsOutput{reply}, nil
}

type getLateInput struct {
	Kind string `query:"kind" maxLength:"40" doc:"Kind of material, such as steel; without it, all."`
}

type lateReply struct {
	Today        calendar.Date     `json:"today"`
	AsOf         time.Time         `json:"as_of" doc:"When it was read."`
	Requirements []lateRequirement `json:"requirements" doc:"The latest weeks first, at most 1000."`
}

// lateRequirement is something that should be here by now.
type lateRequirement struct {
	Week        string        `json:"week"`
	Kind        string        `json:"kind"`
	Item        string        `json:"item"`
	Pieces      int64         `json:"pieces"`
	Amount      quantity      `json:"amount"`
	NotFirm     quantity      `json:"not_firm"`
	FirstNeedBy calendar.Date `json:"first_need_by"`
	Orders      int           `json:"orders"`
	Late        bool          `json:"late"`
}

type lateOutput struct{ Body lateReply }

// getLate tells what should have been here before today and is needed now.
func (s *Server) getLate(ctx context.Context, in *getLateInput) (*lateOutput, error) {
	who := principalOf(ctx)
	st, err := s.catalogFor(ctx, who.workshop)
	if err != nil {
		return nil, err
	}
	units := bom.Units(st.catalog.Workshop.Units)
	reply := lateReply{Today: st.today(s.set.Clock, st.zone), AsOf: s.set.Clock(), Requirements: []lateRequirement{}}
	err = tenancy.Transact(ctx, s.set.Pool, who.scope(), func(tx pgx.Tx) error {
		late, err := demanddb.PastDue(ctx, tx, who.workshop, reply.Today, in.Kind)
		for i := range late {
			l := &late[i]
			reply.Requirements = append(reply.Requirements, lateRequirement{Week: l.Week.Week().String(), Kind: l.Kind, Item: l.Item, Pieces: l.Pieces,
				Amount: quantityOf(&l.Need, l.Amount, units), NotFirm: quantityOf(&l.Need, l.NotFirm, units), FirstNeedBy: l.FirstNeedBy, Orders: l.Orders, Late: true})
		}
		return err
	})
	if err != nil {
		return nil, err
	}
	return &lateOutput{reply}, nil
}
