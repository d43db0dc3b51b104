package demanddb

import (
	"context"
	"fmt"
	"time"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"

	"billwright/catalog/calendar"
)

// Waiting is what waits in a week, counted by item of a kind.
type Waiting struct {
	Week calendar.Date // its Monday
	// Items is how many are needed or were pulled.
	Items int
	// ToPull is how many a pull would take something of; Surplus how many it
	// would give something back of.
	ToPull, Surplus int
	// NotFirm is how many have a part on which a hold stands; Late how many
	// should have been here before the day and were not received in full.
	NotFirm, Late int
}

// Ahead counts what waits in the weeks from one Monday to before another; today
// tells what is late. A week in which nothing is needed is not there.
func Ahead(ctx context.Context, tx pgx.Tx, workshop uuid.UUID, from, to, today calendar.Date) ([]Waiting, error) {
	rows, err := tx.Query(ctx, `
with needed as (
    select week, kind, item, measure, order_id, line, unit, path, coalesce(length_nm, 0) as length_nm,
        coalesce(width_nm, 0) as width_nm, sum(amount) as amount,
        coalesce(sum(amount) filter (where firm), 0) as firm, min(need_by) as need_by
    from requirement
    where workshop_id = $1 and week >= $2 and week < $3
    group by week, kind, item, measure, order_id, line, unit, path, coalesce(length_nm, 0), coalesce(width_nm, 0)
), taken as (
    select week, kind, item, measure, order_id, line, unit, path, length_nm, width_nm, sum(amount) as amount
    from pull_row
    where workshop_id = $1 and week >= $2 and week < $3
    group by week, kind, item, measure, order_id, line, unit, path, length_nm, width_nm
), compared as (
    select week, kind, item, measure, coalesce(n.amount, 0) as amount, coalesce(n.amount, 0) - coalesce(n.firm, 0) as held, n.need_by,
        coalesce(t.amount, 0) as taken,
        greatest(coalesce(n.firm, 0), least(coalesce(n.amount, 0), coalesce(t.amount, 0))) - coalesce(t.amount, 0) as to_pull
    from needed n full join taken t using (week, kind, item, measure, order_id, line, unit, path, length_nm, width_nm)
), items as (
    select week, kind, item, measure, sum(amount) as amount, sum(taken) as taken, bool_or(to_pull > 0) as more, bool_or(to_pull < 0) as less,
        bool_or(held > 0) as held, min(need_by) as first
    from compared
    group by week, kind, item, measure
), received as (
    select week, kind, item, measure, sum(amount) as received
    from purchase
    where workshop_id = $1 and week >= $2 and week < $3 and act = 'received'
    group by week, kind, item, measure
)
select week, count(*), count(*) filter (where more), count(*) filter (where less), count(*) filter (where held),
    count(*) filter (where first < $4 and coalesce(received, 0) < amount)
from items left join received using (week, kind, item, measure)
where amount > 0 or taken <> 0
group by week
order by week`, workshop, midnight(from), midnight(to), midnight(today))
	if err != nil {
		return nil, fmt.Errorf("count what waits from %s: %w", from, err)
	}
	list, err := pgx.CollectRows(rows, func(row pgx.CollectableRow) (Waiting, error) {
		var w Waiting
		var week time.Time
		err := row.Scan(&week, &w.Items, &w.ToPull, &w.Surplus, &w.NotFirm, &w.Late)
		w.Week = calendar.DateOf(week)
		return w, err
	})
	if err != nil {
		return nil, fmt.Errorf("count what waits from %s: %w", from, err)
	}
	return list, nil
}

// PullsOfWeek lists the pulls of a week, newest first.
func PullsOfWeek(ctx context.Context, tx pgx.Tx, workshop uuid.UUID, monday calendar.Date) ([]Pull, error) {
	return pulls(ctx, tx, `
select pull, week, kind, seq, row_count, pulled_at, pulled_by
from pull
where workshop_id = $1 and week = $2
order by pull desc
limit 1000`, workshop, midnight(monday))
}
