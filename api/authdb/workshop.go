package authdb

import (
	"context"
	"errors"
	"fmt"
	"time"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"
)

// ErrNoWorkshop tells that there is no such workshop, or none that the
// transaction may see.
var ErrNoWorkshop = errors.New("no such workshop")

// ErrNoTrial tells that a workshop has no clock to set: it is a live one.
var ErrNoTrial = errors.New("the workshop is a live one: its clock cannot be set")

// Workshop is one workshop of the install.
type Workshop struct {
	ID   uuid.UUID
	Code string
	Name string
	// TrialClock is the time that a trial workshop believes it is; nil in a live
	// one.
	TrialClock *time.Time
	// PageSecret signs the cursors of list pages.
	PageSecret [32]byte
	Created    time.Time
}

// CreateWorkshop stores a new workshop. The service's own role may not: the
// transaction is one of the superuser or of the owner of the tables, with the
// new workshop as its scope.
func CreateWorkshop(ctx context.Context, tx pgx.Tx, w Workshop) error {
	_, err := tx.Exec(ctx, `
insert into workshop (workshop_id, code, name, trial_clock, page_secret, created_at)
values ($1, $2, $3, $4, $5, $6)`,
		w.ID, w.Code, w.Name, w.TrialClock, w.PageSecret[:], w.Created)
	if err != nil {
		return fmt.Errorf("store a workshop: %w", err)
	}
	return nil
}

// FindWorkshop reads a workshop. Without one: ErrNoWorkshop.
func FindWorkshop(ctx context.Context, tx pgx.Tx, id uuid.UUID) (Workshop, error) {
	rows, err := tx.Query(ctx, `
select workshop_id, code, name, trial_clock, page_secret, created_at
from workshop
where workshop_id = $1`, id)
	if err != nil {
		return Workshop{}, fmt.Errorf("find a workshop: %w", err)
	}
	w, err := pgx.CollectExactlyOneRow(rows, scanWorkshop)
	if errors.Is(err, pgx.ErrNoRows) {
		return Workshop{}, ErrNoWorkshop
	}
	if err != nil {
		return Workshop{}, fmt.Errorf("find a workshop: %w", err)
	}
	return w, nil
}

// ListWorkshops reads the install's workshops by code. The service's role sees
// its transaction's own at most; the superuser sees all.
func ListWorkshops(ctx context.Context, tx pgx.Tx) ([]Workshop, error) {
	rows, err := tx.Query(ctx, `
select workshop_id, code, name, trial_clock, page_secret, created_at
from workshop
order by code, workshop_id`)
	if err != nil {
		return nil, fmt.Errorf("list the workshops: %w", err)
	}
	workshops, err := pgx.CollectRows(rows, scanWorkshop)
	if err != nil {
		return nil, fmt.Errorf("list the workshops: %w", err)
	}
	return workshops, nil
}

// SetTrialClock moves the clock of a trial workshop. A live one has none:
// ErrNoTrial.
func SetTrialClock(ctx context.Context, tx pgx.Tx, workshop uuid.UUID, at time.Time) error {
	done, err := tx.Exec(ctx, `
update workshop set trial_clock = $2
where workshop_id = $1 and trial_clock is not null`, workshop, at)
	if err != nil {
		return fmt.Errorf("set the clock: %w", err)
	}
	if done.RowsAffected() == 0 {
		return ErrNoTrial
	}
	return nil
}

func scanWorkshop(row pgx.CollectableRow) (Workshop, error) {
	var w Workshop
	var secret []byte
	err := row.Scan(&w.ID, &w.Code, &w.Name, &w.TrialClock, &secret, &w.Created)
	copy(w.PageSecret[:], secret)
	return w, err
}
