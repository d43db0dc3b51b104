package api

import (
	"context"
	"crypto/sha256"
	"errors"
	"fmt"
	"net/http"
	"slices"
	"strconv"
	"time"

	"github.com/jackc/pgx/v5"

	"billwright/api/authdb"
	"billwright/bom"
	"billwright/bom/demand/demanddb"
	"billwright/bom/order/orderdb"
	"billwright/catalog"
	"billwright/catalog/calendar"
	"billwright/catalog/unit"
	"billwright/migrations/tenancy"
)

// pullReply is a pull: what to buy more, or less, than the pulls before it of
// the same week and kind took.
type pullReply struct {
	New    bool          `json:"new" doc:"false when nothing was to be pulled: then this is the last pull there was, or none."`
	Pull   int           `json:"pull,omitempty" doc:"The pull's number."`
	Week   string        `json:"week"`
	Monday calendar.Date `json:"monday"`
	Kind   string        `json:"kind"`
	Seq    int           `json:"seq,omitempty" doc:"Which pull of the week and kind it is, from 1."`
	At     *time.Time    `json:"pulled_at,omitempty"`
	Items  []pullItem    `json:"items" doc:"The rows added up by item."`
	Rows   []pullRow     `json:"rows" doc:"By item and need-by day, each with its order."`
}

type pullItem struct {
	Item     string       `json:"item"`
	Pieces   int64        `json:"pieces"`
	Amount   quantity     `json:"amount"`
	Purchase *pulledUnits `json:"purchase,omitempty" doc:"In how many units of purchase all that was pulled comes, where the catalog says in what it is bought."`
}

type pullRow struct {
	Order  string        `json:"order"`
	Dealer string        `json:"dealer"`
	Line   int           `json:"line"`
	Unit   int           `json:"unit"`
	Path   string        `json:"path"`
	Item   string        `json:"item"`
	Pieces int64         `json:"pieces" doc:"Negative where they were pulled before and are not needed any more."`
	Length string        `json:"length,omitempty" doc:"Of each piece, where it is cut from bars or sheets."`
	Width  string        `json:"width,omitempty" doc:"Of each piece, where it is cut from sheets."`
	Amount quantity      `json:"amount"`
	NeedBy calendar.Date `json:"need_by"`
	Mark   string        `json:"mark" enum:"first,late add,changed,cancelled"`
}

type postPullInput struct {
	Idempotent
	Body struct {
		Week string `json:"week" maxLength:"40" doc:"ISO 8601 week, such as 2026-W48." example:"2026-W48"`
		Kind string `json:"kind" maxLength:"40" doc:"Kind of material, such as steel."`
	}
}

// postPull takes what a week needs of a kind and was not pulled yet. Two at once
// make one: the other is told of it.
func (s *Server) postPull(ctx context.Context, in *postPullInput) (*acted, error) {
	who := principalOf(ctx)
	week, err := calendar.ParseWeek(in.Body.Week)
	if err != nil {
		return nil, invalid(Finding{Pointer: "/week", Code: "week", Message: sentence(err.Error())})
	}
	if !slices.ContainsFunc(bom.Kinds, func(k bom.Kind) bool { return k.Name == in.Body.Kind }) {
		return nil, invalid(unknownKind("/kind", in.Body.Kind))
	}
	o, err := newOnce(who, in.Idempotent, sha256.Sum256(sized(sized(sized(nil, "pull "+who.replayScope()), in.Body.Week), in.Body.Kind)))
	if err != nil {
		return nil, err
	}
	st, err := s.catalogFor(ctx, who.workshop)
	if err != nil {
		return nil, err
	}
	for range 3 { // again when another pull was made meanwhile
		var made demanddb.Pull
		reply, err := s.act(ctx, who, o, "", func(tx pgx.Tx) (reply orderdb.Reply, err error) {
			made, reply, err = s.pull(ctx, tx, who, week, in.Body.Kind, st.catalog, st.now(s.set.Clock))
			return reply, err
		})
		if err == nil && made.Number > 0 {
			s.planBehind(ctx, who, made)
		}
		if !errors.Is(err, demanddb.ErrPulledMeanwhile) {
			return reply, err
		}
	}
	return nil, unavailable(time.Second, demanddb.ErrPulledMeanwhile)
}

func unknownKind(pointer, kind string) Finding {
	names := make([]string, len(bom.Kinds))
	for i, k := range bom.Kinds {
		names[i] = k.Name
	}
	return Finding{Pointer: pointer, Code: "kind.unknown", Message: fmt.Sprintf("There is no kind of material %s.", quoteShort(kind)), Allowed: names}
}

// pull makes a pull; fresh is it, or nothing where there was nothing to pull.
func (s *Server) pull(ctx context.Context, tx pgx.Tx, who *principal, week calendar.Week, kind string, cat *catalog.Catalog, now time.Time) (fresh demanddb.Pull, reply orderdb.Reply, err error) {
	if err := demanddb.LockPulls(ctx, tx, who.workshop, week.Monday(), kind); err != nil {
		return fresh, reply, err
	}
	made, err := demanddb.MakePull(ctx, tx, who.workshop, week.Monday(), kind, now, who.actor())
	isNew := err == nil
	if errors.Is(err, demanddb.ErrNothingNew) {
		made, err = demanddb.LastPull(ctx, tx, who.workshop, week.Monday(), kind)
		if errors.Is(err, demanddb.ErrNoPull) {
			made, err = demanddb.Pull{Week: week.Monday(), Kind: kind}, nil
		}
	}
	if err != nil {
		return fresh, reply, err
	}
	body, err := s.pullBody(ctx, tx, who, made, isNew, cat)
	if err != nil {
		return fresh, reply, err
	}
	if !isNew {
		return fresh, orderdb.Reply{Status: http.StatusOK, Body: body}, nil
	}
	entry := authdb.Entry{Workshop: who.workshop, At: s.set.Clock(), Actor: who.actor(), Role: who.role.String(), Act: "pull made",
		Subject: fmt.Sprintf("pull %d, %s of %s, %d rows", made.Number, kind, week, made.Rows)}
	return made, created("/v1/pulls/"+strconv.Itoa(made.Number), body), authdb.Audit(ctx, tx, entry)
}

// pullBody writes a pull with its rows.
func (s *Server) pullBody(ctx context.Context, tx pgx.Tx, who *principal, p demanddb.Pull, isNew bool, cat *catalog.Catalog) ([]byte, error) {
	rows, err := demanddb.PullRows(ctx, tx, who.workshop, p.Number)
	if err != nil {
		return nil, err
	}
	bought, err := readPulledUnits(ctx, tx, who.workshop, cat, p, rows)
	if err != nil {
		return nil, err
	}
	return encode(shownPull(p, rows, bought, isNew, bom.Units(cat.Workshop.Units)))
}

func shownPull(p demanddb.Pull, rows []demanddb.PullRow, bought map[string]pulledUnits, isNew bool, units bom.Units) pullReply {
	reply := pullReply{New: isNew, Pull: p.Number, Week: p.Week.Week().String(), Monday: p.Week, Kind: p.Kind, Seq: p.Seq, Items: []pullItem{}, Rows: []pullRow{}}
	if !p.At.IsZero() {
		at := p.At.UTC()
		reply.At = &at
	}
	for i := range rows {
		r := &rows[i]
		of := demanddb.Need{Kind: p.Kind, Measure: r.Measure}
		row := pullRow{Order: r.OrderNumber, Dealer: r.Dealer, Line: r.Line, Unit: r.Unit, Path: r.Path, Item: r.Item, Pieces: r.Pieces,
			Length: lengthOf(r.Length, units), Width: lengthOf(r.Width, units), Amount: quantityOf(&of, r.Amount, units), NeedBy: r.NeedBy, Mark: r.Mark}
		reply.Rows = append(reply.Rows, row)
	}
	reply.Items = pullItems(p.Kind, rows, units)
	for i := range reply.Items {
		if one, found := bought[reply.Items[i].Item]; found {
			reply.Items[i].Purchase = &one
		}
	}
	return reply
}

// pullItems adds the rows of a pull up by item, in the order of the rows.
func pullItems(kind string, rows []demanddb.PullRow, units bom.Units) []pullItem {
	type sum struct {
		pieces, amount int64
		measure        bom.Measure
	}
	sums := map[string]*sum{}
	var order []string
	for i := range rows {
		r := &rows[i]
		if sums[r.Item] == nil {
			sums[r.Item] = &sum{measure: r.Measure}
			order = append(order, r.Item)
		}
		sums[r.Item].pieces += r.Pieces
		sums[r.Item].amount += r.Amount
	}
	items := make([]pullItem, len(order))
	for i, item := range order {
		of := sums[item]
		items[i] = pullItem{Item: item, Pieces: of.pieces, Amount: quantityOf(&demanddb.Need{Kind: kind, Measure: of.measure}, of.amount, units)}
	}
	return items
}

type getPullInput struct {
	Pull int `path:"pull" minimum:"1" maximum:"2000000000" doc:"The pull's number."`
	Tabular
}

// getPull shows a pull as it was made.
func (s *Server) getPull(ctx context.Context, in *getPullInput) (*document, error) {
	who := principalOf(ctx)
	st, err := s.catalogFor(ctx, who.workshop)
	if err != nil {
		return nil, err
	}
	var p demanddb.Pull
	var rows []demanddb.PullRow
	var bought map[string]pulledUnits
	err = tenancy.Transact(ctx, s.set.Pool, who.scope(), func(tx pgx.Tx) (err error) {
		if p, err = demanddb.FindPull(ctx, tx, who.workshop, in.Pull); err != nil {
			return err
		}
		if rows, err = demanddb.PullRows(ctx, tx, who.workshop, in.Pull); err != nil {
			return err
		}
		bought, err = readPulledUnits(ctx, tx, who.workshop, st.catalog, p, rows)
		return err
	})
	if errors.Is(err, demanddb.ErrNoPull) {
		return nil, notFound(fmt.Sprintf("There is no pull %d.", in.Pull))
	}
	if err != nil {
		return nil, err
	}
	units := bom.Units(st.catalog.Workshop.Units)
	if in.wantsSheet() {
		sheet := pullSheet(p, rows, units)
		return in.showSheet(&sheet)
	}
	body, err := encode(shownPull(p, rows, bought, true, units))
	if err != nil {
		return nil, err
	}
	return in.varied(&document{Status: http.StatusOK, ContentType: "application/json", Body: body}), nil
}

// pullSheet has what is not needed any more in columns of its own, since a cell
// that begins with a minus sign would be taken for a formula.
func pullSheet(p demanddb.Pull, rows []demanddb.PullRow, units bom.Units) sheet {
	s := sheet{heads: []string{"pull", "week", "kind", "item", "pieces", "pieces less", "length (" + units.Names().Length + ")", "width (" + units.Names().Length + ")", "amount", "amount less", "unit",
		"need by", "mark", "order", "line", "unit of line", "path"}}
	for i := range rows {
		r := &rows[i]
		of := demanddb.Need{Kind: p.Kind, Measure: r.Measure}
		more, name := tradeAmount(&of, max(r.Amount, 0), units)
		less, _ := tradeAmount(&of, max(-r.Amount, 0), units)
		if name == "" {
			name = "pieces"
		}
		s.rows = append(s.rows, []string{strconv.Itoa(p.Number), p.Week.Week().String(), p.Kind, r.Item,
			strconv.FormatInt(max(r.Pieces, 0), 10), strconv.FormatInt(max(-r.Pieces, 0), 10), plainLength(r.Length, units), plainLength(r.Width, units), more, less, name,
			r.NeedBy.String(), r.Mark, r.OrderNumber, strconv.Itoa(r.Line), strconv.Itoa(r.Unit), r.Path})
	}
	return s
}

// plainLength is a length of a sheet without its unit; "" for none.
func plainLength(l unit.Length, units bom.Units) string {
	if l == 0 {
		return ""
	}
	text, _ := tradeAmount(&demanddb.Need{Kind: bom.KindSteel, Measure: bom.Length}, int64(l), units)
	return text
}

type listPullsInput struct {
	Before int    `query:"before" minimum:"1" maximum:"2000000000" default:"2000000000" doc:"Only pulls of a lower number."`
	Limit  int    `query:"limit" minimum:"1" maximum:"100" default:"50" doc:"Most pulls of the page."`
	Week   string `query:"week" maxLength:"40" doc:"All pulls of this ISO 8601 week instead of a page."`
}

type pullList struct {
	Pulls []pullSummary `json:"pulls" doc:"Newest first."`
}

type pullSummary struct {
	Pull int       `json:"pull"`
	Week string    `json:"week"`
	Kind string    `json:"kind"`
	Seq  int       `json:"seq"`
	Rows int       `json:"rows"`
	At   time.Time `json:"pulled_at"`
}

type listPullsOutput struct{ Body pullList }

func (s *Server) listPulls(ctx context.Context, in *listPullsInput) (*listPullsOutput, error) {
	who := principalOf(ctx)
	list := pullList{Pulls: []pullSummary{}}
	week, err := calendar.ParseWeek(in.Week)
	if err != nil && in.Week != "" {
		return nil, badSyntax("", Finding{Parameter: "query.week", Code: "week", Message: sentence(err.Error())})
	}
	err = tenancy.Transact(ctx, s.set.Pool, who.scope(), func(tx pgx.Tx) error {
		read := func() ([]demanddb.Pull, error) { return demanddb.Pulls(ctx, tx, who.workshop, in.Before, in.Limit) }
		if in.Week != "" {
			read = func() ([]demanddb.Pull, error) { return demanddb.PullsOfWeek(ctx, tx, who.workshop, week.Monday()) }
		}
		pulls, err := read()
		for _, p := range pulls {
			list.Pulls = append(list.Pulls, pullSummary{p.Number, p.Week.Week().String(), p.Kind, p.Seq, p.Rows, p.At.UTC()})
		}
		return err
	})
	if err != nil {
		return nil, err
	}
	return &listPullsOutput{list}, nil
}
