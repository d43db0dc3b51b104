package authdb

import (
	"context"
	"fmt"
	"time"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"
)

// Entry is one act in the trail, which the service writes and never alters.
type Entry struct {
	Workshop uuid.UUID
	// ID is a UUIDv7; one is made when it is zero.
	ID uuid.UUID
	// Dealer is the dealer whom the act concerns, or "".
	Dealer string
	At     time.Time
	// Actor is who acted, mostly a key's name and id; Role is the key's.
	Actor, Role string
	// Act is what was done, such as "key made"; Subject to what.
	Act, Subject string
	// Before and After are JSON, or nil where there is nothing to show.
	Before, After []byte
	Reason        string
}

// Audit writes an entry.
func Audit(ctx context.Context, tx pgx.Tx, e Entry) error {
	if e.ID == uuid.Nil {
		id, err := uuid.NewV7()
		if err != nil {
			return fmt.Errorf("draw an id: %w", err)
		}
		e.ID = id
	}
	_, err := tx.Exec(ctx, `
insert into audit (workshop_id, audit_id, dealer_id, at, actor, role, act, subject, before, after, reason)
values ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11)`,
		e.Workshop, e.ID, e.Dealer, e.At, e.Actor, e.Role, e.Act, e.Subject, e.Before, e.After, e.Reason)
	if err != nil {
		return fmt.Errorf("write the audit trail: %w", err)
	}
	return nil
}

// Written is an entry as the trail has it.
type Written struct {
	At time.Time
	// Actor is who acted, mostly a key by its id; Name is what the key is called,
	// "" where it is none.
	Actor, Name, Role string
	Act               string
	Before, After     []byte
	Reason            string
}

// Trail reads what was done to a subject, oldest first, at most limit entries.
// Only a transaction of the workshop's own people sees any.
func Trail(ctx context.Context, tx pgx.Tx, workshop uuid.UUID, subject string, limit int) ([]Written, error) {
	rows, err := tx.Query(ctx, `
select a.at, a.actor, coalesce(k.name, ''), a.role, a.act, a.before, a.after, a.reason
from audit a
left join api_key k on k.workshop_id = a.workshop_id and a.actor = 'key ' || k.key_id::text
where a.workshop_id = $1 and a.subject = $2
order by a.audit_id
limit $3`, workshop, subject, limit)
	if err != nil {
		return nil, fmt.Errorf("read the audit trail: %w", err)
	}
	entries, err := pgx.CollectRows(rows, func(row pgx.CollectableRow) (Written, error) {
		var w Written
		err := row.Scan(&w.At, &w.Actor, &w.Name, &w.Role, &w.Act, &w.Before, &w.After, &w.Reason)
		w.At = w.At.UTC()
		return w, err
	})
	if err != nil {
		return nil, fmt.Errorf("read the audit trail: %w", err)
	}
	return entries, nil
}
