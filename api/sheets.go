package api

import (
	"context"
	"errors"
	"fmt"
	"slices"

	"github.com/jackc/pgx/v5"

	"billwright/bom"
	"billwright/bom/demand/demanddb"
	"billwright/bom/saw"
	"billwright/catalog"
	"billwright/catalog/calendar"
	"billwright/migrations/tenancy"
)

// Sheeted is what sheets are to be planned.
type Sheeted struct {
	Item    string `query:"item" maxLength:"200" doc:"Only this item, as the requirements name it; without it, all that is cut from sheets."`
	Offcuts string `query:"offcuts" maxLength:"10000" doc:"Offcuts of that item on the rack, which are used first, such as 30 in x 20 in, 48 in x 24 in x 3."`
}

func (in *Sheeted) offcuts() ([]saw.SheetOffcut, error) {
	offcuts, faults := saw.ParseSheetOffcuts(in.Offcuts)
	var findings []Finding
	for i := range faults {
		findings = append(findings, Finding{Parameter: "query.offcuts", Code: "offcut", Message: sentence(faults[i].Said)})
	}
	if in.Offcuts != "" && in.Item == "" {
		findings = append(findings, Finding{Parameter: "query.offcuts", Code: "offcut.item", Message: "Say by item of which sheets the offcuts are."})
	}
	if len(findings) > 0 {
		return nil, badSyntax("", findings...)
	}
	return offcuts, nil
}

// PlannedSheets are the sheets of some pieces, item by item.
type PlannedSheets struct {
	Units      bom.Units          `json:"units"`
	Items      []*saw.SheetPlan   `json:"items"`
	NotPlanned []notPlannedSheets `json:"not_planned,omitempty" doc:"Items whose pieces have no plan, and why; nothing of them is in items."`
}

type notPlannedSheets struct {
	Kind   string   `json:"kind"`
	Item   string   `json:"item"`
	Pieces int64    `json:"pieces"`
	Why    []string `json:"why"`
}

type orderSheets struct {
	Order   string `json:"order"`
	Version int    `json:"bill_version"`
	PlannedSheets
}

type weekSheets struct {
	Week   string        `json:"week"`
	Monday calendar.Date `json:"monday"`
	Held   bool          `json:"held" doc:"Whether pieces on which a hold stands are in the plan."`
	PlannedSheets
}

type getOrderSheetsInput struct {
	Versioned
	Sheeted
	Drawn
}

// getOrderSheets plans the sheets of one order's bill, by the revision that it is
// pinned to.
func (s *Server) getOrderSheets(ctx context.Context, in *getOrderSheetsInput) (*document, error) {
	offcuts, err := in.offcuts()
	if err != nil {
		return nil, err
	}
	of, err := s.readBill(ctx, in.Versioned)
	if err != nil {
		return nil, err
	}
	needs, err := in.only(saw.SheetsOfBill(of.number, &of.bill), of.catalog)
	if err != nil {
		return nil, err
	}
	planned, err := s.planSheets(ctx, of.catalog, sheetCatalogs{}, needs, sheetRack{{item: in.Item}: offcuts})
	if err != nil {
		return nil, err
	}
	return in.drawSheets("Order "+of.number, planned, orderSheets{of.number, of.version, *planned})
}

type getWeekSheetsInput struct {
	Week   string `path:"week" maxLength:"40" doc:"ISO 8601 week, such as 2026-W48." example:"2026-W48"`
	Held   string `query:"held" enum:"yes,no" doc:"yes plans also the pieces on which a hold stands; without it, firm ones only."`
	OnHand string `query:"on_hand" enum:"yes,no" doc:"yes uses first the sheets and offcuts that were counted as on hand, with the offcuts given; they are counted for all weeks together."`
	Sheeted
	Drawn
}

// getWeekSheets plans the sheets of all orders' pieces that must be here within a
// week, by the catalog in force.
func (s *Server) getWeekSheets(ctx context.Context, in *getWeekSheetsInput) (*document, error) {
	who := principalOf(ctx)
	offcuts, err := in.offcuts()
	if err != nil {
		return nil, err
	}
	week, err := readWeek(in.Week)
	if err != nil {
		return nil, err
	}
	st, err := s.catalogFor(ctx, who.workshop)
	if err != nil {
		return nil, err
	}
	var pieces []demanddb.SheetPiece
	rack := sheetRack{{item: in.Item}: offcuts}
	err = tenancy.Transact(ctx, s.set.Pool, who.scope(), func(tx pgx.Tx) (err error) {
		if pieces, err = demanddb.SheetPieces(ctx, tx, who.workshop, week.Monday(), "", in.Item); err != nil || in.OnHand != "yes" {
			return err
		}
		counted, err := demanddb.OnHand(ctx, tx, who.workshop, "")
		rack.count(counted)
		return err
	})
	if err != nil {
		return nil, err
	}
	held := in.Held == "yes"
	var needs []saw.SheetNeed
	older := sheetCatalogs{}
	for i := range pieces {
		p := &pieces[i]
		key := sheetKey{p.Kind, p.Section}
		older[key] = max(older[key], p.Revision)
		if p.Firm || held {
			needs = saw.AddSheetTo(needs, p.Kind, p.Section, saw.SheetMarkOf(p.OrderNumber, p.Line, p.Unit, p.Path, p.Length, p.Width, p.Pieces))
		}
	}
	if needs, err = in.only(needs, st.catalog); err != nil {
		return nil, err
	}
	planned, err := s.planSheets(ctx, st.catalog, older, needs, rack)
	if err != nil {
		return nil, err
	}
	return in.drawSheets("Week "+week.String(), planned, weekSheets{week.String(), week.Monday(), held, *planned})
}

// sheetKey names an item in sheets; of the rack that a request gives the kind is
// "", which is any.
type sheetKey struct{ kind, item string }

// sheetRack is what lies on the rack of each item.
type sheetRack map[sheetKey][]saw.SheetOffcut

func (r sheetRack) count(counted []demanddb.Counted) {
	for i := range counted {
		if c := &counted[i]; c.Width > 0 && c.Pieces > 0 {
			key := sheetKey{c.Kind, c.Item}
			r[key] = append(r[key], saw.SheetOffcut{Length: c.Length, Width: c.Width, Count: c.Pieces})
		}
	}
}

func (r sheetRack) of(kind, item string) []saw.SheetOffcut {
	return append(slices.Clone(r[sheetKey{item: item}]), r[sheetKey{kind, item}]...)
}

// sheetCatalogs is the newest revision by item that an order is pinned to, for
// items that the catalog in force has no sheets of.
type sheetCatalogs map[sheetKey]int

// only keeps the item that is asked for; one that comes in no sheets is a slip.
func (in *Sheeted) only(needs []saw.SheetNeed, cat *catalog.Catalog) ([]saw.SheetNeed, error) {
	if in.Item == "" {
		return needs, nil
	}
	needs = slices.DeleteFunc(needs, func(n saw.SheetNeed) bool { return n.Item != in.Item })
	if len(needs) > 0 {
		return needs, nil
	}
	var known []string
	for _, stock := range bom.SheetStocks(cat) {
		if stock.Item == in.Item {
			return needs, nil
		}
		known = append(known, stock.Item)
	}
	return nil, badSyntax("", Finding{Parameter: "query.item", Code: "item.unknown", Message: fmt.Sprintf("Nothing %s is bought in sheets.", quoteShort(in.Item)), Allowed: known})
}

// planSheets plans each item within its share of the request's time.
func (s *Server) planSheets(ctx context.Context, cat *catalog.Catalog, older sheetCatalogs, needs []saw.SheetNeed, rack sheetRack) (*PlannedSheets, error) {
	planned := &PlannedSheets{Units: bom.Units(cat.Workshop.Units), Items: []*saw.SheetPlan{}}
	for i := range needs {
		need := &needs[i]
		plan, why, err := s.planItem(ctx, cat, older[sheetKey{need.Kind, need.Item}], need, rack.of(need.Kind, need.Item), len(needs)-i)
		switch {
		case err != nil:
			return nil, err
		case plan == nil:
			one := notPlannedSheets{Kind: need.Kind, Item: need.Item, Why: why}
			for j := range need.Pieces {
				one.Pieces += need.Pieces[j].Count
			}
			planned.NotPlanned = append(planned.NotPlanned, one)
		default:
			planned.Items = append(planned.Items, plan)
		}
	}
	return planned, nil
}

// planItem plans the pieces of one of the items that are left, or tells why they
// have no plan. Sheets that the catalog in force has not are those of an older
// revision, unless that is 0.
func (s *Server) planItem(ctx context.Context, cat *catalog.Catalog, older int, need *saw.SheetNeed, offcuts []saw.SheetOffcut, left int) (*saw.SheetPlan, []string, error) {
	stock, found := bom.SheetStockOf(cat, need.Kind, need.Item)
	if !found && older > 0 {
		pinned, err := s.catalogOf(ctx, principalOf(ctx).workshop, older)
		if err != nil {
			return nil, nil, err
		}
		stock, found = bom.SheetStockOf(pinned, need.Kind, need.Item)
	}
	if !found {
		return nil, []string{fmt.Sprintf("No catalog at hand has sheets of %s %q.", need.Kind, need.Item)}, nil
	}
	plan, err := s.saws.sheets(ctx, saw.SheetListOf(cat, &stock, need.Pieces, offcuts), share(ctx, left))
	var refused *saw.Refused
	if errors.As(err, &refused) {
		marks := make([]string, len(need.Pieces))
		for i := range need.Pieces {
			marks[i] = need.Pieces[i].Mark
		}
		return nil, whyNotMarked(marks, refused), nil
	}
	return plan, nil, err
}

// whyNotMarked tells each fault with the mark of the piece that it is of.
func whyNotMarked(marks []string, refused *saw.Refused) []string {
	var why []string
	for i := range refused.Faults {
		f := &refused.Faults[i]
		says := sentence(f.Said)
		if f.Of == saw.OfPieces && f.Line > 0 && f.Line <= len(marks) && marks[f.Line-1] != "" {
			says = marks[f.Line-1] + ": " + says
		}
		why = append(why, says)
	}
	return why
}

// drawSheets answers in the form that was asked for.
func (d Drawn) drawSheets(title string, planned *PlannedSheets, reply any) (*document, error) {
	var missing []withoutPlan
	for i := range planned.NotPlanned {
		missing = append(missing, withoutPlan{planned.NotPlanned[i].Item, planned.NotPlanned[i].Why})
	}
	return drawPlans(d, title, planned.Items, missing, planned.Units, saw.DrawSheets, saw.SheetHeads(planned.Units), reply)
}
