package api

import (
	"context"
	"errors"
	"fmt"
	"net/http"
	"strings"
	"time"
	"unicode/utf8"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"

	"billwright/bom"
	"billwright/bom/demand"
	"billwright/bom/load"
	"billwright/bom/order"
	"billwright/bom/order/orderdb"
	"billwright/catalog"
	"billwright/migrations/tenancy"
)

type postOrderInput struct {
	Idempotent
	Body orderRequest
}

// placings is how often an order is tried under another number, or after
// another request with the same key was faster. A number is taken once in
// 3·10^10 by chance.
const placings = 4

// postOrder takes an order: checked, priced, exploded, promised and stored with
// its reply in one transaction, or refused with every finding.
func (s *Server) postOrder(ctx context.Context, in *postOrderInput) (*acted, error) {
	who := principalOf(ctx)
	o, err := newOnce(who, in.Idempotent, in.Body.fingerprint(who))
	if err != nil {
		return nil, err
	}
	st, err := s.catalogFor(ctx, who.workshop)
	if err != nil {
		return nil, err
	}
	now := st.now(s.set.Clock)
	if in.Body.isDraft() {
		return s.keepDraft(ctx, who, o, &in.Body, st.catalog, now)
	}
	for range placings {
		made, findings, err := makeOrder(&in.Body, who, st.catalog, now)
		if err == nil && len(findings) == 0 {
			err = s.written(ctx, who, st.catalog, &made)
		}
		if err != nil {
			return nil, err
		}
		if len(findings) > 0 {
			return s.replayOr(ctx, who, o, invalid(withNearest(shown(findings), &in.Body, st.catalog, st.catalog.Calendar.DayOf(now))...))
		}
		reply, err := s.place(ctx, who, o, made)
		if !errors.Is(err, orderdb.ErrNumberTaken) && !errors.Is(err, orderdb.ErrKeyUsed) {
			return reply, refusedPO(err)
		}
	}
	return nil, unavailable(time.Second, errors.New("no order number was free"))
}

// place stores an order unless its key has a reply already. Storing is tried
// first and the reply looked for only when something stands in the way, since
// most requests come once.
func (s *Server) place(ctx context.Context, who *principal, o once, made orderdb.NewOrder) (*acted, error) {
	reply := orderdb.Reply{Fingerprint: o.fingerprint, Status: http.StatusCreated, Location: orderPath(made.Order.Number), ETag: etag(made.Order.Version), Body: made.Document}
	made.Idempotency = &orderdb.Idempotency{Scope: o.scope, Key: o.key, Reply: reply}
	err := tenancy.Transact(ctx, s.set.Pool, who.scope(), func(tx pgx.Tx) error { return orderdb.Insert(ctx, tx, who.workshop, made) })
	var duplicate orderdb.ErrDuplicatePO
	switch {
	case err == nil:
		return answer(reply, false), nil
	case errors.Is(err, orderdb.ErrKeyBusy):
		return nil, stillRunning()
	case errors.Is(err, orderdb.ErrKeyUsed), errors.As(err, &duplicate):
		return s.replayOr(ctx, who, o, err)
	}
	return nil, err
}

func orderPath(number string) string { return "/v1/orders/" + number }

// refusedPO names the order that already has the purchase order number.
func refusedPO(err error) error {
	var duplicate orderdb.ErrDuplicatePO
	if !errors.As(err, &duplicate) {
		return err
	}
	p := conflict(fmt.Sprintf("Order %s is already under this purchase order number. "+
		"A rep or the owner may place a second one by giving po_override_reason.", duplicate.Number))
	p.Existing = orderPath(duplicate.Number)
	return p.withHeader("Link", "<"+p.Existing+`>; rel="related"`)
}

// makeOrder reckons an order with a number of its own and everything that is
// stored of it.
func makeOrder(r *orderRequest, who *principal, cat *catalog.Catalog, now time.Time) (orderdb.NewOrder, []catalog.Finding, error) {
	id, err := uuid.NewV7()
	if err != nil {
		return orderdb.NewOrder{}, nil, fmt.Errorf("draw an order's id: %w", err)
	}
	return makeOrderAs(r, who, cat, id, now)
}

// makeOrderAs is makeOrder for an order that has its id.
func makeOrderAs(r *orderRequest, who *principal, cat *catalog.Catalog, id uuid.UUID, now time.Time) (made orderdb.NewOrder, findings []catalog.Finding, err error) {
	draft, entered := r.draft(who, cat)
	override, refused := r.override(who)
	o, domain := order.New(cat, draft, order.Identity{ID: id, Test: who.test}, now)
	if findings := together(append(entered, refused...), domain); len(findings) > 0 {
		return orderdb.NewOrder{}, findings, nil
	}
	made, findings, err = storable(o, cat, orderdb.AuditEntry{Actor: who.actor(), Role: who.role.String(), Act: "order received", Reason: override})
	if override != "" {
		made.POGuard = ""
	}
	return made, findings, err
}

// storable makes all that is stored of an order that was reckoned.
func storable(o *order.Order, cat *catalog.Catalog, audit orderdb.AuditEntry) (made orderdb.NewOrder, findings []catalog.Finding, err error) {
	made = orderdb.NewOrder{Order: o, POGuard: order.FoldPO(o.PO), Audit: audit}
	quote := o.State == order.Quoted
	if o.Test || quote {
		made.POGuard = ""
	}
	if quote {
		made.Audit.Act = "order quoted"
	}
	if !o.Test && !quote {
		made.Requirements, err = demand.Requirements(cat, o.Bill, o.Promise, notFirm)
		if err != nil {
			return orderdb.NewOrder{}, []catalog.Finding{{Code: "requirement.undated", Message: sentence(err.Error())}}, nil
		}
	}
	if made.Load, err = load.Of(cat, o.Bill, o.Promise); err != nil {
		return orderdb.NewOrder{}, []catalog.Finding{{Code: "load.undated", Message: sentence(err.Error())}}, nil
	}
	return made, nil, write(&made)
}

// written warns of weeks that an order finds full, and then writes its documents
// anew.
func (s *Server) written(ctx context.Context, who *principal, cat *catalog.Catalog, made *orderdb.NewOrder) error {
	warnings, err := s.warnOfLoad(ctx, who, cat, made.Load)
	if err != nil || len(warnings) == 0 {
		return err
	}
	made.Order.Warnings = append(made.Order.Warnings, warnings...)
	return write(made)
}

// notFirm is said of the demand of an order that is not accepted yet.
func notFirm(int, string) bool { return false }

// write makes the documents that are stored of an order.
func write(made *orderdb.NewOrder) (err error) {
	if made.Bill, err = made.Order.Bill.Document(); err != nil {
		return err
	}
	made.BillHash = bom.Hash(made.Bill)
	document := made.Order.Document(made.BillHash)
	if made.Document, err = document.Bytes(); err != nil {
		return err
	}
	made.Audit.After, err = standingOf(&document)
	return err
}

// override is why a second order under a purchase order number is meant, "" when
// none is.
func (r *orderRequest) override(who *principal) (string, []catalog.Finding) {
	if r.POOverride == nil {
		return "", nil
	}
	const pointer = "/po_override_reason"
	var e entries
	reason := e.text(pointer, r.POOverride)
	switch {
	case who.role&(roleRep|roleOwner) == 0:
		e.findings = nil
		e.add(pointer, "po.override", "Only a rep or the owner of the workshop may place a second order under a purchase order number.")
	case len(e.findings) == 0 && strings.TrimSpace(reason) == "":
		e.add(pointer, "po.override", "Say why a second order under this purchase order number is meant, or leave the field out.")
	case utf8.RuneCountInString(reason) > order.MaxReason:
		e.add(pointer, "text.long", "The reason has %d characters; at most %d are taken.", utf8.RuneCountInString(reason), order.MaxReason)
	}
	return reason, e.findings
}
