package main

import (
	"context"
	"fmt"
	"slices"
	"strings"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"
	"github.com/jackc/pgx/v5/pgtype"
	"github.com/jackc/pgx/v5/pgxpool"
)

// The baseline writes the rows of the very orders that came over HTTP, byte for
// byte, under another workshop of the same database: no HTTP, no check, no
// price, no bill, and as a superuser, who is not held up by row-level security.
// Two ways are timed and the faster one is the bar: one CTE statement for an
// order, and one batch of a statement for each table; both hand rows over as
// arrays to unnest.

// orderTables are the tables an order writes, parents first.
var orderTables = []string{"dealer_order", "order_line", "order_hold", "bill", "requirement", "idempotency", "audit"}

// table is the shape of one table: its columns in order and their types.
type table struct {
	name    string
	columns []string
	types   []string
}

// rows are the rows of one table that belong to one order, column by column.
type rows struct {
	table  *table
	arrays []any
	n      int
}

func compareBaseline(ctx context.Context, r *report, adminURL string, processes []process, httpRate float64) error {
	config, err := pgxpool.ParseConfig(adminURL)
	if err != nil {
		return err
	}
	config.MaxConns = loadConnections
	pool, err := pgxpool.NewWithConfig(ctx, config)
	if err != nil {
		return err
	}
	defer pool.Close()
	// Only for reading back; gone before the baseline writes.
	if _, err := pool.Exec(ctx, `create index measure_location on idempotency (location); create index measure_subject on audit (subject);
		create index measure_order on requirement (order_id); analyze`); err != nil {
		return err
	}
	orders, err := readOrders(ctx, pool)
	if err != nil {
		return err
	}
	_, err = pool.Exec(ctx, `drop index measure_location; drop index measure_subject; drop index measure_order`)
	if err != nil {
		return err
	}
	r.note("%d orders read back for the baseline", len(orders))
	best := 0.0
	for _, way := range []struct {
		name  string
		write func(context.Context, pgx.Tx, []rows) error
	}{{"one CTE statement", writeCTE}, {"one batch with unnest", writeBatch}} {
		before := usedBy(processes)
		rate, err := timeBaseline(ctx, pool, orders, way.write)
		if err != nil {
			return fmt.Errorf("baseline by %s: %w", way.name, err)
		}
		r.note("baseline by %s: %.0f orders/s", way.name, rate)
		for i, used := range usedBy(processes) {
			r.note("processor time by order, %s: %.3f ms", processes[i].name, (used-before[i]).Seconds()*1000/float64(len(orders)))
		}
		best = max(best, rate)
	}
	r.plain("orders.baseline", best, "orders/s")
	r.atLeast("orders.share", httpRate/best, "of baseline", 0.6)
	return nil
}

// readOrders gives the rows of the last loadOrders orders, order by order.
func readOrders(ctx context.Context, pool *pgxpool.Pool) ([][]rows, error) {
	tables, err := readTables(ctx, pool)
	if err != nil {
		return nil, err
	}
	var ids []uuid.UUID
	var numbers []string
	list, err := pool.Query(ctx, `select order_id, number from dealer_order where po like 'PO-MEASURE-%' order by po desc limit $1`, loadOrders)
	if err != nil {
		return nil, err
	}
	for list.Next() {
		var id uuid.UUID
		var number string
		if err := list.Scan(&id, &number); err != nil {
			return nil, err
		}
		ids, numbers = append(ids, id), append(numbers, number)
	}
	if err := list.Err(); err != nil {
		return nil, err
	}
	orders := make([][]rows, len(ids))
	for i := range ids {
		if orders[i], err = readOrder(ctx, pool, tables, ids[i], numbers[i]); err != nil {
			return nil, err
		}
	}
	return orders, nil
}

func readTables(ctx context.Context, pool *pgxpool.Pool) ([]*table, error) {
	var tables []*table
	for _, name := range orderTables {
		shape := &table{name: name}
		list, err := pool.Query(ctx, `select attname, format_type(atttypid, null) from pg_attribute where attrelid = $1::regclass and attnum > 0 and not attisdropped order by attnum`, name)
		if err != nil {
			return nil, err
		}
		for list.Next() {
			var name, kind string
			if err := list.Scan(&name, &kind); err != nil {
				return nil, err
			}
			shape.columns, shape.types = append(shape.columns, name), append(shape.types, kind)
		}
		if err := list.Err(); err != nil {
			return nil, err
		}
		tables = append(tables, shape)
	}
	return tables, nil
}

// condition picks an order's rows of a table; $1 is its id, $2 its number. Every
// key begins with the workshop.
func condition(name string) string {
	own := "$1::uuid is not null and $2::text is not null and workshop_id = (select workshop_id from workshop) and "
	switch name {
	case "idempotency":
		return own + "location = '/v1/orders/' || $2"
	case "audit":
		return own + "subject = $2"
	default:
		return own + "order_id = $1"
	}
}

func readOrder(ctx context.Context, pool *pgxpool.Pool, tables []*table, id uuid.UUID, number string) ([]rows, error) {
	var all []rows
	for _, t := range tables {
		got := rows{table: t}
		columns := make([]column, len(t.types))
		for i, kind := range t.types {
			var err error
			if columns[i], err = columnOf(kind); err != nil {
				return nil, fmt.Errorf("%s.%s: %w", t.name, t.columns[i], err)
			}
		}
		read := slices.Clone(t.columns)
		for i, kind := range t.types {
			if kind == "text[]" {
				read[i] += "::text"
			}
		}
		list, err := pool.Query(ctx, fmt.Sprintf("select %s from %s where %s", strings.Join(read, ", "), t.name, condition(t.name)), id, number)
		if err != nil {
			return nil, err
		}
		for list.Next() {
			targets := make([]any, len(columns))
			for i := range columns {
				targets[i] = columns[i].next()
			}
			if err := list.Scan(targets...); err != nil {
				list.Close() // or the pool waits for it when it is closed
				return nil, err
			}
			got.n++
		}
		if err := list.Err(); err != nil {
			return nil, err
		}
		for i := range columns {
			got.arrays = append(got.arrays, columns[i].array())
		}
		if got.n > 0 {
			all = append(all, got)
		}
	}
	return all, nil
}

// column gathers the values of one column, typed so that they travel in binary.
type column struct {
	next  func() any
	array func() any
}

func columnOf(kind string) (column, error) {
	switch kind {
	case "uuid":
		return gather[pgtype.UUID](), nil
	case "text", "jsonb", "text[]":
		return gather[pgtype.Text](), nil
	case "smallint":
		return gather[pgtype.Int2](), nil
	case "integer":
		return gather[pgtype.Int4](), nil
	case "bigint":
		return gather[pgtype.Int8](), nil
	case "boolean":
		return gather[pgtype.Bool](), nil
	case "date":
		return gather[pgtype.Date](), nil
	case "timestamp with time zone":
		return gather[pgtype.Timestamptz](), nil
	case "bytea":
		return gather[[]byte](), nil
	}
	return column{}, fmt.Errorf("the baseline does not know the type %s", kind)
}

func gather[T any]() column {
	var values []*T
	return column{
		next:  func() any { v := new(T); values = append(values, v); return v },
		array: func() any { return flat(values) },
	}
}

func flat[T any](values []*T) []T {
	all := make([]T, len(values))
	for i, v := range values {
		all[i] = *v
	}
	return all
}

// timeBaseline writes all orders under a workshop of their own and gives orders
// by second; the row counts must come out equal.
func timeBaseline(ctx context.Context, pool *pgxpool.Pool, orders [][]rows, write func(context.Context, pgx.Tx, []rows) error) (float64, error) {
	workshop, err := copyWorkshop(ctx, pool)
	if err != nil {
		return 0, err
	}
	want := map[string]int{}
	for _, order := range orders {
		for _, t := range order {
			want[t.table.name] += t.n
			ids := t.arrays[0].([]pgtype.UUID) // workshop_id stands first in every table
			for i := range ids {
				ids[i] = pgtype.UUID{Bytes: workshop, Valid: true}
			}
		}
	}
	elapsed, err := inParallel(len(orders), 0, func(i int) error {
		return pgx.BeginFunc(ctx, pool, func(tx pgx.Tx) error { return write(ctx, tx, orders[i]) })
	})
	if err != nil {
		return 0, err
	}
	for name, n := range want {
		var got int
		if err := pool.QueryRow(ctx, "select count(*) from "+name+" where workshop_id = $1", workshop).Scan(&got); err != nil {
			return 0, err
		}
		if got != n {
			return 0, fmt.Errorf("%s has %d rows, want %d", name, got, n)
		}
	}
	return float64(len(orders)) / elapsed.Seconds(), nil
}

// copyWorkshop makes another workshop with the rows that orders refer to.
func copyWorkshop(ctx context.Context, pool *pgxpool.Pool) (uuid.UUID, error) {
	workshop := uuid.New()
	_, err := pool.Exec(ctx, fmt.Sprintf(`
with source as (select * from workshop order by created_at limit 1),
w as (insert into workshop select '%[1]s', 'baseline-' || left('%[1]s', 8), name, trial_clock, page_secret, created_at from source),
d as (insert into dealer select '%[1]s', dealer_id, name from dealer where workshop_id = (select workshop_id from source)),
r as (insert into catalog_revision select '%[1]s', revision, effective, source_sha256, stored_at, stored_by from catalog_revision where workshop_id = (select workshop_id from source))
insert into catalog_product select '%[1]s', revision, product, name, collection, lead_days from catalog_product where workshop_id = (select workshop_id from source)`, workshop))
	return workshop, err
}

func unnest(t *table, first int) string {
	marks := make([]string, len(t.types))
	for i, kind := range t.types {
		if kind == "jsonb" || kind == "text[]" { // unnest would take arrays of arrays apart
			kind = "text"
		}
		marks[i] = fmt.Sprintf("$%d::%s[]", first+i, kind)
	}
	columns := make([]string, len(t.types))
	for i, kind := range t.types {
		columns[i] = "u." + t.columns[i]
		if kind == "jsonb" || kind == "text[]" {
			columns[i] += "::" + kind
		}
	}
	return fmt.Sprintf("insert into %s (%s) select %s from unnest(%s) as u (%s)", t.name, strings.Join(t.columns, ", "),
		strings.Join(columns, ", "), strings.Join(marks, ", "), strings.Join(t.columns, ", "))
}

func writeCTE(ctx context.Context, tx pgx.Tx, order []rows) error {
	var text strings.Builder
	var args []any
	for i := range order {
		last := i == len(order)-1
		switch {
		case last && i > 0:
			text.WriteString(" ")
		case i == 0:
			text.WriteString("with t0 as (")
		default:
			fmt.Fprintf(&text, ", t%d as (", i)
		}
		text.WriteString(unnest(order[i].table, len(args)+1))
		if !last {
			text.WriteString(")")
		}
		args = append(args, order[i].arrays...)
	}
	_, err := tx.Exec(ctx, text.String(), args...)
	return err
}

func writeBatch(ctx context.Context, tx pgx.Tx, order []rows) error {
	batch := &pgx.Batch{}
	for i := range order {
		batch.Queue(unnest(order[i].table, 1), order[i].arrays...)
	}
	return tx.SendBatch(ctx, batch).Close()
}
