package api

import (
	"context"
	"crypto/subtle"
	"errors"
	"strings"
	"sync"
	"time"

	"github.com/danielgtaylor/huma/v2"
	"github.com/danielgtaylor/huma/v2/adapters/humaecho"
	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"
	"github.com/jackc/pgx/v5/pgxpool"

	"billwright/api/authdb"
	"billwright/migrations/tenancy"
)

const (
	// keysHeldFor bounds how long a revoked key goes on opening doors on an
	// instance that did not revoke it itself.
	keysHeldFor = 500 * time.Millisecond
	// keysHeld bounds the keys remembered, about 300 bytes each.
	keysHeld = 10_000
)

// NewKey draws a key for a workshop's own people or, with the role dealer, for
// a dealer. The text is the only place where the secret stands: show it once.
func NewKey(workshop uuid.UUID, role, dealer, name string, test bool, now time.Time) (text string, key authdb.Key, err error) {
	id, err := uuid.NewV7()
	if err != nil {
		return "", authdb.Key{}, err
	}
	drawn, err := newKeyText(workshop, id)
	if err != nil {
		return "", authdb.Key{}, err
	}
	return drawn.String(), authdb.Key{Workshop: workshop, ID: id, Dealer: dealer, Role: role, Name: name, Test: test,
		Created: now.UTC(), SecretSHA256: drawn.hash()}, nil
}

// admit lets a request through that carries a key of one of the roles.
func (s *Server) admit(allowed role) func(huma.Context, func(huma.Context)) {
	return func(ctx huma.Context, next func(huma.Context)) {
		who, err := s.authenticate(ctx.Context(), ctx.Header("Authorization"))
		if err == nil && allowed&who.role == 0 {
			err = forbidden("A key with the role " + who.role.String() + " may not do that; it is for " + allowed.String() + ".")
		}
		if err != nil {
			op := ctx.Operation()
			s.write(humaecho.Unwrap(ctx), s.refusal(ctx.Context(), op.Method, op.Path, err))
			return
		}
		requestOf(ctx.Context()).who = who
		next(ctx)
	}
}

// authenticate finds whose key a request carries. A key that is unknown,
// revoked or has another secret is refused in the same words.
func (s *Server) authenticate(ctx context.Context, header string) (*principal, error) {
	if p, signedIn := ctx.Value(personKey{}).(Person); signedIn {
		return p.principal(), nil
	}
	scheme, text, _ := strings.Cut(header, " ")
	if !strings.EqualFold(scheme, "Bearer") {
		return nil, unauthorised("Send the key in the header Authorization: Bearer KEY.")
	}
	given, err := parseKey(strings.TrimLeft(text, " "))
	if err != nil {
		return nil, unauthorised("This is no key: a sign of it was left out or mistaken.")
	}
	key, err := s.keys.find(ctx, given.workshop, given.key)
	if err != nil && !errors.Is(err, authdb.ErrNoKey) {
		return nil, err
	}
	hash := given.hash()
	same := subtle.ConstantTimeCompare(hash[:], key.SecretSHA256[:]) == 1
	who := &principal{workshop: key.Workshop, key: key.ID, dealer: key.Dealer, role: parseRole(key.Role), test: key.Test}
	if err != nil || !same || key.Revoked != nil || who.role == 0 {
		return nil, unauthorised("This key is not valid, or no longer.")
	}
	return who, nil
}

// keyring remembers keys for a moment, so that a burst of requests with one key
// asks the database once.
type keyring struct {
	pool *pgxpool.Pool

	mu   sync.Mutex
	held map[keyID]heldKey
}

type keyID struct{ workshop, key uuid.UUID }

type heldKey struct {
	key  authdb.Key
	read time.Time
}

func newKeyring(pool *pgxpool.Pool) *keyring {
	return &keyring{pool: pool, held: map[keyID]heldKey{}}
}

// find gives a key at most keysHeldFor old. Without one: authdb.ErrNoKey, which
// is not remembered.
func (r *keyring) find(ctx context.Context, workshop, id uuid.UUID) (authdb.Key, error) {
	name := keyID{workshop, id}
	r.mu.Lock()
	held, found := r.held[name]
	r.mu.Unlock()
	if found && time.Since(held.read) < keysHeldFor {
		return held.key, nil
	}
	read := time.Now() // before the question: what is revoked later counts from here
	var key authdb.Key
	scope := tenancy.Scope{Workshop: workshop, Dealer: tenancy.AllDealers}
	err := tenancy.Transact(ctx, r.pool, scope, func(tx pgx.Tx) (err error) {
		key, err = authdb.FindKey(ctx, tx, workshop, id)
		return err
	})
	if err != nil {
		return authdb.Key{}, err
	}
	r.keep(name, heldKey{key, read})
	return key, nil
}

func (r *keyring) keep(name keyID, key heldKey) {
	r.mu.Lock()
	defer r.mu.Unlock()
	if len(r.held) >= keysHeld {
		for old, held := range r.held {
			if time.Since(held.read) >= keysHeldFor {
				delete(r.held, old)
			}
		}
	}
	if len(r.held) >= keysHeld { // all of them young: forgetting costs a question each
		clear(r.held)
	}
	r.held[name] = key
}

// forget makes this instance ask for a key anew.
func (r *keyring) forget(workshop, id uuid.UUID) {
	r.mu.Lock()
	delete(r.held, keyID{workshop, id})
	r.mu.Unlock()
}
