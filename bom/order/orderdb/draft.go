package orderdb

import (
	"context"
	"fmt"
	"strings"
	"time"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"

	"billwright/bom"
	"billwright/bom/order"
)

// InsertDraft stores a draft. It has no lines, no bill and no requirements, and
// guards no purchase order number.
func InsertDraft(ctx context.Context, tx pgx.Tx, workshop, id uuid.UUID, d *order.DraftDocument, document []byte) error {
	_, err := tx.Exec(ctx, `
insert into dealer_order (workshop_id, dealer_id, order_id, number, version, state, test, revision, po, sidemark, ship_to, ship_complete, received_at, search, document)
values ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, '', false, $11, $12, $13)`,
		workshop, d.Dealer, id, d.Number, d.Version, string(d.State), d.Test, d.Revision, d.PO, d.Sidemark, d.ReceivedAt, draftSearch(d), document)
	if err != nil {
		return fmt.Errorf("store a draft: %w", err)
	}
	news := order.News{Version: d.Version, Act: "order drafted", What: []string{order.NewsVersion, order.NewsState}, State: d.State, Holds: []string{}}
	return AddNews(ctx, tx, workshop, Stored{ID: id, Dealer: d.Dealer}, news, d.ReceivedAt)
}

// ChangeDraft stores another version of a locked draft and keeps the one before.
func ChangeDraft(ctx context.Context, tx pgx.Tx, workshop uuid.UUID, before Stored, d *order.DraftDocument, document []byte, actor string, at time.Time) error {
	after := &order.Document{Version: d.Version, State: order.Drafted}
	if err := Save(ctx, tx, workshop, Acted{Before: before, After: after, Document: document, Act: "change draft", Actor: actor, At: at}); err != nil {
		return err
	}
	_, err := tx.Exec(ctx, `
update dealer_order set po = $3, sidemark = $4, revision = $5, search = $6
where workshop_id = $1 and order_id = $2`, workshop, before.ID, d.PO, d.Sidemark, d.Revision, draftSearch(d))
	if err != nil {
		return fmt.Errorf("change a draft: %w", err)
	}
	return nil
}

func draftSearch(d *order.DraftDocument) string {
	fields := searchHead(d.Number, d.PO, d.Sidemark, d.Dealer, "")
	for i := range fields {
		fields[i] = fold(fields[i])
	}
	return strings.Join(fields, "\n")
}

// Complete stores what a placed order has over its draft: lines, holds, bill and
// requirements. The draft must be locked; Save stores the order itself.
func Complete(ctx context.Context, tx pgx.Tx, workshop uuid.UUID, before Stored, n NewOrder) error {
	lines, err := lineColumns(n.Order)
	if err != nil {
		return err
	}
	o, holds, found := n.Order, holdColumns(n.Order), searchedOf(n.Order)
	_, err = tx.Exec(ctx, `
with placed as (
    update dealer_order set revision = $4, po = $5, po_guard = nullif($6, ''), sidemark = $7, ship_to = $8, requested = $9, ship_complete = $10,
        received_at = $11, search = $12, products = $28, fabrics = $29
    where workshop_id = $1 and order_id = $3
), lines as (
    insert into order_line (workshop_id, dealer_id, order_id, revision, line, product, quantity, configuration, ways, net_cents)
    select $1, $2, $3, $4, l.line, l.product, l.quantity, l.configuration::jsonb, l.ways::jsonb, l.net_cents
    from unnest($13::smallint[], $14::text[], $15::integer[], $16::text[], $27::text[], $17::bigint[])
        as l (line, product, quantity, configuration, ways, net_cents)
), holds as (
    insert into order_hold (workshop_id, dealer_id, order_id, seq, line, kind, reason, placed_at, placed_by)
    select $1, $2, $3, h.seq, h.line, h.kind, h.reason, $11, $22
    from unnest($18::smallint[], $19::smallint[], $20::text[], $21::text[]) as h (seq, line, kind, reason)
)
insert into bill (workshop_id, dealer_id, order_id, bill_version, revision, arithmetic, sha256, document, made_at)
values ($1, $2, $3, $23, $4, $24, $25, $26, $11)`,
		workshop, before.Dealer, before.ID, o.Revision, o.PO, n.POGuard, o.Sidemark, o.ShipTo, maybeDay(o.Requested), o.ShipComplete,
		o.ReceivedAt, found.text, lines.line, lines.product, lines.quantity, lines.configuration, lines.net,
		holds.seq, holds.line, holds.kind, holds.reason, n.Audit.Actor, o.BillVersion, bom.Arithmetic, n.BillHash[:], n.Bill, lines.ways, found.products, found.fabrics)
	if err != nil {
		return fmt.Errorf("place a draft: %w", err)
	}
	if o.Test {
		return nil
	}
	if err := ReplaceLoad(ctx, tx, workshop, before, n.Load); err != nil {
		return err
	}
	return ReplaceRequirements(ctx, tx, workshop, before, o.BillVersion, n.Requirements)
}

// PlaceQuote stores that a locked quote is an order; Save stores the order
// itself.
func PlaceQuote(ctx context.Context, tx pgx.Tx, workshop uuid.UUID, before Stored, d *order.Document, guard string) error {
	_, err := tx.Exec(ctx, `
update dealer_order set po = $3, po_guard = nullif($4, ''), received_at = $5,
    search = array_to_string((string_to_array(search, E'\n'))[:$7 - 1] || $6::text || (string_to_array(search, E'\n'))[$7 + 1:], E'\n')
where workshop_id = $1 and order_id = $2`, workshop, before.ID, d.PO, guard, d.ReceivedAt, fold(d.PO), searchPO)
	if err != nil {
		return fmt.Errorf("place a quote: %w", err)
	}
	return nil
}
