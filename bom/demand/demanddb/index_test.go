package demanddb

import (
	"testing"

	"github.com/jackc/pgx/v5"

	"billwright/bom"
	"billwright/migrations/tenancy"
)

// Whatever is asked about a week reads no more of the table than an index leads to,
// from a thousand rows over 26 weeks to a hundred thousand. Many weeks ahead at once
// are another matter: they may be most of the table.
func TestAWeekIsFoundByIndex(t *testing.T) {
	sizes := []int{1_000, 10_000, 100_000}
	if testing.Short() {
		sizes = sizes[:2]
	}
	for _, size := range sizes {
		s := open(t)
		s.fill(size)
		monday := day(t, "2027-03-15")
		for name, ask := range map[string]func(tx pgx.Tx) error{
			"week of a kind": func(tx pgx.Tx) error { _, err := Week(s.ctx, tx, s.id, monday, bom.KindSteel); return err },
			"week":           func(tx pgx.Tx) error { _, err := Week(s.ctx, tx, s.id, monday, ""); return err },
			"pegs":           func(tx pgx.Tx) error { _, err := Pegs(s.ctx, tx, s.id, monday, bom.KindSteel, "item-1"); return err },
			"pieces":         func(tx pgx.Tx) error { _, err := Pieces(s.ctx, tx, s.id, monday, ""); return err },
			"pieces of one":  func(tx pgx.Tx) error { _, err := Pieces(s.ctx, tx, s.id, monday, "item-1"); return err },
			"sheets":         func(tx pgx.Tx) error { _, err := SheetPieces(s.ctx, tx, s.id, monday, "", ""); return err },
			"by order":       func(tx pgx.Tx) error { _, err := ByOrder(s.ctx, tx, s.id, monday, bom.KindSteel, "item-1"); return err },
			"newest revision": func(tx pgx.Tx) error {
				_, err := NewestRevision(s.ctx, tx, s.id, monday, bom.KindSteel, "item-1")
				return err
			},
			"past due":   func(tx pgx.Tx) error { _, err := PastDue(s.ctx, tx, s.id, day(t, "2027-01-13"), ""); return err },
			"week ahead": func(tx pgx.Tx) error { _, err := Ahead(s.ctx, tx, s.id, monday, monday.AddDays(7), monday); return err },
		} {
			var before, after, looked int64
			err := tenancy.Transact(s.ctx, s.pool, tenancy.Scope{Workshop: s.id, Dealer: tenancy.AllDealers}, func(tx pgx.Tx) error {
				const counted = `select seq_scan, idx_scan from pg_stat_xact_user_tables where relname = 'requirement'`
				if err := tx.QueryRow(s.ctx, counted).Scan(&before, &looked); err != nil {
					return err
				}
				indexed := looked
				if err := ask(tx); err != nil {
					return err
				}
				err := tx.QueryRow(s.ctx, counted).Scan(&after, &looked)
				looked -= indexed
				return err
			})
			if err != nil {
				t.Fatal(err)
			}
			if after > before || looked == 0 {
				t.Errorf("%d rows, %s: %d scans of the whole table, %d of an index", size, name, after-before, looked)
			}
		}
	}
}

// fill writes so many requirements, 20 of an order, over 26 weeks from 2027-01-04.
func (s *shop) fill(rows int) {
	s.t.Helper()
	for _, statement := range []string{`
insert into dealer_order (workshop_id, dealer_id, order_id, number, version, state, test, revision, po, sidemark, ship_to, ship_complete, received_at, search, document)
select $1, case when n % 2 = 0 then 'tamsel' else 'orrin' end, ('00000000-0000-7000-8000-' || lpad(n::text, 12, '0'))::uuid, 'N' || n, 1, 'received', false, 1, 'PO ' || n, '', '', false, now(), '', ''
from generate_series(0, ($2::int - 1) / 20) as n`, `
insert into requirement (workshop_id, week, order_id, line, seq, dealer_id, bill_version, unit, path, kind, item, pieces, length_nm, amount, measure, need_by, firm, leads)
select $1, date '2027-01-04' + 7 * (n % 26), ('00000000-0000-7000-8000-' || lpad((n / 20)::text, 12, '0'))::uuid, 1, n % 20, case when n / 20 % 2 = 0 then 'tamsel' else 'orrin' end, 1, 0,
    'base/part-' || n % 20, (array['steel', 'hardware', 'powder', 'glass'])[1 + n / 26 % 4], 'item-' || n % 7, 1 + n % 5, case when n / 26 % 4 = 0 then 254000000 + n % 64 * 3175000 end, 1000, 'each', date '2027-01-04' + 7 * (n % 26) + n % 5, n % 10 <> 0, true
from generate_series(0, $2::int - 1) as n`} {
		if _, err := s.admin.Exec(s.ctx, statement, s.id, rows); err != nil {
			s.t.Fatal(err)
		}
	}
	if _, err := s.admin.Exec(s.ctx, `vacuum analyze requirement, dealer_order`); err != nil {
		s.t.Fatal(err)
	}
}
