package main

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"net/http"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"github.com/jackc/pgx/v5"
)

const (
	weeklyLines  = 2  // of each of searchOrders orders
	weeklyRows   = 60 // requirements of each order
	weeklyWeeks  = 26
	weeklyRounds = 15
)

// measureWeekly measures what a buyer's week costs with 100,000 open lines and
// 3,000,000 requirements over 26 weeks: the week's sums of a kind beside the bare
// SQL sum of the same rows, a pull with its plan, the difference of a change, and
// the search.
func measureWeekly(ctx context.Context, r *report, _ []string) error {
	place, err := filledPlace(ctx, r, "weekly", time.Minute)
	if err != nil {
		return err
	}
	defer place.clear()
	w := &weekly{r: r, seeker: place.seeker}
	owner, err := os.ReadFile(filepath.Join(place.data, "demonstration-owner-key"))
	if err != nil {
		return fmt.Errorf("read the owner's key: %w", err)
	}
	w.seeker.key = strings.TrimSpace(string(owner))
	if w.admin, err = pgx.Connect(ctx, place.adminURL); err != nil {
		return err
	}
	defer w.admin.Close(ctx)
	for _, step := range []func(context.Context) error{w.fill, w.weeks, w.pulls, w.change} {
		if err := step(ctx); err != nil {
			return err
		}
	}
	return searches(ctx, r, w.seeker)
}

type weekly struct {
	r      *report
	seeker *seeker
	admin  *pgx.Conn
	monday time.Time
	kinds  []string // the most rows first
}

// template is a row that an order of the demonstration needs.
type template struct {
	path, kind, item, measure string
	pieces                    int32
	length, width             *int64
	amount                    int64
}

// fill copies lines and requirements behind the orders: those of the orders that
// were placed, again and again, over 26 weeks. Indexes are made anew behind them.
func (w *weekly) fill(ctx context.Context) error {
	began := time.Now()
	var rows []template
	found, err := w.admin.Query(ctx, `select path, kind, item, measure, pieces, length_nm, width_nm, amount from requirement
where order_id = (select min(order_id::text)::uuid from requirement) order by seq`)
	if err != nil {
		return err
	}
	rows, err = pgx.CollectRows(found, func(row pgx.CollectableRow) (t template, err error) {
		err = row.Scan(&t.path, &t.kind, &t.item, &t.measure, &t.pieces, &t.length, &t.width, &t.amount)
		return t, err
	})
	if err != nil || len(rows) == 0 {
		return errors.Join(err, fmt.Errorf("%d rows to copy", len(rows)))
	}
	type order struct {
		workshop, id [16]byte
		dealer       string
	}
	found, err = w.admin.Query(ctx, `select workshop_id, order_id, dealer_id from dealer_order where number like 'M%' order by number`)
	if err != nil {
		return err
	}
	orders, err := pgx.CollectRows(found, func(row pgx.CollectableRow) (o order, err error) {
		err = row.Scan(&o.workshop, &o.id, &o.dealer)
		return o, err
	})
	if err != nil {
		return err
	}
	indexes, err := w.withoutIndexes(ctx)
	if err != nil {
		return err
	}
	w.monday = time.Date(2027, 1, 4, 0, 0, 0, 0, time.UTC)
	at := 0
	_, err = w.admin.CopyFrom(ctx, pgx.Identifier{"order_line"}, []string{"workshop_id", "dealer_id", "order_id", "line", "product", "quantity", "revision", "configuration"},
		pgx.CopyFromFunc(func() ([]any, error) {
			if at == len(orders)*weeklyLines {
				return nil, nil
			}
			o := &orders[at/weeklyLines]
			at++
			return []any{o.workshop, o.dealer, o.id, int16(50 + at%weeklyLines), "sallow-bench", int32(1), int32(1), []byte(`{}`)}, nil
		}))
	if err != nil {
		return fmt.Errorf("copy lines: %w", err)
	}
	at = 0
	type led struct {
		week                time.Time
		kind, item, measure string
	}
	var leading map[led]bool // of the order that is copied
	_, err = w.admin.CopyFrom(ctx, pgx.Identifier{"requirement"}, []string{"workshop_id", "week", "order_id", "line", "seq", "dealer_id", "bill_version", "unit", "path", "kind", "item",
		"pieces", "length_nm", "width_nm", "amount", "measure", "need_by", "firm", "leads"},
		pgx.CopyFromFunc(func() ([]any, error) {
			if at == len(orders)*weeklyRows {
				return nil, nil
			}
			n, k := at/weeklyRows, at%weeklyRows
			at++
			o, t := &orders[n], &rows[k%len(rows)]
			week := w.monday.AddDate(0, 0, 7*((n*7+k)%weeklyWeeks))
			if k == 0 {
				leading = map[led]bool{}
			}
			of := led{week, t.kind, t.item, t.measure}
			leads := !leading[of]
			leading[of] = true
			length, amount := t.length, t.amount
			if length != nil { // 64 lengths a row, on 1/8 in
				longer := *length + int64(n%64)*3_175_000
				length = &longer
				if t.measure == "length" {
					amount = longer * int64(t.pieces)
				}
			}
			return []any{o.workshop, week, o.id, int16(50 + k%weeklyLines), int16(100 + k), o.dealer, int32(1), int16(0), fmt.Sprintf("%s/x%d", t.path, k), t.kind, t.item,
				t.pieces, length, t.width, amount, t.measure, week.AddDate(0, 0, n%5), n%10 != 0, leads}, nil
		}))
	if err != nil {
		return fmt.Errorf("copy requirements: %w", err)
	}
	for _, statement := range append(indexes, `set session_replication_role = origin`, `vacuum analyze requirement`, `vacuum analyze order_line`) {
		if _, err := w.admin.Exec(ctx, statement); err != nil {
			return fmt.Errorf("%s: %w", statement, err)
		}
	}
	var lines, needs, weeks int
	var size string
	if err := w.admin.QueryRow(ctx, `select (select count(*) from order_line), count(*), count(distinct week), pg_size_pretty(pg_total_relation_size('requirement')) from requirement`).Scan(&lines, &needs, &weeks, &size); err != nil {
		return err
	}
	w.r.note("%d lines and %d requirements over %d weeks, %s with indexes, in %s", lines, needs, weeks, size, time.Since(began).Round(time.Second))
	w.r.atLeast("weekly.lines", float64(lines), "lines", 100_000)
	w.r.atLeast("weekly.requirements", float64(needs), "rows", 3_000_000)
	return nil
}

// withoutIndexes takes the requirements' own indexes away for the copying and
// gives the statements that make them again, as the migrations made them.
func (w *weekly) withoutIndexes(ctx context.Context) ([]string, error) {
	found, err := w.admin.Query(ctx, `select indexname, indexdef from pg_indexes where tablename = 'requirement' and indexname not like '%_pk'`)
	if err != nil {
		return nil, err
	}
	var names, made []string
	var name, definition string
	_, err = pgx.ForEachRow(found, []any{&name, &definition}, func() error {
		names, made = append(names, name), append(made, definition)
		return nil
	})
	if err != nil {
		return nil, err
	}
	for _, name := range names {
		if _, err := w.admin.Exec(ctx, `drop index `+name); err != nil {
			return nil, err
		}
	}
	// The rows refer to orders that are there; it is not asked of each.
	_, err = w.admin.Exec(ctx, `set session_replication_role = replica`)
	return made, err
}

// bareSum is what the week's sums rest on: the pieces and amounts of a kind.
const bareSum = `
select item, measure, sum(pieces), sum(amount)
from requirement
where workshop_id = $1::uuid and week = $2::date and kind = $3::text
group by item, measure`

// weeks holds the week's sums of each kind against the bare sum of the same rows,
// turn about in the same run.
func (w *weekly) weeks(ctx context.Context) error {
	week := w.monday.AddDate(0, 0, 7*10)
	found, err := w.admin.Query(ctx, `select kind from requirement where week = $1 group by kind order by count(*) desc`, week)
	if err != nil {
		return err
	}
	if w.kinds, err = pgx.CollectRows(found, pgx.RowTo[string]); err != nil {
		return err
	}
	year, number := week.ISOWeek()
	path := fmt.Sprintf("/v1/requirements/%d-W%02d?kind=", year, number)
	for _, kind := range w.kinds {
		if !slices.Contains([]string{"steel", "hardware", "powder", w.kinds[0]}, kind) {
			continue
		}
		if err := w.week(ctx, week, kind, path+strings.ReplaceAll(kind, " ", "%20")); err != nil {
			return err
		}
	}
	return nil
}

// week measures the answer over HTTP. The first one plans the bars and sheets to buy
// and is told apart; those after it have the plans at hand, and it is they that are
// held against the bare sum.
func (w *weekly) week(ctx context.Context, week time.Time, kind, path string) error {
	_, cold, err := w.get(ctx, path)
	if err != nil {
		return err
	}
	// The planner's own, and one that reads the table behind the index's rows.
	plans := []string{`select 1`, `set enable_indexonlyscan = off`}
	var workshop string
	if err := w.admin.QueryRow(ctx, `select workshop_id::text from workshop`).Scan(&workshop); err != nil {
		return err
	}
	bare := make([][]time.Duration, len(plans))
	var asked []time.Duration
	var rows int
	if err := w.admin.QueryRow(ctx, `select count(*) from requirement where week = $1 and kind = $2`, week, kind).Scan(&rows); err != nil {
		return err
	}
	for round := range weeklyRounds {
		for i, plan := range plans {
			if _, err := w.admin.Exec(ctx, plan); err != nil {
				return err
			}
			began := time.Now()
			sums, err := w.admin.Query(ctx, bareSum, pgx.QueryExecModeSimpleProtocol, workshop, week.Format(time.DateOnly), kind) // planned anew each time
			if err != nil {
				return err
			}
			for sums.Next() {
			}
			if err := sums.Err(); err != nil {
				return err
			}
			bare[i] = append(bare[i], time.Since(began))
			if round == 0 {
				if err := w.explain(ctx, workshop, week, kind); err != nil {
					return err
				}
			}
			if _, err := w.admin.Exec(ctx, `reset enable_indexonlyscan`); err != nil {
				return err
			}
		}
		_, took, err := w.get(ctx, path)
		if err != nil {
			return err
		}
		asked = append(asked, took)
	}
	fastest := min(median(bare[0]), median(bare[1]))
	w.r.note("%s: %d rows; bare %.2f and %.2f ms, over HTTP %.2f ms, at first %.2f ms", kind, rows, ms(median(bare[0])), ms(median(bare[1])), ms(median(asked)), ms(cold))
	w.r.plain("weekly."+kind+".bare", ms(fastest), "ms")
	w.r.plain("weekly."+kind+".first", ms(cold), "ms")
	w.r.plain("weekly."+kind+".week", ms(median(asked)), "ms")
	w.r.atMost("weekly."+kind+".week.of.bare", float64(median(asked))/float64(fastest), "times", 2)
	return nil
}

func median(d []time.Duration) time.Duration {
	d = slices.Sorted(slices.Values(d))
	return d[len(d)/2]
}

func (w *weekly) explain(ctx context.Context, workshop string, week time.Time, kind string) error {
	lines, err := w.admin.Query(ctx, `explain (analyze, buffers) `+bareSum, pgx.QueryExecModeSimpleProtocol, workshop, week.Format(time.DateOnly), kind)
	if err != nil {
		return err
	}
	plan, err := pgx.CollectRows(lines, pgx.RowTo[string])
	w.r.note("bare sum of %s:\n%s", kind, strings.Join(plan, "\n"))
	return err
}

func (w *weekly) get(ctx context.Context, path string) ([]byte, time.Duration, error) {
	return w.do(ctx, http.MethodGet, path, "", http.StatusOK)
}

func (w *weekly) do(ctx context.Context, method, path, body string, want int, headers ...string) ([]byte, time.Duration, error) {
	request, err := http.NewRequestWithContext(ctx, method, w.seeker.base+path, bytes.NewReader([]byte(body)))
	if err != nil {
		return nil, 0, err
	}
	request.Header.Set("Authorization", "Bearer "+w.seeker.key)
	if body != "" {
		request.Header.Set("Content-Type", "application/json")
	}
	for i := 0; i+1 < len(headers); i += 2 {
		request.Header.Set(headers[i], headers[i+1])
	}
	began := time.Now()
	reply, err := w.seeker.client.Do(request)
	if err != nil {
		return nil, 0, err
	}
	defer reply.Body.Close()
	text, err := io.ReadAll(reply.Body)
	took := time.Since(began)
	if err == nil && reply.StatusCode != want {
		err = fmt.Errorf("%s %s answered %d: %.400s", method, path, reply.StatusCode, text)
	}
	return text, took, err
}

// pulls makes a pull of steel and one of the kind with the most rows, and tells
// when the rows were there for others to see and when the plan was.
func (w *weekly) pulls(ctx context.Context) error {
	week := w.monday.AddDate(0, 0, 7*11)
	year, number := week.ISOWeek()
	kinds := []string{"steel"}
	if w.kinds[0] != "steel" {
		kinds = append(kinds, w.kinds[0])
	}
	for i, kind := range kinds {
		begun := time.Now()
		committed := make(chan time.Duration, 1)
		go func() {
			watch, err := pgx.Connect(ctx, w.admin.Config().ConnString())
			if err != nil {
				return
			}
			defer watch.Close(ctx)
			for {
				var n int
				if err := watch.QueryRow(ctx, `select count(*) from pull where week = $1 and kind = $2`, week, kind).Scan(&n); err != nil || n > 0 {
					committed <- time.Since(begun)
					return
				}
				time.Sleep(5 * time.Millisecond)
			}
		}()
		text, took, err := w.do(ctx, http.MethodPost, "/v1/pulls", fmt.Sprintf(`{"week":"%d-W%02d","kind":%q}`, year, number, kind), http.StatusCreated, "Idempotency-Key", fmt.Sprint("weekly-", i))
		if err != nil {
			return err
		}
		var pull struct {
			Pull int
			Rows []json.RawMessage
		}
		if err := json.Unmarshal(text, &pull); err != nil {
			return err
		}
		w.r.plain("weekly.pull."+kind+".rows", float64(len(pull.Rows)), "rows")
		w.r.atMost("weekly.pull."+kind+".commit", (<-committed).Seconds(), "s", 2)
		w.r.plain("weekly.pull."+kind+".answered", took.Seconds(), "s")
		if err := w.planned(ctx, kind, pull.Pull); err != nil {
			return err
		}
	}
	return nil
}

// planned tells of the plan that is stored with a pull: proved, or its gap.
func (w *weekly) planned(ctx context.Context, kind string, pull int) error {
	var document []byte
	var proved bool
	err := w.admin.QueryRow(ctx, `select document, proved from pull_plan where pull = $1`, pull).Scan(&document, &proved)
	if errors.Is(err, pgx.ErrNoRows) {
		w.r.note("pull of %s: no plan", kind)
		return nil
	}
	if err != nil {
		return err
	}
	var plan struct {
		Bars struct {
			Sections []struct {
				Section     string
				Status      string
				Pieces      int
				Cost, Bound struct{ Price string }
			}
		}
	}
	if err := json.Unmarshal(document, &plan); err != nil {
		return err
	}
	done := 0
	for _, s := range plan.Bars.Sections {
		w.r.note("pull of %s, %s: %d pieces, %s, takes %s, at least %s", kind, s.Section, s.Pieces, s.Status, s.Cost.Price, s.Bound.Price)
		if s.Status != "not proved" {
			done++
		}
	}
	w.r.plain("weekly.pull."+kind+".plan.proved", float64(done), fmt.Sprintf("of %d sections", len(plan.Bars.Sections)))
	return nil
}

// change measures how long the difference of a change takes, of an order that was
// placed and accepted.
func (w *weekly) change(ctx context.Context) error {
	var number string
	var version int
	if err := w.admin.QueryRow(ctx, `select number, version from dealer_order where number not like 'M%' order by number limit 1`).Scan(&number, &version); err != nil {
		return err
	}
	if _, _, err := w.do(ctx, http.MethodPost, "/v1/orders/"+number+"/accept", `{}`, http.StatusOK, "Idempotency-Key", "weekly-accept", "If-Match", fmt.Sprintf(`"%d"`, version)); err != nil {
		w.r.missing("weekly.change.difference", "ms", "<= 50", err)
		return nil
	}
	var all []time.Duration
	for i := range 2 * weeklyRounds {
		body := fmt.Sprintf(`{"reason":"measured","lines":[{"line":1,"quantity":%d}]}`, 20+i)
		_, took, err := w.do(ctx, http.MethodPost, "/v1/orders/"+number+"/changes", body, http.StatusCreated, "Idempotency-Key", fmt.Sprint("weekly-change-", i), "If-Match", fmt.Sprintf(`"%d"`, version+1))
		if err != nil {
			w.r.missing("weekly.change.difference", "ms", "<= 50", err)
			return nil
		}
		all = append(all, took)
	}
	w.r.note("difference of a change: median %.1f ms, slowest %.1f ms", ms(median(all)), ms(slices.Max(all)))
	w.r.atMost("weekly.change.difference", ms(median(all)), "ms", 50)
	return nil
}
