package orderdb

import (
	"context"
	"crypto/sha256"
	"errors"
	"fmt"
	"time"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"
	"github.com/jackc/pgx/v5/pgconn"

	"billwright/bom/order"
)

// StoredAttachment is an attachment as stored, without what it holds.
type StoredAttachment struct {
	order.Attachment
	// Seq numbers an order's attachments for an audience from 1.
	Seq    int
	Size   int
	SHA256 [32]byte
	At     time.Time
	By     string
	Role   string
}

// ErrNoAttachment tells that an order has no such attachment, or none that the
// transaction may see.
var ErrNoAttachment = errors.New("no such attachment")

// ErrAttached tells that the order has the same file for the same audience.
var ErrAttached = errors.New("this file is attached already")

// AttachmentsSoFar counts the attachments of a locked order for an audience, and
// their bytes.
func AttachmentsSoFar(ctx context.Context, tx pgx.Tx, workshop, id uuid.UUID, audience string) (count, bytes int, err error) {
	err = tx.QueryRow(ctx, `
select count(*), coalesce(sum(size), 0)
from order_attachment
where workshop_id = $1 and order_id = $2 and audience = $3`, workshop, id, audience).Scan(&count, &bytes)
	if err != nil {
		return 0, 0, fmt.Errorf("count the attachments of an order: %w", err)
	}
	return count, bytes, nil
}

// AddAttachment stores an attachment of a locked order with what it holds, and
// gives its hash. Error: ErrAttached, after which the transaction is of no more
// use.
func AddAttachment(ctx context.Context, tx pgx.Tx, workshop uuid.UUID, s Stored, a StoredAttachment, content []byte) ([32]byte, error) {
	hash := sha256.Sum256(content)
	_, err := tx.Exec(ctx, `
insert into order_attachment (workshop_id, dealer_id, order_id, seq, audience, line, name, media_type, size, sha256, bytes, attached_at, attached_by, role)
values ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11, $12, $13, $14)`,
		workshop, s.Dealer, s.ID, a.Seq, a.Audience, a.Line, a.Name, a.MediaType, len(content), hash[:], content, a.At, a.By, a.Role)
	var refused *pgconn.PgError
	if errors.As(err, &refused) && refused.Code == uniqueViolation && refused.ConstraintName == "order_attachment_once" {
		return hash, ErrAttached
	}
	if err != nil {
		return hash, fmt.Errorf("store an attachment: %w", err)
	}
	return hash, nil
}

// Attachments lists the attachments of an order that are for some audiences,
// oldest first.
func Attachments(ctx context.Context, tx pgx.Tx, workshop, id uuid.UUID, audiences []string) ([]StoredAttachment, error) {
	rows, err := tx.Query(ctx, `
select seq, audience, line, name, media_type, size, sha256, attached_at, attached_by, role
from order_attachment
where workshop_id = $1 and order_id = $2 and audience = any($3)
order by attached_at, audience, seq`, workshop, id, audiences)
	if err != nil {
		return nil, fmt.Errorf("list the attachments of an order: %w", err)
	}
	list, err := pgx.CollectRows(rows, func(row pgx.CollectableRow) (StoredAttachment, error) {
		var a StoredAttachment
		err := scanAttachment(row, &a)
		return a, err
	})
	if err != nil {
		return nil, fmt.Errorf("list the attachments of an order: %w", err)
	}
	return list, nil
}

// Attachment reads an attachment and what it holds. Without it: ErrNoAttachment.
func Attachment(ctx context.Context, tx pgx.Tx, workshop, id uuid.UUID, audience string, seq int) (StoredAttachment, []byte, error) {
	var a StoredAttachment
	var content []byte
	err := scanAttachment(tx.QueryRow(ctx, `
select seq, audience, line, name, media_type, size, sha256, attached_at, attached_by, role, bytes
from order_attachment
where workshop_id = $1 and order_id = $2 and audience = $3 and seq = $4`, workshop, id, audience, seq), &a, &content)
	if errors.Is(err, pgx.ErrNoRows) {
		return a, nil, ErrNoAttachment
	}
	if err != nil {
		return a, nil, fmt.Errorf("read an attachment: %w", err)
	}
	return a, content, nil
}

func scanAttachment(row pgx.Row, a *StoredAttachment, more ...any) error {
	var hash []byte
	into := []any{&a.Seq, &a.Audience, &a.Line, &a.Name, &a.MediaType, &a.Size, &hash, &a.At, &a.By, &a.Role}
	err := row.Scan(append(into, more...)...)
	copy(a.SHA256[:], hash)
	a.At = a.At.UTC()
	return err
}
