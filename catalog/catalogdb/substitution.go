package catalogdb

import (
	"context"
	"errors"
	"fmt"
	"time"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"

	"billwright/catalog"
	"billwright/catalog/calendar"
)

// StoredSubstitution is a substitution as stored.
type StoredSubstitution struct {
	catalog.Substitution
	At      time.Time
	By      string
	EndedAt *time.Time
	EndedBy string
}

// ErrNoSubstitution tells that there is no substitution of a number that stands.
var ErrNoSubstitution = errors.New("no such substitution")

// AddSubstitution stores a substitution and gives its number.
func AddSubstitution(ctx context.Context, tx pgx.Tx, workshop uuid.UUID, s catalog.Substitution, at time.Time, by string) (int, error) {
	var number int
	err := tx.QueryRow(ctx, `
insert into substitution (workshop_id, number, kind, item, by_item, from_day, until_day, reason, made_at, made_by)
select $1, coalesce(max(s.number), 0) + 1, $2, $3, $4, $5, $6, $7, $8, $9
from substitution s
where s.workshop_id = $1
returning number`, workshop, s.Kind, s.Item, s.By, midnight(s.From), midnight(s.Until), s.Reason, at, by).Scan(&number)
	if err != nil {
		return 0, fmt.Errorf("store a substitution: %w", err)
	}
	return number, nil
}

// EndSubstitution ends a substitution before its last day. Without one that
// stands: ErrNoSubstitution.
func EndSubstitution(ctx context.Context, tx pgx.Tx, workshop uuid.UUID, number int, at time.Time, by string) error {
	done, err := tx.Exec(ctx, `
update substitution set ended_at = $3, ended_by = $4
where workshop_id = $1 and number = $2 and ended_at is null`, workshop, number, at, by)
	if err != nil {
		return fmt.Errorf("end a substitution: %w", err)
	}
	if done.RowsAffected() == 0 {
		return ErrNoSubstitution
	}
	return nil
}

// Substitutions lists those that were not ended and whose last day is on or after
// a day, by number.
func Substitutions(ctx context.Context, tx pgx.Tx, workshop uuid.UUID, day calendar.Date) ([]StoredSubstitution, error) {
	rows, err := tx.Query(ctx, `
select number, kind, item, by_item, from_day, until_day, reason, made_at, made_by
from substitution
where workshop_id = $1 and until_day >= $2 and ended_at is null
order by number`, workshop, midnight(day))
	if err != nil {
		return nil, fmt.Errorf("list the substitutions: %w", err)
	}
	list, err := pgx.CollectRows(rows, func(row pgx.CollectableRow) (StoredSubstitution, error) {
		var s StoredSubstitution
		var from, until time.Time
		err := row.Scan(&s.Number, &s.Kind, &s.Item, &s.Substitution.By, &from, &until, &s.Reason, &s.At, &s.By)
		s.From, s.Until = calendar.DateOf(from), calendar.DateOf(until)
		return s, err
	})
	if err != nil {
		return nil, fmt.Errorf("list the substitutions: %w", err)
	}
	return list, nil
}

// InForce gives the substitutions that are taken on a day.
func InForce(ctx context.Context, tx pgx.Tx, workshop uuid.UUID, day calendar.Date) ([]catalog.Substitution, error) {
	stored, err := Substitutions(ctx, tx, workshop, day)
	if err != nil {
		return nil, err
	}
	var list []catalog.Substitution
	for i := range stored {
		if stored[i].Holds(day) {
			list = append(list, stored[i].Substitution)
		}
	}
	return list, nil
}
