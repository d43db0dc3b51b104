package orderdb

import (
	"bytes"
	"errors"
	"reflect"
	"strconv"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"
	"github.com/jackc/pgx/v5/pgconn"

	"billwright/bom"
	"billwright/bom/order"
	"billwright/catalog/unit"
)

func TestOrderComesBackAsStored(t *testing.T) {
	s := openShop(t)
	n := newOrder(tamsel, "TS 1041")
	if err := s.insert(n); err != nil {
		t.Fatal(err)
	}
	if got, want := s.counts(), "dealer_order 1, order_line 3, order_hold 2, bill 1, requirement 30, department_load 2, idempotency 1, audit 1"; got != want {
		t.Errorf("stored %s; want %s", got, want)
	}
	s.must(tamsel, func(tx pgx.Tx) error {
		found, err := Find(s.ctx, tx, s.id, n.Order.Number)
		if err != nil {
			return err
		}
		want := Stored{ID: n.Order.ID, Number: n.Order.Number, Version: 1, State: order.Received, Dealer: tamsel, Revision: 1, Document: n.Document}
		if !reflect.DeepEqual(found, want) {
			t.Errorf("found %+v, want %+v", found, want)
		}
		number, err := ByPO(s.ctx, tx, s.id, tamsel, "ts1041")
		if err != nil || number != n.Order.Number {
			t.Errorf("by its purchase order number: %q, %v", number, err)
		}
		reply, err := FindReply(s.ctx, tx, s.id, n.Idempotency.Scope, n.Idempotency.Key)
		if err != nil || !reflect.DeepEqual(reply, n.Idempotency.Reply) {
			t.Errorf("reply %+v, %v; want %+v", reply, err, n.Idempotency.Reply)
		}
		page, err := Page(s.ctx, tx, s.id, Filter{Limit: 10})
		if err != nil {
			return err
		}
		if len(page) != 1 || !page[0].ReceivedAt.Equal(receivedAt) {
			t.Fatalf("the page is %+v", page)
		}
		page[0].ReceivedAt = receivedAt
		wantRow := Summary{ID: n.Order.ID, Number: n.Order.Number, Dealer: tamsel, PO: "TS 1041", Sidemark: "Lake house", State: order.Received,
			Promise: &n.Order.Promise, Net: n.Order.Net, ReceivedAt: receivedAt, Products: []string{"pell-stool", "sallow-bench"}}
		if !reflect.DeepEqual(page[0], wantRow) {
			t.Errorf("the row is %+v, want %+v", page[0], wantRow)
		}
		return nil
	})
}

func TestBillComesBackAsStored(t *testing.T) {
	s := openShop(t)
	n := newOrder(tamsel, "TS 1041")
	if err := s.insert(n); err != nil {
		t.Fatal(err)
	}
	// A second version, as a change order would store it.
	second := append([]byte("second "), n.Bill...)
	hash := bom.Hash(second)
	s.must(tamsel, func(tx pgx.Tx) error {
		_, err := tx.Exec(s.ctx, `
insert into bill (workshop_id, dealer_id, order_id, bill_version, revision, arithmetic, sha256, document, made_at)
values ($1, $2, $3, 2, 1, 7, $4, $5, $6)`, s.id, tamsel, n.Order.ID, hash[:], second, receivedAt)
		return err
	})
	for _, test := range []struct {
		version    int
		want       []byte
		is         int
		arithmetic int
	}{{1, n.Bill, 1, bom.Arithmetic}, {2, second, 2, 7}, {0, second, 2, 7}} {
		s.must(tamsel, func(tx pgx.Tx) error {
			b, err := Bill(s.ctx, tx, s.id, n.Order.Number, test.version)
			if !bytes.Equal(b.Document, test.want) || b.Hash != bom.Hash(test.want) || b.Version != test.is || b.Arithmetic != test.arithmetic || b.Revision != 1 {
				t.Errorf("version %d is %+v", test.version, b)
			}
			return err
		})
	}
	for number, version := range map[string]int{n.Order.Number: 3, "0000-0000": 0} {
		err := s.as(tamsel, func(tx pgx.Tx) error {
			_, err := Bill(s.ctx, tx, s.id, number, version)
			return err
		})
		if !errors.Is(err, ErrNoOrder) {
			t.Errorf("version %d of %s: %v", version, number, err)
		}
	}
}

func TestRowsBelowAnOrder(t *testing.T) {
	s := openShop(t)
	n := newOrder(orrin, "")
	n.POGuard = ""
	n.Order.Lines[1].Ways = map[string]string{"base/rail": "splice", "b": `"x" \ '`}
	n.Order.Lines[1].Net, n.Order.Net, n.Order.Requested = nil, nil, nil
	if err := s.insert(n); err != nil {
		t.Fatal(err)
	}
	for statement, want := range map[string]bool{
		`select net_cents is null and requested is null and po_guard is null from dealer_order`:                                                                          true,
		`select net_cents is null and quantity = 1 from order_line where line = 2 and product = 'sallow-bench'`:                                                          true,
		`select configuration = '{"length": "72 in", "species": "white-oak", "metal_finish": "soot", "note": "\"5 %\" \\ it''s"}'::jsonb from order_line where line = 3`: true,
		`select ways = '{"base/rail": "splice", "b": "\"x\" \\ ''"}'::jsonb from order_line where line = 2`:                                                              true,
		`select bool_and(ways = '{}'::jsonb) from order_line where line <> 2`:                                                                                            true,
		`select array_agg(seq || reason order by seq)::text like '%12.50 yd%21.25 yd%' from order_hold where line = 1 and placed_by = 'key 1'`:                           true,
		`select actor = 'key 1' and role = 'dealer' and subject = (select number from dealer_order) and after ->> 'po' = 'x' and before is null from audit`:              true,
		`select count(*) = 6 from requirement where length_nm is null and measure = 'volume' and week = '2026-12-28' and need_by = '2027-01-03'`:                         true,
		`select bool_and(n = 1) from (select count(*) filter (where leads) as n from requirement group by order_id, week, kind, item, measure) as g`:                     true,
		`select bool_and(length_nm = 1447800000) from requirement where kind = 'steel'`:                                                                                  true,
	} {
		if got := one[bool](s, statement); got != want {
			t.Errorf("%s: %v", statement, got)
		}
	}
}

func TestTestOrderBecomesNoRequirements(t *testing.T) {
	s := openShop(t)
	n := newOrder(tamsel, "TS 1041")
	n.Order.Test, n.POGuard = true, ""
	if err := s.insert(n); err != nil {
		t.Fatal(err)
	}
	if got, want := s.counts(), "dealer_order 1, order_line 3, order_hold 2, bill 1, requirement 0, department_load 0, idempotency 1, audit 1"; got != want {
		t.Errorf("stored %s; want %s", got, want)
	}
}

func TestOrderWithoutKeyStoresNoReply(t *testing.T) {
	s := openShop(t)
	n := newOrder(tamsel, "TS 1041")
	n.Idempotency = nil
	if err := s.insert(n); err != nil {
		t.Fatal(err)
	}
	if got := one[int](s, `select count(*) from idempotency`); got != 0 {
		t.Errorf("%d replies", got)
	}
}

func TestEachUniqueKeyHasItsOwnError(t *testing.T) {
	s := openShop(t)
	first := newOrder(tamsel, "TS 1041")
	if err := s.insert(first); err != nil {
		t.Fatal(err)
	}
	before := s.counts()
	for _, test := range []struct {
		name   string
		dealer string
		change func(n *NewOrder)
		is     func(error) bool
	}{
		{"the purchase order number again", tamsel, func(n *NewOrder) { n.POGuard = first.POGuard }, func(err error) bool { return isDuplicate(err, first.Order.Number) }},
		{"the number again", tamsel, func(n *NewOrder) { n.Order.Number = first.Order.Number }, func(err error) bool { return errors.Is(err, ErrNumberTaken) }},
		{"another dealer's number", orrin, func(n *NewOrder) { n.Order.Number = first.Order.Number }, func(err error) bool { return errors.Is(err, ErrNumberTaken) }},
		{"the id again", tamsel, func(n *NewOrder) { n.Order.ID = first.Order.ID }, func(err error) bool { return errors.Is(err, ErrNumberTaken) }},
		{"the idempotency key again", tamsel, func(n *NewOrder) { n.Idempotency.Key = first.Idempotency.Key }, func(err error) bool { return errors.Is(err, ErrKeyUsed) }},
		{"everything again", tamsel, func(n *NewOrder) { *n = first }, func(err error) bool { return isDuplicate(err, first.Order.Number) }},
	} {
		n := newOrder(test.dealer, "another "+test.name)
		test.change(&n)
		if err := s.insert(n); !test.is(err) {
			t.Errorf("%s: %v", test.name, err)
		}
		if after := s.counts(); after != before {
			t.Errorf("%s left %s; before it was %s", test.name, after, before)
		}
	}
	for name, n := range map[string]NewOrder{"another dealer's purchase order number": newOrder(orrin, "TS 1041"), "no guard": newOrder(tamsel, "TS 1041")} {
		if name == "no guard" {
			n.POGuard = ""
		}
		if err := s.insert(n); err != nil {
			t.Errorf("%s: %v", name, err)
		}
	}
	other := *s
	other.found("wickerlode")
	if err := other.insert(first); err != nil {
		t.Errorf("another workshop: %v", err)
	}
}

// A refused order leaves the transaction of use: the caller may say in it what
// it found.
func TestDuplicateLeavesTheTransactionOpen(t *testing.T) {
	s := openShop(t)
	first := newOrder(tamsel, "TS 1041")
	if err := s.insert(first); err != nil {
		t.Fatal(err)
	}
	s.must(tamsel, func(tx pgx.Tx) error {
		if err := Insert(s.ctx, tx, s.id, newOrder(tamsel, "ts 10 41")); !isDuplicate(err, first.Order.Number) {
			t.Errorf("the first refusal: %v", err)
		}
		_, err := Find(s.ctx, tx, s.id, first.Order.Number)
		return err
	})
}

func TestRefusedRowStoresNothing(t *testing.T) {
	s := openShop(t)
	empty := s.counts()
	for name, spoil := range map[string]func(n *NewOrder){
		"a path that is none":          func(n *NewOrder) { n.Requirements[29].Path = "Base/Leg" },
		"a week that is not the day's": func(n *NewOrder) { n.Requirements[29].Week = n.Requirements[29].Week.AddDays(7) },
		"a week from a Tuesday":        func(n *NewOrder) { n.Requirements[29].Week = n.Requirements[29].Week.AddDays(1) },
		"a measure that is none":       func(n *NewOrder) { n.Requirements[29].Measure = "cord" },
		"two rows of one number": func(n *NewOrder) {
			n.Requirements[29].Seq, n.Requirements[29].Line, n.Requirements[29].Week, n.Requirements[29].NeedBy = 1, n.Requirements[0].Line, n.Requirements[0].Week, n.Requirements[0].NeedBy
		},
		"a requirement too many":   func(n *NewOrder) { n.Requirements[29].Seq = 40_000 },
		"pieces beyond counting":   func(n *NewOrder) { n.Requirements[29].Pieces = 1 << 40 },
		"a hold that is none":      func(n *NewOrder) { n.Order.Holds[1].Kind = "Whim!" },
		"a product of no catalog":  func(n *NewOrder) { n.Order.Revision = 2 },
		"an unknown dealer":        func(n *NewOrder) { n.Order.Dealer = "nobody" },
		"two lines of one number":  func(n *NewOrder) { n.Order.Lines[2].Number = 1 },
		"a line of none":           func(n *NewOrder) { n.Order.Lines[2].Quantity = 0 },
		"an entry that is no JSON": func(n *NewOrder) { n.Audit.After = []byte("no JSON") },
	} {
		n := newOrder(tamsel, "TS "+name)
		spoil(&n)
		if err := s.insert(n); err == nil {
			t.Errorf("%s was stored", name)
		}
		if got := s.counts(); got != empty {
			t.Errorf("%s left %s", name, got)
		}
	}
}

// Eight requests with the same purchase order number and no lock between them.
func TestOnePONumberAtOnceIsOneOrder(t *testing.T) {
	s := openShop(t)
	var mu sync.Mutex
	var stored []string
	var refused []error
	var wg sync.WaitGroup
	for range 8 {
		wg.Go(func() {
			n := newOrder(tamsel, "TS 1041")
			err := s.insert(n)
			mu.Lock()
			defer mu.Unlock()
			if err == nil {
				stored = append(stored, n.Order.Number)
			} else {
				refused = append(refused, err)
			}
		})
	}
	wg.Wait()
	if len(stored) != 1 || len(refused) != 7 {
		t.Fatalf("%d orders stored, %d refused", len(stored), len(refused))
	}
	for _, err := range refused {
		if !isDuplicate(err, stored[0]) {
			t.Errorf("refused with %v, want the number %s", err, stored[0])
		}
	}
	if got, want := s.counts(), "dealer_order 1, order_line 3, order_hold 2, bill 1, requirement 30, department_load 2, idempotency 1, audit 1"; got != want {
		t.Errorf("stored %s; want %s", got, want)
	}
}

// 42501 is insufficient_privilege (PostgreSQL manual, appendix A).
func TestAuditTrailIsNeverAltered(t *testing.T) {
	s := openShop(t)
	if err := s.insert(newOrder(tamsel, "TS 1041")); err != nil {
		t.Fatal(err)
	}
	for _, statement := range []string{`update audit set actor = 'nobody'`, `delete from audit`, `truncate audit`} {
		err := s.as("*", func(tx pgx.Tx) error {
			_, err := tx.Exec(s.ctx, statement)
			return err
		})
		var refused *pgconn.PgError
		if !errors.As(err, &refused) || refused.Code != "42501" {
			t.Errorf("%s: %v", statement, err)
		}
	}
}

// The rows of order_line are those of the version that stands: an approved change
// puts others in their place, and the version before it is kept whole.
func TestOrderIsNeverDeletedNorRewritten(t *testing.T) {
	s := openShop(t)
	if err := s.insert(newOrder(tamsel, "TS 1041")); err != nil {
		t.Fatal(err)
	}
	for _, statement := range []string{
		`delete from dealer_order`, `update dealer_order set test = true`, `update dealer_order set dealer_id = 'orrin-house'`, `update order_line set quantity = 9`,
		`delete from bill`, `update bill set document = ''`, `update requirement set amount = 1`, `update order_version set document = ''`, `delete from order_version`, `update shop_event set note = ''`, `delete from shop_event`,
		`update shipment set tracking = ''`, `delete from shipment`, `update shipped_carton set carton = ''`, `delete from shipped_carton`,
		`update imported_order set key = ''`, `delete from imported_order`, `update own_receipt set entered = ''`, `delete from own_receipt`, `update order_note set text = ''`, `delete from order_note`, `update order_attachment set name = ''`, `delete from order_attachment`, `update order_news set act = ''`, `delete from order_news`,
		`update order_link set quantity = 1`, `delete from order_link`,
		`update department_load set tenths = 1`, `update change_order set difference = ''`, `delete from change_order`, `update idempotency set reply = ''`, `delete from idempotency`, `delete from order_hold`,
	} {
		err := s.as("*", func(tx pgx.Tx) error {
			_, err := tx.Exec(s.ctx, statement)
			return err
		})
		var refused *pgconn.PgError
		if !errors.As(err, &refused) || refused.Code != "42501" {
			t.Errorf("%s: %v", statement, err)
		}
	}
}

func TestLargeOrder(t *testing.T) {
	s := openShop(t)
	n := newOrder(tamsel, "TS 1041")
	n.Order.Lines, n.Requirements = nil, nil
	for line := 1; line <= order.MaxLines; line++ {
		l := newOrder(tamsel, "").Order.Lines[0]
		l.Number, l.Quantity = line, order.MaxQuantity
		n.Order.Lines = append(n.Order.Lines, l)
		for _, r := range needs() {
			r.Line, r.Seq, r.Amount = line, len(n.Requirements)+1, int64(order.MaxQuantity)*int64(unit.MaxEntry)
			n.Requirements = append(n.Requirements, r)
		}
	}
	n.Bill = bytes.Repeat([]byte("0123456789abcdef"), 1<<17) // 2 MiB
	n.BillHash = bom.Hash(n.Bill)
	began := time.Now()
	if err := s.insert(n); err != nil {
		t.Fatal(err)
	}
	t.Logf("%d lines, %d requirements, a bill of %d bytes: %s", len(n.Order.Lines), len(n.Requirements), len(n.Bill), time.Since(began))
	if got, want := one[int](s, `select count(*) from requirement where order_id = $1`, n.Order.ID), 30*order.MaxLines; got != want {
		t.Errorf("%d requirements, want %d", got, want)
	}
	s.must(tamsel, func(tx pgx.Tx) error {
		b, err := Bill(s.ctx, tx, s.id, n.Order.Number, 0)
		if !bytes.Equal(b.Document, n.Bill) {
			t.Error("the bill came back otherwise")
		}
		return err
	})
}

func TestAuditIdIsMadeOrGiven(t *testing.T) {
	s := openShop(t)
	given := uuid.Must(uuid.NewV7())
	n := newOrder(tamsel, "TS 1041")
	n.Audit.ID = given
	if err := errors.Join(s.insert(n), s.insert(newOrder(tamsel, "TS 1042"))); err != nil {
		t.Fatal(err)
	}
	if got := one[int](s, `select count(*) from audit where audit_id = $1`, given); got != 1 {
		t.Errorf("%d entries under the given id", got)
	}
	// Version 7 stands in the first hexadecimal digit of the third group (RFC 9562, section 5.7).
	if got := one[int](s, `select count(*) from audit where substr(audit_id::text, 15, 1) = '7'`); got != 2 {
		t.Errorf("%d entries under a UUIDv7", got)
	}
}

// On a table that was never analyzed, PostgreSQL 15 took any key that begins
// with the workshop for as good as the primary one: each foreign key to an order
// then went through all orders of the workshop. The plan that the check uses is
// asked for here as the check words it.
func TestForeignKeysGoByThePrimaryKey(t *testing.T) {
	s := openShop(t)
	for i := range 20 {
		if err := s.insert(newOrder(tamsel, strconv.Itoa(i))); err != nil {
			t.Fatal(err)
		}
	}
	rows, err := s.admin.Query(s.ctx, `explain select 1 from only dealer_order x where workshop_id = '`+s.id.String()+`' and order_id = '`+uuid.NewString()+`' for key share of x`)
	if err != nil {
		t.Fatal(err)
	}
	plan, err := pgx.CollectRows(rows, pgx.RowTo[string])
	if err != nil {
		t.Fatal(err)
	}
	if text := strings.Join(plan, "\n"); !strings.Contains(text, "dealer_order_pk") {
		t.Errorf("the plan is\n%s", text)
	}
}

// While another request is at work under the key, an order with it is refused
// at once: nothing waits, nothing is stored.
func TestInsertUnderABusyKey(t *testing.T) {
	s := openShop(t)
	n := newOrder(tamsel, "TS 77")
	s.must(tamsel, func(first pgx.Tx) error {
		locked, err := LockKey(s.ctx, first, s.id, n.Idempotency.Scope, n.Idempotency.Key)
		if err != nil || !locked {
			t.Fatalf("the first request's lock: %v, %v", locked, err)
		}
		if err := s.insert(n); !errors.Is(err, ErrKeyBusy) {
			t.Errorf("a second request: %v, want ErrKeyBusy", err)
		}
		return nil
	})
	if got := s.counts(); !strings.HasPrefix(got, "dealer_order 0, order_line 0") {
		t.Errorf("stored: %s", got)
	}
	if err := s.insert(n); err != nil {
		t.Errorf("after the first request: %v", err)
	}
}
