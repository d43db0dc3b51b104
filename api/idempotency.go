package api

import (
	"context"
	"crypto/sha256"
	"errors"
	"fmt"
	"net/http"
	"time"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"

	"billwright/bom/order/orderdb"
	"billwright/migrations/tenancy"
)

// Idempotent is what every acting POST carries besides its body.
type Idempotent struct {
	Key string `header:"Idempotency-Key" doc:"1 to 255 visible ASCII characters that the client makes up for one act and sends again with each retry of it. Needed."`
}

// acted is the reply to an acting POST.
type acted struct {
	Status       int
	ContentType  string `header:"Content-Type" hidden:"true"`
	CacheControl string `header:"Cache-Control" hidden:"true"`
	Location     string `header:"Location"`
	ETag         string `header:"ETag"`
	Replayed     string `header:"Idempotent-Replayed" enum:"true" doc:"true when the act was done before and this is its stored reply."`
	Body         []byte
}

func answer(r orderdb.Reply, replayed bool) *acted {
	a := &acted{Status: r.Status, ContentType: "application/json", Location: r.Location, ETag: r.ETag, Body: r.Body}
	if replayed {
		a.Replayed = "true"
	}
	return a
}

// once is an act that is to be done once: who asks, under which key, for what.
type once struct {
	workshop    uuid.UUID
	scope, key  string
	fingerprint [sha256.Size]byte
}

// newOnce reads the header of an acting POST.
func newOnce(who *principal, in Idempotent, fingerprint [sha256.Size]byte) (once, error) {
	if len(in.Key) < 1 || len(in.Key) > 255 {
		return once{}, keyProblem("Send an Idempotency-Key of 1 to 255 characters, made up anew for each act and the same for each retry of it.")
	}
	for _, c := range []byte(in.Key) {
		if c < '!' || c > '~' {
			return once{}, keyProblem("An Idempotency-Key is of visible ASCII characters only, without spaces.")
		}
	}
	return once{who.workshop, who.replayScope(), in.Key, fingerprint}, nil
}

func keyProblem(message string) *Problem {
	return badSyntax("", Finding{Parameter: "header.Idempotency-Key", Code: "idempotency-key", Message: message})
}

// claim takes the key for the rest of the transaction. If the act was done
// before, it gives the stored reply and counts it: the caller commits before it
// answers.
func (o once) claim(ctx context.Context, tx pgx.Tx) (reply orderdb.Reply, done bool, err error) {
	locked, stored, err := orderdb.Claim(ctx, tx, o.workshop, o.scope, o.key)
	switch {
	case err != nil:
		return orderdb.Reply{}, false, err
	case stored != nil:
		return *stored, true, o.again(ctx, tx, stored)
	case !locked:
		return orderdb.Reply{}, false, stillRunning()
	}
	return orderdb.Reply{}, false, nil
}

func stillRunning() *Problem {
	return conflict("A request with this Idempotency-Key is still running; send it again in a moment.").withHeader("Retry-After", "1")
}

func (o once) again(ctx context.Context, tx pgx.Tx, stored *orderdb.Reply) error {
	if stored.Fingerprint != o.fingerprint {
		return invalid(Finding{Parameter: "header.Idempotency-Key", Code: "idempotency-key.reused",
			Message: "This Idempotency-Key was used for another request; make up a new one."})
	}
	return orderdb.CountReplay(ctx, tx, o.workshop, o.scope, o.key)
}

// replayOr answers a request that cannot be done with the reply it had when it
// could, or else with what is wrong with it. What was taken once stays taken,
// though the catalog has changed since.
func (s *Server) replayOr(ctx context.Context, who *principal, o once, problem error) (*acted, error) {
	var stored orderdb.Reply
	err := tenancy.Transact(ctx, s.set.Pool, who.scope(), func(tx pgx.Tx) (err error) {
		if stored, err = orderdb.FindReply(ctx, tx, o.workshop, o.scope, o.key); err != nil {
			return err
		}
		return o.again(ctx, tx, &stored)
	})
	if errors.Is(err, orderdb.ErrNoReply) {
		return nil, problem
	}
	if err != nil {
		return nil, err
	}
	return answer(stored, true), nil
}

// act does something once: do runs in the transaction that also keeps its
// reply, and must have no effect outside it. An act that concerns a dealer
// names him.
func (s *Server) act(ctx context.Context, who *principal, o once, dealer string, do func(pgx.Tx) (orderdb.Reply, error)) (*acted, error) {
	return s.actFor(ctx, who, o, func(tx pgx.Tx) (string, orderdb.Reply, error) {
		reply, err := do(tx)
		return dealer, reply, err
	})
}

// actFor is act where only the act itself tells which dealer it concerns.
func (s *Server) actFor(ctx context.Context, who *principal, o once, do func(pgx.Tx) (dealer string, reply orderdb.Reply, err error)) (*acted, error) {
	for range 2 { // once more when another request stored its reply first
		var reply orderdb.Reply
		var done bool
		err := tenancy.Transact(ctx, s.set.Pool, who.scope(), func(tx pgx.Tx) (err error) {
			if reply, done, err = o.claim(ctx, tx); err != nil || done {
				return err
			}
			dealer, made, err := do(tx)
			if err != nil {
				return err
			}
			reply = made
			reply.Fingerprint = o.fingerprint
			return orderdb.StoreReply(ctx, tx, o.workshop, dealer, orderdb.Idempotency{Scope: o.scope, Key: o.key, Reply: reply}, s.set.Clock())
		})
		if !errors.Is(err, orderdb.ErrKeyUsed) {
			return answer(reply, done), err
		}
	}
	return nil, unavailable(time.Second, fmt.Errorf("idempotency key %q was used twice in a row", o.scope))
}

// created is the reply of an act that made something.
func created(location string, body []byte) orderdb.Reply {
	return orderdb.Reply{Status: http.StatusCreated, Location: location, Body: body}
}
