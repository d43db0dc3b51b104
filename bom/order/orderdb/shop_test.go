package orderdb

import (
	"context"
	"crypto/sha256"
	"errors"
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"
	"github.com/jackc/pgx/v5/pgxpool"

	"billwright/bom"
	"billwright/bom/demand"
	"billwright/bom/load"
	"billwright/bom/order"
	"billwright/catalog"
	"billwright/catalog/calendar"
	"billwright/catalog/formula"
	"billwright/catalog/unit"
	"billwright/deploy/postgres/testdb"
	"billwright/migrations/tenancy"
)

func TestMain(m *testing.M) { testdb.Main(m) }

var receivedAt = time.Date(2026, 11, 25, 20, 30, 0, 0, time.UTC)

// The dealers of a test's workshop.
const (
	tamsel = "studio-tamsel"
	orrin  = "orrin-house"
)

// shop is one workshop of a test's database, with two dealers and a catalog
// revision that holds what order lines refer to.
type shop struct {
	t     testing.TB
	ctx   context.Context
	id    uuid.UUID
	pool  *pgxpool.Pool
	admin *pgxpool.Pool
	// adminURL is where admin is connected to.
	adminURL string
}

func openShop(t testing.TB) *shop {
	t.Helper()
	db := testdb.New(t)
	s := newShop(t, db.AppURL, db.AdminURL)
	s.found("corrindale")
	return s
}

func newShop(t testing.TB, appURL, adminURL string) *shop {
	t.Helper()
	ctx, cancel := context.WithTimeout(context.Background(), 5*time.Minute)
	t.Cleanup(cancel)
	s := &shop{t: t, ctx: ctx, adminURL: adminURL}
	for address, pool := range map[string]**pgxpool.Pool{appURL: &s.pool, adminURL: &s.admin} {
		p, err := pgxpool.New(ctx, address)
		if err != nil {
			t.Fatal(err)
		}
		t.Cleanup(p.Close)
		*pool = p
	}
	return s
}

// found makes a workshop with its dealers and catalog, and turns to it.
func (s *shop) found(code string) {
	s.t.Helper()
	s.id = uuid.Must(uuid.NewV7())
	err := pgx.BeginFunc(s.ctx, s.admin, func(tx pgx.Tx) error {
		for _, statement := range []string{
			`insert into workshop (workshop_id, code, name, page_secret, created_at) values ($1, '` + code + `', 'Workshop', sha256('secret'), now())`,
			`insert into dealer (workshop_id, dealer_id, name) values ($1, '` + tamsel + `', 'Studio Tamsel'), ($1, '` + orrin + `', 'Orrin House')`,
			`insert into catalog_revision (workshop_id, revision, effective, source_sha256, stored_at, stored_by) values ($1, 1, '2026-11-02', sha256('files'), now(), 'test')`,
			`insert into catalog_product (workshop_id, revision, product, name, collection, lead_days) values ($1, 1, 'pell-stool', 'Pell stool', 'Pell', 25), ($1, 1, 'sallow-bench', 'Sallow bench', 'Sallow', 30)`,
		} {
			if _, err := tx.Exec(s.ctx, statement, s.id); err != nil {
				return err
			}
		}
		return nil
	})
	if err != nil {
		s.t.Fatal(err)
	}
}

// as runs act as a dealer, or as the workshop's own people for "*".
func (s *shop) as(dealer string, act func(tx pgx.Tx) error) error {
	return tenancy.Transact(s.ctx, s.pool, tenancy.Scope{Workshop: s.id, Dealer: dealer}, act)
}

func (s *shop) must(dealer string, act func(tx pgx.Tx) error) {
	s.t.Helper()
	if err := s.as(dealer, act); err != nil {
		s.t.Fatal(err)
	}
}

func (s *shop) insert(n NewOrder) error {
	return s.as(n.Order.Dealer, func(tx pgx.Tx) error { return Insert(s.ctx, tx, s.id, n) })
}

// one reads a value as the superuser, who sees every row.
func one[T any](s *shop, statement string, args ...any) T {
	s.t.Helper()
	var v T
	if err := s.admin.QueryRow(s.ctx, statement, args...).Scan(&v); err != nil {
		s.t.Fatalf("%s: %v", statement, err)
	}
	return v
}

// counts are the rows of every table that an order is stored in.
func (s *shop) counts() string {
	s.t.Helper()
	var all []string
	for _, table := range []string{"dealer_order", "order_line", "order_hold", "bill", "requirement", "department_load", "idempotency", "audit"} {
		all = append(all, fmt.Sprintf("%s %d", table, one[int](s, `select count(*) from `+table)))
	}
	return strings.Join(all, ", ")
}

var products = map[string]*catalog.Product{
	"pell-stool":   {Code: "pell-stool", Name: "Pell stool"},
	"sallow-bench": {Code: "sallow-bench", Name: "Sallow bench"},
}

func setting(code, entered string, value formula.Value) catalog.Setting {
	return catalog.Setting{Attribute: &catalog.Attribute{Code: code, Name: strings.ToUpper(code)}, Entered: entered, Value: value, Name: value.String()}
}

// newOrder is an order of three lines and 30 things to buy, as large as the
// example order is. Everything that must be unique follows from its id.
func newOrder(dealer, po string) NewOrder {
	id := uuid.Must(uuid.NewV7())
	net := unit.Money(412_050)
	line := func(number, quantity int, product string) order.Line {
		return order.Line{Number: number, Quantity: quantity, Net: &net, Config: &catalog.Config{Product: products[product], Settings: []catalog.Setting{
			setting("length", "72 in", formula.LengthOf(72*unit.Inch)), setting("species", "", formula.TextOf("white-oak")),
			setting("metal_finish", "Soot", formula.TextOf("soot")), setting("note", `"5 %" \ it's`, formula.TextOf(`"5 %" \ it's`))}}}
	}
	o := &order.Order{
		ID: id, Number: order.NumberOf(id), Version: 1, State: order.Received, Dealer: dealer, DealerName: "Name of " + dealer,
		PO: po, Sidemark: "Lake house", ShipTo: "1 Quarry Lane\nHarrow Bend", Requested: &calendar.Date{Year: 2027, Month: 2, Day: 1},
		ReceivedAt: receivedAt, Revision: 1, Promise: calendar.Date{Year: 2027, Month: 1, Day: 15}, Net: &net, BillVersion: 1,
		Lines: []order.Line{line(1, 2, "pell-stool"), line(2, 1, "sallow-bench"), line(3, 4, "pell-stool")},
		Holds: []order.Hold{
			{Line: 1, Kind: "own-material", Reason: "2.50 yd of customer's own material needed"},
			{Line: 1, Kind: "own-material", Reason: "1.25 yd of customer's own material needed"}},
	}
	n := NewOrder{
		Order: o, POGuard: order.FoldPO(po), Requirements: needs(), Load: takes(),
		Document: []byte(`{"number":"` + o.Number + `"}`), Bill: []byte(`{"bill of":"` + o.Number + `"}`),
		Idempotency: &Idempotency{Scope: "dealer " + dealer, Key: id.String(),
			Reply: Reply{Fingerprint: sha256.Sum256(id[:]), Status: 201, Location: "/v1/orders/" + o.Number, ETag: `"1"`, Body: []byte(o.Number)}},
		Audit: AuditEntry{Actor: "key 1", Role: "dealer", Act: "order received", After: []byte(`{"po": "x"}`), Reason: "posted"},
	}
	n.BillHash = bom.Hash(n.Bill)
	return n
}

// needs are ten things for each of three lines, in two weeks.
func needs() []demand.Requirement {
	var all []demand.Requirement
	for seq := 1; seq <= 30; seq++ {
		r := demand.Requirement{
			NeedBy: calendar.Date{Year: 2026, Month: 12, Day: 16}, Line: 1 + seq%3, Seq: seq, Path: fmt.Sprintf("base/leg-%d", seq), Kind: bom.KindSteel,
			Item: fmt.Sprintf("round-bar-%d", seq%5), Pieces: 4, Length: 57 * unit.Inch, Amount: 4 * int64(57*unit.Inch), Measure: bom.Length, Firm: seq%3 != 0,
		}
		if seq%5 == 0 {
			r.NeedBy, r.Kind, r.Item, r.Length, r.Amount, r.Measure = calendar.Date{Year: 2027, Month: 1, Day: 3}, bom.KindLumber, "white-oak 5/4", 0, int64(12*unit.BoardFoot), bom.Volume
		}
		r.Week = r.NeedBy.Week().Monday()
		all = append(all, r)
	}
	return all
}

// takes is what an order takes of two departments, in two weeks.
func takes() []load.Row {
	week := func(day int) calendar.Date { return calendar.Date{Year: 2026, Month: 12, Day: day} }
	return []load.Row{{Department: "forge", Week: week(14), Minutes: 400}, {Department: "welding", Week: week(21), Minutes: 655}}
}

func isDuplicate(err error, number string) bool {
	var duplicate ErrDuplicatePO
	return errors.As(err, &duplicate) && duplicate.Number == number
}
