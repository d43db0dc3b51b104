package orderdb

import (
	"errors"
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/jackc/pgx/v5"
	"github.com/jackc/pgx/v5/pgconn"
	"github.com/jackc/pgx/v5/pgxpool"

	"billwright/migrations/tenancy"
)

// twoDealers fills every table of two workshops with rows of both dealers.
func twoDealers(t *testing.T) (here, elsewhere *shop) {
	t.Helper()
	here = openShop(t)
	other := *here
	elsewhere = &other
	elsewhere.found("wickerlode")
	for _, s := range []*shop{here, elsewhere} {
		for _, dealer := range []string{tamsel, orrin} {
			if err := s.insert(newOrder(dealer, "PO 1")); err != nil {
				t.Fatal(err)
			}
			s.must("*", func(tx pgx.Tx) error {
				_, err := tx.Exec(s.ctx, `
insert into order_version (workshop_id, dealer_id, order_id, version, state, document, ended_at, ended_by, act)
select workshop_id, dealer_id, order_id, 1, state, document, now(), 'key', 'accept' from dealer_order where workshop_id = $1 and dealer_id = $2`, s.id, dealer)
				return err
			})
			s.must("*", func(tx pgx.Tx) error {
				_, err := tx.Exec(s.ctx, `
insert into shop_event (workshop_id, dealer_id, order_id, seq, event, says, line, unit, path, pieces, note, at, told_at, told_by)
select workshop_id, dealer_id, order_id, 1, 'cut', 'steel is cut', 1, 1, 'base/leg', 0, '', now(), now(), 'key' from dealer_order where workshop_id = $1 and dealer_id = $2`, s.id, dealer)
				return err
			})
			s.must("*", func(tx pgx.Tx) error {
				_, err := tx.Exec(s.ctx, `
with sent as (
    insert into shipment (workshop_id, dealer_id, order_id, shipment, carrier, tracking, shipped_at, shipped_by)
    select workshop_id, dealer_id, order_id, 1, '', '', now(), 'key' from dealer_order where workshop_id = $1 and dealer_id = $2
)
insert into shipped_carton (workshop_id, dealer_id, order_id, line, unit, carton, shipment)
select workshop_id, dealer_id, order_id, 1, 1, 'whole', 1 from dealer_order where workshop_id = $1 and dealer_id = $2`, s.id, dealer)
				return err
			})
			s.must("*", func(tx pgx.Tx) error {
				_, err := tx.Exec(s.ctx, `
insert into order_link (workshop_id, dealer_id, of_order_id, order_id, seq, relation, line, unit, path, quantity, linked_at, linked_by)
select workshop_id, dealer_id, order_id, order_id, 1, 'copy', 0, 0, '', 0, now(), 'key' from dealer_order where workshop_id = $1 and dealer_id = $2`, s.id, dealer)
				return err
			})
			s.must("*", func(tx pgx.Tx) error {
				_, err := tx.Exec(s.ctx, `
insert into change_order (workshop_id, dealer_id, order_id, change, version, request, difference, reason, proposed_at, proposed_by)
select workshop_id, dealer_id, order_id, 1, 1, '{}', '{}', 'x', now(), 'key' from dealer_order where workshop_id = $1 and dealer_id = $2`, s.id, dealer)
				return err
			})
			s.must("*", func(tx pgx.Tx) error {
				_, err := tx.Exec(s.ctx, `
with orders as (select workshop_id, dealer_id, order_id from dealer_order where workshop_id = $1 and dealer_id = $2),
audiences as (select unnest(array['dealer', 'internal', 'shop']) as audience),
loads as (insert into order_import (workshop_id, import_id, name, dry_run, test, mapping, file, sha256, row_count, order_count, begun_at, begun_by, role)
    select workshop_id, order_id, 'x', false, false, '', '', sha256(''), 1, 1, now(), 'key', 'rep' from orders),
loaded as (insert into imported_order (workshop_id, dealer_id, test, key, order_id, import_id, row_number)
    select workshop_id, dealer_id, false, 'k', order_id, order_id, 2 from orders),
receipts as (insert into own_receipt (workshop_id, dealer_id, order_id, seq, act, line, path, length_nm, area_um2, flaws_nm, entered, note, noted_at, noted_by)
    select workshop_id, dealer_id, order_id, 1, 'received', 1, 'cushion/cloth', 1, 0, 0, '1 yd', '', now(), 'key' from orders),
notes as (insert into order_note (workshop_id, dealer_id, order_id, seq, audience, line, text, changes_build, noted_at, noted_by, role)
    select workshop_id, dealer_id, order_id, 1, audience, 0, 'x', false, now(), 'key', 'rep' from orders, audiences)
insert into order_attachment (workshop_id, dealer_id, order_id, seq, audience, line, name, media_type, size, sha256, bytes, attached_at, attached_by, role)
select workshop_id, dealer_id, order_id, 1, audience, 0, 'x.txt', 'text/plain', 1, sha256('x'), 'x', now(), 'key', 'rep' from orders, audiences`, s.id, dealer)
				return err
			})
			s.must("*", func(tx pgx.Tx) error {
				_, err := tx.Exec(s.ctx, `
with numbered as (select coalesce(max(pull), 0) + 1 as n from pull where workshop_id = $1),
made as (insert into pull (workshop_id, pull, week, kind, seq, row_count, pulled_at, pulled_by) select $1, n, date '2026-12-07', 'steel', n, 1, now(), 'key' from numbered)
insert into pull_row (workshop_id, week, kind, pull, seq, dealer_id, order_id, line, unit, path, item, pieces, length_nm, amount, measure, need_by, mark)
select $1, date '2026-12-07', 'steel', n, 1, dealer_id, order_id, 1, 0, 'base/leg', 'bar', 1, 1, 1, 'length', date '2026-12-08', 'first'
from dealer_order, numbered where workshop_id = $1 and dealer_id = $2`, s.id, dealer)
				return err
			})
			s.must("*", func(tx pgx.Tx) error {
				_, err := tx.Exec(s.ctx, `
with p as (insert into person (workshop_id, person_id, name, folded, password, roles, created_at)
    values ($1, gen_random_uuid(), $2, $2, '$argon2id$', '{rep}', now()) returning person_id),
t as (insert into sign_in_try (workshop_id, subject, began_at, tries) values ($1, $2, now(), 1)),
f as (insert into first_admin (workshop_id, token_sha256, expires_at) values ($1, sha256('token'), now()) on conflict do nothing)
insert into person_session (workshop_id, session_sha256, person_id, began_at, seen_at)
select $1, sha256(convert_to($2, 'UTF8')), person_id, now(), now() from p`, s.id, dealer)
				return err
			})
			s.must("*", func(tx pgx.Tx) error {
				_, err := tx.Exec(s.ctx, `
insert into api_key (workshop_id, key_id, dealer_id, role, name, secret_sha256, created_at)
values ($1, gen_random_uuid(), $2, 'dealer', 'key', sha256('secret'), now())`, s.id, dealer)
				return err
			})
		}
		s.must("*", func(tx pgx.Tx) error {
			_, err := tx.Exec(s.ctx, `
with planned as (insert into pull_plan (workshop_id, pull, revision, proved, document, made_at) select $1, 1, 1, true, '{}', now()),
bought as (insert into purchase (workshop_id, week, kind, item, purchase_id, act, amount, measure, entered, note, done_at, done_by)
    values ($1, date '2026-12-07', 'steel', 'bar', gen_random_uuid(), 'ordered', 1, 'length', '1 in', '', now(), 'key')),
counted as (insert into stock_count (workshop_id, kind, item, length_nm, pieces, amount, measure, counted_at, counted_by) values ($1, 'steel', 'bar', 1, 1, 1, 'length', now(), 'key')),
substitutes as (insert into substitution (workshop_id, number, kind, item, by_item, from_day, until_day, reason, made_at, made_by)
    values ($1, coalesce((select max(number) from substitution where workshop_id = $1), 0) + 1, 'steel', 'bar', 'rod', date '2026-12-01', date '2026-12-31', 'x', now(), 'key')),
files as (insert into catalog_file (workshop_id, revision, path, bytes) values ($1, 1, 'a.yaml', '')),
items as (insert into catalog_item (workshop_id, revision, source, item, position, name) values ($1, 1, 'fabrics', 'oat', 1, 'Oat')),
attributes as (insert into catalog_attribute (workshop_id, revision, product, attribute, position, name, kind) values ($1, 1, 'pell-stool', 'cloth', 1, 'Cloth', 'choice')),
choices as (insert into catalog_choice (workshop_id, revision, product, attribute, choice, position, name) values ($1, 1, 'pell-stool', 'cloth', 'oat', 1, 'Oat')),
rules as (insert into catalog_rule (workshop_id, revision, product, rule, says) values ($1, 1, 'pell-stool', 'r', 'No.')),
standards as (insert into catalog_standard (workshop_id, revision, standard, value, source) values ($1, 1, 's', '1', 'test')),
sections as (insert into catalog_section (workshop_id, revision, section, name, shape, mass_ug_per_m, perimeter_nm, longest_bar_nm) values ($1, 1, 's', 'S', 'round', 1, 1, 1)),
species as (insert into catalog_species (workshop_id, revision, species, name, blanks, yield) values ($1, 1, 'oak', 'Oak', 'made', '7/10')),
finishes as (insert into catalog_finish (workshop_id, revision, kind, finish, name, clear_coat, hand_steps) values ($1, 1, 'wood', 'oil', 'Oil', true, 1)),
pairs as (insert into catalog_finish_species (workshop_id, revision, kind, finish, species) values ($1, 1, 'wood', 'oil', 'oak'))
insert into catalog_fabric (workshop_id, revision, fabric, name, grade, goods_width_nm, own_material) values ($1, 1, 'oat', 'Oat', 'A', 1, false)`, s.id)
			return err
		})
	}
	return here, elsewhere
}

// tablesWith lists the tables that have a column, as the database knows them, so
// that a new table is looked at too.
func (s *shop) tablesWith(column string) []string {
	s.t.Helper()
	return one[[]string](s, `
select array_agg(c.relname::text order by c.relname)
from pg_class c join pg_attribute a on a.attrelid = c.oid
where c.relkind = 'r' and c.relnamespace = 'public'::regnamespace and a.attname = $1`, column)
}

// count counts what a transaction sees by a statement without any filter of the
// program's; -1 stands for a table that the service may not read at all.
func (s *shop) count(tx pgx.Tx, table, where string) int {
	s.t.Helper()
	var n int
	savepoint, err := tx.Begin(s.ctx)
	if err != nil {
		s.t.Fatal(err)
	}
	defer savepoint.Rollback(s.ctx) //nolint:errcheck // nothing is written
	err = savepoint.QueryRow(s.ctx, fmt.Sprintf(`select count(*) from %s %s`, table, where)).Scan(&n)
	var refused *pgconn.PgError
	if errors.As(err, &refused) && refused.Code == "42501" {
		return -1
	}
	if err != nil {
		s.t.Fatalf("%s: %v", table, err)
	}
	return n
}

func TestDealerSeesNoOtherDealersRows(t *testing.T) {
	here, _ := twoDealers(t)
	tables := here.tablesWith("dealer_id")
	want := []string{"api_key", "audit", "bill", "change_order", "dealer", "dealer_order", "department_load", "idempotency", "imported_order", "order_attachment", "order_hold", "order_line", "order_link", "order_news", "order_note", "order_version", "own_receipt", "pull_row", "requirement", "shipment", "shipped_carton", "shop_event"}
	if !slices.Equal(tables, want) {
		t.Errorf("tables with a dealer are %q; this test knows %q", tables, want)
	}
	for _, table := range tables {
		if n := one[int](here, fmt.Sprintf(`select count(*) from %s where workshop_id = $1 and dealer_id = $2`, table), here.id, orrin); n == 0 {
			t.Fatalf("%s has no row of the other dealer, so this test could not fail", table)
		}
		here.must(tamsel, func(tx pgx.Tx) error {
			foreign := here.count(tx, table, `where dealer_id is distinct from '`+tamsel+`' or workshop_id <> '`+here.id.String()+`'`)
			own := here.count(tx, table, "")
			if slices.Contains(workshopsOwn, table) {
				if foreign != 0 || own != 0 {
					t.Errorf("%s shows a dealer %d rows", table, own)
				}
				return nil
			}
			if foreign != 0 {
				t.Errorf("%s shows a dealer %d rows that are not his", table, foreign)
			}
			if own == 0 {
				t.Errorf("%s hides a dealer's own rows from him", table)
			}
			return nil
		})
	}
}

// What is meant for the workshop or the shop is hidden from the very dealer whose
// order it is, and he cannot write it either.
func TestADealerSeesWhatIsForHimOnly(t *testing.T) {
	here, _ := twoDealers(t)
	for _, table := range []string{"order_note", "order_attachment"} {
		if n := one[int](here, fmt.Sprintf(`select count(*) from %s where workshop_id = $1 and dealer_id = $2 and audience <> 'dealer'`, table), here.id, tamsel); n != 2 {
			t.Fatalf("%s has %d rows for others, so this test could not fail", table, n)
		}
		here.must(tamsel, func(tx pgx.Tx) error {
			if n := here.count(tx, table, `where audience <> 'dealer'`); n != 0 {
				t.Errorf("%s shows a dealer %d rows that are not for him", table, n)
			}
			if n := here.count(tx, table, ""); n != 1 {
				t.Errorf("%s shows a dealer %d rows", table, n)
			}
			return nil
		})
		row := one[string](here, fmt.Sprintf(`select to_jsonb(t)::text from %s t where workshop_id = $1 and dealer_id = $2 and audience = 'internal'`, table), here.id, tamsel)
		err := here.as(tamsel, func(tx pgx.Tx) error {
			_, err := tx.Exec(here.ctx, fmt.Sprintf(`insert into %s select * from jsonb_populate_record(null::%[1]s, $1)`, table), row)
			return err
		})
		var refused *pgconn.PgError
		if !errors.As(err, &refused) || !strings.Contains(refused.Message, "row-level security") {
			t.Errorf("a dealer writes for others to %s: %v", table, err)
		}
	}
}

// workshopsOwn are tables of which no dealer reads any row.
var workshopsOwn = []string{"audit", "order_import", "pull", "pull_plan", "purchase", "stock_count", "person", "person_session", "sign_in_try", "first_admin", "substitution"}

func TestWorkshopSeesNoOtherWorkshopsRows(t *testing.T) {
	here, elsewhere := twoDealers(t)
	tables := here.tablesWith("workshop_id")
	if len(tables) < 24 {
		t.Errorf("only %d tables have a workshop: %q", len(tables), tables)
	}
	for _, table := range tables {
		if n := one[int](here, fmt.Sprintf(`select count(*) from %s where workshop_id = $1`, table), elsewhere.id); n == 0 {
			t.Fatalf("%s has no row of the other workshop, so this test could not fail", table)
		}
		for _, who := range []string{"*", tamsel} {
			here.must(who, func(tx pgx.Tx) error {
				if n := here.count(tx, table, `where workshop_id <> '`+here.id.String()+`'`); n > 0 {
					t.Errorf("%s shows %s %d rows of another workshop", table, who, n)
				}
				n, hidden := here.count(tx, table, ""), who != "*" && slices.Contains(workshopsOwn, table)
				if n == 0 != hidden {
					t.Errorf("%s shows %s %d rows", table, who, n)
				}
				return nil
			})
		}
	}
}

func TestNoSettingsNoRows(t *testing.T) {
	here, _ := twoDealers(t)
	begin := map[string]string{
		"nothing set":         `begin`,
		"no dealer":           `begin; select set_config('billwright.workshop', '` + here.id.String() + `', true)`,
		"an empty dealer":     `begin; select set_config('billwright.workshop', '` + here.id.String() + `', true), set_config('billwright.dealer', '', true)`,
		"no workshop":         `begin; select set_config('billwright.dealer', '*', true)`,
		"an empty workshop":   `begin; select set_config('billwright.workshop', '', true), set_config('billwright.dealer', '*', true)`,
		"an unknown workshop": `begin; select set_config('billwright.workshop', gen_random_uuid()::text, true), set_config('billwright.dealer', '*', true)`,
	}
	for name, statement := range begin {
		tx, err := here.pool.BeginTx(here.ctx, pgx.TxOptions{BeginQuery: statement})
		if err != nil {
			t.Fatal(err)
		}
		for _, table := range here.tablesWith("workshop_id") {
			// With a workshop and no dealer, only rows that are no dealer's show.
			if strings.Contains(name, "dealer") && !slices.Contains(here.tablesWith("dealer_id"), table) {
				continue
			}
			if n := here.count(tx, table, ""); n > 0 {
				t.Errorf("with %s, %s shows %d rows", name, table, n)
			}
		}
		if err := tx.Rollback(here.ctx); err != nil {
			t.Error(err)
		}
	}
}

// A row of another dealer, as the superuser sees it, written by a dealer or by
// another workshop. Row-level security refuses before any key does.
func TestNoRowIsWrittenForAnother(t *testing.T) {
	here, elsewhere := twoDealers(t)
	withDealer := here.tablesWith("dealer_id")
	for _, table := range here.tablesWith("workshop_id") {
		if table == "workshop" {
			continue // the service may not insert there at all
		}
		theirs := `workshop_id = '` + here.id.String() + `'`
		if slices.Contains(withDealer, table) {
			theirs += ` and dealer_id = '` + orrin + `'`
		}
		row := one[string](here, fmt.Sprintf(`select to_jsonb(t)::text from %s t where %s limit 1`, table, theirs)) // of any audience
		for name, who := range map[string]tenancy.Scope{
			"another dealer":           {Workshop: here.id, Dealer: tamsel},
			"another workshop":         {Workshop: elsewhere.id, Dealer: "*"},
			"its own dealer elsewhere": {Workshop: elsewhere.id, Dealer: orrin},
		} {
			err := tenancy.Transact(here.ctx, here.pool, who, func(tx pgx.Tx) error {
				_, err := tx.Exec(here.ctx, fmt.Sprintf(`insert into %s select * from jsonb_populate_record(null::%[1]s, $1)`, table), row)
				return err
			})
			var refused *pgconn.PgError
			if !errors.As(err, &refused) || refused.Code != "42501" || !strings.Contains(refused.Message, "row-level security") {
				t.Errorf("%s writes to %s: %v", name, table, err)
			}
		}
	}
}

func TestChangeReachesOwnRowsOnly(t *testing.T) {
	here, _ := twoDealers(t)
	for statement, want := range map[string]int64{
		`update dealer_order set state = 'cancelled'`:                                1,
		`update order_hold set lifted_at = now()`:                                    2,
		`update idempotency set replays = replays + 1`:                               1,
		`update api_key set revoked_at = now()`:                                      1,
		`update dealer set name = 'mine'`:                                            1,
		`update dealer_order set state = $$closed$$ where dealer_id = 'orrin-house'`: 0,
	} {
		here.must(tamsel, func(tx pgx.Tx) error {
			done, err := tx.Exec(here.ctx, statement)
			if done.RowsAffected() != want {
				t.Errorf("%s changed %d rows, want %d", statement, done.RowsAffected(), want)
			}
			return err
		})
	}
	if n := one[int](here, `select count(*) from dealer_order where state = 'cancelled'`); n != 1 {
		t.Errorf("%d orders were cancelled", n)
	}
}

// One connection, used by one dealer after the other: nothing of the first is
// left on it, whether the transaction was committed or rolled back.
func TestSettingsEndWithTheTransaction(t *testing.T) {
	here, _ := twoDealers(t)
	config := here.pool.Config()
	config.MaxConns = 1
	pool, err := pgxpool.NewWithConfig(here.ctx, config)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(pool.Close)
	for _, outcome := range []error{nil, errors.New("rolled back")} {
		err := tenancy.Transact(here.ctx, pool, tenancy.Scope{Workshop: here.id, Dealer: tamsel}, func(tx pgx.Tx) error {
			if n := here.count(tx, "dealer_order", ""); n != 1 {
				t.Errorf("the dealer sees %d orders", n)
			}
			return outcome
		})
		if !errors.Is(err, outcome) {
			t.Fatal(err)
		}
		var workshop, dealer string
		var orders int
		err = pool.QueryRow(here.ctx, `
select current_setting('billwright.workshop', true), current_setting('billwright.dealer', true), (select count(*) from dealer_order)`).Scan(&workshop, &dealer, &orders)
		if err != nil || workshop != "" || dealer != "" || orders != 0 {
			t.Errorf("after the transaction: workshop %q, dealer %q, %d orders, %v", workshop, dealer, orders, err)
		}
	}
}
