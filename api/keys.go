package api

import (
	"context"
	"crypto/sha256"
	"encoding/json"
	"errors"
	"fmt"
	"strings"
	"time"
	"unicode"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"

	"billwright/api/authdb"
	"billwright/bom/order/orderdb"
	"billwright/catalog"
	"billwright/catalog/source"
	"billwright/migrations/tenancy"
)

type keyRequest struct {
	Name   string `json:"name" minLength:"1" maxLength:"80" doc:"What the key is for, as the owner will recognise it."`
	Role   string `json:"role" enum:"dealer,rep,buyer,engineer,shop,owner" doc:"What it may do."`
	Dealer string `json:"dealer,omitempty" maxLength:"60" doc:"Code of the dealer, for the role dealer only."`
	Test   bool   `json:"test,omitempty" doc:"true for a key whose orders are marked as tests and never become requirements; for the roles dealer and rep."`
}

// keyShown is a key as the owner sees it.
type keyShown struct {
	ID      uuid.UUID  `json:"id" format:"uuid"`
	Name    string     `json:"name"`
	Role    string     `json:"role"`
	Dealer  string     `json:"dealer,omitempty"`
	Test    bool       `json:"test"`
	Created time.Time  `json:"created_at"`
	Revoked *time.Time `json:"revoked_at,omitempty"`
	Text    string     `json:"text,omitempty" doc:"The key itself, shown once in the reply that made it: a replayed reply is without it, since only its hash is kept."`
}

type postKeyInput struct {
	Idempotent
	Body keyRequest
}

func (r *keyRequest) fingerprint() [sha256.Size]byte {
	said := sized(nil, "key 1")
	for _, part := range []string{r.Name, r.Role, r.Dealer, yesNo(r.Test)} {
		said = sized(said, part)
	}
	return sha256.Sum256(said)
}

// check finds what the fields' own forms do not tell.
func (r *keyRequest) check(dealers source.Map[*catalog.Dealer]) []Finding {
	var findings []Finding
	add := func(pointer, code, message string) {
		findings = append(findings, Finding{Pointer: pointer, Code: code, Message: message})
	}
	if strings.ContainsFunc(r.Name, unicode.IsControl) {
		add("/name", "text.control-characters", "The name holds control characters, which cannot be shown.")
	}
	role := parseRole(r.Role)
	switch {
	case role == roleDealer && r.Dealer == "":
		add("/dealer", codeMissing, "Name the dealer whose key it is.")
	case role != roleDealer && r.Dealer != "":
		add("/dealer", "dealer.other", "Only a key with the role dealer belongs to a dealer.")
	case role == roleDealer:
		if _, found := dealers.Get(r.Dealer); !found {
			f := Finding{Pointer: "/dealer", Code: "dealer.unknown", Message: "There is no such dealer in the catalog."}
			if near := nearest(r.Dealer, dealers.Keys()); near != "" {
				f.Nearest = []string{near}
			}
			findings = append(findings, f)
		}
	}
	if r.Test && role&(roleDealer|roleRep) == 0 {
		add("/test", "key.test", "Only keys with the roles dealer and rep may be test keys: test orders are all that they place.")
	}
	return findings
}

// postKey makes a key. Its text leaves with this reply and is kept nowhere.
func (s *Server) postKey(ctx context.Context, in *postKeyInput) (*acted, error) {
	who := principalOf(ctx)
	o, err := newOnce(who, in.Idempotent, in.Body.fingerprint())
	if err != nil {
		return nil, err
	}
	st, err := s.standings.of(ctx, who.workshop)
	if err != nil {
		return nil, err
	}
	var dealers source.Map[*catalog.Dealer] // none before the first catalog, which an engineer's key stores
	if st.catalog != nil {
		dealers = st.catalog.Dealers
	}
	if findings := in.Body.check(dealers); findings != nil {
		return s.replayOr(ctx, who, o, invalid(findings...))
	}
	text, key, err := NewKey(who.workshop, in.Body.Role, in.Body.Dealer, in.Body.Name, in.Body.Test, s.set.Clock())
	if err != nil {
		return nil, fmt.Errorf("draw a key: %w", err)
	}
	made, err := s.act(ctx, who, o, key.Dealer, func(tx pgx.Tx) (orderdb.Reply, error) {
		if err := authdb.InsertKey(ctx, tx, key); err != nil {
			return orderdb.Reply{}, err
		}
		if err := s.audit(ctx, tx, who, "key made", "key "+key.ID.String(), nil, showKey(&key)); err != nil {
			return orderdb.Reply{}, err
		}
		body, err := json.Marshal(showKey(&key))
		return created("/v1/keys/"+key.ID.String(), body), err
	})
	if err != nil {
		return nil, err
	}
	made.CacheControl = "no-store"
	if made.Replayed == "" {
		shown := showKey(&key)
		shown.Text = text
		made.Body, err = json.Marshal(shown)
	}
	return made, err
}

func showKey(k *authdb.Key) keyShown {
	shown := keyShown{ID: k.ID, Name: k.Name, Role: k.Role, Dealer: k.Dealer, Test: k.Test, Created: k.Created.UTC()}
	if k.Revoked != nil {
		at := k.Revoked.UTC()
		shown.Revoked = &at
	}
	return shown
}

type listKeysOutput struct {
	Body struct {
		Keys []keyShown `json:"keys" doc:"Revoked ones too, oldest first."`
	}
}

// listKeys shows the workshop's keys without their secrets.
func (s *Server) listKeys(ctx context.Context, _ *struct{}) (*listKeysOutput, error) {
	who := principalOf(ctx)
	out := &listKeysOutput{}
	out.Body.Keys = []keyShown{}
	var keys []authdb.Key
	err := tenancy.Transact(ctx, s.set.Pool, who.scope(), func(tx pgx.Tx) (err error) {
		keys, err = authdb.ListKeys(ctx, tx, who.workshop)
		return err
	})
	for i := range keys {
		out.Body.Keys = append(out.Body.Keys, showKey(&keys[i]))
	}
	return out, err
}

type deleteKeyInput struct {
	ID uuid.UUID `path:"id" format:"uuid" doc:"The key's id."`
}

// deleteKey revokes a key: at once on this instance, within a second on others.
// A key revoked before stays so.
func (s *Server) deleteKey(ctx context.Context, in *deleteKeyInput) (*struct{}, error) {
	who := principalOf(ctx)
	err := tenancy.Transact(ctx, s.set.Pool, who.scope(), func(tx pgx.Tx) error {
		if err := authdb.RevokeKey(ctx, tx, who.workshop, in.ID, s.set.Clock()); err != nil {
			return err
		}
		return s.audit(ctx, tx, who, "key revoked", "key "+in.ID.String(), nil, nil)
	})
	if errors.Is(err, authdb.ErrNoKey) {
		return nil, notFound("There is no key " + in.ID.String() + ".")
	}
	if err == nil {
		s.keys.forget(who.workshop, in.ID)
	}
	return nil, err
}
