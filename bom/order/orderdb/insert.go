// Package orderdb stores orders with their bills and everything that is
// answered from them. Every function runs in the caller's transaction (package
// tenancy) and names the workshop besides.
package orderdb

import (
	"context"
	"errors"
	"fmt"
	"math"
	"time"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"
	"github.com/jackc/pgx/v5/pgconn"

	"billwright/bom"
	"billwright/bom/demand"
	"billwright/bom/load"
	"billwright/bom/order"
	"billwright/catalog/calendar"
)

// NewOrder is an order ready to be stored.
type NewOrder struct {
	Order *order.Order
	// Document is the order as the interface shows it, Bill the bill's document
	// and BillHash its hash.
	Document, Bill []byte
	BillHash       [32]byte
	// Requirements and Load are not stored for a test order, Load not for a quote
	// either: it takes nothing until it is placed.
	Requirements []demand.Requirement
	// Load is what the order takes of departments.
	Load []load.Row
	// Idempotency is nil when the order came without a key.
	Idempotency *Idempotency
	Audit       AuditEntry
	// POGuard is the folded purchase order number under which no second order
	// of the dealer is taken, or "" where a second one is meant.
	POGuard string
}

// AuditEntry is what the trail keeps of the act beside the order itself.
type AuditEntry struct {
	// ID is a UUIDv7; one is made when it is zero.
	ID uuid.UUID
	// Actor is who acted, mostly a key's name and id; Role is the key's.
	Actor, Role string
	// Act is what was done, such as "order received".
	Act string
	// After is JSON, or nil where there is nothing to show.
	After  []byte
	Reason string
}

// ErrDuplicatePO tells that the dealer already has an order under the purchase
// order number: Number is that order's.
type ErrDuplicatePO struct{ Number string }

func (e ErrDuplicatePO) Error() string {
	return fmt.Sprintf("order %s is already under this purchase order number", e.Number)
}

// ErrNumberTaken tells that another order has the number or the id: another
// UUID must be drawn.
var ErrNumberTaken = errors.New("another order has this number")

// ErrKeyUsed tells that another request stored its reply under the idempotency
// key meanwhile. The transaction is of no more use.
var ErrKeyUsed = errors.New("the idempotency key has been used")

// ErrKeyBusy tells that another transaction is at work under the idempotency
// key just now.
var ErrKeyBusy = errors.New("another request with this idempotency key is running")

// Insert stores an order whole, in one statement: order, lines, holds, bill,
// requirements, load, reply, audit entry and news. The same statement takes the lock of the
// idempotency key, which only spares waiting: the unique key on the stored reply
// keeps two requests apart. Errors: ErrDuplicatePO, ErrNumberTaken, ErrKeyUsed,
// ErrKeyBusy; after any of them nothing is stored. ErrDuplicatePO may be the
// order of the very key: the caller looks for its reply first.
func Insert(ctx context.Context, tx pgx.Tx, workshop uuid.UUID, n NewOrder) error {
	auditID := n.Audit.ID
	if auditID == uuid.Nil {
		id, err := uuid.NewV7()
		if err != nil {
			return fmt.Errorf("draw an id: %w", err)
		}
		auditID = id
	}
	lines, err := lineColumns(n.Order)
	if err != nil {
		return err
	}
	requirements, err := requirementColumns(n)
	if err != nil {
		return err
	}
	o, holds, reply, found, loads := n.Order, holdColumns(n.Order), replyColumns(n.Idempotency), searchedOf(n.Order), loadColumns(n.load())
	// An order refused for its number or purchase order number leaves placed
	// empty and with it all the rest. So the transaction stays of use, and can
	// be asked which order stands in the way.
	var placed int
	var held bool
	err = tx.QueryRow(ctx, `
with lock as materialized (
    select coalesce(pg_try_advisory_xact_lock($59), true) as held
), placed as (
    insert into dealer_order (workshop_id, dealer_id, order_id, number, version, state, test, revision, po, po_guard, sidemark, ship_to,
        requested, ship_complete, promise, net_cents, received_at, search, document, products, fabrics)
    select $1, $2, $3, $4, $5, $6, $7, $8, $9, nullif($10, ''), $11, $12, $13, $14, $15, $16, $17, $18, $19, $62::text[], $63::text[]
    from lock where held
    on conflict do nothing
    returning 1
), lines as (
    insert into order_line (workshop_id, dealer_id, order_id, revision, line, product, quantity, configuration, ways, net_cents)
    select $1, $2, $3, $8, l.line, l.product, l.quantity, l.configuration::jsonb, l.ways::jsonb, l.net_cents
    from placed, unnest($20::smallint[], $21::text[], $22::integer[], $23::text[], $60::text[], $24::bigint[])
        as l (line, product, quantity, configuration, ways, net_cents)
), holds as (
    insert into order_hold (workshop_id, dealer_id, order_id, seq, line, kind, reason, placed_at, placed_by)
    select $1, $2, $3, h.seq, h.line, h.kind, h.reason, $17, $29
    from placed, unnest($25::smallint[], $26::smallint[], $27::text[], $28::text[]) as h (seq, line, kind, reason)
), bills as (
    insert into bill (workshop_id, dealer_id, order_id, bill_version, revision, arithmetic, sha256, document, made_at)
    select $1, $2, $3, $35, $8, $36, $37, $38, $17 from placed
), requirements as (
    insert into requirement (workshop_id, dealer_id, order_id, bill_version,
        week, line, seq, unit, path, kind, item, pieces, length_nm, width_nm, amount, measure, need_by, firm, leads)
    select $1, $2, $3, $35, r.week, r.line, r.seq, r.unit, r.path, r.kind, r.item, r.pieces, nullif(r.length_nm, 0), nullif(r.width_nm, 0), r.amount, r.measure, r.need_by, r.firm, r.leads
    from placed, unnest($39::date[], $40::smallint[], $41::smallint[], $42::smallint[], $43::text[], $44::text[], $45::text[],
        $46::integer[], $47::bigint[], $64::bigint[], $48::bigint[], $49::text[], $50::date[], $51::boolean[], $68::boolean[])
        as r (week, line, seq, unit, path, kind, item, pieces, length_nm, width_nm, amount, measure, need_by, firm, leads)
), loads as (
    insert into department_load (workshop_id, dealer_id, order_id, department, week, tenths)
    select $1, $2, $3, l.department, l.week, l.tenths
    from placed, unnest($65::text[], $66::date[], $67::bigint[]) as l (department, week, tenths)
), replies as (
    insert into idempotency (workshop_id, dealer_id, scope, key, fingerprint, status, location, etag, reply, created_at)
    select $1, $2, i.scope, i.key, i.fingerprint, i.status, i.location, i.etag, i.reply, $17
    from placed, unnest($52::text[], $53::text[], $54::bytea[], $55::smallint[], $56::text[], $57::text[], $58::bytea[])
        as i (scope, key, fingerprint, status, location, etag, reply)
), acts as (
    insert into audit (workshop_id, audit_id, dealer_id, at, actor, role, act, subject, after, reason)
    select $1, $30, $2, $17, $29, $31, $32, $4, $33::jsonb, $34 from placed
), told as (
    insert into order_news (workshop_id, epoch, xact, news_id, dealer_id, order_id, version, act, what, state, promise, holds, at)
    select $1, w.news_epoch, pg_current_xact_id(), $3, $2, $3, $5, $32, $61, $6, $15, $27, $17
    from placed, workshop w where w.workshop_id = $1
)
select (select count(*) from placed), held from lock`,
		[16]byte(workshop), o.Dealer, [16]byte(o.ID), o.Number, o.Version, string(o.State), o.Test, o.Revision, o.PO, n.POGuard, o.Sidemark, o.ShipTo,
		maybeDay(o.Requested), o.ShipComplete, midnight(o.Promise), (*int64)(o.Net), o.ReceivedAt, found.text, n.Document,
		lines.line, lines.product, lines.quantity, lines.configuration, lines.net,
		holds.seq, holds.line, holds.kind, holds.reason,
		n.Audit.Actor, [16]byte(auditID), n.Audit.Role, n.Audit.Act, n.Audit.After, n.Audit.Reason,
		o.BillVersion, bom.Arithmetic, n.BillHash[:], n.Bill,
		requirements.week, requirements.line, requirements.seq, requirements.unit, requirements.path, requirements.kind, requirements.item,
		requirements.pieces, requirements.length, requirements.amount, requirements.measure, requirements.needBy, requirements.firm,
		reply.scope, reply.key, reply.fingerprint, reply.status, reply.location, reply.etag, reply.body,
		lockOf(workshop, n.Idempotency), lines.ways, []string{order.NewsVersion, order.NewsState, order.NewsPromise},
		found.products, found.fabrics,
		requirements.width, loads.department, loads.week, loads.tenths, requirements.leads,
	).Scan(&placed, &held)
	var refused *pgconn.PgError
	switch {
	case errors.As(err, &refused) && refused.Code == uniqueViolation && refused.ConstraintName == "idempotency_pk":
		return ErrKeyUsed
	case err != nil:
		return fmt.Errorf("store the order: %w", err)
	case !held:
		return ErrKeyBusy
	case placed == 0:
		return inTheWay(ctx, tx, workshop, n)
	}
	return nil
}

// uniqueViolation is the SQLSTATE of a unique key that is taken (PostgreSQL
// manual, appendix A).
const uniqueViolation = "23505"

// lockOf is the number of the key's advisory lock, or nil without a key.
func lockOf(workshop uuid.UUID, i *Idempotency) *int64 {
	if i == nil {
		return nil
	}
	n := lockNumber(workshop, i.Scope, i.Key)
	return &n
}

// inTheWay tells which order kept a new one out.
func inTheWay(ctx context.Context, tx pgx.Tx, workshop uuid.UUID, n NewOrder) error {
	number, err := ByPO(ctx, tx, workshop, n.Order.Dealer, n.POGuard)
	if errors.Is(err, ErrNoOrder) {
		return ErrNumberTaken
	}
	if err != nil {
		return err
	}
	return ErrDuplicatePO{Number: number}
}

// The columns of the rows below an order, as the statement unnests them.

type lines struct {
	line          []int16
	product       []string
	quantity      []int32
	configuration []string
	ways          []string
	net           []*int64
}

func lineColumns(o *order.Order) (lines, error) {
	n := len(o.Lines)
	c := lines{make([]int16, n), make([]string, n), make([]int32, n), make([]string, n), make([]string, n), make([]*int64, n)}
	for i := range o.Lines {
		line := &o.Lines[i]
		number, err := small("line", line.Number)
		if err != nil {
			return lines{}, err
		}
		c.line[i], c.product[i], c.quantity[i], c.net[i] = number, line.Config.Product.Code, int32(line.Quantity), (*int64)(line.Net)
		c.configuration[i], c.ways[i] = configuration(line.Config), texts(line.Ways)
	}
	return c, nil
}

type holds struct {
	seq, line    []int16
	kind, reason []string
}

func holdColumns(o *order.Order) holds {
	n := len(o.Holds)
	c := holds{make([]int16, n), make([]int16, n), make([]string, n), make([]string, n)}
	for i, hold := range o.Holds {
		c.seq[i], c.line[i], c.kind[i], c.reason[i] = int16(i+1), int16(hold.Line), hold.Kind, hold.Reason
	}
	return c
}

type requirements struct {
	week, needBy              []time.Time
	line, seq, unit           []int16
	path, kind, item, measure []string
	pieces                    []int32
	length, width, amount     []int64
	firm, surplus, leads      []bool
}

// load is what is stored of Load.
func (n *NewOrder) load() []load.Row {
	if n.Order.Test || n.Order.State == order.Quoted {
		return nil
	}
	return n.Load
}

func requirementColumns(o NewOrder) (requirements, error) {
	if o.Order.Test {
		return requirementRows(nil)
	}
	return requirementRows(o.Requirements)
}

func requirementRows(rows []demand.Requirement) (requirements, error) {
	n := len(rows)
	c := requirements{
		make([]time.Time, n), make([]time.Time, n), make([]int16, n), make([]int16, n), make([]int16, n),
		make([]string, n), make([]string, n), make([]string, n), make([]string, n), make([]int32, n), make([]int64, n), make([]int64, n), make([]int64, n), make([]bool, n), make([]bool, n), demand.Leads(rows),
	}
	for i := range rows {
		r := &rows[i]
		line, err1 := small("line", r.Line)
		seq, err2 := small("requirement", r.Seq)
		unit, err3 := small("unit", r.Unit)
		if err := errors.Join(err1, err2, err3); err != nil {
			return requirements{}, err
		}
		if r.Pieces > math.MaxInt32 {
			return requirements{}, fmt.Errorf("%s needs %d pieces: more than can be stored", r.Path, r.Pieces)
		}
		c.week[i], c.needBy[i], c.line[i], c.seq[i], c.unit[i] = midnight(r.Week), midnight(r.NeedBy), line, seq, unit
		c.path[i], c.kind[i], c.item[i], c.measure[i] = r.Path, r.Kind, r.Item, string(r.Measure)
		c.pieces[i], c.length[i], c.width[i], c.amount[i], c.firm[i] = int32(r.Pieces), int64(r.Length), int64(r.Width), r.Amount, r.Firm
		c.surplus[i] = r.Surplus
	}
	return c, nil
}

type replies struct {
	scope, key        []string
	fingerprint, body [][]byte
	status            []int16
	location, etag    []string
}

func replyColumns(i *Idempotency) replies {
	if i == nil {
		return replies{}
	}
	return replies{
		[]string{i.Scope}, []string{i.Key}, [][]byte{i.Fingerprint[:]}, [][]byte{i.Body},
		[]int16{int16(i.Status)}, []string{i.Location}, []string{i.ETag},
	}
}

// small refuses a number that the column would not take.
func small(what string, n int) (int16, error) {
	if n < 0 || n > math.MaxInt16 {
		return 0, fmt.Errorf("%s %d is outside 0 to %d: split the order", what, n, math.MaxInt16)
	}
	return int16(n), nil
}

func midnight(d calendar.Date) time.Time {
	return time.Date(d.Year, d.Month, d.Day, 0, 0, 0, 0, time.UTC)
}

func maybeDay(d *calendar.Date) *time.Time {
	if d == nil {
		return nil
	}
	t := midnight(*d)
	return &t
}
