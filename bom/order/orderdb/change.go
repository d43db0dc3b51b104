package orderdb

import (
	"context"
	"errors"
	"fmt"
	"time"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"

	"billwright/bom"
	"billwright/bom/order"
)

// ErrNoChange tells that an order has no change of a number.
var ErrNoChange = errors.New("no such change")

// StoredChange is a proposed change as stored.
type StoredChange struct {
	Change  int
	Version int
	// Request and Difference are JSON.
	Request, Difference []byte
	Reason              string
	At                  time.Time
	By                  string
	// Decision is "", "approved" or "declined".
	Decision  string
	DecidedAt *time.Time
	DecidedBy string
}

// AddChange stores a proposal for a locked order and gives its number.
func AddChange(ctx context.Context, tx pgx.Tx, workshop uuid.UUID, s Stored, c StoredChange) (int, error) {
	var number int
	err := tx.QueryRow(ctx, `
insert into change_order (workshop_id, dealer_id, order_id, change, version, request, difference, reason, proposed_at, proposed_by)
select $1, $2, $3, coalesce(max(c.change), 0) + 1, $4, $5, $6, $7, $8, $9
from change_order c
where c.workshop_id = $1 and c.order_id = $3
returning change`, workshop, s.Dealer, s.ID, s.Version, c.Request, c.Difference, c.Reason, c.At, c.By).Scan(&number)
	if err != nil {
		return 0, fmt.Errorf("store a proposed change: %w", err)
	}
	return number, nil
}

// FindChange reads a proposed change. Without it: ErrNoChange.
func FindChange(ctx context.Context, tx pgx.Tx, workshop, id uuid.UUID, number int) (StoredChange, error) {
	var c StoredChange
	err := tx.QueryRow(ctx, `
select change, version, request, difference, reason, proposed_at, proposed_by, coalesce(decision, ''), decided_at, coalesce(decided_by, '')
from change_order
where workshop_id = $1 and order_id = $2 and change = $3`, workshop, id, number).
		Scan(&c.Change, &c.Version, &c.Request, &c.Difference, &c.Reason, &c.At, &c.By, &c.Decision, &c.DecidedAt, &c.DecidedBy)
	if errors.Is(err, pgx.ErrNoRows) {
		return StoredChange{}, ErrNoChange
	}
	if err != nil {
		return StoredChange{}, fmt.Errorf("find a proposed change: %w", err)
	}
	return c, nil
}

// Changes reads the proposed changes of an order whose numbers are below one, the
// newest first, at most so many, without what was asked and its difference.
func Changes(ctx context.Context, tx pgx.Tx, workshop, id uuid.UUID, below, limit int) ([]StoredChange, error) {
	rows, err := tx.Query(ctx, `
select change, version, reason, proposed_at, proposed_by, coalesce(decision, ''), decided_at, coalesce(decided_by, '')
from change_order
where workshop_id = $1 and order_id = $2 and change < $3
order by change desc
limit $4`, workshop, id, below, limit)
	if err != nil {
		return nil, fmt.Errorf("list proposed changes: %w", err)
	}
	list, err := pgx.CollectRows(rows, func(row pgx.CollectableRow) (c StoredChange, err error) {
		err = row.Scan(&c.Change, &c.Version, &c.Reason, &c.At, &c.By, &c.Decision, &c.DecidedAt, &c.DecidedBy)
		return c, err
	})
	if err != nil {
		return nil, fmt.Errorf("list proposed changes: %w", err)
	}
	return list, nil
}

// Decide stores the decision on a change of a locked order that has none yet.
func Decide(ctx context.Context, tx pgx.Tx, workshop, id uuid.UUID, number int, decision string, at time.Time, by string) error {
	done, err := tx.Exec(ctx, `
update change_order set decision = $4, decided_at = $5, decided_by = $6
where workshop_id = $1 and order_id = $2 and change = $3 and decision is null`, workshop, id, number, decision, at, by)
	if err != nil {
		return fmt.Errorf("store the decision on a change: %w", err)
	}
	if done.RowsAffected() != 1 {
		return fmt.Errorf("store the decision on a change: change %d is decided", number)
	}
	return nil
}

// Apply stores what an approved change makes of the rows below a locked order:
// its fields, lines and, where it is another, its bill. Save stores the order
// itself.
func Apply(ctx context.Context, tx pgx.Tx, workshop uuid.UUID, before Stored, c *order.Changed, at time.Time) error {
	lines, err := lineColumns(&order.Order{Lines: c.Lines})
	if err != nil {
		return err
	}
	d := c.After
	for i := range d.Lines { // what nobody touched keeps its price
		if d.Lines[i].Price != nil {
			lines.net[i] = (*int64)(d.Lines[i].Price.Net)
		}
	}
	if _, err := tx.Exec(ctx, `
delete from order_line where workshop_id = $1 and order_id = $2`, workshop, before.ID); err != nil {
		return fmt.Errorf("take away the lines of a changed order: %w", err)
	}
	found := searchedOf(&order.Order{Number: d.Number, PO: d.PO, Sidemark: d.Sidemark, Dealer: d.Dealer, DealerName: d.DealerName, Lines: c.Lines, Bill: c.Bill})
	_, err = tx.Exec(ctx, `
with changed as (
    update dealer_order set revision = $4, sidemark = $5, ship_to = $6, requested = $7, ship_complete = $8, search = $9, products = $16, fabrics = $17
    where workshop_id = $1 and order_id = $3
)
insert into order_line (workshop_id, dealer_id, order_id, revision, line, product, quantity, configuration, ways, net_cents)
select $1, $2, $3, $4, l.line, l.product, l.quantity, l.configuration::jsonb, l.ways::jsonb, l.net_cents
from unnest($10::smallint[], $11::text[], $12::integer[], $13::text[], $14::text[], $15::bigint[])
    as l (line, product, quantity, configuration, ways, net_cents)`,
		workshop, before.Dealer, before.ID, d.Revision, d.Sidemark, d.ShipTo, maybeDay(d.Requested), d.ShipComplete, found.text,
		lines.line, lines.product, lines.quantity, lines.configuration, lines.ways, lines.net, found.products, found.fabrics)
	if err != nil {
		return fmt.Errorf("store the lines of a changed order: %w", err)
	}
	if !c.NewBill {
		return nil
	}
	hash := bom.Hash(c.BillDocument)
	_, err = tx.Exec(ctx, `
insert into bill (workshop_id, dealer_id, order_id, bill_version, revision, arithmetic, sha256, document, made_at)
values ($1, $2, $3, $4, $5, $6, $7, $8, $9)`, workshop, before.Dealer, before.ID, d.Bill.Version, d.Revision, d.Bill.Arithmetic, hash[:], c.BillDocument, at)
	if err != nil {
		return fmt.Errorf("store the bill of a changed order: %w", err)
	}
	return nil
}
