package orderdb

import (
	"context"
	"fmt"
	"time"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"

	"billwright/bom/order"
)

// StoredNote is a note as stored.
type StoredNote struct {
	order.Note
	At time.Time
	By string
	// Role is that of whoever wrote it.
	Role string
}

// AddNote stores a note of a locked order. Its Seq must be NextNote's.
func AddNote(ctx context.Context, tx pgx.Tx, workshop uuid.UUID, s Stored, n StoredNote) error {
	_, err := tx.Exec(ctx, `
insert into order_note (workshop_id, dealer_id, order_id, seq, audience, line, text, changes_build, hold, noted_at, noted_by, role)
values ($1, $2, $3, $4, $5, $6, $7, $8, nullif($9, 0), $10, $11, $12)`,
		workshop, s.Dealer, s.ID, n.Seq, n.Audience, n.Line, n.Text, n.ChangesBuild, n.Hold, n.At, n.By, n.Role)
	if err != nil {
		return fmt.Errorf("store a note: %w", err)
	}
	return nil
}

// NextNote is the number of the next note of a locked order for an audience.
func NextNote(ctx context.Context, tx pgx.Tx, workshop, id uuid.UUID, audience string) (int, error) {
	var n int
	err := tx.QueryRow(ctx, `
select coalesce(max(seq), 0) + 1
from order_note
where workshop_id = $1 and order_id = $2 and audience = $3`, workshop, id, audience).Scan(&n)
	if err != nil {
		return 0, fmt.Errorf("number a note: %w", err)
	}
	return n, nil
}

// Notes lists the notes of an order that are for some audiences, oldest first.
func Notes(ctx context.Context, tx pgx.Tx, workshop, id uuid.UUID, audiences []string) ([]StoredNote, error) {
	rows, err := tx.Query(ctx, `
select seq, audience, line, text, changes_build, coalesce(hold, 0), noted_at, noted_by, role
from order_note
where workshop_id = $1 and order_id = $2 and audience = any($3)
order by noted_at, audience, seq`, workshop, id, audiences)
	if err != nil {
		return nil, fmt.Errorf("list the notes of an order: %w", err)
	}
	notes, err := pgx.CollectRows(rows, func(row pgx.CollectableRow) (StoredNote, error) {
		var n StoredNote
		err := row.Scan(&n.Seq, &n.Audience, &n.Line, &n.Text, &n.ChangesBuild, &n.Hold, &n.At, &n.By, &n.Role)
		n.At = n.At.UTC()
		return n, err
	})
	if err != nil {
		return nil, fmt.Errorf("list the notes of an order: %w", err)
	}
	return notes, nil
}
