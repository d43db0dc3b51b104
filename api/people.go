package api

import (
	"context"
	"crypto/rand"
	"crypto/sha256"
	"encoding/base64"
	"errors"
	"fmt"
	"net"
	"net/http"
	"slices"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"
	"github.com/jackc/pgx/v5/pgxpool"

	"billwright/api/authdb"
	"billwright/migrations/tenancy"
)

// Person is somebody who signed in, as whom the desk asks the interface.
type Person struct {
	Workshop, ID uuid.UUID
	Name         string
	// Roles are some of PersonRoles.
	Roles []string
}

// PersonRoles are the roles that a person may have. The admin's is for keys and
// people only.
var PersonRoles = []string{"rep", "buyer", "engineer", "shop", "owner", "admin"}

// Has tells whether the person has one of the roles.
func (p *Person) Has(roles ...string) bool {
	return slices.ContainsFunc(roles, func(role string) bool { return slices.Contains(p.Roles, role) })
}

func (p Person) principal() *principal {
	who := &principal{workshop: p.Workshop, person: &p}
	for _, name := range p.Roles {
		if name != "dealer" { // a person is the workshop's
			who.role |= parseRole(name)
		}
	}
	return who
}

// personKey is the context's key of the Person a request of this process is
// answered as. Nothing that comes over the network can set it.
type personKey struct{}

// As gives the interface as one person: a request that this process makes
// itself, without a key.
func (s *Server) As(p Person) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		s.echo.ServeHTTP(w, r.WithContext(context.WithValue(r.Context(), personKey{}, p)))
	})
}

// How long a person stays signed in: idle, and at most.
const (
	SessionIdle = 30 * time.Minute
	SessionMost = 12 * time.Hour
)

// Tries to sign in that may fail within triesWithin, by the name tried and by
// the address they come from, which many people may share.
const triesWithin = 15 * time.Minute

var mostTries = [...]int{8, 40}

// ErrSignIn tells that a name and a password do not go together, or no longer
// open the door. It does not tell which.
var ErrSignIn = errors.New("this name and this password do not go together")

// ErrTooManyTries tells that too many tries failed a moment ago.
var ErrTooManyTries = errors.New("too many tries failed: wait a quarter of an hour")

// ErrNobody tells that nobody is signed in under a session's secret, or no
// longer.
var ErrNobody = errors.New("nobody is signed in")

// ErrToken tells that the first admin's token is none, was used or is over.
var ErrToken = errors.New("this link was used already or is over: the program prints another when it is started anew")

// secretHash gives what is stored of a secret.
func secretHash(secret string) [32]byte { return sha256.Sum256([]byte(secret)) }

func drawSecret() (string, error) {
	var raw [32]byte
	if _, err := rand.Read(raw[:]); err != nil {
		return "", err
	}
	return base64.RawURLEncoding.EncodeToString(raw[:]), nil
}

func people(workshop uuid.UUID) tenancy.Scope {
	return tenancy.Scope{Workshop: workshop, Dealer: tenancy.AllDealers}
}

// SignIn begins a session of a workshop's person and gives its secret, which is
// kept nowhere else. Errors: ErrSignIn, ErrTooManyTries.
func (s *Server) SignIn(ctx context.Context, workshop uuid.UUID, name, password, address string) (secret string, err error) {
	subjects := []string{clipped("name "+authdb.FoldName(name), 200)}
	// From loopback it is this machine, or a proxy on it: everybody's address.
	if ip := net.ParseIP(address); ip == nil || !ip.IsLoopback() {
		subjects = append(subjects, clipped("address "+address, 200))
	}
	now := s.set.Clock()
	var found authdb.Person
	var tooMany bool
	err = tenancy.Transact(ctx, s.set.Pool, people(workshop), func(tx pgx.Tx) error {
		tooMany = false
		// Counted before the password is looked at, so that many tries at once
		// are as many.
		for i, subject := range subjects {
			tries, err := authdb.CountTry(ctx, tx, workshop, subject, now, now.Add(-triesWithin))
			if err != nil {
				return err
			}
			tooMany = tooMany || tries > mostTries[i]
		}
		found, err = authdb.FindPerson(ctx, tx, workshop, name)
		if errors.Is(err, authdb.ErrNoPerson) {
			found, err = authdb.Person{Password: nobodysPassword}, nil
		}
		return err
	})
	if err != nil {
		return "", err
	}
	if tooMany {
		return "", ErrTooManyTries
	}
	same, err := samePassword(ctx, found.Password, password)
	if err != nil {
		return "", err
	}
	if !same || found.ID == uuid.Nil || found.Disabled != nil {
		return "", ErrSignIn
	}
	return s.beginSession(ctx, workshop, found.ID, subjects)
}

// nobodysPassword is hashed against where there is no such person, so that the
// time an answer takes does not tell.
const nobodysPassword = "$argon2id$v=19$m=65536,t=3,p=4$AAAAAAAAAAAAAAAAAAAAAA$AAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAA"

func clipped(text string, most int) string {
	if len(text) <= most {
		return text
	}
	return strings.ToValidUTF8(text[:most], "")
}

func (s *Server) beginSession(ctx context.Context, workshop, person uuid.UUID, forgive []string) (string, error) {
	secret, err := drawSecret()
	if err != nil {
		return "", err
	}
	err = tenancy.Transact(ctx, s.set.Pool, people(workshop), func(tx pgx.Tx) error {
		if err := authdb.ForgiveTry(ctx, tx, workshop, forgive); err != nil {
			return err
		}
		return authdb.BeginSession(ctx, tx, workshop, person, secretHash(secret), s.set.Clock())
	})
	return secret, err
}

// PersonOf gives who is signed in under a session's secret. Without one:
// ErrNobody.
func (s *Server) PersonOf(ctx context.Context, workshop uuid.UUID, secret string) (Person, error) {
	var found authdb.Person
	now := s.set.Clock()
	err := tenancy.Transact(ctx, s.set.Pool, people(workshop), func(tx pgx.Tx) (err error) {
		found, err = authdb.SeeSession(ctx, tx, workshop, secretHash(secret), now, now.Add(-SessionMost), now.Add(-SessionIdle))
		return err
	})
	if errors.Is(err, authdb.ErrNoPerson) {
		return Person{}, ErrNobody
	}
	return shownPerson(&found), err
}

func shownPerson(p *authdb.Person) Person { return Person{p.Workshop, p.ID, p.Name, p.Roles} }

// SignOut ends a session.
func (s *Server) SignOut(ctx context.Context, workshop uuid.UUID, secret string) error {
	return tenancy.Transact(ctx, s.set.Pool, people(workshop), func(tx pgx.Tx) error {
		return authdb.EndSession(ctx, tx, workshop, secretHash(secret), s.set.Clock().Add(-SessionMost))
	})
}

// firstAdminWithin is how long the first admin's token may be used.
const firstAdminWithin = 24 * time.Hour

// OfferFirstAdmin draws the token that lets a workshop's first admin in, in the
// place of an earlier one. It is "" when there is an admin.
func OfferFirstAdmin(ctx context.Context, pool *pgxpool.Pool, workshop uuid.UUID, now time.Time) (token string, err error) {
	if token, err = drawSecret(); err != nil {
		return "", err
	}
	var offered bool
	err = tenancy.Transact(ctx, pool, people(workshop), func(tx pgx.Tx) (err error) {
		offered, err = authdb.OfferFirstAdmin(ctx, tx, workshop, secretHash(token), now.Add(firstAdminWithin))
		return err
	})
	if err != nil || !offered {
		return "", err
	}
	return token, nil
}

// NewPerson is somebody to be let in.
type NewPerson struct {
	Name, Password string
	Roles          []string
}

// PersonFindings are what keeps a person from being let in, by field: name,
// password or roles.
type PersonFindings []Finding

func (f PersonFindings) Error() string { return fmt.Sprintf("%d findings about a person", len(f)) }

const maxName = 60

func (n *NewPerson) check() error {
	var findings PersonFindings
	add := func(field, code, message string) {
		findings = append(findings, Finding{Pointer: "/" + field, Code: code, Message: message})
	}
	n.Name = strings.Join(strings.Fields(n.Name), " ")
	switch {
	case n.Name == "":
		add("name", codeMissing, "Write the person's name.")
	case utf8.RuneCountInString(n.Name) > maxName:
		add("name", "text.long", fmt.Sprintf("The name has %d characters; at most %d are taken.", utf8.RuneCountInString(n.Name), maxName))
	case !utf8.ValidString(n.Name) || strings.ContainsFunc(n.Name, unicode.IsControl):
		add("name", "text.control-characters", "The name holds control characters, which cannot be shown.")
	case strings.HasPrefix(authdb.FoldName(n.Name), "key "):
		add("name", "name.key", "A name does not begin with the word key: the trail names keys so.")
	}
	if message := checkPassword(n.Password); message != "" {
		add("password", "password", message)
	}
	findings = append(findings, checkRoles(n.Roles)...)
	if findings != nil {
		return findings
	}
	return nil
}

func checkRoles(roles []string) (findings PersonFindings) {
	if len(roles) == 0 {
		findings = append(findings, Finding{Pointer: "/roles", Code: codeMissing, Message: "Give the person at least one role.", Allowed: PersonRoles})
	}
	for _, role := range roles {
		if !slices.Contains(PersonRoles, role) {
			findings = append(findings, Finding{Pointer: "/roles", Code: "role.unknown", Message: "There is no role " + quoteShort(role) + ".", Allowed: PersonRoles})
		}
	}
	return findings
}

// FirstAdmin makes a workshop's first admin by the token and signs him in.
// Errors: ErrToken, PersonFindings.
func (s *Server) FirstAdmin(ctx context.Context, workshop uuid.UUID, token string, n NewPerson) (secret string, err error) {
	if !slices.Contains(n.Roles, "admin") {
		n.Roles = append(slices.Clone(n.Roles), "admin")
	}
	id, err := s.addPerson(ctx, workshop, n, &principal{workshop: workshop, person: &Person{Name: n.Name}, role: roleAdmin}, func(tx pgx.Tx) error {
		err := authdb.TakeFirstAdmin(ctx, tx, workshop, secretHash(token), s.set.Clock())
		if errors.Is(err, authdb.ErrNoToken) {
			return ErrToken
		}
		return err
	})
	if err != nil {
		return "", err
	}
	return s.beginSession(ctx, workshop, id, nil)
}

func (s *Server) addPerson(ctx context.Context, workshop uuid.UUID, n NewPerson, by *principal, before func(pgx.Tx) error) (uuid.UUID, error) {
	if err := n.check(); err != nil {
		return uuid.Nil, err
	}
	id, err := uuid.NewV7()
	if err != nil {
		return uuid.Nil, err
	}
	hash, err := hashPassword(ctx, n.Password)
	if err != nil {
		return uuid.Nil, err
	}
	p := authdb.Person{Workshop: workshop, ID: id, Name: n.Name, Password: hash, Roles: n.Roles, Created: s.set.Clock()}
	err = tenancy.Transact(ctx, s.set.Pool, people(workshop), func(tx pgx.Tx) error {
		if err := before(tx); err != nil {
			return err
		}
		made, err := authdb.InsertPerson(ctx, tx, &p)
		if err != nil {
			return err
		}
		if !made {
			return PersonFindings{{Pointer: "/name", Code: "name.taken", Message: "Somebody is called " + n.Name + " already; add what tells them apart."}}
		}
		return s.audit(ctx, tx, by, "person added", "person "+n.Name, nil, shownPerson(&p))
	})
	return id, err
}
