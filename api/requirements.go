package api

import (
	"context"
	"net/http"
	"strconv"
	"time"

	"github.com/jackc/pgx/v5"

	"billwright/bom"
	"billwright/bom/demand/demanddb"
	"billwright/catalog/calendar"
	"billwright/catalog/unit"
	"billwright/migrations/tenancy"
)

type getRequirementsInput struct {
	Week string `path:"week" maxLength:"40" doc:"ISO 8601 week, such as 2026-W48." example:"2026-W48"`
	Kind string `query:"kind" maxLength:"40" doc:"Kind of material, such as steel or own material; without it, all."`
	Tabular
}

// weekReply is what must be here within a week.
type weekReply struct {
	Week         string        `json:"week"`
	Monday       calendar.Date `json:"monday"`
	AsOf         time.Time     `json:"as_of" doc:"When it was read: what was stored later is not in it."`
	Requirements []requirement `json:"requirements" doc:"By kind and item."`
}

// requirement is the sum over all orders of one item.
type requirement struct {
	Kind        string        `json:"kind"`
	Item        string        `json:"item"`
	Pieces      int64         `json:"pieces"`
	Amount      quantity      `json:"amount" doc:"All that is needed."`
	NotFirm     quantity      `json:"not_firm" doc:"The part of amount on which a hold stands."`
	FirstNeedBy calendar.Date `json:"first_need_by" doc:"Earliest day by which some of it must be here."`
	Orders      int           `json:"orders" doc:"How many orders it is for."`
	Late        bool          `json:"late" doc:"true when the earliest need-by day is past."`
	requirementLedger
	Purchase   *purchase    `json:"purchase,omitempty" doc:"In what the catalog says it is bought, and how many of that."`
	Bars       *barsToBuy   `json:"bars,omitempty" doc:"Of steel: the whole bars that all of amount is cut from."`
	FirmBars   *barsToBuy   `json:"firm_bars,omitempty" doc:"Of steel of which a part is not firm: the whole bars of the firm part."`
	NetBars    *barsToBuy   `json:"net_bars,omitempty" doc:"Of steel that was counted: the whole bars to buy where what is on hand is used first."`
	Sheets     *sheetsToBuy `json:"sheets,omitempty" doc:"Of what is cut from sheets: the whole sheets that all of amount is cut from."`
	FirmSheets *sheetsToBuy `json:"firm_sheets,omitempty" doc:"The same of the firm part, where a part is not firm."`
	NetSheets  *sheetsToBuy `json:"net_sheets,omitempty" doc:"The same where what was counted as on hand is used first."`
}

// quantity is an amount as the trade writes it, to two decimals, and exactly.
type quantity struct {
	Text  string `json:"text" doc:"With its unit, to two decimals, such as 12.50 lb."`
	Exact string `json:"exact" doc:"Exactly, in pieces, in inches or millimetres, mm2, mL or g."`
}

// getRequirements sums what must be here within a week.
func (s *Server) getRequirements(ctx context.Context, in *getRequirementsInput) (*document, error) {
	who := principalOf(ctx)
	week, err := readWeek(in.Week)
	if err != nil {
		return nil, err
	}
	st, err := s.catalogFor(ctx, who.workshop)
	if err != nil {
		return nil, err
	}
	asOf := s.set.Clock()
	var needs []demanddb.Need
	var books ledgers
	var cuts weekCuts
	var byOrder map[ledgerKey][]int64
	err = tenancy.Transact(ctx, s.set.Pool, who.scope(), func(tx pgx.Tx) (err error) {
		read, err := demanddb.Week(ctx, tx, who.workshop, week.Monday(), in.Kind)
		if err != nil {
			return err
		}
		needs, books = read.Needs, ledgersOf(&read)
		books.apart = dyeLots(st.catalog, needs)
		if cuts, err = readCuts(ctx, tx, who.workshop, week.Monday(), in.Kind, st.catalog, &read); err != nil {
			return err
		}
		byOrder, err = readByOrder(ctx, tx, who.workshop, week.Monday(), st.catalog, needs)
		return err
	})
	if err != nil {
		return nil, err
	}
	needs = books.withPulled(needs, week.Monday())
	today := st.today(s.set.Clock, st.zone)
	units := bom.Units(st.catalog.Workshop.Units)
	buys, err := s.weekToBuy(ctx, st.catalog, cuts)
	if err != nil {
		return nil, err
	}
	purchases := make([]*purchase, len(needs))
	for i := range needs {
		n := &needs[i]
		purchases[i] = purchaseOf(st.catalog, n, books.toBuy(n), byOrder[ledgerKey{n.Kind, n.Item, n.Measure}], units)
	}
	if in.wantsSheet() {
		sheet := weekSheet(needs, &books, buys, purchases, units)
		return in.showSheet(&sheet)
	}
	reply := weekReply{Week: week.String(), Monday: week.Monday(), AsOf: asOf, Requirements: []requirement{}}
	for i := range needs {
		n := &needs[i]
		r := requirement{Kind: n.Kind, Item: n.Item, Pieces: n.Pieces,
			Amount: quantityOf(n, n.Amount, units), NotFirm: quantityOf(n, n.NotFirm, units), FirstNeedBy: n.FirstNeedBy, Orders: n.Orders,
			Late: n.FirstNeedBy.Before(today), requirementLedger: books.of(n, units)}
		r.Purchase = purchases[i]
		if buy := buys[sheetKey{n.Kind, n.Item}]; buy != nil {
			r.Bars, r.FirmBars, r.NetBars = buy.bars, buy.firmBars, buy.netBars
			r.Sheets, r.FirmSheets, r.NetSheets = buy.sheets, buy.firmSheets, buy.netSheets
		}
		reply.Requirements = append(reply.Requirements, r)
	}
	body, err := bom.Document(units, reply)
	return in.varied(&document{Status: http.StatusOK, ContentType: "application/json", Body: body}), err
}

// quantityOf writes an amount in the unit in which its material is bought in
// such a workshop: lumber by the board foot, cloth by the yard, steel by the
// inch, or lumber by the cubic metre, cloth by the metre, steel by the millimetre.
func quantityOf(n *demanddb.Need, amount int64, units bom.Units) quantity {
	number, name := tradeAmount(n, amount, units)
	q := quantity{Text: number, Exact: exactAmount(n.Measure, amount)}
	if name != "" {
		q.Text += " " + name
	}
	return q
}

func tradeAmount(n *demanddb.Need, amount int64, units bom.Units) (number, name string) {
	names := units.Names()
	switch n.Measure {
	case bom.Length:
		if n.Kind == bom.KindCloth || n.Kind == bom.KindOwnMaterial {
			return bom.Cloth(amount).Number(units), names.Cloth
		}
		if units == bom.Metric {
			return unit.Length(amount).Millimetres(), names.Length
		}
		return decimal(amount, int64(unit.Inch), 2), names.Length
	case bom.Area:
		return bom.Surface(amount).Number(units), names.Surface
	case bom.Volume:
		switch {
		case n.Kind == bom.KindLumber, n.Kind == bom.KindFoam && units == bom.Metric:
			return bom.Lumber(amount).Number(units), names.Lumber
		case n.Kind == bom.KindFoam:
			return unit.Volume(amount).CubicFeet(2), "ft3"
		}
		return bom.Liquid(amount).Number(units), names.Liquid
	case bom.Mass:
		return bom.Weight(amount).Number(units), names.Weight
	}
	return strconv.FormatInt(amount, 10), ""
}

func exactAmount(m bom.Measure, amount int64) string {
	switch m {
	case bom.Length:
		return unit.Length(amount).String()
	case bom.Area:
		return unit.Area(amount).String()
	case bom.Volume:
		return unit.Volume(amount).String()
	case bom.Mass:
		return unit.Mass(amount).String()
	}
	return strconv.FormatInt(amount, 10)
}

func weekSheet(needs []demanddb.Need, books *ledgers, buys map[sheetKey]*plansToBuy, purchases []*purchase, units bom.Units) sheet {
	s := sheet{heads: []string{"kind", "item", "pieces", "amount", "not firm", "unit", "first need by", "orders", "pulled", "to pull", "pulled too much", "ordered", "received", "short", "on hand", "to buy", "bought by", "units of all", "units to buy", "bars or sheets", "taking", "at least", "known by", "of what is firm", "beyond what is on hand"}}
	for i := range needs {
		n := &needs[i]
		_, name := tradeAmount(n, n.Amount, units)
		if name == "" {
			name = "pieces"
		}
		row := []string{n.Kind, n.Item, strconv.FormatInt(n.Pieces, 10)}
		amounts := books.amounts(n)
		for k, amount := range []int64{n.Amount, n.NotFirm, amounts.pulled, max(amounts.toPull(n), 0), max(-amounts.toPull(n), 0), amounts.ordered, amounts.received, amounts.short, amounts.onHand, books.toBuy(n)} {
			text, _ := tradeAmount(n, amount, units)
			row = append(row, text)
			if k == 1 {
				row = append(row, name, n.FirstNeedBy.String(), strconv.Itoa(n.Orders))
			}
		}
		called, all, toBuy := purchases[i].text()
		whole, cost, bound, status, firm, net := buys[sheetKey{n.Kind, n.Item}].text(units)
		s.rows = append(s.rows, append(row, called, all, toBuy, whole, cost, bound, status, firm, net))
	}
	return s
}
