package orderdb

import (
	"context"
	"fmt"
	"time"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"

	"billwright/bom/order"
)

// Link is one line of how an order came of another.
type Link struct {
	// Of is the number of the order that Order came of.
	Of, Order string
	Relation  string
	// State is that of Order.
	State order.State
	order.Taken
	At time.Time
	By string
}

// AddLinks stores how an order came of a locked one.
func AddLinks(ctx context.Context, tx pgx.Tx, workshop uuid.UUID, of Stored, made uuid.UUID, relation string, taken []order.Taken, at time.Time, by string) error {
	for i, t := range taken {
		_, err := tx.Exec(ctx, `
insert into order_link (workshop_id, dealer_id, of_order_id, order_id, seq, relation, line, unit, path, quantity, linked_at, linked_by)
values ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11, $12)`,
			workshop, of.Dealer, of.ID, made, i+1, relation, t.Line, t.Unit, t.Path, t.Quantity, at, by)
		if err != nil {
			return fmt.Errorf("link an order to the one it came of: %w", err)
		}
	}
	return nil
}

// Links lists the orders that an order came of and those that came of it, oldest
// first.
func Links(ctx context.Context, tx pgx.Tx, workshop, id uuid.UUID) ([]Link, error) {
	rows, err := tx.Query(ctx, `
select f.number, o.number, l.relation, o.state, l.line, l.unit, l.path, l.quantity, l.linked_at, l.linked_by
from order_link l
join dealer_order o on o.workshop_id = l.workshop_id and o.order_id = l.order_id
join dealer_order f on f.workshop_id = l.workshop_id and f.order_id = l.of_order_id
where l.workshop_id = $1 and (l.of_order_id = $2 or l.order_id = $2)
order by l.order_id, l.seq`, workshop, id)
	if err != nil {
		return nil, fmt.Errorf("list the links of an order: %w", err)
	}
	links, err := pgx.CollectRows(rows, func(row pgx.CollectableRow) (Link, error) {
		var l Link
		err := row.Scan(&l.Of, &l.Order, &l.Relation, &l.State, &l.Line, &l.Unit, &l.Path, &l.Quantity, &l.At, &l.By)
		return l, err
	})
	if err != nil {
		return nil, fmt.Errorf("list the links of an order: %w", err)
	}
	return links, nil
}

// TakenOf sums what open orders of a relation take of a locked order: those that
// have neither shipped nor been cancelled.
func TakenOf(ctx context.Context, tx pgx.Tx, workshop, id uuid.UUID, relation string) ([]order.Taken, error) {
	rows, err := tx.Query(ctx, `
select l.line, l.unit, l.path, sum(l.quantity)::integer
from order_link l
join dealer_order o on o.workshop_id = l.workshop_id and o.order_id = l.order_id
where l.workshop_id = $1 and l.of_order_id = $2 and l.relation = $3 and o.state not in ('shipped', 'closed', 'cancelled')
group by l.line, l.unit, l.path
order by l.line, l.unit, l.path`, workshop, id, relation)
	if err != nil {
		return nil, fmt.Errorf("sum what is taken of an order: %w", err)
	}
	taken, err := pgx.CollectRows(rows, func(row pgx.CollectableRow) (order.Taken, error) {
		var t order.Taken
		err := row.Scan(&t.Line, &t.Unit, &t.Path, &t.Quantity)
		return t, err
	})
	if err != nil {
		return nil, fmt.Errorf("sum what is taken of an order: %w", err)
	}
	return taken, nil
}
