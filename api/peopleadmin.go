package api

import (
	"context"
	"errors"
	"slices"
	"time"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"

	"billwright/api/authdb"
	"billwright/migrations/tenancy"
)

// ErrNotAdmin tells that somebody asked for what is the admin's.
var ErrNotAdmin = errors.New("only an admin looks after people")

// ErrNoPerson tells that there is no such person.
var ErrNoPerson = errors.New("there is no such person")

// ListedPerson is a person as an admin sees him.
type ListedPerson struct {
	Person
	Created  time.Time
	Disabled *time.Time
}

// People lists a workshop's people by name. Errors: ErrNotAdmin.
func (s *Server) People(ctx context.Context, by Person) ([]ListedPerson, error) {
	if !by.Has("admin") {
		return nil, ErrNotAdmin
	}
	var rows []authdb.Person
	err := tenancy.Transact(ctx, s.set.Pool, people(by.Workshop), func(tx pgx.Tx) (err error) {
		rows, err = authdb.ListPeople(ctx, tx, by.Workshop)
		return err
	})
	listed := make([]ListedPerson, len(rows))
	for i := range rows {
		listed[i] = ListedPerson{shownPerson(&rows[i]), rows[i].Created, rows[i].Disabled}
	}
	return listed, err
}

// AddPerson lets somebody in. Errors: ErrNotAdmin, PersonFindings.
func (s *Server) AddPerson(ctx context.Context, by Person, n NewPerson) error {
	if !by.Has("admin") {
		return ErrNotAdmin
	}
	_, err := s.addPerson(ctx, by.Workshop, n, by.principal(), func(pgx.Tx) error { return nil })
	return err
}

// PersonChange is what becomes of a person: all of his roles, another password
// where there is one, and whether he may still sign in.
type PersonChange struct {
	ID       uuid.UUID
	Roles    []string
	Password string
	Disabled bool
}

// ChangePerson changes a person and ends his sessions. An admin stays one and
// stays enabled himself, so that there always is one. Errors: ErrNotAdmin,
// ErrNoPerson, PersonFindings.
func (s *Server) ChangePerson(ctx context.Context, by Person, c PersonChange) error {
	if !by.Has("admin") {
		return ErrNotAdmin
	}
	findings := checkRoles(c.Roles)
	if c.ID == by.ID && (c.Disabled || !slices.Contains(c.Roles, "admin")) {
		findings = append(findings, Finding{Pointer: "/roles", Code: "admin.self", Message: "You stay an admin yourself; another admin may take that away."})
	}
	var hash string
	if c.Password != "" {
		if message := checkPassword(c.Password); message != "" {
			findings = append(findings, Finding{Pointer: "/password", Code: "password", Message: message})
		}
	}
	if findings != nil {
		return findings
	}
	if c.Password != "" {
		var err error
		if hash, err = hashPassword(ctx, c.Password); err != nil {
			return err
		}
	}
	var disabled *time.Time
	if c.Disabled {
		now := s.set.Clock()
		disabled = &now
	}
	err := tenancy.Transact(ctx, s.set.Pool, people(by.Workshop), func(tx pgx.Tx) error {
		if err := authdb.ChangePerson(ctx, tx, by.Workshop, c.ID, c.Roles, hash, disabled); err != nil {
			return err
		}
		return s.audit(ctx, tx, by.principal(), "person changed", "person "+c.ID.String(), nil, map[string]any{"roles": c.Roles, "disabled": c.Disabled, "password": hash != ""})
	})
	if errors.Is(err, authdb.ErrNoPerson) {
		return ErrNoPerson
	}
	return err
}
