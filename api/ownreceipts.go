package api

import (
	"context"
	"encoding/json"
	"fmt"
	"strings"
	"time"
	"unicode/utf8"

	"github.com/jackc/pgx/v5"

	"billwright/bom"
	"billwright/bom/order"
	"billwright/bom/order/orderdb"
	"billwright/catalog/calendar"
	"billwright/migrations/tenancy"
)

type ownReceiptInput struct {
	OrderAct
	Body ownReceiptBody
}

type ownReceiptBody struct {
	Act    string `json:"act" maxLength:"20" doc:"expected, received, short (there is less than was announced) or damaged (of what was received)."`
	Line   int    `json:"line" minimum:"1" maximum:"32000" doc:"Line of the order."`
	Path   string `json:"path,omitempty" required:"false" maxLength:"200" doc:"Path of the bill's cloth row, such as cushion/cloth; it may be left out where the line has only one of own material."`
	Amount string `json:"amount" maxLength:"40" doc:"How much: a length with its unit, such as 6 yd, or of leather an area, such as 54 ft2."`
	Usable string `json:"usable_width,omitempty" required:"false" maxLength:"40" doc:"Width that pieces may be cut from; as said with the order if left out."`
	Repeat string `json:"repeat,omitempty" required:"false" maxLength:"40" doc:"Pattern repeat along the roll, 0 in for none; as said with the order if left out."`
	Across string `json:"repeat_across,omitempty" required:"false" maxLength:"40" doc:"Pattern repeat across the goods; as said with the order if left out."`
	Flaws  string `json:"flaws,omitempty" required:"false" maxLength:"40" doc:"How much of the length cannot be cut from; nothing if left out."`
	Due    string `json:"due,omitempty" required:"false" maxLength:"40" doc:"Of what is expected: the day on which it should be here."`
	Note   string `json:"note,omitempty" required:"false" maxLength:"300" doc:"What people should know of it."`
}

// ownReceiptShown is a receipt as it was told.
type ownReceiptShown struct {
	Receipt int            `json:"receipt"`
	Act     string         `json:"act"`
	Amount  string         `json:"amount" doc:"As it was written."`
	Due     *calendar.Date `json:"due,omitempty"`
	Note    string         `json:"note,omitempty"`
	At      time.Time      `json:"at"`
}

// ownMaterialRow is one row of own material with what was told of it.
type ownMaterialRow struct {
	Line     int                   `json:"line"`
	Path     string                `json:"path"`
	Held     bool                  `json:"held" doc:"true while the order waits for it."`
	Receipts []ownReceiptShown     `json:"receipts"`
	Pieces   int                   `json:"pieces" doc:"In how many lengths or lots it came; what is cut does not run over from one to the next."`
	Check    *bom.OwnMaterialCheck `json:"check,omitempty" doc:"What came, less what is damaged, against what is needed; absent while nothing came."`
}

type ownMaterialList struct {
	Order   string           `json:"order"`
	Version int              `json:"version"`
	Units   bom.Units        `json:"units"`
	Rows    []ownMaterialRow `json:"rows"`
}

// ownReceiptReply is the order after a receipt, and the row that it was of.
type ownReceiptReply struct {
	Order order.Document `json:"order"`
	Row   ownMaterialRow `json:"own_material"`
}

// receipt reads the request.
func (b *ownReceiptBody) receipt() (order.OwnReceipt, []Finding) {
	r := order.OwnReceipt{Act: strings.TrimSpace(b.Act), Line: b.Line, Path: strings.TrimSpace(b.Path), Entered: strings.TrimSpace(b.Amount), Note: strings.TrimSpace(b.Note)}
	asked := ownMaterialRequest{Received: b.Amount, Usable: b.Usable, Repeat: b.Repeat, Across: b.Across, Flaws: b.Flaws}
	came, findings := asked.received()
	for i := range findings {
		if findings[i].Pointer == "/received" {
			findings[i].Pointer = "/amount"
		}
	}
	add := func(pointer, code, message string, allowed ...string) {
		findings = append(findings, Finding{Pointer: pointer, Code: code, Message: message, Allowed: allowed})
	}
	switch r.Act {
	case order.OwnReceived, order.OwnExpected:
	case order.OwnShort, order.OwnDamaged:
		if b.Usable+b.Repeat+b.Across+b.Flaws != "" {
			add("/act", "own-material.sizes", "Width, repeat and flaws are told with what is received.")
		}
	default:
		add("/act", "own-material.act", fmt.Sprintf("There is no act %s: own material is expected, received, short or damaged.", quoteShort(r.Act)), order.OwnActs...)
	}
	if len(findings) == 0 && came.Length == 0 && came.Area == 0 {
		add("/amount", "own-material.nothing", "Nothing is no amount: write how much.")
	}
	if b.Due != "" {
		date, err := calendar.ParseDate(b.Due)
		switch {
		case err != nil:
			add("/due", "date.unreadable", quoteShort(b.Due)+" is no day; write one such as 2026-12-14.")
		case r.Act != order.OwnExpected:
			add("/due", "own-material.due", "Only what is expected has a day on which it is due.")
		default:
			r.Due = &date
		}
	}
	if strings.ContainsFunc(r.Note, func(c rune) bool { return c < ' ' }) || !utf8.ValidString(r.Note) {
		add("/note", "text.control-characters", "The note holds a character that cannot be printed.")
	}
	r.Came = came
	return r, findings
}

// ownRows are the rows of own material of a bill, by line in their order.
func ownRows(trace *bom.Trace) map[int][]bom.ClothRow {
	rows := map[int][]bom.ClothRow{}
	for i := range trace.Bill.Lines {
		line := &trace.Bill.Lines[i]
		for k := range line.Cloth {
			if line.Cloth[k].Own {
				rows[line.Line] = append(rows[line.Line], line.Cloth[k])
			}
		}
	}
	return rows
}

// rowOf finds which of a line's rows of own material a receipt is of.
func rowOf(r *order.OwnReceipt, rows []bom.ClothRow) (int, *Finding) {
	var paths []string
	for n := range rows {
		if rows[n].Path == r.Path || r.Path == "" && len(rows) == 1 {
			r.Path = rows[n].Path
			if leather := rows[n].Hides > 0; leather == (r.Came.Area == 0) {
				return n, &Finding{Pointer: "/amount", Code: "own-material.measure", Message: map[bool]string{
					true: "This is leather: write its area, such as 54 ft2.", false: "This is cloth by the roll: write its length, such as 6 yd."}[leather]}
			}
			return n, nil
		}
		paths = append(paths, rows[n].Path)
	}
	if len(paths) == 0 {
		return 0, &Finding{Pointer: "/line", Code: "own-material.none", Message: fmt.Sprintf("Line %d has no customer's own material.", r.Line)}
	}
	return 0, &Finding{Pointer: "/path", Code: "own-material.none", Message: fmt.Sprintf("Line %d has its own material at %s.", r.Line, strings.Join(paths, ", ")), Allowed: paths}
}

// postOwnReceipt writes down what came of own material, and lifts the hold once
// it is enough.
func (s *Server) postOwnReceipt(ctx context.Context, in *ownReceiptInput) (*acted, error) {
	_, bill, trace, err := s.traceBill(ctx, Versioned{Numbered: in.Numbered})
	if err != nil {
		return nil, err
	}
	return s.actWith(ctx, in.OrderAct, order.TakeOwnMaterial, in.Body, func(a *acting) (orderdb.Reply, error) {
		if err := a.doc.Allows(order.TakeOwnMaterial); err != nil {
			return orderdb.Reply{}, err
		}
		if a.doc.Bill.Version != bill.Version {
			return orderdb.Reply{}, conflict("The order's bill became another just now; look at it again.")
		}
		r, findings := in.Body.receipt()
		if len(findings) > 0 {
			return orderdb.Reply{}, invalid(findings...)
		}
		n, fault := rowOf(&r, ownRows(trace)[r.Line])
		if fault != nil {
			return orderdb.Reply{}, invalid(*fault)
		}
		row, err := a.takeOwn(trace, r, n)
		if err != nil {
			return orderdb.Reply{}, err
		}
		reply, err := a.store(order.TakeOwnMaterial, s.set.Clock())
		if err != nil {
			return orderdb.Reply{}, err
		}
		shown, err := bom.Document(trace.Bill.Units, row)
		reply.Body = object(member{"order", reply.Body}, member{"own_material", shown})
		return reply, err
	})
}

// takeOwn stores a receipt and settles the hold by all that came.
func (a *acting) takeOwn(trace *bom.Trace, r order.OwnReceipt, n int) (*ownMaterialRow, error) {
	earlier, err := orderdb.OwnReceipts(a.ctx, a.tx, a.who.workshop, a.before.ID)
	if err != nil {
		return nil, err
	}
	was, _ := order.OwnThere(earlier, r.Line, r.Path)
	if r.Act == order.OwnDamaged && (r.Came.Length > was.Length-was.Flaws || r.Came.Area > was.Area) {
		return nil, invalid(Finding{Pointer: "/amount", Code: "own-material.more", Message: "More is damaged than is there."})
	}
	r.Seq, r.At, r.By = len(earlier)+1, a.now, a.who.actor()
	if err := orderdb.AddOwnReceipt(a.ctx, a.tx, a.who.workshop, a.before, r); err != nil {
		return nil, err
	}
	a.reason = strings.TrimSpace(fmt.Sprintf("%s %s for %d/%s. %s", r.Entered, r.Act, r.Line, r.Path, r.Note))
	row, there, err := ownRow(trace, append(earlier, r), r.Line, r.Path)
	if err != nil {
		return nil, err
	}
	if row.Check != nil {
		lifted, err := a.doc.TakeOwn(a.cat, row.Check, there, n, a.now)
		if err != nil {
			return nil, err
		}
		for _, h := range lifted {
			if err := orderdb.EndHold(a.ctx, a.tx, a.who.workshop, a.before, h.Seq, a.now, a.who.actor()); err != nil {
				return nil, err
			}
			a.redate = true
		}
	}
	row.Held = a.doc.OwnMaterialHold(a.cat, r.Line, n) != nil
	return row, nil
}

// ownRow is a row of own material with its receipts, held against what is needed
// once something came.
func ownRow(trace *bom.Trace, receipts []order.OwnReceipt, line int, path string) (*ownMaterialRow, bom.Received, error) {
	row := &ownMaterialRow{Line: line, Path: path, Receipts: []ownReceiptShown{}}
	for _, r := range receipts {
		if r.Line == line && r.Path == path {
			row.Receipts = append(row.Receipts, ownReceiptShown{r.Seq, r.Act, r.Entered, r.Due, r.Note, r.At.UTC()})
		}
	}
	there, pieces := order.OwnThere(receipts, line, path)
	if row.Pieces = pieces; pieces == 0 {
		return row, there, nil
	}
	check, err := trace.CheckOwnMaterial(line, path, there)
	if err != nil {
		return nil, there, err
	}
	if pieces > 1 && there.Area == 0 {
		check.Says = append(check.Says, fmt.Sprintf("It came in %d lengths: no row of pieces runs over from one to the next, so lay them out before cutting.", pieces))
	}
	row.Check = check
	return row, there, nil
}

// getOwnMaterial tells of each row of own material what came and what is short.
func (s *Server) getOwnMaterial(ctx context.Context, in *Numbered) (*checkOutput, error) {
	who := principalOf(ctx)
	stored, _, trace, err := s.traceBill(ctx, Versioned{Numbered: *in})
	if err != nil {
		return nil, err
	}
	var receipts []order.OwnReceipt
	err = tenancy.Transact(ctx, s.set.Pool, who.scope(), func(tx pgx.Tx) (err error) {
		receipts, err = orderdb.OwnReceipts(ctx, tx, who.workshop, stored.ID)
		return err
	})
	if err != nil {
		return nil, err
	}
	var d order.Document
	if err := json.Unmarshal(stored.Document, &d); err != nil {
		return nil, fmt.Errorf("read a stored order: %w", err)
	}
	list := ownMaterialList{Order: stored.Number, Version: stored.Version, Units: trace.Bill.Units, Rows: []ownMaterialRow{}}
	for i := range trace.Bill.Lines {
		line := trace.Bill.Lines[i].Line
		for n, cloth := range ownRows(trace)[line] {
			row, _, err := ownRow(trace, receipts, line, cloth.Path)
			if err != nil {
				return nil, err
			}
			row.Held = d.OwnMaterialHold(trace.Catalog, line, n) != nil
			list.Rows = append(list.Rows, *row)
		}
	}
	body, err := bom.Document(trace.Bill.Units, list)
	if err != nil {
		return nil, err
	}
	return &checkOutput{"application/json", body}, nil
}
