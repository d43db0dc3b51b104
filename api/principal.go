package api

import (
	"context"
	"fmt"
	"slices"
	"strings"

	"github.com/google/uuid"

	"billwright/migrations/tenancy"
)

// role is what a key may do. Several roles joined by | are those that a route
// admits.
type role uint8

const (
	roleDealer role = 1 << iota
	roleRep
	roleBuyer
	roleEngineer
	roleShop
	roleOwner
	// roleAdmin is of people only: it looks after the people and the keys.
	roleAdmin
)

// anyRole admits every key; without a role a route is public.
const anyRole = roleDealer | roleRep | roleBuyer | roleEngineer | roleShop | roleOwner

var roleNames = []string{"dealer", "rep", "buyer", "engineer", "shop", "owner", "admin"}

// parseRole reads one role's name; the zero role stands for none.
func parseRole(name string) role {
	for i, known := range roleNames {
		if name == known {
			return 1 << i
		}
	}
	return 0
}

// names lists the roles in r.
func (r role) names() []string {
	var names []string
	for i, name := range roleNames {
		if r&(1<<i) != 0 {
			names = append(names, name)
		}
	}
	return names
}

func (r role) String() string { return strings.Join(r.names(), ", ") }

// principal is who asks: the holder of a key, or a person who signed in.
type principal struct {
	workshop uuid.UUID
	key      uuid.UUID
	// person is nil for the holder of a key.
	person *Person
	// dealer is the code of the dealer the key belongs to, "" for the
	// workshop's own people.
	dealer string
	role   role
	// test marks a key whose orders never become requirements.
	test bool
}

// scope is what the database shows this principal.
func (p *principal) scope() tenancy.Scope {
	if p.dealer != "" {
		return tenancy.Scope{Workshop: p.workshop, Dealer: p.dealer}
	}
	return tenancy.Scope{Workshop: p.workshop, Dealer: tenancy.AllDealers}
}

// replayScope parts the Idempotency-Keys of different clients: a dealer's keys
// share one, so that a retry may carry the dealer's other key. Test keys stand
// apart, for a live order must not be answered with a test order.
func (p *principal) replayScope() string {
	switch {
	case p.person != nil:
		return "person " + p.person.ID.String()
	case p.dealer == "":
		return "key " + p.key.String()
	case p.test:
		return "dealer " + p.dealer + " test"
	}
	return "dealer " + p.dealer
}

// actor names the principal in the audit trail. A person's name is his for good.
func (p *principal) actor() string {
	if p.person != nil {
		return p.person.Name
	}
	return "key " + p.key.String()
}

// roleAmong gives the name of the principal's role that is among those that may
// do something, or else of the first he has: a key has one, a person may have
// several.
func (p *principal) roleAmong(able []string) string {
	names := p.role.names()
	for _, name := range names {
		if slices.Contains(able, name) {
			return name
		}
	}
	if len(names) == 0 {
		return ""
	}
	return names[0]
}

// principalOf gives who asks. Only routes that admit roles may call it.
func principalOf(ctx context.Context) *principal {
	who := requestOf(ctx).who
	if who == nil { // a public route's handler asked: a mistake in the route table
		panic(fmt.Errorf("api: nobody was asked for a key here"))
	}
	return who
}
