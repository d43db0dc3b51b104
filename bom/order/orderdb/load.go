package orderdb

import (
	"context"
	"fmt"
	"time"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"

	"billwright/bom"
	"billwright/bom/load"
	"billwright/catalog/calendar"
)

// loads are the columns of what an order takes of departments.
type loads struct {
	department []string
	week       []time.Time
	tenths     []int64
}

func loadColumns(rows []load.Row) (c loads) {
	for _, r := range rows {
		c.department, c.week, c.tenths = append(c.department, r.Department), append(c.week, midnight(r.Week)), append(c.tenths, int64(r.Minutes))
	}
	return c
}

// Load reads what an order takes of departments, by their codes.
func Load(ctx context.Context, tx pgx.Tx, workshop, id uuid.UUID) ([]load.Row, error) {
	rows, err := tx.Query(ctx, `
select department, week, tenths
from department_load
where workshop_id = $1 and order_id = $2
order by department`, workshop, id)
	if err != nil {
		return nil, fmt.Errorf("read the load of an order: %w", err)
	}
	list, err := pgx.CollectRows(rows, func(row pgx.CollectableRow) (load.Row, error) {
		var r load.Row
		var week time.Time
		err := row.Scan(&r.Department, &week, (*int64)(&r.Minutes))
		r.Week = calendar.DateOf(week)
		return r, err
	})
	if err != nil {
		return nil, fmt.Errorf("read the load of an order: %w", err)
	}
	return list, nil
}

// ReplaceLoad stores what an order takes of departments in place of what it took.
func ReplaceLoad(ctx context.Context, tx pgx.Tx, workshop uuid.UUID, s Stored, rows []load.Row) error {
	if _, err := tx.Exec(ctx, `
delete from department_load where workshop_id = $1 and order_id = $2`, workshop, s.ID); err != nil {
		return fmt.Errorf("take away the load of an order: %w", err)
	}
	if len(rows) == 0 {
		return nil
	}
	c := loadColumns(rows)
	_, err := tx.Exec(ctx, `
insert into department_load (workshop_id, order_id, dealer_id, department, week, tenths)
select $1, $2, $3, l.department, l.week, l.tenths
from unnest($4::text[], $5::date[], $6::bigint[]) as l (department, week, tenths)`, workshop, s.ID, s.Dealer, c.department, c.week, c.tenths)
	if err != nil {
		return fmt.Errorf("store the load of an order: %w", err)
	}
	return nil
}

// WeekLoad is what orders take of a department in a week.
type WeekLoad struct {
	// Week is the Monday of the ISO week.
	Week       calendar.Date
	Department string
	Minutes    bom.Minutes
	// Accepted is the part of orders that are accepted, Orders how many orders
	// there are.
	Accepted bom.Minutes
	Orders   int
}

// Loads sums what all orders take of departments in the weeks from one Monday up
// to another, which is not among them, by week and department. It is for a
// transaction that sees the orders of all dealers.
func Loads(ctx context.Context, tx pgx.Tx, workshop uuid.UUID, from, to calendar.Date) ([]WeekLoad, error) {
	rows, err := tx.Query(ctx, `
select l.week, l.department, sum(l.tenths)::bigint, coalesce(sum(l.tenths) filter (where o.state not in ('received', 'quoted')), 0)::bigint, count(*)
from department_load l
join dealer_order o on o.workshop_id = l.workshop_id and o.order_id = l.order_id
where l.workshop_id = $1 and l.week >= $2 and l.week < $3
group by l.week, l.department
order by l.week, l.department`, workshop, midnight(from), midnight(to))
	if err != nil {
		return nil, fmt.Errorf("sum the load of departments: %w", err)
	}
	return collectLoads(rows, func(row pgx.CollectableRow, w *WeekLoad, week *time.Time) error {
		return row.Scan(week, &w.Department, (*int64)(&w.Minutes), (*int64)(&w.Accepted), &w.Orders)
	})
}

// LoadOf sums what all orders take of departments in one week, its Monday given,
// from the index alone.
func LoadOf(ctx context.Context, tx pgx.Tx, workshop uuid.UUID, monday calendar.Date) ([]WeekLoad, error) {
	rows, err := tx.Query(ctx, `
select week, department, sum(tenths)::bigint
from department_load
where workshop_id = $1 and week = $2
group by week, department
order by department`, workshop, midnight(monday))
	if err != nil {
		return nil, fmt.Errorf("sum the load of a week: %w", err)
	}
	return collectLoads(rows, func(row pgx.CollectableRow, w *WeekLoad, week *time.Time) error {
		return row.Scan(week, &w.Department, (*int64)(&w.Minutes))
	})
}

func collectLoads(rows pgx.Rows, scan func(pgx.CollectableRow, *WeekLoad, *time.Time) error) ([]WeekLoad, error) {
	list, err := pgx.CollectRows(rows, func(row pgx.CollectableRow) (w WeekLoad, err error) {
		var week time.Time
		err = scan(row, &w, &week)
		w.Week = calendar.DateOf(week)
		return w, err
	})
	if err != nil {
		return nil, fmt.Errorf("sum the load of departments: %w", err)
	}
	return list, nil
}
