package orderdb

import (
	"context"
	"errors"
	"fmt"
	"strings"
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

// Filter says which orders a page shows: those to which all of it applies. Its
// zero value is the newest orders.
type Filter struct {
	// Dealer is a dealer's code, or "" for all that the transaction may see.
	Dealer string
	// Text is a fragment of number, purchase order number, sidemark, dealer,
	// product or fabric; Number, PO and Sidemark are fragments of that field. Case
	// and runs of spaces do not matter.
	Text, Number, PO, Sidemark string
	State                      order.State
	// Product and Fabric are codes, Hold the kind of a hold that stands.
	Product, Fabric, Hold string
	// The first and the last day of each, or nil. Received is by the days of Zone,
	// UTC if nil.
	ReceivedFrom, ReceivedTo *calendar.Date
	PromisedFrom, PromisedTo *calendar.Date
	Zone                     *time.Location
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
	for _, fragment := range []string{f.Text, f.Number, f.PO, f.Sidemark, f.Product, f.Fabric, f.Hold} {
		if !findable(fragment) {
			return nil, nil
		}
	}
	rows, err := tx.Query(ctx, `
select o.order_id, coalesce(o.number, ''), o.dealer_id, o.po, o.sidemark, o.state, o.test, o.promise, o.net_cents, o.received_at, o.products
from dealer_order o
where `+f.where()+`
order by o.order_id desc
limit @limit`, f.named(workshop))
	if err != nil {
		return nil, fmt.Errorf("list orders: %w", err)
	}
	page, err := pgx.CollectRows(rows, scanSummary)
	if err != nil {
		return nil, fmt.Errorf("list orders: %w", err)
	}
	return page, nil
}

// where is the condition of the filter: only what is asked for stands in it, the
// values never do.
func (f *Filter) where() string {
	all := []string{"o.workshop_id = @workshop", "o.order_id < @before"}
	for _, one := range []struct {
		asked     bool
		condition string
	}{
		{f.Dealer != "", "o.dealer_id = @dealer"},
		{f.State != "", "o.state = @state"},
		{f.Text != "", "strpos(o.search, @text) > 0"},
		{f.Number != "", "strpos(split_part(o.search, E'\n', @number_line), @number) > 0"},
		{f.PO != "", "strpos(split_part(o.search, E'\n', @po_line), @po) > 0"},
		{f.Sidemark != "", "strpos(split_part(o.search, E'\n', @sidemark_line), @sidemark) > 0"},
		{f.Product != "", "@product = any(o.products)"},
		{f.Fabric != "", "@fabric = any(o.fabrics)"},
		{f.Hold != "", "exists (select from order_hold h where h.workshop_id = o.workshop_id and h.kind = @hold and h.order_id = o.order_id and h.lifted_at is null)"},
		{f.ReceivedFrom != nil, "o.received_at >= @received_from"},
		{f.ReceivedTo != nil, "o.received_at < @received_to"},
		{f.PromisedFrom != nil, "o.promise >= @promised_from"},
		{f.PromisedTo != nil, "o.promise <= @promised_to"},
	} {
		if one.asked {
			all = append(all, one.condition)
		}
	}
	return strings.Join(all, " and ")
}

func (f *Filter) named(workshop uuid.UUID) pgx.NamedArgs {
	before := f.Before
	if before == uuid.Nil {
		before = uuid.Max
	}
	number, line := fold(f.Number), searchNumber
	if !strings.Contains(number, "-") { // people leave the hyphen out
		line++
	}
	return pgx.NamedArgs{
		"workshop": workshop, "before": before, "dealer": f.Dealer, "state": string(f.State), "text": fold(f.Text),
		"number": number, "number_line": line, "po": fold(f.PO), "po_line": searchPO, "sidemark": fold(f.Sidemark), "sidemark_line": searchSidemark,
		"product": f.Product, "fabric": f.Fabric, "hold": f.Hold, "received_from": f.dayBegins(f.ReceivedFrom, 0), "received_to": f.dayBegins(f.ReceivedTo, 1),
		"promised_from": maybeDay(f.PromisedFrom), "promised_to": maybeDay(f.PromisedTo), "limit": f.Limit,
	}
}

// dayBegins is the instant at which a day begins, or the day after it by later.
func (f *Filter) dayBegins(day *calendar.Date, later int) *time.Time {
	if day == nil {
		return nil
	}
	zone := f.Zone
	if zone == nil {
		zone = time.UTC
	}
	at := time.Date(day.Year, day.Month, day.Day+later, 0, 0, 0, 0, zone)
	return &at
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
	// Last is the last version of the order's bill.
	Last int
}

// Bill reads a version of an order's bill, 0 for the last. Without it:
// ErrNoOrder.
func Bill(ctx context.Context, tx pgx.Tx, workshop uuid.UUID, number string, version int) (StoredBill, error) {
	var b StoredBill
	var hash []byte
	err := tx.QueryRow(ctx, `
select b.bill_version, b.revision, b.arithmetic, b.sha256, b.document, b.made_at,
    (select max(l.bill_version) from bill l where l.workshop_id = b.workshop_id and l.order_id = b.order_id)
from dealer_order o
join bill b on b.workshop_id = o.workshop_id and b.order_id = o.order_id
where o.workshop_id = $1 and o.number = $2 and ($3 = 0 or b.bill_version = $3)
order by b.bill_version desc
limit 1`, workshop, number, version).
		Scan(&b.Version, &b.Revision, &b.Arithmetic, &hash, &b.Document, &b.MadeAt, &b.Last)
	if errors.Is(err, pgx.ErrNoRows) {
		return StoredBill{}, ErrNoOrder
	}
	if err != nil {
		return StoredBill{}, fmt.Errorf("find a bill: %w", err)
	}
	copy(b.Hash[:], hash)
	return b, nil
}
