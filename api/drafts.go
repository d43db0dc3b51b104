package api

import (
	"context"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"slices"
	"strings"
	"time"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"

	"billwright/api/authdb"
	"billwright/bom/demand"
	"billwright/bom/load"
	"billwright/bom/order"
	"billwright/bom/order/orderdb"
	"billwright/catalog"
	"billwright/migrations/tenancy"
)

// draftOf makes the draft of a request: what was asked for and all that it
// lacks. Without its dealer, or with texts that cannot be stored, not even a
// draft is kept.
func draftOf(r *orderRequest, who *principal, cat *catalog.Catalog, id uuid.UUID, now time.Time) (*order.DraftDocument, error) {
	kept := *r
	kept.Intent, kept.ValidUntil = nil, nil
	asked, entered := kept.draft(who, cat)
	_, refused := kept.override(who)
	_, domain := order.Reckon(cat, asked, now)
	missing := together(append(entered, refused...), domain)
	fatal := slices.DeleteFunc(slices.Clone(missing), func(f catalog.Finding) bool {
		return f.Code == "po.missing" || !slices.Contains([]string{"/dealer", "/po", "/sidemark", "/ship_to"}, f.Pointer)
	})
	if len(fatal) > 0 {
		return nil, invalid(shown(fatal)...)
	}
	if kept.Dealer == nil {
		kept.Dealer = textEntry(quoted(asked.Dealer))
	}
	request, err := json.Marshal(&kept)
	if err != nil {
		return nil, fmt.Errorf("write a draft: %w", err)
	}
	return &order.DraftDocument{
		ID: id.String(), Number: order.NumberOf(id), Version: 1, State: order.Drafted, Test: who.test, Dealer: asked.Dealer, PO: asked.PO,
		Sidemark: asked.Sidemark, ReceivedAt: now.UTC(), Revision: cat.Revision, Request: request, Missing: order.LackingOf(missing),
	}, nil
}

// MarshalJSON writes the request's fields as they came.
func (r *orderRequest) MarshalJSON() ([]byte, error) {
	fields := map[string]any{}
	for name, raw := range map[string][]byte{"dealer": r.Dealer, "po": r.PO, "sidemark": r.Sidemark, "ship_to": r.ShipTo, "requested": r.Requested,
		"ship_complete": r.ShipComplete, "po_override_reason": r.POOverride, "intent": r.Intent, "valid_until": r.ValidUntil} {
		if raw != nil {
			fields[name] = json.RawMessage(raw)
		}
	}
	lines := make([]map[string]any, len(r.Lines))
	for i := range r.Lines {
		lines[i] = map[string]any{}
		if r.Lines[i].Product != nil {
			lines[i]["product"] = json.RawMessage(r.Lines[i].Product)
		}
		if r.Lines[i].Quantity != nil {
			lines[i]["quantity"] = json.RawMessage(r.Lines[i].Quantity)
		}
		chosen := map[string]json.RawMessage{}
		for attribute, raw := range r.Lines[i].Configuration {
			chosen[attribute] = json.RawMessage(raw)
		}
		if len(chosen) > 0 {
			lines[i]["configuration"] = chosen
		}
		ways := map[string]json.RawMessage{}
		for path, raw := range r.Lines[i].Ways {
			ways[path] = json.RawMessage(raw)
		}
		if len(ways) > 0 {
			lines[i]["ways"] = ways
		}
		if p := r.Lines[i].Price; p != nil {
			lines[i]["price"] = given("net", p.Net, "reason", p.Reason)
		}
	}
	if len(lines) > 0 {
		fields["lines"] = lines
	}
	if r.Agreed != nil {
		fields["agreed"] = given("date", r.Agreed.Date, "reason", r.Agreed.Reason)
	}
	return json.Marshal(fields)
}

// request reads a kept request back.
func request(kept []byte) (*orderRequest, error) {
	var fields struct {
		Dealer       json.RawMessage `json:"dealer"`
		PO           json.RawMessage `json:"po"`
		Sidemark     json.RawMessage `json:"sidemark"`
		ShipTo       json.RawMessage `json:"ship_to"`
		Requested    json.RawMessage `json:"requested"`
		ShipComplete json.RawMessage `json:"ship_complete"`
		POOverride   json.RawMessage `json:"po_override_reason"`
		Agreed       *struct{ Date, Reason json.RawMessage }
		Lines        []struct {
			Product       json.RawMessage            `json:"product"`
			Quantity      json.RawMessage            `json:"quantity"`
			Configuration map[string]json.RawMessage `json:"configuration"`
			Ways          map[string]json.RawMessage `json:"ways"`
			Price         *struct{ Net, Reason json.RawMessage }
		} `json:"lines"`
	}
	if err := json.Unmarshal(kept, &fields); err != nil {
		return nil, fmt.Errorf("read a draft: %w", err)
	}
	r := &orderRequest{Dealer: textEntry(fields.Dealer), PO: textEntry(fields.PO), Sidemark: textEntry(fields.Sidemark), ShipTo: textEntry(fields.ShipTo),
		Requested: textEntry(fields.Requested), ShipComplete: flagEntry(fields.ShipComplete), POOverride: textEntry(fields.POOverride)}
	if a := fields.Agreed; a != nil {
		r.Agreed = &agreedEntry{textEntry(a.Date), textEntry(a.Reason)}
	}
	for _, line := range fields.Lines {
		asked := lineRequest{Product: textEntry(line.Product), Quantity: quantityEntry(line.Quantity), Configuration: map[string]choiceEntry{}}
		for attribute, raw := range line.Configuration {
			asked.Configuration[attribute] = choiceEntry(raw)
		}
		if p := line.Price; p != nil {
			asked.Price = &priceEntry{textEntry(p.Net), textEntry(p.Reason)}
		}
		for path, raw := range line.Ways {
			if asked.Ways == nil {
				asked.Ways = map[string]textEntry{}
			}
			asked.Ways[path] = textEntry(raw)
		}
		r.Lines = append(r.Lines, asked)
	}
	return r, nil
}

// keepDraft stores a draft under a number of its own.
func (s *Server) keepDraft(ctx context.Context, who *principal, o once, r *orderRequest, cat *catalog.Catalog, now time.Time) (*acted, error) {
	id, err := uuid.NewV7()
	if err != nil {
		return nil, fmt.Errorf("draw a draft's id: %w", err)
	}
	d, err := draftOf(r, who, cat, id, now)
	if err != nil {
		return s.replayOr(ctx, who, o, err)
	}
	document, err := d.Bytes()
	if err != nil {
		return nil, err
	}
	return s.act(ctx, who, o, d.Dealer, func(tx pgx.Tx) (orderdb.Reply, error) {
		if err := orderdb.InsertDraft(ctx, tx, who.workshop, id, d, document); err != nil {
			return orderdb.Reply{}, err
		}
		entry := authdb.Entry{Workshop: who.workshop, Dealer: d.Dealer, At: s.set.Clock(), Actor: who.actor(), Role: who.role.String(), Act: "order drafted", Subject: d.Number}
		if err := authdb.Audit(ctx, tx, entry); err != nil {
			return orderdb.Reply{}, err
		}
		reply := created(orderPath(d.Number), document)
		reply.ETag = etag(1)
		return reply, nil
	})
}

type putDraftInput struct {
	Numbered
	IfMatch string `header:"If-Match" doc:"The ETag of the version that is changed. Needed."`
	Body    orderRequest
}

// putDraft puts another request in the place of a draft's.
func (s *Server) putDraft(ctx context.Context, in *putDraftInput) (*document, error) {
	who := principalOf(ctx)
	st, err := s.catalogFor(ctx, who.workshop)
	if err != nil {
		return nil, err
	}
	seen, err := s.seen(ctx, who, in.Number)
	if err != nil {
		return nil, err
	}
	var reply *document
	err = tenancy.Transact(ctx, s.set.Pool, who.scope(), func(tx pgx.Tx) error {
		a := &acting{ctx: ctx, tx: tx, who: who, cat: st.catalog, now: st.now(s.set.Clock)}
		if err := a.lock(seen, in.IfMatch); err != nil {
			return err
		}
		if a.doc.State != order.Drafted {
			return conflict(fmt.Sprintf("The order is %s and no draft any more; propose a change instead.", a.doc.State))
		}
		d, err := draftOf(&in.Body, who, st.catalog, a.before.ID, a.now)
		if err != nil {
			return err
		}
		if d.Dealer != a.before.Dealer {
			return invalid(Finding{Pointer: "/dealer", Code: "dealer.other", Message: fmt.Sprintf("The draft is %s's; make another draft for another dealer.", a.before.Dealer)})
		}
		d.Version, d.Test = a.before.Version+1, a.before.Test
		text, err := d.Bytes()
		if err != nil {
			return err
		}
		if err := orderdb.ChangeDraft(ctx, tx, who.workshop, a.before, d, text, who.actor(), s.set.Clock()); err != nil {
			return err
		}
		a.doc = &order.Document{Version: d.Version, State: order.Drafted, Holds: []order.Hold{}}
		if err := a.audit("change draft", s.set.Clock()); err != nil {
			return err
		}
		reply = Conditional{}.show(etag(d.Version), text)
		return nil
	})
	return reply, err
}

type placeInput struct {
	OrderAct
	Body struct {
		PO     string `json:"po,omitempty" required:"false" maxLength:"40" doc:"Of a quote: the dealer's purchase order number, where the quote has none yet."`
		Reason string `json:"reason,omitempty" required:"false" maxLength:"300" doc:"Why, for the trail."`
	}
}

// postPlace makes an order of a draft or of a quote.
func (s *Server) postPlace(ctx context.Context, in *placeInput) (*acted, error) {
	st, err := s.catalogFor(ctx, principalOf(ctx).workshop)
	if err != nil {
		return nil, err
	}
	return s.actOn(ctx, in.OrderAct, order.Place, in.Body, func(a *acting) error {
		a.reason = in.Body.Reason
		if err := a.doc.Allows(order.Place); err != nil {
			return err
		}
		if a.doc.State == order.Drafted {
			return a.placeDraft(st.catalog)
		}
		return a.placeQuote(strings.TrimSpace(in.Body.PO))
	})
}

// placeDraft checks a draft under the catalog in force and stores what an order
// has over a draft.
func (a *acting) placeDraft(cat *catalog.Catalog) error {
	var d order.DraftDocument
	if err := json.Unmarshal(a.before.Document, &d); err != nil {
		return fmt.Errorf("read a draft: %w", err)
	}
	r, err := request(d.Request)
	if err != nil {
		return err
	}
	who := *a.who
	who.test = a.before.Test
	made, findings, err := makeOrderAs(r, &who, cat, a.before.ID, a.now)
	if err != nil {
		return err
	}
	if len(findings) > 0 {
		return invalid(shown(findings)...)
	}
	if err := a.guardPO(made.POGuard); err != nil {
		return err
	}
	document := made.Order.Document(made.BillHash)
	a.doc, a.cat = &document, cat
	if err := orderdb.Complete(a.ctx, a.tx, a.who.workshop, a.before, made); err != nil || a.doc.Test {
		return err
	}
	return a.warnOfLoad(made.Load)
}

// placeQuote makes an order of a quote as it was quoted.
func (a *acting) placeQuote(po string) error {
	hash, err := hex.DecodeString(a.doc.Bill.SHA256)
	if err != nil || len(hash) != 32 {
		return fmt.Errorf("read the hash of a quoted bill: %w", err)
	}
	trace, err := order.Trace(a.cat, a.doc, [32]byte(hash))
	if errors.Is(err, order.ErrOtherArithmetic) {
		return conflict("The quote was reckoned by another version of the program; copy it to have it checked and priced anew.")
	}
	if err != nil {
		return err
	}
	if err := a.doc.PlaceQuote(a.cat, po, a.now); err != nil {
		return err
	}
	guard := order.FoldPO(a.doc.PO)
	if a.doc.Test {
		guard = ""
	}
	if err := a.guardPO(guard); err != nil {
		return err
	}
	if err := orderdb.PlaceQuote(a.ctx, a.tx, a.who.workshop, a.before, a.doc, guard); err != nil {
		return err
	}
	if a.doc.Test {
		return nil
	}
	rows, err := demand.Requirements(a.cat, trace.Bill, a.doc.Promise, notFirm)
	if err != nil {
		return conflict(sentence(err.Error()))
	}
	takes, err := load.Of(a.cat, trace.Bill, a.doc.Promise)
	if err != nil {
		return conflict(sentence(err.Error()))
	}
	if err := a.loaded(takes); err != nil {
		return err
	}
	return orderdb.ReplaceRequirements(a.ctx, a.tx, a.who.workshop, a.before, a.doc.Bill.Version, rows)
}

// guardPO refuses a second order under a purchase order number.
func (a *acting) guardPO(guard string) error {
	if guard == "" {
		return nil
	}
	number, err := orderdb.ByPO(a.ctx, a.tx, a.who.workshop, a.before.Dealer, guard)
	if errors.Is(err, orderdb.ErrNoOrder) {
		return nil
	}
	if err != nil {
		return err
	}
	return refusedPO(orderdb.ErrDuplicatePO{Number: number})
}

// isDraft is the refusal of what only an order has, naming what is missing.
func isDraft(stored orderdb.Stored) error {
	var d order.DraftDocument
	if err := json.Unmarshal(stored.Document, &d); err != nil {
		return fmt.Errorf("read a draft: %w", err)
	}
	p := conflict("This is a draft: it has no bill until it is placed. It lacks what errors tell.")
	p.Errors = shown(d.Findings())
	return p
}
