package main

import (
	"context"
	"encoding/json"
	"fmt"
	"io"
	"net/http"
	"net/url"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"github.com/jackc/pgx/v5"

	"billwright/deploy/postgres"
)

const (
	searchOrders = 50_000
	searchRounds = 12
	searchBar    = 100 // ms
)

// measureSearch measures how long people wait for what they look for among
// 50,000 orders. A few are placed over HTTP; the others are copies of them with
// numbers, purchase order numbers, sidemarks and days of their own.
func measureSearch(ctx context.Context, r *report, _ []string) error {
	place, err := filledPlace(ctx, r, "search", 30*time.Second)
	if err != nil {
		return err
	}
	defer place.clear()
	return searches(ctx, r, place.seeker)
}

// filled is a service whose database holds searchOrders orders.
type filled struct {
	data, adminURL string
	seeker         *seeker
	// clear ends all of it and throws the folder away.
	clear func()
}

// filledPlace starts a service over a server of its own and fills its database;
// no answer is waited for longer than the limit.
func filledPlace(ctx context.Context, r *report, name string, limit time.Duration) (_ *filled, err error) {
	var ends []func()
	clear := func() {
		for _, end := range slices.Backward(ends) {
			end()
		}
	}
	defer func() {
		if err != nil {
			clear()
		}
	}()
	dir, binary, throwAway, err := workplace(ctx)
	if err != nil {
		return nil, err
	}
	ends = append(ends, throwAway)
	data := filepath.Join(dir, name)
	server, err := postgres.Start(ctx, postgres.Options{Dir: filepath.Join(data, "postgres")})
	if err != nil {
		return nil, err
	}
	ends = append(ends, func() { _ = server.Stop(context.WithoutCancel(ctx)) }) // the folder is thrown away
	first, err := pgx.Connect(ctx, server.URL("postgres", "postgres"))
	if err != nil {
		return nil, err
	}
	defer first.Close(ctx)
	if _, err := first.Exec(ctx, `create database billwright`); err != nil {
		return nil, err
	}
	adminURL := server.URL("postgres", "billwright")
	svc, _, err := startService(ctx, binary, data, "DATABASE_URL="+server.URL("billwright_app", "billwright"), "MIGRATE_DATABASE_URL="+adminURL)
	if err != nil {
		return nil, err
	}
	ends = append(ends, func() { _ = svc.stop() }) // nothing is kept
	key, err := os.ReadFile(filepath.Join(data, "demonstration-key"))
	if err != nil {
		return nil, fmt.Errorf("read the demonstration key: %w", err)
	}
	s := &seeker{base: svc.base, key: strings.TrimSpace(string(key)), client: &http.Client{Timeout: limit}}
	if err := fillOrders(ctx, r, s, adminURL); err != nil {
		return nil, err
	}
	return &filled{data: data, adminURL: adminURL, seeker: s, clear: clear}, nil
}

// fillOrders makes the database hold searchOrders orders.
func fillOrders(ctx context.Context, r *report, s *seeker, adminURL string) error {
	body, err := loadBody()
	if err != nil {
		return err
	}
	for n := range 5 {
		if err := postOrder(ctx, s.client, s.base, s.key, []byte(strings.ReplaceAll(string(body), "PO-MEASURE", fmt.Sprint("PO-SEED-", n))), n); err != nil {
			return err
		}
	}
	admin, err := pgx.Connect(ctx, adminURL)
	if err != nil {
		return err
	}
	defer admin.Close(ctx)
	began := time.Now()
	for _, statement := range []string{copyOrders, copyHolds, `analyze`} {
		if _, err := admin.Exec(ctx, statement); err != nil {
			return fmt.Errorf("copy the orders: %w", err)
		}
	}
	var orders int
	var size string
	if err := admin.QueryRow(ctx, `select count(*), pg_size_pretty(pg_table_size('dealer_order')) from dealer_order`).Scan(&orders, &size); err != nil {
		return err
	}
	r.note("%d orders in a table of %s, copied in %s", orders, size, time.Since(began).Round(time.Second))
	r.atLeast("search.orders", float64(orders), "orders", searchOrders)
	return nil
}

// copyOrders copies the orders that were placed. The words are drawn by a hash,
// so that two runs look for the same.
const copyOrders = `
with seeds as (select o.*, row_number() over (order by order_id) - 1 as n, count(*) over () as seeds from dealer_order o),
drawn as (
    select s.*, g, md5(g::text) as h,
        (array['Lake house', 'North room', 'Quarry Lane 4', 'Harrow', 'Garden bench', 'Mill street', 'Loft', 'Second floor', 'Ferry inn', 'Waiting room'])[1 + g % 10]
            || ' ' || substr(md5('s' || g), 1, 6) as mark
    from generate_series(1, 50000) as g join seeds s on s.n = g % s.seeds
)
insert into dealer_order (workshop_id, dealer_id, order_id, number, version, state, test, revision, po, po_guard, sidemark, ship_to, requested, ship_complete,
    promise, net_cents, received_at, search, document, valid_until, products, fabrics)
select workshop_id, dealer_id, (lpad(to_hex(1796000000000 + g::bigint * 500000), 12, '0') || '7' || substr(h, 1, 3) || '8' || substr(h, 4, 15))::uuid,
    'M' || lpad(g::text, 8, '0'), 1, (array['received', 'accepted', 'released', 'in work', 'shipped'])[1 + g % 5], false, revision,
    'TS-' || g, 'ts-' || g, mark, ship_to, null, ship_complete, promise + g % 200, net_cents, received_at + g * interval '5 minutes',
    array_to_string(array['m' || lpad(g::text, 8, '0'), 'm' || lpad(g::text, 8, '0'), 'ts-' || g, lower(mark)] || (string_to_array(search, E'\n'))[5:], E'\n'),
    document, null, products, case when g % 997 = 0 then array['marl-weave'] else fabrics end
from drawn`

const copyHolds = `
insert into order_hold (workshop_id, dealer_id, order_id, seq, line, kind, reason, placed_at, placed_by, lifted_at, lifted_by)
select workshop_id, dealer_id, order_id, 50, 0, case when right(number, 2) = '07' then 'deposit' else 'approval' end, 'x', received_at, 'key',
    case when right(number, 1) in ('7', '8') then null else received_at end, 'key'
from dealer_order where number like 'M%' and right(number, 1) in ('5', '7', '8')`

// seeker asks the service for orders.
type seeker struct {
	base, key string
	client    *http.Client
}

// ask looks for orders and tells how many the first page has and how long it
// took.
func (s *seeker) ask(ctx context.Context, query url.Values) (found int, took time.Duration, err error) {
	request, err := http.NewRequestWithContext(ctx, http.MethodGet, s.base+"/v1/orders?"+query.Encode(), nil)
	if err != nil {
		return 0, 0, err
	}
	request.Header.Set("Authorization", "Bearer "+s.key)
	began := time.Now()
	reply, err := s.client.Do(request)
	if err != nil {
		return 0, 0, err
	}
	defer reply.Body.Close()
	text, err := io.ReadAll(reply.Body)
	took = time.Since(began)
	if err != nil {
		return 0, 0, err
	}
	var page struct{ Orders []json.RawMessage }
	if err := json.Unmarshal(text, &page); err != nil || reply.StatusCode != http.StatusOK {
		return 0, 0, fmt.Errorf("answered %d: %.300s", reply.StatusCode, text)
	}
	return len(page.Orders), took, nil
}

// searches asks for fragments that are rare, that are common and that are not
// there, of one sign and of ten thousand, and for each field of its own.
func searches(ctx context.Context, r *report, s *seeker) error {
	kinds := []struct {
		name    string
		queries []url.Values
	}{
		{"fragment", fragments()},
		{"field", []url.Values{{"po": {"s-4999"}}, {"sidemark": {"ferry inn 1"}}, {"number": {"00012"}}, {"po": {"nowhere"}}, {"sidemark": {"%"}}}},
		{"filter", []url.Values{{"fabric": {"marl-weave"}}, {"fabric": {"nothing"}}, {"hold": {"deposit"}}, {"hold": {"deposit"}, "text": {"loft"}}, {"product": {"sallow-bench"}, "state": {"shipped"}},
			{"received_from": {"2026-12-01"}, "received_to": {"2026-12-02"}}, {"promised_from": {"2027-08-01"}, "fabric": {"marl-weave"}}, {"dealer": {"nobody"}}}},
	}
	for _, kind := range kinds {
		var all []time.Duration
		for _, query := range kind.queries {
			var one []time.Duration
			var found int
			for range searchRounds {
				n, took, err := s.ask(ctx, query)
				if err != nil {
					return fmt.Errorf("search for %.80v: %w", query, err)
				}
				found, one = n, append(one, took)
			}
			slices.Sort(one)
			r.note("search %.60v: %d on the first page, median %.1f ms, slowest %.1f ms", query, found, ms(one[len(one)/2]), ms(one[len(one)-1]))
			all = append(all, one...)
		}
		slices.Sort(all)
		r.atMost("search."+kind.name+".p95", ms(all[len(all)*95/100]), "ms", searchBar)
	}
	return nil
}

func ms(d time.Duration) float64 { return float64(d.Microseconds()) / 1000 }

func fragments() []url.Values {
	var all []url.Values
	for _, text := range []string{"sallow", "ts-49999", "ts-123", "ferry inn", "7f", "zzqx", "%", "_", "'", `"`, "x", "M0004", "loft a1b2c3", "no such order at all", strings.Repeat("%_'\"", 2_500)} {
		all = append(all, url.Values{"text": {text}})
	}
	return all
}
