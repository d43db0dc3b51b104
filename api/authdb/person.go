package authdb

import (
	"context"
	"errors"
	"fmt"
	"strings"
	"time"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"
)

// ErrNoPerson tells that the workshop has no such person.
var ErrNoPerson = errors.New("no such person")

// Person is somebody who signs in by name and password.
type Person struct {
	Workshop, ID uuid.UUID
	// Name is how the person is called and signs in; no two of a workshop fold
	// to the same.
	Name string
	// Password is the hash of it, with its parameters.
	Password string
	// Roles are some of rep, buyer, engineer, shop, owner and admin.
	Roles   []string
	Created time.Time
	// Disabled is nil while the person may sign in.
	Disabled *time.Time
}

// FoldName gives a name without what does not tell people apart: case and runs
// of spaces.
func FoldName(name string) string {
	return strings.ToLower(strings.Join(strings.Fields(name), " "))
}

// InsertPerson stores a new person; ok is false when the name is taken.
func InsertPerson(ctx context.Context, tx pgx.Tx, p *Person) (ok bool, err error) {
	done, err := tx.Exec(ctx, `
insert into person (workshop_id, person_id, name, folded, password, roles, created_at)
values ($1, $2, $3, $4, $5, $6, $7)
on conflict (workshop_id, folded) do nothing`,
		p.Workshop, p.ID, p.Name, FoldName(p.Name), p.Password, p.Roles, p.Created)
	if err != nil {
		return false, fmt.Errorf("store a person: %w", err)
	}
	return done.RowsAffected() == 1, nil
}

// FindPerson reads who signs in under a name. Without one: ErrNoPerson.
func FindPerson(ctx context.Context, tx pgx.Tx, workshop uuid.UUID, name string) (Person, error) {
	rows, err := tx.Query(ctx, `
select workshop_id, person_id, name, password, roles, created_at, disabled_at
from person
where workshop_id = $1 and folded = $2`, workshop, FoldName(name))
	return onePerson(rows, err)
}

// ListPeople reads the workshop's people by name, disabled ones too.
func ListPeople(ctx context.Context, tx pgx.Tx, workshop uuid.UUID) ([]Person, error) {
	rows, err := tx.Query(ctx, `
select workshop_id, person_id, name, password, roles, created_at, disabled_at
from person
where workshop_id = $1
order by folded`, workshop)
	if err != nil {
		return nil, fmt.Errorf("list the people: %w", err)
	}
	people, err := pgx.CollectRows(rows, scanPerson)
	if err != nil {
		return nil, fmt.Errorf("list the people: %w", err)
	}
	return people, nil
}

// ChangePerson gives a person other roles, another password where it is not
// "", and disables him from a time on or, with nil, lets him in again. What he
// began before ends: his sessions are gone. Without the person: ErrNoPerson.
func ChangePerson(ctx context.Context, tx pgx.Tx, workshop, id uuid.UUID, roles []string, password string, disabled *time.Time) error {
	done, err := tx.Exec(ctx, `
with gone as (delete from person_session where workshop_id = $1 and person_id = $2)
update person set roles = $3, password = coalesce(nullif($4, ''), password), disabled_at = $5
where workshop_id = $1 and person_id = $2`, workshop, id, roles, password, disabled)
	if err != nil {
		return fmt.Errorf("change a person: %w", err)
	}
	if done.RowsAffected() == 0 {
		return ErrNoPerson
	}
	return nil
}

func onePerson(rows pgx.Rows, err error) (Person, error) {
	if err != nil {
		return Person{}, fmt.Errorf("find a person: %w", err)
	}
	p, err := pgx.CollectExactlyOneRow(rows, scanPerson)
	if errors.Is(err, pgx.ErrNoRows) {
		return Person{}, ErrNoPerson
	}
	if err != nil {
		return Person{}, fmt.Errorf("find a person: %w", err)
	}
	return p, nil
}

func scanPerson(row pgx.CollectableRow) (Person, error) {
	var p Person
	err := row.Scan(&p.Workshop, &p.ID, &p.Name, &p.Password, &p.Roles, &p.Created, &p.Disabled)
	return p, err
}
