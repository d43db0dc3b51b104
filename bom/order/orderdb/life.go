package orderdb

import (
	"context"
	"errors"
	"fmt"
	"time"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"

	"billwright/bom/demand"
	"billwright/bom/order"
	"billwright/catalog/calendar"
)

// Lock reads an order as Find does and keeps every other act away from it until
// the transaction ends. Without one: ErrNoOrder.
func Lock(ctx context.Context, tx pgx.Tx, workshop uuid.UUID, number string) (Stored, error) {
	var s Stored
	err := tx.QueryRow(ctx, `
select order_id, number, version, state, test, dealer_id, revision, document
from dealer_order
where workshop_id = $1 and number = $2
for update`, workshop, number).
		Scan(&s.ID, &s.Number, &s.Version, &s.State, &s.Test, &s.Dealer, &s.Revision, &s.Document)
	if errors.Is(err, pgx.ErrNoRows) {
		return Stored{}, ErrNoOrder
	}
	if err != nil {
		return Stored{}, fmt.Errorf("lock an order: %w", err)
	}
	return s, nil
}

// Acted is what an act made of an order.
type Acted struct {
	// Before is the order as it was locked.
	Before Stored
	// After is what it is now, its version one more than before.
	After    *order.Document
	Document []byte
	Act      order.Act
	Actor    string
	At       time.Time
}

// Save stores what an act made of an order and keeps the version before it. An
// order that is shipped or cancelled frees the departments. It must be locked.
func Save(ctx context.Context, tx pgx.Tx, workshop uuid.UUID, a Acted) error {
	b := &a.Before
	var promise *time.Time
	if a.After.Promise.Valid() {
		promise = maybeDay(&a.After.Promise)
	}
	news, err := order.NewsOf(b.Document, a.After, a.Act)
	if err != nil {
		return err
	}
	newsID, err := uuid.NewV7()
	if err != nil {
		return fmt.Errorf("draw an id: %w", err)
	}
	done, err := tx.Exec(ctx, `
with kept as (
    insert into order_version (workshop_id, dealer_id, order_id, version, state, document, ended_at, ended_by, act)
    values ($1, $2, $3, $4, $5, $6, $7, $8, $9)
), told as (
    insert into order_news (workshop_id, epoch, xact, news_id, dealer_id, order_id, version, act, what, state, promise, holds, at)
    select $1, w.news_epoch, pg_current_xact_id(), $16, $2, $3, $10, $9, $17, $11, $12, $18, $7
    from workshop w where w.workshop_id = $1
), freed as (
    delete from department_load
    where workshop_id = $1 and order_id = $3 and $11 in ('shipped', 'closed', 'cancelled')
)
update dealer_order set version = $10, state = $11, promise = $12, net_cents = $13, valid_until = $14, document = $15
where workshop_id = $1 and order_id = $3 and version = $4`,
		workshop, b.Dealer, b.ID, b.Version, string(b.State), b.Document, a.At, a.Actor, string(a.Act),
		a.After.Version, string(a.After.State), promise, (*int64)(a.After.Net), maybeDay(a.After.ValidUntil), a.Document, newsID, news.What, news.Holds)
	if err != nil {
		return fmt.Errorf("store an act: %w", err)
	}
	if done.RowsAffected() != 1 {
		return fmt.Errorf("store an act: order %s is no longer at version %d", b.Number, b.Version)
	}
	return nil
}

// Ended is a version that is no longer the order's last.
type Ended struct {
	Version int
	State   order.State
	Act     order.Act
	At      time.Time
	By      string
}

// Versions lists the versions of an order that came to an end, from the given
// one on, each with the act that ended it.
func Versions(ctx context.Context, tx pgx.Tx, workshop, id uuid.UUID, from int) ([]Ended, error) {
	rows, err := tx.Query(ctx, `
select version, state, act, ended_at, ended_by
from order_version
where workshop_id = $1 and order_id = $2 and version >= $3
order by version`, workshop, id, from)
	if err != nil {
		return nil, fmt.Errorf("list the versions of an order: %w", err)
	}
	versions, err := pgx.CollectRows(rows, func(row pgx.CollectableRow) (Ended, error) {
		var e Ended
		err := row.Scan(&e.Version, &e.State, &e.Act, &e.At, &e.By)
		return e, err
	})
	if err != nil {
		return nil, fmt.Errorf("list the versions of an order: %w", err)
	}
	return versions, nil
}

// Version reads the document of a version that came to an end. Without it:
// ErrNoOrder.
func Version(ctx context.Context, tx pgx.Tx, workshop, id uuid.UUID, version int) ([]byte, error) {
	var document []byte
	err := tx.QueryRow(ctx, `
select document
from order_version
where workshop_id = $1 and order_id = $2 and version = $3`, workshop, id, version).Scan(&document)
	if errors.Is(err, pgx.ErrNoRows) {
		return nil, ErrNoOrder
	}
	if err != nil {
		return nil, fmt.Errorf("read a version of an order: %w", err)
	}
	return document, nil
}

// Billed reads the document of the first version of an order that had a version
// of its bill: the very lines and the day that the bill was made of. Without it:
// ErrNoOrder.
func Billed(ctx context.Context, tx pgx.Tx, workshop, id uuid.UUID, bill int) ([]byte, error) {
	var document []byte
	// What a draft holds was entered by anybody; it has no bill and is not read.
	err := tx.QueryRow(ctx, `
select v.document
from (
    select version, state, document from order_version where workshop_id = $1 and order_id = $2
    union all
    select version, state, document from dealer_order where workshop_id = $1 and order_id = $2
) as v
where case when v.state = 'draft' then 0 else (convert_from(v.document, 'UTF8')::json -> 'bill' ->> 'version')::integer end = $3
order by v.version
limit 1`, workshop, id, bill).Scan(&document)
	if errors.Is(err, pgx.ErrNoRows) {
		return nil, ErrNoOrder
	}
	if err != nil {
		return nil, fmt.Errorf("read the version of an order that had bill %d: %w", bill, err)
	}
	return document, nil
}

// AddHold stores a hold that was placed by an act.
func AddHold(ctx context.Context, tx pgx.Tx, workshop uuid.UUID, s Stored, h order.Hold, at time.Time, by string) error {
	_, err := tx.Exec(ctx, `
insert into order_hold (workshop_id, dealer_id, order_id, seq, line, kind, reason, placed_at, placed_by)
values ($1, $2, $3, $4, $5, $6, $7, $8, $9)`, workshop, s.Dealer, s.ID, h.Seq, h.Line, h.Kind, h.Reason, at, by)
	if err != nil {
		return fmt.Errorf("store a hold: %w", err)
	}
	return nil
}

// EndHold stores that a hold was lifted.
func EndHold(ctx context.Context, tx pgx.Tx, workshop uuid.UUID, s Stored, seq int, at time.Time, by string) error {
	done, err := tx.Exec(ctx, `
update order_hold set lifted_at = $4, lifted_by = $5
where workshop_id = $1 and order_id = $2 and seq = $3 and lifted_at is null`, workshop, s.ID, seq, at, by)
	if err != nil {
		return fmt.Errorf("store that a hold was lifted: %w", err)
	}
	if done.RowsAffected() != 1 {
		return fmt.Errorf("store that a hold was lifted: order %s has no standing hold %d", s.Number, seq)
	}
	return nil
}

// Requirements reads what an order needs, in the order of its bill.
func Requirements(ctx context.Context, tx pgx.Tx, workshop, id uuid.UUID) ([]demand.Requirement, error) {
	rows, err := tx.Query(ctx, `
select week, need_by, line, seq, unit, path, kind, item, pieces, coalesce(length_nm, 0), coalesce(width_nm, 0), amount, measure, firm, surplus
from requirement
where workshop_id = $1 and order_id = $2
order by seq, week`, workshop, id)
	if err != nil {
		return nil, fmt.Errorf("read what an order needs: %w", err)
	}
	list, err := pgx.CollectRows(rows, func(row pgx.CollectableRow) (demand.Requirement, error) {
		var r demand.Requirement
		var week, needBy time.Time
		err := row.Scan(&week, &needBy, &r.Line, &r.Seq, &r.Unit, &r.Path, &r.Kind, &r.Item, &r.Pieces, &r.Length, &r.Width, &r.Amount, &r.Measure, &r.Firm, &r.Surplus)
		r.Week, r.NeedBy = calendar.DateOf(week), calendar.DateOf(needBy)
		return r, err
	})
	if err != nil {
		return nil, fmt.Errorf("read what an order needs: %w", err)
	}
	return list, nil
}

// ReplaceRequirements stores what an order needs in place of what it needed.
func ReplaceRequirements(ctx context.Context, tx pgx.Tx, workshop uuid.UUID, s Stored, billVersion int, rows []demand.Requirement) error {
	c, err := requirementRows(rows)
	if err != nil {
		return err
	}
	if _, err := tx.Exec(ctx, `
delete from requirement where workshop_id = $1 and order_id = $2`, workshop, s.ID); err != nil {
		return fmt.Errorf("take away what an order needed: %w", err)
	}
	_, err = tx.Exec(ctx, `
insert into requirement (workshop_id, dealer_id, order_id, bill_version,
    week, line, seq, unit, path, kind, item, pieces, length_nm, width_nm, amount, measure, need_by, firm, surplus, leads)
select $1, $2, $3, $4, r.week, r.line, r.seq, r.unit, r.path, r.kind, r.item, r.pieces, nullif(r.length_nm, 0), nullif(r.width_nm, 0), r.amount, r.measure, r.need_by, r.firm, r.surplus, r.leads
from unnest($5::date[], $6::smallint[], $7::smallint[], $8::smallint[], $9::text[], $10::text[], $11::text[],
    $12::integer[], $13::bigint[], $19::bigint[], $14::bigint[], $15::text[], $16::date[], $17::boolean[], $18::boolean[], $20::boolean[])
    as r (week, line, seq, unit, path, kind, item, pieces, length_nm, width_nm, amount, measure, need_by, firm, surplus, leads)`,
		workshop, s.Dealer, s.ID, billVersion,
		c.week, c.line, c.seq, c.unit, c.path, c.kind, c.item, c.pieces, c.length, c.amount, c.measure, c.needBy, c.firm, c.surplus, c.width, c.leads)
	if err != nil {
		return fmt.Errorf("store what an order needs: %w", err)
	}
	return nil
}
