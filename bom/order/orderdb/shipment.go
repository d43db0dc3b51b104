package orderdb

import (
	"context"
	"fmt"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"

	"billwright/bom/order"
)

// AddShipment stores what left of a locked order. A carton that left before is
// refused by its key.
func AddShipment(ctx context.Context, tx pgx.Tx, workshop uuid.UUID, s Stored, shipped *order.Shipment) error {
	n := len(shipped.Cartons)
	lines, units, codes := make([]int16, n), make([]int16, n), make([]string, n)
	for i, c := range shipped.Cartons {
		lines[i], units[i], codes[i] = int16(c.Line), int16(c.Unit), c.Carton
	}
	_, err := tx.Exec(ctx, `
insert into shipment (workshop_id, dealer_id, order_id, shipment, carrier, tracking, shipped_at, shipped_by)
values ($1, $2, $3, $4, $5, $6, $7, $8)`, workshop, s.Dealer, s.ID, shipped.Shipment, shipped.Carrier, shipped.Tracking, shipped.At, shipped.By)
	if err != nil {
		return fmt.Errorf("store a shipment: %w", err)
	}
	_, err = tx.Exec(ctx, `
insert into shipped_carton (workshop_id, dealer_id, order_id, line, unit, carton, shipment)
select $1, $2, $3, c.line, c.unit, c.carton, $4
from unnest($5::smallint[], $6::smallint[], $7::text[]) as c (line, unit, carton)`, workshop, s.Dealer, s.ID, shipped.Shipment, lines, units, codes)
	if err != nil {
		return fmt.Errorf("store the cartons of a shipment: %w", err)
	}
	return nil
}

// FreePO lets the purchase order number of a locked order be used again.
func FreePO(ctx context.Context, tx pgx.Tx, workshop uuid.UUID, s Stored) error {
	if _, err := tx.Exec(ctx, `
update dealer_order set po_guard = null
where workshop_id = $1 and order_id = $2`, workshop, s.ID); err != nil {
		return fmt.Errorf("free a purchase order number: %w", err)
	}
	return nil
}
