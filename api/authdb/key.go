// Package authdb stores what the interface needs to know of who asks: workshops,
// bearer keys and the trail of acts. Every function runs in the caller's
// transaction (package tenancy) and names the workshop besides.
package authdb

import (
	"context"
	"errors"
	"fmt"
	"time"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"
)

// ErrNoKey tells that the workshop has no such key, or none that the
// transaction may see.
var ErrNoKey = errors.New("no such key")

// Key is a bearer key without its secret.
type Key struct {
	Workshop, ID uuid.UUID
	// Dealer is the code of the dealer whose key it is, or "" for the workshop's
	// own people.
	Dealer string
	// Role is dealer, rep, buyer, engineer, shop or owner.
	Role string
	Name string
	// Test marks a key whose orders never become requirements.
	Test    bool
	Created time.Time
	// Revoked is nil while the key is live.
	Revoked *time.Time
	// SecretSHA256 is the SHA-256 of the secret; the secret itself is kept
	// nowhere.
	SecretSHA256 [32]byte
}

// InsertKey stores a new key. The database refuses a role that it does not know
// and a role of dealer without a dealer, or the other way about.
func InsertKey(ctx context.Context, tx pgx.Tx, key Key) error {
	_, err := tx.Exec(ctx, `
insert into api_key (workshop_id, key_id, dealer_id, role, name, secret_sha256, test, created_at, revoked_at)
values ($1, $2, nullif($3, ''), $4, $5, $6, $7, $8, $9)`,
		key.Workshop, key.ID, key.Dealer, key.Role, key.Name, key.SecretSHA256[:], key.Test, key.Created, key.Revoked)
	if err != nil {
		return fmt.Errorf("store a key: %w", err)
	}
	return nil
}

// FindKey reads a key, revoked or not. Without one: ErrNoKey. Who asks is not
// known before, so the transaction must see all dealers.
func FindKey(ctx context.Context, tx pgx.Tx, workshop, id uuid.UUID) (Key, error) {
	rows, err := tx.Query(ctx, `
select workshop_id, key_id, coalesce(dealer_id, ''), role, name, secret_sha256, test, created_at, revoked_at
from api_key
where workshop_id = $1 and key_id = $2`, workshop, id)
	if err != nil {
		return Key{}, fmt.Errorf("find a key: %w", err)
	}
	key, err := pgx.CollectExactlyOneRow(rows, scanKey)
	if errors.Is(err, pgx.ErrNoRows) {
		return Key{}, ErrNoKey
	}
	if err != nil {
		return Key{}, fmt.Errorf("find a key: %w", err)
	}
	return key, nil
}

// ListKeys reads the workshop's keys, revoked ones too, oldest first.
func ListKeys(ctx context.Context, tx pgx.Tx, workshop uuid.UUID) ([]Key, error) {
	rows, err := tx.Query(ctx, `
select workshop_id, key_id, coalesce(dealer_id, ''), role, name, secret_sha256, test, created_at, revoked_at
from api_key
where workshop_id = $1
order by created_at, key_id`, workshop)
	if err != nil {
		return nil, fmt.Errorf("list the keys: %w", err)
	}
	keys, err := pgx.CollectRows(rows, scanKey)
	if err != nil {
		return nil, fmt.Errorf("list the keys: %w", err)
	}
	return keys, nil
}

// RevokeKey ends a key's life at a time. A key revoked before keeps its first
// time. Without the key: ErrNoKey.
func RevokeKey(ctx context.Context, tx pgx.Tx, workshop, id uuid.UUID, at time.Time) error {
	done, err := tx.Exec(ctx, `
update api_key set revoked_at = coalesce(revoked_at, $3)
where workshop_id = $1 and key_id = $2`, workshop, id, at)
	if err != nil {
		return fmt.Errorf("revoke a key: %w", err)
	}
	if done.RowsAffected() == 0 {
		return ErrNoKey
	}
	return nil
}

func scanKey(row pgx.CollectableRow) (Key, error) {
	var key Key
	var hash []byte
	err := row.Scan(&key.Workshop, &key.ID, &key.Dealer, &key.Role, &key.Name, &hash, &key.Test, &key.Created, &key.Revoked)
	copy(key.SecretSHA256[:], hash)
	return key, err
}
