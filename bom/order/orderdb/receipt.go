package orderdb

import (
	"context"
	"fmt"
	"time"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"

	"billwright/bom/order"
	"billwright/catalog/calendar"
	"billwright/catalog/unit"
)

// OwnReceipts lists what was told of an order's own material, oldest first.
func OwnReceipts(ctx context.Context, tx pgx.Tx, workshop, id uuid.UUID) ([]order.OwnReceipt, error) {
	rows, err := tx.Query(ctx, `
select seq, act, line, path, length_nm, area_um2, coalesce(usable_nm, 0), repeat_nm, across_nm, flaws_nm, entered, due, note, noted_at, noted_by
from own_receipt
where workshop_id = $1 and order_id = $2
order by seq`, workshop, id)
	if err != nil {
		return nil, fmt.Errorf("list the receipts of own material: %w", err)
	}
	list, err := pgx.CollectRows(rows, func(row pgx.CollectableRow) (order.OwnReceipt, error) {
		var r order.OwnReceipt
		var repeat, across *int64
		var due *time.Time
		err := row.Scan(&r.Seq, &r.Act, &r.Line, &r.Path, &r.Came.Length, &r.Came.Area, &r.Came.Usable, &repeat, &across, &r.Came.Flaws, &r.Entered, &due, &r.Note, &r.At, &r.By)
		r.Came.Repeat, r.Came.Across, r.At = (*unit.Length)(repeat), (*unit.Length)(across), r.At.UTC()
		if due != nil {
			day := calendar.DateOf(*due)
			r.Due = &day
		}
		return r, err
	})
	if err != nil {
		return nil, fmt.Errorf("list the receipts of own material: %w", err)
	}
	return list, nil
}

// AddOwnReceipt stores a receipt of a locked order.
func AddOwnReceipt(ctx context.Context, tx pgx.Tx, workshop uuid.UUID, s Stored, r order.OwnReceipt) error {
	_, err := tx.Exec(ctx, `
insert into own_receipt (workshop_id, dealer_id, order_id, seq, act, line, path, length_nm, area_um2, usable_nm, repeat_nm, across_nm, flaws_nm, entered, due, note, noted_at, noted_by)
values ($1, $2, $3, $4, $5, $6, $7, $8, $9, nullif($10, 0), $11, $12, $13, $14, $15, $16, $17, $18)`,
		workshop, s.Dealer, s.ID, r.Seq, r.Act, r.Line, r.Path, int64(r.Came.Length), int64(r.Came.Area), int64(r.Came.Usable), (*int64)(r.Came.Repeat), (*int64)(r.Came.Across),
		int64(r.Came.Flaws), r.Entered, maybeDay(r.Due), r.Note, r.At, r.By)
	if err != nil {
		return fmt.Errorf("store a receipt of own material: %w", err)
	}
	return nil
}
