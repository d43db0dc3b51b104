package api

import (
	"context"
	"crypto/sha256"
	"encoding/json"
	"errors"
	"fmt"
	"net/http"
	"strconv"
	"strings"
	"time"

	"github.com/jackc/pgx/v5"

	"billwright/api/authdb"
	"billwright/bom/demand"
	"billwright/bom/order"
	"billwright/bom/order/orderdb"
	"billwright/catalog"
	"billwright/migrations/tenancy"
)

// OrderAct is what every act on one order carries besides its body.
type OrderAct struct {
	Numbered
	Idempotent
	IfMatch string `header:"If-Match" doc:"The ETag of the version that the act was decided on. Needed."`
}

// acting is an act on an order in progress, in the transaction that stores it
// with its reply.
type acting struct {
	ctx context.Context
	tx  pgx.Tx
	who *principal
	cat *catalog.Catalog // the revision the order is pinned to
	// current is the catalog in force, for acts that pin to it.
	current *catalog.Catalog
	before  orderdb.Stored
	doc     *order.Document
	now     time.Time
	// reason is why, for the trail.
	reason string
	// redate asks that what the order needs be dated anew.
	redate bool
	// beside tells that the act leaves the order as it is, so that it need not
	// name the version it was decided on.
	beside bool
}

// actOn does an act on an order once: do changes the document in memory and
// stores what hangs on it; the rest - version, dates of what the order needs,
// audit, reply - is the same for every act.
func (s *Server) actOn(ctx context.Context, in OrderAct, act order.Act, body any, do func(*acting) error) (*acted, error) {
	return s.actWith(ctx, in, act, body, func(a *acting) (orderdb.Reply, error) {
		if err := do(a); err != nil {
			return orderdb.Reply{}, err
		}
		return a.store(act, s.set.Clock())
	})
}

// actWith does an act once that makes its reply itself, as one that leaves the
// order at its version does.
func (s *Server) actWith(ctx context.Context, in OrderAct, act order.Act, body any, do func(*acting) (orderdb.Reply, error)) (*acted, error) {
	return s.actAs(ctx, in, act, body, false, do)
}

// actBeside is actWith for an act that adds something beside the order: it may
// be done on whatever version stands.
func (s *Server) actBeside(ctx context.Context, in OrderAct, act order.Act, body any, do func(*acting) (orderdb.Reply, error)) (*acted, error) {
	return s.actAs(ctx, in, act, body, true, do)
}

func (s *Server) actAs(ctx context.Context, in OrderAct, act order.Act, body any, beside bool, do func(*acting) (orderdb.Reply, error)) (*acted, error) {
	who := principalOf(ctx)
	o, err := newOnce(who, in.Idempotent, actFingerprint(who, act, in.Number, body))
	if err != nil {
		return nil, err
	}
	st, err := s.standings.of(ctx, who.workshop)
	if err != nil {
		return nil, err
	}
	seen, err := s.seen(ctx, who, in.Number)
	if err != nil {
		return nil, err
	}
	cat, err := s.catalogOf(ctx, who.workshop, seen.Revision)
	if err != nil {
		return nil, err
	}
	return s.actFor(ctx, who, o, func(tx pgx.Tx) (string, orderdb.Reply, error) {
		a := &acting{ctx: ctx, tx: tx, who: who, cat: cat, now: st.now(s.set.Clock), beside: beside}
		if err := a.lock(seen, in.IfMatch); err != nil {
			return "", orderdb.Reply{}, err
		}
		reply, err := do(a)
		return a.before.Dealer, reply, refusedAct(err)
	})
}

// seen reads an order before the act on it begins, for the revision it is
// pinned to.
func (s *Server) seen(ctx context.Context, who *principal, number string) (seen orderdb.Stored, err error) {
	err = tenancy.Transact(ctx, s.set.Pool, who.scope(), func(tx pgx.Tx) (err error) {
		seen, err = findOrder(ctx, tx, who, number)
		return err
	})
	return seen, err
}

// actFingerprint is the SHA-256 of what an act asks for.
func actFingerprint(who *principal, act order.Act, number string, body any) [sha256.Size]byte {
	said, err := json.Marshal(body)
	if err != nil { // bodies are of plain fields
		panic(fmt.Errorf("api: the body of the act %s cannot be written: %w", act, err))
	}
	if parsed, err := order.ParseNumber(number); err == nil {
		number = parsed
	}
	return sha256.Sum256(sized(sized(sized(sized(nil, "act "+string(act)), who.replayScope()), number), string(said)))
}

// lock takes the order for the act and makes sure that it is at the version that
// the act was decided on.
func (a *acting) lock(seen orderdb.Stored, ifMatch string) (err error) {
	if a.before, err = orderdb.Lock(a.ctx, a.tx, a.who.workshop, seen.Number); err != nil {
		return err
	}
	given := ifMatch != "" && strings.TrimSpace(ifMatch) != "*"
	if !given && !a.beside {
		return preconditionRequired()
	}
	if given && strings.TrimSpace(ifMatch) != etag(a.before.Version) {
		return a.changedSince(ifMatch)
	}
	if a.before.Revision != seen.Revision {
		return conflict("The order was pinned to another catalog revision just now; look at it again.")
	}
	a.doc = &order.Document{}
	if err := json.Unmarshal(a.before.Document, a.doc); err != nil {
		return fmt.Errorf("read a stored order: %w", err)
	}
	return nil
}

// changedSince is the refusal of an act decided on an old version: it names what
// has been done since.
func (a *acting) changedSince(ifMatch string) error {
	from, err := strconv.Atoi(strings.Trim(strings.TrimSpace(ifMatch), `"`))
	if err != nil || from < 1 || from > a.before.Version {
		return preconditionFailed(fmt.Sprintf("The order is at version %d; %s is no version of it.", a.before.Version, quoteShort(ifMatch)))
	}
	ended, err := orderdb.Versions(a.ctx, a.tx, a.who.workshop, a.before.ID, from)
	if err != nil {
		return err
	}
	var since strings.Builder
	for _, e := range ended {
		fmt.Fprintf(&since, " %s (version %d, %s)", e.Act, e.Version+1, e.At.UTC().Format(time.RFC3339))
	}
	return preconditionFailed(fmt.Sprintf("The order is at version %d; since version %d was done:%s.", a.before.Version, from, since.String()))
}

// store writes what the act made of the order and gives the reply.
func (a *acting) store(act order.Act, at time.Time) (orderdb.Reply, error) {
	a.doc.Version = a.before.Version + 1
	if a.redate && !a.doc.Test {
		if err := a.redateLoad(); err != nil {
			return orderdb.Reply{}, err
		}
	}
	document, err := a.doc.Bytes()
	if err != nil {
		return orderdb.Reply{}, err
	}
	if err := orderdb.Save(a.ctx, a.tx, a.who.workshop, orderdb.Acted{Before: a.before, After: a.doc, Document: document, Act: act, Actor: a.who.actor(), At: at}); err != nil {
		return orderdb.Reply{}, err
	}
	if a.redate && !a.doc.Test {
		if err := a.redateRequirements(); err != nil {
			return orderdb.Reply{}, err
		}
	}
	if err := a.audit(act, at); err != nil {
		return orderdb.Reply{}, err
	}
	return orderdb.Reply{Status: http.StatusOK, Location: orderPath(a.before.Number), ETag: etag(a.doc.Version), Body: document}, nil
}

// redateRequirements dates what the order needs by its promise, and asks anew
// what of it is firm.
func (a *acting) redateRequirements() error {
	rows, err := orderdb.Requirements(a.ctx, a.tx, a.who.workshop, a.before.ID)
	if err != nil || len(rows) == 0 {
		return err
	}
	if err := demand.Redate(a.cat, rows, a.doc.Promise, a.firm); err != nil {
		return conflict(sentence(err.Error()))
	}
	return orderdb.ReplaceRequirements(a.ctx, a.tx, a.who.workshop, a.before, a.doc.Bill.Version, rows)
}

func (a *acting) firm(line int, kind string) bool { return a.doc.Firm(a.cat, line, kind) }

// standing is what the trail keeps of an order before and after an act.
type auditStanding struct {
	Version int          `json:"version"`
	State   order.State  `json:"state"`
	Promise string       `json:"promise,omitempty"`
	Holds   []order.Hold `json:"holds"`
}

func standingOf(d *order.Document) ([]byte, error) {
	standing := auditStanding{Version: d.Version, State: d.State, Holds: d.Holds}
	if d.Promise.Valid() {
		standing.Promise = d.Promise.String()
	}
	text, err := json.Marshal(standing)
	if err != nil {
		return nil, fmt.Errorf("write an audit entry: %w", err)
	}
	return text, nil
}

func (a *acting) audit(act order.Act, at time.Time) error {
	var was order.Document
	if err := json.Unmarshal(a.before.Document, &was); err != nil {
		return fmt.Errorf("read a stored order: %w", err)
	}
	var sides [2][]byte
	for i, d := range []*order.Document{&was, a.doc} {
		text, err := standingOf(d)
		if err != nil {
			return err
		}
		sides[i] = text
	}
	return authdb.Audit(a.ctx, a.tx, authdb.Entry{
		Workshop: a.who.workshop, Dealer: a.before.Dealer, At: at, Actor: a.who.actor(), Role: a.who.role.String(),
		Act: "order: " + string(act), Subject: a.before.Number, Before: sides[0], After: sides[1], Reason: a.reason,
	})
}

// refusedAct answers what the order's life refuses.
func refusedAct(err error) error {
	var outOfOrder *order.OutOfOrder
	var blocked *order.Blocked
	var line *order.NoSuchLine
	var hold *order.NoSuchHold
	var role *order.NotTheirs
	var event *order.UnknownEvent
	var locked *order.LockedChange
	switch {
	case errors.As(err, &outOfOrder):
		p := conflict(sentence(err.Error()))
		for _, act := range outOfOrder.Possible {
			p.Errors = append(p.Errors, Finding{Code: "act.possible", Message: "Possible now: " + string(act) + "."})
		}
		return p
	case errors.As(err, &blocked):
		p := conflict(sentence(err.Error()))
		for _, h := range blocked.Holds {
			p.Errors = append(p.Errors, Finding{Code: "hold." + h.Kind, Message: fmt.Sprintf("Hold %d, %s: %s", h.Seq, h.Kind, h.Reason)})
		}
		return p
	case errors.As(err, new(*order.Expired)), errors.As(err, new(*order.AgreedPassed)):
		return conflict(sentence(err.Error()))
	case errors.As(err, new(*order.NoPO)):
		return invalid(Finding{Pointer: "/po", Code: "po.missing", Message: sentence(err.Error())})
	case errors.As(err, &locked):
		p := conflict("The change touches what is locked. An owner or an engineer may override each lock with a reason and a disposition.")
		for _, l := range locked.Locks {
			p.Errors = append(p.Errors, Finding{Code: "lock." + l.Lock, Message: fmt.Sprintf("Line %d, %s on %s by %s: %s", l.Line, l.Event, l.At.UTC().Format(time.RFC3339), l.By, l.Says)})
		}
		return p
	case errors.As(err, new(*order.NotTheirOverride)):
		return forbidden(sentence(err.Error()))
	case errors.As(err, &event):
		return invalid(Finding{Pointer: "/event", Code: "event.unknown", Message: sentence(err.Error()), Allowed: event.Known})
	case errors.As(err, new(*order.NoSuchUnit)):
		return invalid(Finding{Pointer: "/unit", Code: "unit.unknown", Message: sentence(err.Error())})
	case errors.As(err, new(*order.UnitLeft)):
		return conflict(sentence(err.Error()))
	case errors.As(err, &line):
		return invalid(Finding{Pointer: "/line", Code: "line.unknown", Message: sentence(err.Error())})
	case errors.As(err, &hold):
		return invalid(Finding{Code: "hold.unknown", Message: sentence(err.Error())})
	case errors.As(err, &role):
		return forbidden(sentence(err.Error()))
	}
	return err
}
