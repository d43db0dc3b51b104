// Package tenancy runs a transaction that sees one workshop, and within it one
// dealer or all, by the row-level security of the database.
package tenancy

import (
	"context"
	"errors"
	"fmt"
	"regexp"
	"time"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"
	"github.com/jackc/pgx/v5/pgconn"
	"github.com/jackc/pgx/v5/pgxpool"
)

// AllDealers is the Dealer of a Scope that sees every dealer of its workshop.
const AllDealers = "*"

// Scope is what a transaction may see.
type Scope struct {
	Workshop uuid.UUID
	// Dealer is a dealer's code, or AllDealers for the workshop's own people.
	Dealer string
}

var dealerCode = regexp.MustCompile(`^(\*|[a-z0-9]+(-[a-z0-9]+)*)$`)

// begin is the opening of a transaction in one round trip. The settings hold
// for the transaction only, so that a pooled connection keeps nothing of them.
func (s Scope) begin() (string, error) {
	// The text goes into a statement, so nothing but a code may pass.
	if !dealerCode.MatchString(s.Dealer) {
		return "", fmt.Errorf("dealer %q is no dealer's code", s.Dealer)
	}
	return fmt.Sprintf(`begin; select set_config('billwright.workshop', '%s', true), set_config('billwright.dealer', '%s', true)`, s.Workshop, s.Dealer), nil
}

// Transact runs act in a transaction of the scope and commits it, or rolls it
// back when act fails. When the database refuses the transaction for a passing
// reason (a serialization failure, a deadlock, a server going down or still
// starting, a lost connection before the commit was sent), act runs once more;
// so act must not have effects outside the transaction.
func Transact(ctx context.Context, pool *pgxpool.Pool, scope Scope, act func(pgx.Tx) error) error {
	begin, err := scope.begin()
	if err != nil {
		return err
	}
	err = once(ctx, pool, begin, act)
	if Passing(err) && ctx.Err() == nil {
		err = once(ctx, pool, begin, act)
	}
	return err
}

// commitError marks a failure of the commit itself, after which nobody knows
// whether it took place.
type commitError struct{ err error }

func (e *commitError) Error() string { return "commit: " + e.err.Error() }
func (e *commitError) Unwrap() error { return e.err }

// beginError marks a transaction that was never open.
type beginError struct{ err error }

func (e *beginError) Error() string { return "begin: " + e.err.Error() }
func (e *beginError) Unwrap() error { return e.err }

// lostError marks a transaction whose connection broke before its commit was
// sent, so that the database rolls it back.
type lostError struct{ err error }

func (e *lostError) Error() string { return "connection lost: " + e.err.Error() }
func (e *lostError) Unwrap() error { return e.err }

// acquireWithin bounds the wait for a connection, so that an exhausted pool is
// an answer and no hang.
const acquireWithin = 1500 * time.Millisecond

func once(ctx context.Context, pool *pgxpool.Pool, begin string, act func(pgx.Tx) error) error {
	waiting, cancel := context.WithTimeout(ctx, acquireWithin)
	conn, err := pool.Acquire(waiting)
	cancel()
	if err != nil {
		return &beginError{err}
	}
	defer conn.Release()
	tx, err := conn.BeginTx(ctx, pgx.TxOptions{BeginQuery: begin})
	if err != nil {
		return &beginError{err}
	}
	defer tx.Rollback(context.WithoutCancel(ctx)) //nolint:errcheck // after a commit it says so and does nothing
	if err := act(tx); err != nil {
		// The driver closes a connection that broke; the error itself may be any
		// of the network's.
		if tx.Conn().IsClosed() && ctx.Err() == nil {
			return &lostError{err}
		}
		return err
	}
	err = tx.Commit(ctx)
	if errors.Is(err, pgx.ErrTxCommitRollback) { // act hid a failure: the outcome is known
		return fmt.Errorf("commit: %w", err)
	}
	if err != nil {
		return &commitError{err}
	}
	return nil
}

// Passing tells whether an error is one of the database's passing states, after
// which the same transaction may succeed. A commit whose outcome is unknown is
// not: the caller must look before it writes again.
func Passing(err error) bool {
	var commit *commitError
	if err == nil || errors.As(err, &commit) {
		return false
	}
	var refused *pgconn.PgError
	if errors.As(err, &refused) {
		switch refused.Code {
		case "40001", "40P01", "57P01", "57P02", "57P03", "25006", "53300":
			return true
		}
		return len(refused.Code) == 5 && refused.Code[:2] == "08"
	}
	var connect *pgconn.ConnectError
	var lost *lostError
	return errors.As(err, &connect) || errors.As(err, &lost) || pgconn.SafeToRetry(err)
}

// Unavailable tells whether an error means that the database cannot be reached,
// is not serving just now or did not answer within the caller's time.
func Unavailable(err error) bool {
	var commit *commitError
	var begin *beginError
	return Passing(err) || errors.As(err, &commit) || errors.As(err, &begin) || errors.Is(err, context.DeadlineExceeded)
}
