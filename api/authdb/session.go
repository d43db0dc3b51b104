package authdb

import (
	"context"
	"errors"
	"fmt"
	"time"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"
)

// BeginSession stores the hash of a new session's secret.
func BeginSession(ctx context.Context, tx pgx.Tx, workshop, person uuid.UUID, hash [32]byte, at time.Time) error {
	_, err := tx.Exec(ctx, `
insert into person_session (workshop_id, session_sha256, person_id, began_at, seen_at)
values ($1, $2, $3, $4, $4)`, workshop, hash[:], person, at)
	if err != nil {
		return fmt.Errorf("begin a session: %w", err)
	}
	return nil
}

// SeeSession gives whose session it is and notes that it was seen. One that
// began before the one time or was last seen before the other, and one of a
// disabled person, is none: ErrNoPerson.
func SeeSession(ctx context.Context, tx pgx.Tx, workshop uuid.UUID, hash [32]byte, at, beganAfter, seenAfter time.Time) (Person, error) {
	rows, err := tx.Query(ctx, `
with seen as (
    -- Once a minute is often enough for half an hour.
    update person_session set seen_at = $3
    where workshop_id = $1 and session_sha256 = $2 and began_at > $4 and seen_at > $5 and seen_at < $3::timestamptz - interval '1 minute')
select p.workshop_id, p.person_id, p.name, p.password, p.roles, p.created_at, p.disabled_at
from person_session s join person p on p.workshop_id = s.workshop_id and p.person_id = s.person_id
where s.workshop_id = $1 and s.session_sha256 = $2 and s.began_at > $4 and s.seen_at > $5 and p.disabled_at is null`,
		workshop, hash[:], at, beganAfter, seenAfter)
	return onePerson(rows, err)
}

// EndSession forgets a session, and those that ended by themselves.
func EndSession(ctx context.Context, tx pgx.Tx, workshop uuid.UUID, hash [32]byte, beganBefore time.Time) error {
	_, err := tx.Exec(ctx, `
delete from person_session
where workshop_id = $1 and (session_sha256 = $2 or began_at < $3)`, workshop, hash[:], beganBefore)
	if err != nil {
		return fmt.Errorf("end a session: %w", err)
	}
	return nil
}

// CountTry counts a try to sign in and gives how many there were of the subject
// since its count began. A count that began before the time given begins anew.
func CountTry(ctx context.Context, tx pgx.Tx, workshop uuid.UUID, subject string, at, since time.Time) (tries int, err error) {
	err = tx.QueryRow(ctx, `
insert into sign_in_try (workshop_id, subject, began_at, tries)
values ($1, $2, $3, 1)
on conflict (workshop_id, subject) do update
    set tries = case when sign_in_try.began_at < $4 then 1 else sign_in_try.tries + 1 end,
        began_at = case when sign_in_try.began_at < $4 then $3 else sign_in_try.began_at end
returning tries`, workshop, subject, at, since).Scan(&tries)
	if err != nil {
		return 0, fmt.Errorf("count a try to sign in: %w", err)
	}
	return tries, nil
}

// ForgiveTry takes one try off the subjects' counts: somebody came in.
func ForgiveTry(ctx context.Context, tx pgx.Tx, workshop uuid.UUID, subjects []string) error {
	_, err := tx.Exec(ctx, `
update sign_in_try set tries = greatest(tries - 1, 0)
where workshop_id = $1 and subject = any($2)`, workshop, subjects)
	if err != nil {
		return fmt.Errorf("forgive a try to sign in: %w", err)
	}
	return nil
}

// OfferFirstAdmin stores the hash of the token that lets the first admin in, in
// the place of an earlier one. When the workshop has an admin already nothing is
// stored: offered is false.
func OfferFirstAdmin(ctx context.Context, tx pgx.Tx, workshop uuid.UUID, hash [32]byte, expires time.Time) (offered bool, err error) {
	done, err := tx.Exec(ctx, `
insert into first_admin (workshop_id, token_sha256, expires_at)
select $1, $2, $3
where not exists (select from person where workshop_id = $1 and 'admin' = any(roles))
on conflict (workshop_id) do update set token_sha256 = excluded.token_sha256, expires_at = excluded.expires_at`,
		workshop, hash[:], expires)
	if err != nil {
		return false, fmt.Errorf("offer the first admin's token: %w", err)
	}
	return done.RowsAffected() == 1, nil
}

// ErrNoToken tells that a token is none, was used or is over.
var ErrNoToken = errors.New("no such token")

// TakeFirstAdmin uses the token up. Without it, or after its time: ErrNoToken.
func TakeFirstAdmin(ctx context.Context, tx pgx.Tx, workshop uuid.UUID, hash [32]byte, at time.Time) error {
	done, err := tx.Exec(ctx, `
delete from first_admin
where workshop_id = $1 and token_sha256 = $2 and expires_at > $3`, workshop, hash[:], at)
	if err != nil {
		return fmt.Errorf("take the first admin's token: %w", err)
	}
	if done.RowsAffected() == 0 {
		return ErrNoToken
	}
	return nil
}
