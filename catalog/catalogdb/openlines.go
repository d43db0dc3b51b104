package catalogdb

import (
	"context"
	"encoding/json"
	"fmt"
	"time"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"

	"billwright/catalog/calendar"
	"billwright/catalog/difference"
)

// TouchedOrder is an order that is not shipped yet and has lines which use
// something that a difference of two catalogs changes or takes away.
type TouchedOrder struct {
	// Number is the order's, "" for a draft that has none.
	Number string
	Dealer string
	State  string
	Lines  []TouchedLine
}

// TouchedLine is such a line; What says what of the difference it uses.
type TouchedLine struct {
	Line     int
	Product  string
	Revision int
	What     []string
}

// Touched lists the orders that a difference touches, in the order of their
// taking, as far as the transaction may see them: all but those shipped in
// full, closed or cancelled.
func Touched(ctx context.Context, tx pgx.Tx, workshop uuid.UUID, use *difference.Use) ([]TouchedOrder, error) {
	rows, err := tx.Query(ctx, `
select o.order_id, coalesce(o.number, ''), o.dealer_id, o.state, l.line, l.product, l.revision, l.configuration, o.received_at, o.promise,
    case when $2 and o.state <> 'draft' then array(select w ->> 'vendor' from json_array_elements(convert_from(o.document, 'UTF8')::json -> 'waits_for') as w where w ->> 'vendor' <> '') end
from dealer_order o
join order_line l on l.workshop_id = o.workshop_id and l.order_id = o.order_id
where o.workshop_id = $1 and o.state in ('draft', 'quoted', 'received', 'accepted', 'released', 'in work', 'ready', 'shipped in part')
order by o.order_id, l.line`, workshop, use.ClosesVendors())
	if err != nil {
		return nil, fmt.Errorf("list the open orders: %w", err)
	}
	defer rows.Close()
	var all []TouchedOrder
	var last uuid.UUID
	for rows.Next() {
		var id uuid.UUID
		var o TouchedOrder
		var l TouchedLine
		var configuration []byte
		var promise *time.Time
		line := difference.Line{}
		if err := rows.Scan(&id, &o.Number, &o.Dealer, &o.State, &l.Line, &l.Product, &l.Revision, &configuration, &line.ReceivedAt, &promise, &line.WaitsFor); err != nil {
			return nil, fmt.Errorf("list the open orders: %w", err)
		}
		line.Dealer, line.Product = o.Dealer, l.Product
		if promise != nil {
			line.Promise = calendar.DateOf(*promise)
		}
		if err := json.Unmarshal(configuration, &line.Configuration); err != nil {
			return nil, fmt.Errorf("read the configuration of line %d of order %s: %w", l.Line, o.Number, err)
		}
		if l.What = use.Of(line); l.What == nil {
			continue
		}
		if id != last {
			all, last = append(all, o), id
		}
		all[len(all)-1].Lines = append(all[len(all)-1].Lines, l)
	}
	if err := rows.Err(); err != nil {
		return nil, fmt.Errorf("list the open orders: %w", err)
	}
	return all, nil
}
