package api

import (
	"context"
	"crypto/sha256"
	"encoding/json"
	"fmt"
	"net/http"
	"strconv"
	"time"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"

	"billwright/api/authdb"
	"billwright/bom"
	"billwright/bom/demand/demanddb"
	"billwright/bom/order/orderdb"
	"billwright/catalog/calendar"
	"billwright/catalog/unit"
	"billwright/migrations/tenancy"
)

type postPurchaseInput struct {
	Idempotent
	Body purchaseBody
}

type purchaseBody struct {
	Week   string `json:"week" maxLength:"40" doc:"ISO 8601 week that it is for, such as 2026-W48."`
	Kind   string `json:"kind" maxLength:"40" doc:"Kind of material, such as steel."`
	Item   string `json:"item" maxLength:"200" doc:"Item as the requirements name it."`
	Act    string `json:"act" enum:"ordered,received,short" doc:"What happened to it: ordered, received, or received short."`
	Amount string `json:"amount" maxLength:"40" doc:"How much, in the unit of the item's requirements: 12 pieces as 12, else with its unit, such as 240 in, 20 ft, 6.1 m, 12.5 lb, 40 bf, 2 gal, 30 ft2."`
	Note   string `json:"note,omitempty" required:"false" maxLength:"300" doc:"Who from, which delivery note."`
}

type purchaseReply struct {
	ID     string        `json:"id"`
	Week   string        `json:"week"`
	Kind   string        `json:"kind"`
	Item   string        `json:"item"`
	Act    string        `json:"act"`
	Amount quantity      `json:"amount"`
	Note   string        `json:"note"`
	Monday calendar.Date `json:"monday"`
	At     time.Time     `json:"at"`
	By     string        `json:"by"`
	// Entered is the amount as somebody wrote it.
	Entered string `json:"entered" doc:"The amount as it was written."`
}

func showPurchase(p *demanddb.Purchase, units bom.Units) purchaseReply {
	return purchaseReply{ID: p.ID.String(), Week: p.Week.Week().String(), Monday: p.Week, Kind: p.Kind, Item: p.Item, Act: p.Act,
		Amount: quantityOf(&demanddb.Need{Kind: p.Kind, Measure: p.Measure}, p.Amount, units), Note: p.Note, At: p.At.UTC(), By: p.By, Entered: p.Entered}
}

// postPurchase writes down what happened to something bought for a week. What is
// written is never changed; a wrong receipt is set right by another.
func (s *Server) postPurchase(ctx context.Context, in *postPurchaseInput) (*acted, error) {
	who := principalOf(ctx)
	b := in.Body
	week, err := calendar.ParseWeek(b.Week)
	if err != nil {
		return nil, invalid(Finding{Pointer: "/week", Code: "week", Message: sentence(err.Error())})
	}
	said, err := json.Marshal(b)
	if err != nil {
		return nil, fmt.Errorf("write a purchase: %w", err)
	}
	o, err := newOnce(who, in.Idempotent, sha256.Sum256(sized(sized(nil, "purchase "+who.replayScope()), string(said))))
	if err != nil {
		return nil, err
	}
	st, err := s.catalogFor(ctx, who.workshop)
	if err != nil {
		return nil, err
	}
	id, err := uuid.NewV7()
	if err != nil {
		return nil, fmt.Errorf("draw an id: %w", err)
	}
	return s.act(ctx, who, o, "", func(tx pgx.Tx) (orderdb.Reply, error) {
		measure, finding, err := measureOf(ctx, tx, who.workshop, week.Monday(), b.Kind, b.Item)
		if err != nil {
			return orderdb.Reply{}, err
		}
		if finding != nil {
			return orderdb.Reply{}, invalid(*finding)
		}
		amount, finding := readAmount("/amount", b.Amount, measure)
		if finding != nil {
			return orderdb.Reply{}, invalid(*finding)
		}
		p := demanddb.Purchase{ID: id, Week: week.Monday(), Kind: b.Kind, Item: b.Item, Act: b.Act, Amount: amount, Measure: measure,
			Entered: b.Amount, Note: b.Note, At: st.now(s.set.Clock), By: who.actor()}
		if err := demanddb.AddPurchase(ctx, tx, who.workshop, p); err != nil {
			return orderdb.Reply{}, err
		}
		body, err := encode(showPurchase(&p, bom.Units(st.catalog.Workshop.Units)))
		if err != nil {
			return orderdb.Reply{}, err
		}
		entry := authdb.Entry{Workshop: who.workshop, At: s.set.Clock(), Actor: who.actor(), Role: who.role.String(), Act: "purchase: " + b.Act, Subject: b.Kind + " " + b.Item + " for " + week.String(), After: body}
		return orderdb.Reply{Status: http.StatusCreated, Body: body}, authdb.Audit(ctx, tx, entry)
	})
}

// measureOf is how an item of a week is measured, or a finding that says that
// nobody needs it then.
func measureOf(ctx context.Context, tx pgx.Tx, workshop uuid.UUID, monday calendar.Date, kind, item string) (bom.Measure, *Finding, error) {
	books, err := demanddb.Week(ctx, tx, workshop, monday, kind)
	if err != nil {
		return "", nil, err
	}
	var items []string
	for _, n := range books.Needs {
		if n.Item == item {
			return n.Measure, nil, nil
		}
		items = append(items, n.Item)
	}
	for _, p := range books.Pulled {
		if p.Item == item {
			return p.Measure, nil, nil
		}
	}
	if len(items) == 0 {
		return "", &Finding{Pointer: "/kind", Code: "requirement.none", Message: fmt.Sprintf("Nothing of kind %s is needed in that week.", quoteShort(kind))}, nil
	}
	return "", &Finding{Pointer: "/item", Code: "requirement.none", Message: fmt.Sprintf("No %s %s is needed in that week.", kind, quoteShort(item)), Allowed: items[:min(len(items), 50)]}, nil
}

// readAmount reads an amount above zero in a unit of its measure.
func readAmount(pointer, text string, measure bom.Measure) (int64, *Finding) {
	var amount int64
	var err error
	form := "a whole number of pieces, such as 12"
	switch measure {
	case bom.Length:
		var l unit.Length
		form = "a length with its unit, such as 240 in or 6.1 m"
		l, err = unit.ParseLength(text)
		amount = int64(l)
	case bom.Area:
		var a unit.Area
		form = "an area with its unit, such as 30 ft2 or 2.8 m2"
		a, err = unit.ParseArea(text)
		amount = int64(a)
	case bom.Volume:
		var v unit.Volume
		form = "a volume with its unit, such as 40 bf or 2 gal"
		v, err = unit.ParseVolume(text)
		amount = int64(v)
	case bom.Mass:
		var m unit.Mass
		form = "a weight with its unit, such as 12.5 lb or 5.7 kg"
		m, err = unit.ParseMass(text)
		amount = int64(m)
	default:
		amount, err = strconv.ParseInt(text, 10, 64)
	}
	if err != nil || amount <= 0 {
		return 0, &Finding{Pointer: pointer, Code: "amount", Message: fmt.Sprintf("The amount %s is not %s, above nothing.", quoteShort(text), form)}
	}
	return amount, nil
}

type stockPath struct {
	Kind string `path:"kind" maxLength:"40" doc:"Kind of material, such as steel."`
	Item string `path:"item" maxLength:"200" doc:"Item as the requirements name it."`
}

// StockItem is a path to what is on hand of an item.
type StockItem stockPath

type putStockInput struct {
	StockItem
	Body struct {
		Counted []countedEntry `json:"counted" maxItems:"1000" doc:"All that is on hand; nothing of it for none."`
	}
}

type countedEntry struct {
	Length string `json:"length,omitempty" required:"false" maxLength:"40" doc:"Of bars, sheets and offcuts: the length of each, such as 20 ft or 31 1/2 in."`
	Width  string `json:"width,omitempty" required:"false" maxLength:"40" doc:"Of sheets and their offcuts, beside the length: the width of each."`
	Pieces int64  `json:"pieces,omitempty" required:"false" minimum:"0" maximum:"1000000" doc:"How many, of bars, offcuts and what is bought by the piece."`
	Amount string `json:"amount,omitempty" required:"false" maxLength:"40" doc:"How much, with its unit, of everything else."`
}

type stockReply struct {
	Kind    string         `json:"kind"`
	Item    string         `json:"item"`
	Counted []countedEntry `json:"counted"`
}

type stockOutput struct{ Body stockReply }

// putStock keeps a count of what is on hand of an item in the place of the one
// before.
func (s *Server) putStock(ctx context.Context, in *putStockInput) (*stockOutput, error) {
	who := principalOf(ctx)
	st, err := s.catalogFor(ctx, who.workshop)
	if err != nil {
		return nil, err
	}
	counted, findings := readCount(in.Kind, in.Item, in.Body.Counted)
	if len(findings) > 0 {
		return nil, invalid(findings...)
	}
	reply := stockReply{Kind: in.Kind, Item: in.Item, Counted: in.Body.Counted}
	if reply.Counted == nil {
		reply.Counted = []countedEntry{}
	}
	err = tenancy.Transact(ctx, s.set.Pool, who.scope(), func(tx pgx.Tx) error {
		if err := demanddb.Count(ctx, tx, who.workshop, in.Kind, in.Item, counted, st.now(s.set.Clock), who.actor()); err != nil {
			return err
		}
		return s.audit(ctx, tx, who, "stock counted", in.Kind+" "+in.Item, nil, reply)
	})
	if err != nil {
		return nil, err
	}
	return &stockOutput{reply}, nil
}

// readCount reads a count. The measure follows from what is counted: a length is
// a bar's or an offcut's, pieces alone are pieces.
func readCount(kind, item string, entries []countedEntry) ([]demanddb.Counted, []Finding) {
	var findings []Finding
	known := false
	for _, k := range bom.Kinds {
		known = known || k.Name == kind
	}
	if !known {
		f := unknownKind("", kind)
		f.Parameter = "path.kind"
		findings = append(findings, f)
	}
	counted := make([]demanddb.Counted, 0, len(entries))
	sizes := map[[2]unit.Length]bool{}
	for i, e := range entries {
		at := fmt.Sprintf("/counted/%d", i)
		c := counting{demanddb.Counted{Kind: kind, Item: item, Pieces: e.Pieces, Measure: bom.Each, Amount: e.Pieces}}
		switch {
		case e.Length == "" && e.Width != "":
			findings = append(findings, Finding{Pointer: at + "/length", Code: "amount", Message: "A width alone is no size; write the length of the sheet beside it."})
			continue
		case e.Length != "":
			l, err := unit.ParseLength(e.Length)
			if err != nil || l <= 0 || e.Amount != "" {
				findings = append(findings, Finding{Pointer: at + "/length", Code: "amount", Message: fmt.Sprintf("%s is not the length of a bar or offcut, such as 20 ft; write it with pieces and without amount.", quoteShort(e.Length))})
				continue
			}
			if e.Width != "" {
				finding := c.readWidth(at, kind, e, l)
				if finding != nil {
					findings = append(findings, *finding)
					continue
				}
				break
			}
			if e.Pieces > int64(unit.MaxEntry/l) {
				findings = append(findings, Finding{Pointer: at + "/pieces", Code: "amount", Message: "So many bars cannot be counted."})
				continue
			}
			c.Length, c.Measure, c.Amount = l, bom.Length, int64(l)*e.Pieces
		case e.Amount != "":
			amount, measure, finding := anyAmount(at+"/amount", e.Amount)
			if finding != nil || e.Pieces != 0 {
				if finding == nil {
					finding = &Finding{Pointer: at, Code: "amount", Message: "Write pieces or an amount, not both."}
				}
				findings = append(findings, *finding)
				continue
			}
			c.Amount, c.Measure = amount, measure
		}
		if size := [2]unit.Length{c.Length, c.Width}; sizes[size] {
			findings = append(findings, Finding{Pointer: at, Code: "twice", Message: "This length is counted twice; add the pieces up."})
			continue
		} else {
			sizes[size] = true
		}
		counted = append(counted, c.Counted)
	}
	return counted, findings
}

// counting is an entry of a count that is being read.
type counting struct{ demanddb.Counted }

// readWidth reads the size of sheets.
func (c *counting) readWidth(at, kind string, e countedEntry, length unit.Length) *Finding {
	width, err := unit.ParseLength(e.Width)
	if err != nil || width <= 0 || kind == bom.KindSteel {
		return &Finding{Pointer: at + "/width", Code: "amount", Message: fmt.Sprintf("%s is not the width of a sheet or its offcut, such as 48 in.", quoteShort(e.Width))}
	}
	each, err := length.Times(width)
	if err != nil || e.Pieces > int64(unit.SquareMetre)*1_000_000/max(int64(each), 1) {
		return &Finding{Pointer: at + "/pieces", Code: "amount", Message: "So many sheets cannot be counted."}
	}
	c.Length, c.Width, c.Measure, c.Amount = length, width, bom.Area, int64(each)*e.Pieces
	return nil
}

// anyAmount reads an amount by its unit.
func anyAmount(pointer, text string) (int64, bom.Measure, *Finding) {
	for _, measure := range []bom.Measure{bom.Length, bom.Area, bom.Volume, bom.Mass} {
		if amount, finding := readAmount(pointer, text, measure); finding == nil {
			return amount, measure, nil
		}
	}
	return 0, "", &Finding{Pointer: pointer, Code: "amount", Message: fmt.Sprintf("The amount %s has no unit that is known: write a length, an area, a volume or a weight, such as 12 yd, 40 bf or 12.5 lb.", quoteShort(text))}
}

// getStock tells what is on hand as last counted.
func (s *Server) getStock(ctx context.Context, in *StockItem) (*stockOutput, error) {
	who := principalOf(ctx)
	reply := stockReply{Kind: in.Kind, Item: in.Item, Counted: []countedEntry{}}
	err := tenancy.Transact(ctx, s.set.Pool, who.scope(), func(tx pgx.Tx) error {
		counted, err := demanddb.OnHand(ctx, tx, who.workshop, in.Kind)
		for _, c := range counted {
			if c.Item != in.Item {
				continue
			}
			e := countedEntry{Pieces: c.Pieces}
			switch {
			case c.Length > 0:
				e.Length = c.Length.String()
				if c.Width > 0 {
					e.Width = c.Width.String()
				}
			case c.Measure != bom.Each:
				e.Amount = exactAmount(c.Measure, c.Amount)
			}
			reply.Counted = append(reply.Counted, e)
		}
		return err
	})
	if err != nil {
		return nil, err
	}
	return &stockOutput{reply}, nil
}
