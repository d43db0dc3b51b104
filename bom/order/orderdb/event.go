package orderdb

import (
	"context"
	"fmt"
	"time"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"

	"billwright/bom/order"
)

// Events lists what the shop told of an order, oldest first.
func Events(ctx context.Context, tx pgx.Tx, workshop, id uuid.UUID) ([]order.ShopEvent, error) {
	rows, err := tx.Query(ctx, `
select seq, event, says, line, unit, path, pieces, note, at, told_by
from shop_event
where workshop_id = $1 and order_id = $2
order by seq`, workshop, id)
	if err != nil {
		return nil, fmt.Errorf("list the events of an order: %w", err)
	}
	events, err := pgx.CollectRows(rows, func(row pgx.CollectableRow) (order.ShopEvent, error) {
		var e order.ShopEvent
		err := row.Scan(&e.Seq, &e.Event, &e.Says, &e.Line, &e.Unit, &e.Path, &e.Pieces, &e.Note, &e.At, &e.By)
		e.At = e.At.UTC()
		return e, err
	})
	if err != nil {
		return nil, fmt.Errorf("list the events of an order: %w", err)
	}
	return events, nil
}

// AddEvent stores an event of a locked order.
func AddEvent(ctx context.Context, tx pgx.Tx, workshop uuid.UUID, s Stored, e order.ShopEvent, told time.Time) error {
	_, err := tx.Exec(ctx, `
insert into shop_event (workshop_id, dealer_id, order_id, seq, event, says, line, unit, path, pieces, note, at, told_at, told_by)
values ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11, $12, $13, $14)`,
		workshop, s.Dealer, s.ID, e.Seq, e.Event, e.Says, e.Line, e.Unit, e.Path, e.Pieces, e.Note, e.At, told, e.By)
	if err != nil {
		return fmt.Errorf("store an event: %w", err)
	}
	return nil
}
