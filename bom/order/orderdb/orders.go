package orderdb

import (
	"context"
	"errors"
	"fmt"
	"time"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"

	"billwright/bom/order"
	"billwright/catalog/calendar"
	"billwright/catalog/unit"
)

// ErrNoOrder tells that there is no such order, or none that the transaction
// may see.
var ErrNoOrder = errors.New("no such order")

// Stored is an order as stored. Document is the JSON that the interface shows.
type Stored struct {
	ID       uuid.UUID
	Number   string
	Version  int
	State    order.State
	Test     bool
	Dealer   string
	Revision int
	Document []byte
}

// Find reads an order by its number as spelled by order.NumberOf. Without one:
// ErrNoOrder.
func Find(ctx context.Context, tx pgx.Tx, workshop uuid.UUID, number string) (Stored, error) {
	var s Stored
	err := tx.QueryRow(ctx, `
select order_id, number, version, state, test, dealer_id, revision, document
from dealer_order
where workshop_id = $1 and number = $2`, workshop, number).
		Scan(&s.ID, &s.Number, &s.Version, &s.State, &s.Test, &s.Dealer, &s.Revision, &s.Document)
	if errors.Is(err, pgx.ErrNoRows) {
		return Stored{}, ErrNoOrder
	}
	if err != nil {
		return Stored{}, fmt.Errorf("find an order: %w", err)
	}
	return s, nil
}

// ByPO gives the number of a dealer's order that guards a purchase order number,
// folded as by order.FoldPO. Without one: ErrNoOrder.
func ByPO(ctx context.Context, tx pgx.Tx, workshop uuid.UUID, dealer, guard string) (string, error) {
	var number string
	err := tx.QueryRow(ctx, `
select number
from dealer_order
where workshop_id = $1 and dealer_id = $2 and po_guard = $3`, workshop, dealer, guard).Scan(&number)
	if errors.Is(err, pgx.ErrNoRows) {
		return "", ErrNoOrder
	}
	if err != nil {
		return "", fmt.Errorf("find an order by its purchase order number: %w", err)
	}
	return number, nil
}

// Filter says which orders a page shows. Its zero value is the newest orders.
type Filter struct {
	// Dealer is a dealer's code, or "" for all that the transaction may see.
	Dealer string
	// Text is a fragment of number, purchase order number, sidemark, dealer or
	// product; case and runs of spaces do not matter.
	Text  string
	State order.State
	// Before is the last order of the page before, or zero for the first page.
	Before uuid.UUID
	// Limit is the most orders of a page, at least 1.
	Limit int
}

// Summary is a row of a page.
type Summary struct {
	ID       uuid.UUID
	Number   string
	Dealer   string
	PO       string
	Sidemark string
	State    order.State
	Test     bool
	Promise  *calendar.Date
	// Net is nil while a line is to be quoted.
	Net        *unit.Money
	ReceivedAt time.Time
	// Products are the codes of the order's products, in the order of its lines.
	Products []string
}

// Page lists orders, newest first by their UUIDv7. As ids neither change nor
// repeat, a walk sees each order that was there when it began exactly once,
// whatever is inserted meanwhile.
func Page(ctx context.Context, tx pgx.Tx, workshop uuid.UUID, f Filter) ([]Summary, error) {
	if !findable(f.Text) {
		return nil, nil
	}
	before := f.Before
	if before == uuid.Nil {
		before = uuid.Max
	}
	rows, err := tx.Query(ctx, `
select o.order_id, coalesce(o.number, ''), o.dealer_id, o.po, o.sidemark, o.state, o.test, o.promise, o.net_cents, o.received_at,
    array(select l.product from order_line l where l.workshop_id = o.workshop_id and l.order_id = o.order_id group by l.product order by min(l.line))
from dealer_order o
where o.workshop_id = $1 and o.order_id < $2 and ($3 = '' or o.dealer_id = $3) and ($4 = '' or o.state = $4) and ($5 = '' or strpos(o.search, $5) > 0)
order by o.order_id desc
limit $6`, workshop, before, f.Dealer, string(f.State), fold(f.Text), f.Limit)
	if err != nil {
		return nil, fmt.Errorf("list orders: %w", err)
	}
	page, err := pgx.CollectRows(rows, scanSummary)
	if err != nil {
		return nil, fmt.Errorf("list orders: %w", err)
	}
	return page, nil
}

func scanSummary(row pgx.CollectableRow) (Summary, error) {
	var s Summary
	var promise *time.Time
	err := row.Scan(&s.ID, &s.Number, &s.Dealer, &s.PO, &s.Sidemark, &s.State, &s.Test, &promise, &s.Net, &s.ReceivedAt, &s.Products)
	if promise != nil {
		day := calendar.DateOf(*promise)
		s.Promise = &day
	}
	return s, err
}

// StoredBill is a bill as stored, never reckoned again.
type StoredBill struct {
	Version    int
	Revision   int
	Arithmetic int
	Hash       [32]byte
	Document   []byte
	MadeAt     time.Time
}

// Bill reads a version of an order's bill, 0 for the last. Without it:
// ErrNoOrder.
func Bill(ctx context.Context, tx pgx.Tx, workshop uuid.UUID, number string, version int) (StoredBill, error) {
	var b StoredBill
	var hash []byte
	err := tx.QueryRow(ctx, `
select b.bill_version, b.revision, b.arithmetic, b.sha256, b.document, b.made_at
from dealer_order o
join bill b on b.workshop_id = o.workshop_id and b.order_id = o.order_id
where o.workshop_id = $1 and o.number = $2 and ($3 = 0 or b.bill_version = $3)
order by b.bill_version desc
limit 1`, workshop, number, version).
		Scan(&b.Version, &b.Revision, &b.Arithmetic, &hash, &b.Document, &b.MadeAt)
	if errors.Is(err, pgx.ErrNoRows) {
		return StoredBill{}, ErrNoOrder
	}
	if err != nil {
		return StoredBill{}, fmt.Errorf("find a bill: %w", err)
	}
	copy(b.Hash[:], hash)
	return b, nil
}
