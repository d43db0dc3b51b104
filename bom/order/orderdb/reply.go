package orderdb

import (
	"context"
	"crypto/sha256"
	"encoding/binary"
	"errors"
	"fmt"
	"time"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"
	"github.com/jackc/pgx/v5/pgconn"
)

// Reply is what was answered to a request with an idempotency key.
type Reply struct {
	// Fingerprint is the SHA-256 of the request, by which the same request is
	// told from another under the same key.
	Fingerprint [32]byte
	Status      int
	Location    string
	ETag        string
	Body        []byte
}

// Idempotency is a reply with the key that it is stored under.
type Idempotency struct {
	// Scope is "dealer CODE", or "key UUID" for the workshop's own people.
	Scope string
	Key   string
	Reply
}

// ErrNoReply tells that nothing was answered under an idempotency key, or
// nothing that the transaction may see.
var ErrNoReply = errors.New("no reply under this key")

// FindReply reads what was answered under a key. Without it: ErrNoReply.
func FindReply(ctx context.Context, tx pgx.Tx, workshop uuid.UUID, scope, key string) (Reply, error) {
	r, err := scanReply(tx.QueryRow(ctx, findReply, workshop, scope, key))
	if err != nil && !errors.Is(err, ErrNoReply) {
		return Reply{}, fmt.Errorf("find a reply: %w", err)
	}
	return r, err
}

const findReply = `
select fingerprint, status, location, etag, reply
from idempotency
where workshop_id = $1 and scope = $2 and key = $3`

func scanReply(row pgx.Row) (Reply, error) {
	var r Reply
	var fingerprint []byte
	err := row.Scan(&fingerprint, &r.Status, &r.Location, &r.ETag, &r.Body)
	if errors.Is(err, pgx.ErrNoRows) {
		return Reply{}, ErrNoReply
	}
	copy(r.Fingerprint[:], fingerprint)
	return r, err
}

// CountReplay counts that a reply is given again. The transaction must be
// committed before the answer leaves: a database whose standby hangs then
// answers nothing that it may lose. Without the reply: ErrNoReply.
func CountReplay(ctx context.Context, tx pgx.Tx, workshop uuid.UUID, scope, key string) error {
	done, err := tx.Exec(ctx, `
update idempotency set replays = replays + 1
where workshop_id = $1 and scope = $2 and key = $3`, workshop, scope, key)
	if err != nil {
		return fmt.Errorf("count a replay: %w", err)
	}
	if done.RowsAffected() == 0 {
		return ErrNoReply
	}
	return nil
}

// StoreReply keeps what is answered to an act other than an order (Insert keeps
// an order's). Dealer is the dealer whom the act concerns, or "". A key used
// before: ErrKeyUsed.
func StoreReply(ctx context.Context, tx pgx.Tx, workshop uuid.UUID, dealer string, i Idempotency, at time.Time) error {
	_, err := tx.Exec(ctx, `
insert into idempotency (workshop_id, dealer_id, scope, key, fingerprint, status, location, etag, reply, created_at)
values ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10)`,
		workshop, dealer, i.Scope, i.Key, i.Fingerprint[:], i.Status, i.Location, i.ETag, i.Body, at)
	var refused *pgconn.PgError
	if errors.As(err, &refused) && refused.Code == uniqueViolation {
		return ErrKeyUsed
	}
	if err != nil {
		return fmt.Errorf("store a reply: %w", err)
	}
	return nil
}

const lockKey = `select pg_try_advisory_xact_lock($1)`

// LockKey takes a key for the rest of the transaction, or tells at once that
// another one has it. It only spares work: the unique key on the stored reply is
// what keeps two requests apart.
func LockKey(ctx context.Context, tx pgx.Tx, workshop uuid.UUID, scope, key string) (locked bool, err error) {
	if err := tx.QueryRow(ctx, lockKey, lockNumber(workshop, scope, key)).Scan(&locked); err != nil {
		return false, fmt.Errorf("lock a key: %w", err)
	}
	return locked, nil
}

// Claim takes a key and looks for its reply, in one round trip. A reply found is
// to be given again, whether the key was locked or not; without one, reply is
// nil, and the request may go on only if the key was locked.
func Claim(ctx context.Context, tx pgx.Tx, workshop uuid.UUID, scope, key string) (locked bool, reply *Reply, err error) {
	// Two statements, since the second must see what whoever held the lock has
	// committed.
	var batch pgx.Batch
	batch.Queue(lockKey, lockNumber(workshop, scope, key)).QueryRow(func(row pgx.Row) error { return row.Scan(&locked) })
	batch.Queue(findReply, workshop, scope, key).QueryRow(func(row pgx.Row) error {
		found, err := scanReply(row)
		if err == nil {
			reply = &found
		}
		if errors.Is(err, ErrNoReply) {
			return nil
		}
		return err
	})
	if err := tx.SendBatch(ctx, &batch).Close(); err != nil {
		return false, nil, fmt.Errorf("claim a key: %w", err)
	}
	return locked, reply, nil
}

// lockNumber is the number that stands for a key among the database's advisory
// locks. Two keys that share one merely wait for each other.
func lockNumber(workshop uuid.UUID, scope, key string) int64 {
	h := sha256.New()
	h.Write(workshop[:])
	fmt.Fprintf(h, "%d %s %s", len(scope), scope, key)
	return int64(binary.BigEndian.Uint64(h.Sum(nil)))
}
