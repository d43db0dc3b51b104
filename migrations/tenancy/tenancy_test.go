package tenancy_test

import (
	"context"
	"errors"
	"fmt"
	"testing"
	"time"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"
	"github.com/jackc/pgx/v5/pgconn"
	"github.com/jackc/pgx/v5/pgxpool"

	"billwright/deploy/postgres/testdb"
	"billwright/migrations/tenancy"
)

func TestMain(m *testing.M) { testdb.Main(m) }

type house struct {
	t           *testing.T
	ctx         context.Context
	pool, admin *pgxpool.Pool
	scope       tenancy.Scope
}

func open(t *testing.T) *house {
	t.Helper()
	db := testdb.New(t)
	ctx, cancel := context.WithTimeout(context.Background(), time.Minute)
	t.Cleanup(cancel)
	h := &house{t: t, ctx: ctx, pool: db.Pool(t), admin: db.AdminPool(t), scope: tenancy.Scope{Workshop: uuid.New(), Dealer: tenancy.AllDealers}}
	_, err := h.admin.Exec(ctx, `insert into workshop (workshop_id, code, name, page_secret, created_at) values ($1, 'corrindale', 'Corrindale', sha256('s'), now())`, h.scope.Workshop)
	if err != nil {
		t.Fatal(err)
	}
	return h
}

func (h *house) write(tx pgx.Tx, dealer string) error {
	_, err := tx.Exec(h.ctx, `insert into dealer (workshop_id, dealer_id, name) values ($1, $2, $2)`, h.scope.Workshop, dealer)
	return err
}

func (h *house) dealers() (n int) {
	h.t.Helper()
	if err := h.admin.QueryRow(h.ctx, `select count(*) from dealer`).Scan(&n); err != nil {
		h.t.Fatal(err)
	}
	return n
}

// end has the superuser end a transaction's connection, and waits until it is
// gone.
func (h *house) end(tx pgx.Tx) {
	h.t.Helper()
	pid := tx.Conn().PgConn().PID()
	var ended bool
	if err := h.admin.QueryRow(h.ctx, `select pg_terminate_backend($1, 10000)`, pid).Scan(&ended); err != nil || !ended {
		h.t.Fatalf("connection %d did not end: %v", pid, err)
	}
}

func TestScopeHoldsInside(t *testing.T) {
	h := open(t)
	for _, dealer := range []string{"*", "studio-tamsel", "7"} {
		err := tenancy.Transact(h.ctx, h.pool, tenancy.Scope{Workshop: h.scope.Workshop, Dealer: dealer}, func(tx pgx.Tx) error {
			var workshop uuid.UUID
			var inside string
			err := tx.QueryRow(h.ctx, `select current_setting('billwright.workshop')::uuid, current_setting('billwright.dealer')`).Scan(&workshop, &inside)
			if workshop != h.scope.Workshop || inside != dealer {
				t.Errorf("inside the scope of %s it is %s, %q", dealer, workshop, inside)
			}
			return err
		})
		if err != nil {
			t.Error(err)
		}
	}
}

func TestScopeThatIsNone(t *testing.T) {
	h := open(t)
	for _, dealer := range []string{"", "**", "Tamsel", "a_b", "-", "a-", "x'", "x', true); drop table audit; --", "a\n", "ä"} {
		ran := false
		err := tenancy.Transact(h.ctx, h.pool, tenancy.Scope{Workshop: h.scope.Workshop, Dealer: dealer}, func(pgx.Tx) error {
			ran = true
			return nil
		})
		if err == nil || ran {
			t.Errorf("dealer %q: %v, ran %v", dealer, err, ran)
		}
		if tenancy.Passing(err) || tenancy.Unavailable(err) {
			t.Errorf("dealer %q counts as a state of the database", dealer)
		}
	}
}

func TestErrorRollsBack(t *testing.T) {
	h := open(t)
	refusal := errors.New("no")
	runs := 0
	err := tenancy.Transact(h.ctx, h.pool, h.scope, func(tx pgx.Tx) error {
		runs++
		return errors.Join(h.write(tx, "tamsel"), refusal)
	})
	if !errors.Is(err, refusal) || runs != 1 || h.dealers() != 0 {
		t.Errorf("%v after %d runs, %d dealers", err, runs, h.dealers())
	}
	if tenancy.Unavailable(err) {
		t.Error("the caller's own error counts as a state of the database")
	}
}

func TestPanicRollsBack(t *testing.T) {
	h := open(t)
	func() {
		defer func() {
			if recover() == nil {
				t.Error("the panic was swallowed")
			}
		}()
		_ = tenancy.Transact(h.ctx, h.pool, h.scope, func(tx pgx.Tx) error {
			if err := h.write(tx, "tamsel"); err != nil {
				t.Error(err)
			}
			panic("in the middle")
		})
	}()
	if h.dealers() != 0 || h.pool.Stat().AcquiredConns() != 0 {
		t.Errorf("%d dealers, %d connections kept", h.dealers(), h.pool.Stat().AcquiredConns())
	}
}

// A connection that ends before the commit was sent has changed nothing, so the
// transaction runs once more.
func TestLostConnectionIsTriedAgain(t *testing.T) {
	for _, test := range []struct {
		name string
		ends int // how many of the runs lose their connection
		want int // dealers stored
	}{{"once", 1, 1}, {"twice", 2, 0}} {
		t.Run(test.name, func(t *testing.T) {
			h := open(t)
			runs := 0
			err := tenancy.Transact(h.ctx, h.pool, h.scope, func(tx pgx.Tx) error {
				runs++
				if err := h.write(tx, "tamsel"); err != nil {
					return err
				}
				if runs <= test.ends {
					h.end(tx)
				}
				return h.write(tx, "orrin")
			})
			if runs != 2 || h.dealers() != 2*test.want || (err == nil) != (test.want == 1) {
				t.Errorf("%d runs, %d dealers, %v", runs, h.dealers(), err)
			}
			if err != nil && (!tenancy.Passing(err) || !tenancy.Unavailable(err)) {
				t.Errorf("a lost connection does not count as passing: %v", err)
			}
		})
	}
}

// Whether a commit took place that was sent and not answered nobody knows; it
// must not run again by itself.
func TestUnansweredCommitIsNotTriedAgain(t *testing.T) {
	h := open(t)
	runs := 0
	err := tenancy.Transact(h.ctx, h.pool, h.scope, func(tx pgx.Tx) error {
		runs++
		err := h.write(tx, "tamsel")
		h.end(tx)
		return err
	})
	if err == nil || runs != 1 {
		t.Errorf("%v after %d runs", err, runs)
	}
	if tenancy.Passing(err) || !tenancy.Unavailable(err) {
		t.Errorf("passing %v, unavailable %v: %v", tenancy.Passing(err), tenancy.Unavailable(err), err)
	}
}

// A failure that act keeps to itself must not pass for a commit.
func TestHiddenFailureIsNoCommit(t *testing.T) {
	h := open(t)
	err := tenancy.Transact(h.ctx, h.pool, h.scope, func(tx pgx.Tx) error {
		if err := h.write(tx, "tamsel"); err != nil {
			return err
		}
		_, _ = tx.Exec(h.ctx, `select 1 / 0`)
		return nil
	})
	if !errors.Is(err, pgx.ErrTxCommitRollback) || tenancy.Unavailable(err) || h.dealers() != 0 {
		t.Errorf("%v, %d dealers", err, h.dealers())
	}
}

// Two transactions that lock two rows in opposite order: the database ends one
// (40P01), which then runs again.
func TestDeadlockIsTriedAgain(t *testing.T) {
	h := open(t)
	for _, dealer := range []string{"tamsel", "orrin"} {
		if err := tenancy.Transact(h.ctx, h.pool, h.scope, func(tx pgx.Tx) error { return h.write(tx, dealer) }); err != nil {
			t.Fatal(err)
		}
	}
	rename := func(tx pgx.Tx, dealer, name string) error {
		_, err := tx.Exec(h.ctx, `update dealer set name = $3 where workshop_id = $1 and dealer_id = $2`, h.scope.Workshop, dealer, name)
		return err
	}
	both := [2]chan struct{}{make(chan struct{}), make(chan struct{})}
	errs := make(chan error, 2)
	runs := make(chan int, 2)
	for i, order := range [2][2]string{{"tamsel", "orrin"}, {"orrin", "tamsel"}} {
		go func() {
			n := 0
			errs <- tenancy.Transact(h.ctx, h.pool, h.scope, func(tx pgx.Tx) error {
				n++
				if err := rename(tx, order[0], fmt.Sprint(i)); err != nil {
					return err
				}
				if n == 1 { // hold the first row until the other has its own
					close(both[i])
					<-both[1-i]
				}
				return rename(tx, order[1], fmt.Sprint(i))
			})
			runs <- n
		}()
	}
	if err := errors.Join(<-errs, <-errs); err != nil {
		t.Error(err)
	}
	if n := <-runs + <-runs; n != 3 {
		t.Errorf("%d runs of two transactions, want 3", n)
	}
	var names int
	if err := h.admin.QueryRow(h.ctx, `select count(distinct name) from dealer`).Scan(&names); err != nil || names != 1 {
		t.Errorf("the two dealers have %d names: %v", names, err)
	}
}

func TestNoConnectionInTime(t *testing.T) {
	h := open(t)
	config := h.pool.Config()
	config.MaxConns = 1
	pool, err := pgxpool.NewWithConfig(h.ctx, config)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(pool.Close)
	held, err := pool.Acquire(h.ctx)
	if err != nil {
		t.Fatal(err)
	}
	defer held.Release()
	ctx, cancel := context.WithTimeout(h.ctx, 50*time.Millisecond)
	defer cancel()
	err = tenancy.Transact(ctx, pool, h.scope, func(pgx.Tx) error { return nil })
	if !tenancy.Unavailable(err) || tenancy.Passing(err) {
		t.Errorf("no connection in time: %v", err)
	}
}

func TestNoServer(t *testing.T) {
	ctx, cancel := context.WithTimeout(context.Background(), 10*time.Second)
	defer cancel()
	pool, err := pgxpool.New(ctx, "postgres://nobody@/none?host="+t.TempDir())
	if err != nil {
		t.Fatal(err)
	}
	defer pool.Close()
	err = tenancy.Transact(ctx, pool, tenancy.Scope{Workshop: uuid.New(), Dealer: "*"}, func(pgx.Tx) error { return nil })
	if !tenancy.Passing(err) || !tenancy.Unavailable(err) {
		t.Errorf("without a server: %v", err)
	}
}

// The codes are those of the PostgreSQL manual, appendix A.
func TestPassingStates(t *testing.T) {
	for code, want := range map[string]bool{
		"40001": true, "40P01": true, "57P01": true, "57P02": true, "57P03": true, "25006": true, "53300": true, "08006": true, "08P01": true,
		"23505": false, "42501": false, "22003": false, "57014": false, "": false, "08": false,
	} {
		err := fmt.Errorf("store: %w", &pgconn.PgError{Code: code})
		if got := tenancy.Passing(err); got != want {
			t.Errorf("%q passes: %v", code, got)
		}
		if got := tenancy.Unavailable(err); got != want {
			t.Errorf("%q is unavailable: %v", code, got)
		}
	}
	if tenancy.Passing(nil) || tenancy.Unavailable(nil) {
		t.Error("no error is a state of the database")
	}
}
