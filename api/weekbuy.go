package api

import (
	"context"
	"fmt"
	"slices"
	"strings"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"

	"billwright/bom"
	"billwright/bom/cutting"
	"billwright/bom/demand"
	"billwright/bom/demand/demanddb"
	"billwright/bom/saw"
	"billwright/catalog"
	"billwright/catalog/calendar"
)

// barsToBuy is what a plan of all of a week's pieces of a section buys: whole
// bars, reckoned anew from the pieces.
type barsToBuy struct {
	Bars      int64          `json:"bars" doc:"Whole bars to buy."`
	LeastBars *int64         `json:"least_bars,omitempty" doc:"The fewest that any plan buys, where they come in one length."`
	Buy       []saw.Bought   `json:"buy" doc:"Bars by length."`
	Bundles   []bundles      `json:"bundles,omitempty" doc:"Where bars come in bundles or with a least: what is bought of each length."`
	Offcuts   []saw.Bought   `json:"on_hand_used,omitempty" doc:"Bars and offcuts used of those on hand, by length."`
	Least     string         `json:"least,omitempty" enum:"price,bars,length" doc:"What the plan has the least of."`
	Cost      saw.Amount     `json:"cost" doc:"What the bars cost in that."`
	Bound     saw.Amount     `json:"bound" doc:"The least that any plan costs."`
	Status    cutting.Status `json:"status" doc:"Whether no plan costs less: proved by bound, proved by search, or not proved; or not planned."`
	Why       []string       `json:"why,omitempty" doc:"Why the pieces have no plan."`
}

// sheetsToBuy is the same of what is cut from sheets.
type sheetsToBuy struct {
	Sheets      int64              `json:"sheets" doc:"Whole sheets to buy."`
	LeastSheets *int64             `json:"least_sheets,omitempty" doc:"The fewest that any plan buys, where they come in one size."`
	Buy         []saw.BoughtSheets `json:"buy" doc:"Sheets by size."`
	Bundles     []bundles          `json:"bundles,omitempty" doc:"Where sheets come in bundles or with a least: what is bought of each size."`
	Offcuts     []saw.BoughtSheets `json:"on_hand_used,omitempty" doc:"Sheets and offcuts used of those on hand, by size."`
	Least       string             `json:"least,omitempty" enum:"price,sheets,area" doc:"What the plan has the least of."`
	Cost        saw.SheetAmount    `json:"cost" doc:"What the sheets cost in that."`
	Bound       saw.SheetAmount    `json:"bound" doc:"The least that any plan costs."`
	Status      cutting.Status     `json:"status" doc:"Whether no plan costs less: proved by bound, or not proved; or not planned."`
	Why         []string           `json:"why,omitempty" doc:"Why the pieces have no plan."`
}

// bundles is what is bought of one length or size.
type bundles struct {
	Of      string `json:"of" doc:"Length of the bars or size of the sheets."`
	Called  string `json:"called,omitempty" doc:"What a bundle is, such as bundle of 10."`
	Bundles int64  `json:"bundles,omitzero"`
	Pieces  int64  `json:"pieces" doc:"Bars or sheets in them."`
}

// unplanned is the status of pieces that no plan could be made of.
const unplanned = cutting.Status("not planned")

// weekCuts is what is cut in a week of every section and item in sheets.
type weekCuts struct {
	cuts  []demanddb.Cut
	rack  onRack
	store sheetRack
	// older is the newest revision that an order is pinned to, of what the
	// catalog in force does not have.
	older map[sheetKey]int
}

// cutKinds are the kinds of material that come in bars or may come in sheets.
var cutKinds = []string{bom.KindSteel, bom.KindGlass, bom.KindStone, bom.KindBlank, bom.KindFoam, bom.KindCarton}

// readCuts is what is cut in a week of a kind or of all, with the catalogs of what the one in force
// does not have.
func readCuts(ctx context.Context, tx pgx.Tx, workshop uuid.UUID, monday calendar.Date, kind string, cat *catalog.Catalog, books *demanddb.Books) (w weekCuts, err error) {
	if kind != "" && !slices.Contains(cutKinds, kind) {
		return weekCuts{}, nil
	}
	w = weekCuts{cuts: books.Cuts, rack: onRack{}, store: sheetRack{}, older: map[sheetKey]int{}}
	w.rack.count(books.Counted)
	w.store.count(books.Counted)
	for i := range w.cuts {
		key := sheetKey{w.cuts[i].Kind, w.cuts[i].Item}
		if _, asked := w.older[key]; asked {
			continue
		}
		w.older[key] = 0
		known := false
		if key.kind == bom.KindSteel {
			_, known = cat.Sections.Get(key.item)
		} else {
			_, known = bom.SheetStockOf(cat, key.kind, key.item)
		}
		if !known {
			if w.older[key], err = demanddb.NewestRevision(ctx, tx, workshop, monday, key.kind, key.item); err != nil {
				return w, err
			}
		}
	}
	return w, nil
}

// plansToBuy are what is bought of one section or item: of all its pieces, of the
// firm ones where that is another plan, and of all with what is on hand, where
// anything is.
type plansToBuy struct {
	bars, firmBars, netBars       *barsToBuy
	sheets, firmSheets, netSheets *sheetsToBuy
}

// weekToBuy plans a week's pieces, so that its requirements tell whole bars and
// sheets.
func (s *Server) weekToBuy(ctx context.Context, cat *catalog.Catalog, w weekCuts) (map[sheetKey]*plansToBuy, error) {
	buys := map[sheetKey]*plansToBuy{}
	var jobs []cutJob
	for from := 0; from < len(w.cuts); {
		to := from + 1
		for to < len(w.cuts) && w.cuts[to].Kind == w.cuts[from].Kind && w.cuts[to].Item == w.cuts[from].Item {
			to++
		}
		of := w.cuts[from:to]
		key := sheetKey{of[0].Kind, of[0].Item}
		buy := &plansToBuy{}
		buys[key] = buy
		jobs = append(jobs, cutJob{key: key, cuts: of, bars: &buy.bars, sheets: &buy.sheets})
		firm := slices.DeleteFunc(slices.Clone(of), func(c demanddb.Cut) bool { return !c.Firm })
		if len(firm) > 0 && len(firm) < len(of) {
			jobs = append(jobs, cutJob{key: key, cuts: firm, bars: &buy.firmBars, sheets: &buy.firmSheets})
		}
		if len(w.rack[key.item]) > 0 && key.kind == bom.KindSteel || len(w.store[key]) > 0 {
			jobs = append(jobs, cutJob{key: key, cuts: of, onHand: true, bars: &buy.netBars, sheets: &buy.netSheets})
		}
		from = to
	}
	for i := range jobs {
		if err := s.planJob(ctx, cat, &w, &jobs[i], len(jobs)-i); err != nil {
			return nil, err
		}
	}
	return buys, nil
}

// cutJob is one plan of a section or item of a week.
type cutJob struct {
	key    sheetKey
	cuts   []demanddb.Cut
	onHand bool
	bars   **barsToBuy
	sheets **sheetsToBuy
}

func (s *Server) planJob(ctx context.Context, cat *catalog.Catalog, w *weekCuts, job *cutJob, left int) error {
	if job.key.kind == bom.KindSteel {
		return s.planJobBars(ctx, cat, w, job, left)
	}
	need := saw.SheetNeed{Kind: job.key.kind, Item: job.key.item}
	for _, c := range job.cuts {
		need.Pieces = addSheetSize(need.Pieces, &c)
	}
	var offcuts []saw.SheetOffcut
	if job.onHand {
		offcuts = w.store[job.key]
	}
	plan, why, err := s.planItem(ctx, cat, w.older[job.key], &need, offcuts, left)
	if err != nil {
		return err
	}
	one := &sheetsToBuy{Buy: []saw.BoughtSheets{}, Status: unplanned, Why: why}
	if plan != nil {
		one = &sheetsToBuy{Sheets: plan.Bought, LeastSheets: plan.FewestMay, Buy: plan.Buy, Offcuts: plan.Offcuts, Least: plan.Least, Cost: plan.Cost, Bound: plan.Bound, Status: plan.Status}
		units := bom.Units(cat.Workshop.Units)
		for _, b := range plan.Buy {
			one.Bundles = addBundles(one.Bundles, cat, job.key, units.Sides(b.Length, b.Width), b.Sheets)
		}
	}
	*job.sheets = one
	return nil
}

func (s *Server) planJobBars(ctx context.Context, cat *catalog.Catalog, w *weekCuts, job *cutJob, left int) error {
	need := saw.Need{Section: job.key.item}
	for _, c := range job.cuts {
		need.Pieces = addSize(need.Pieces, &c)
	}
	var offcuts []saw.Offcut
	if job.onHand {
		offcuts = w.rack[job.key.item]
	}
	plan, why, err := s.planSection(ctx, cat, catalogsOf{job.key.item: w.older[job.key]}, &need, offcuts, func(list *saw.List) (*saw.Plan, error) { return s.saws.plan(ctx, list, share(ctx, left)) })
	if err != nil {
		return err
	}
	one := &barsToBuy{Buy: []saw.Bought{}, Status: unplanned, Why: why}
	if plan != nil {
		one = &barsToBuy{Bars: plan.Bought, LeastBars: plan.LeastBars, Buy: plan.Buy, Offcuts: plan.Offcuts, Least: plan.Least, Cost: plan.Cost, Bound: plan.Bound, Status: plan.Status}
		units := bom.Units(cat.Workshop.Units)
		for _, b := range plan.Buy {
			one.Bundles = addBundles(one.Bundles, cat, job.key, units.Length(b.Length), b.Bars)
		}
	}
	*job.bars = one
	return nil
}

// addSize and addSheetSize put pieces with those of the same size, which stands
// next to them.
func addSize(pieces []saw.Piece, c *demanddb.Cut) []saw.Piece {
	if n := len(pieces); n > 0 && pieces[n-1].Length == c.Length {
		pieces[n-1].Count += c.Pieces
		return pieces
	}
	return append(pieces, saw.Piece{Length: c.Length, Count: c.Pieces})
}

func addSheetSize(pieces []saw.SheetPiece, c *demanddb.Cut) []saw.SheetPiece {
	if n := len(pieces); n > 0 && pieces[n-1].Length == c.Length && pieces[n-1].Width == c.Width {
		pieces[n-1].Count += c.Pieces
		return pieces
	}
	return append(pieces, saw.SheetPiece{Length: c.Length, Width: c.Width, Count: c.Pieces})
}

func addBundles(all []bundles, cat *catalog.Catalog, key sheetKey, of string, pieces int64) []bundles {
	unit, found := demand.BundleOf(cat, key.kind, key.item)
	if !found {
		return all
	}
	bought := unit.Of(pieces)
	return append(all, bundles{Of: of, Called: unit.Called, Bundles: bought.Units, Pieces: bought.Amount})
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

func (b *sheetsToBuy) text(units bom.Units) (sheets, cost, bound, status string) {
	if b == nil {
		return "", "", "", ""
	}
	var sizes []string
	for _, one := range b.Buy {
		sizes = append(sizes, fmt.Sprintf("%d x (%s)", one.Sheets, units.Sides(one.Length, one.Width)))
	}
	return strings.Join(sizes, " + "), b.Cost.In(units), b.Bound.In(units), string(b.Status)
}

// text is what a sheet says of whichever a row has.
func (p *plansToBuy) text(units bom.Units) (buy, cost, bound, status, firm, net string) {
	if p == nil {
		return
	}
	if p.sheets != nil {
		buy, cost, bound, status = p.sheets.text(units)
		firm, _, _, _ = p.firmSheets.text(units)
		net, _, _, _ = p.netSheets.text(units)
		return
	}
	buy, cost, bound, status = p.bars.text(units)
	firm, _, _, _ = p.firmBars.text(units)
	net, _, _, _ = p.netBars.text(units)
	return
}

// purchase is in what an item is bought, and what that comes to: of all that is
// needed, and of what is to buy.
type purchase struct {
	Unit  string        `json:"unit,omitempty" doc:"What is bought in whole numbers, such as box of 100; absent where any amount is bought and there is only a least."`
	All   purchaseTotal `json:"all" doc:"Of all that is needed."`
	ToBuy purchaseTotal `json:"to_buy" doc:"Of what is to buy."`
}

type purchaseTotal struct {
	Units  int64    `json:"units,omitzero" doc:"How many of the unit."`
	Amount quantity `json:"amount"`
	Least  bool     `json:"least,omitzero" doc:"The least that is bought is more than what is needed."`
}

// purchaseOf is nil where the catalog does not say how an item is bought. By
// order are the amounts of each order, where they are bought apart.
func purchaseOf(cat *catalog.Catalog, n *demanddb.Need, toBuy int64, byOrder []int64, units bom.Units) *purchase {
	unit, found := demand.UnitOf(cat, n.Kind, n.Item, n.Measure)
	if !found {
		return nil
	}
	counted := *n
	counted.Measure = unit.Measure
	all := []int64{n.Amount}
	if unit.Measure == bom.Each && n.Measure != bom.Each { // cartons
		all = []int64{n.Pieces}
		toBuy = piecesOf(toBuy, n)
	}
	net := []int64{toBuy}
	if unit.ByOrder {
		all = byOrder
		if toBuy == n.Amount {
			net = byOrder
		}
	}
	total := func(amounts []int64) purchaseTotal {
		bought := unit.Of(amounts...)
		return purchaseTotal{Units: bought.Units, Amount: quantityOf(&counted, bought.Amount, units), Least: bought.ByLeast}
	}
	return &purchase{Unit: unit.Called, All: total(all), ToBuy: total(net)}
}

// piecesOf is how many pieces an amount of pieces alike is, rounded up.
func piecesOf(amount int64, n *demanddb.Need) int64 {
	each := n.Amount / max(n.Pieces, 1)
	if amount <= 0 || each <= 0 {
		return 0
	}
	return (amount-1)/each + 1
}

// text is what a sheet says.
func (p *purchase) text() (unit, all, toBuy string) {
	if p == nil {
		return "", "", ""
	}
	said := func(t *purchaseTotal) string {
		if t.Units > 0 || p.Unit != "" {
			return fmt.Sprint(t.Units)
		}
		return t.Amount.Text
	}
	return p.Unit, said(&p.All), said(&p.ToBuy)
}
