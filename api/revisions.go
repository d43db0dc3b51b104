package api

import (
	"context"
	"crypto/sha256"
	"encoding/json"
	"errors"
	"fmt"
	"strconv"
	"time"

	"github.com/jackc/pgx/v5"

	"billwright/bom/golden"
	"billwright/bom/order/orderdb"
	"billwright/catalog/calendar"
	"billwright/catalog/catalogdb"
	"billwright/migrations/tenancy"
)

type revisionRequest struct {
	Files         []catalogFile `json:"files" minItems:"1" maxItems:"2000" doc:"Every file of the catalog; nothing is taken over from the revision before."`
	AcceptChanges bool          `json:"accept_changes,omitempty" doc:"true when the golden orders that would come out otherwise are meant to."`
}

type postRevisionInput struct {
	Idempotent
	Body revisionRequest
}

// revisionReply is a stored revision.
type revisionReply struct {
	Revision  int           `json:"revision"`
	Effective calendar.Date `json:"effective" doc:"First day on which it holds."`
}

func (r *revisionRequest) fingerprint() [sha256.Size]byte {
	h := sha256.New()
	h.Write(sized(nil, "revision 1 "+yesNo(r.AcceptChanges)))
	for i := range r.Files {
		h.Write(sized(sized(nil, r.Files[i].Path), r.Files[i].Text))
	}
	return [sha256.Size]byte(h.Sum(nil))
}

// postRevision stores a whole catalog as the workshop's next revision, or
// refuses it with every fault, or with every golden order that would come out
// otherwise unless that is accepted. On this instance it takes effect at once,
// on others within a second, and never before its first day.
func (s *Server) postRevision(ctx context.Context, in *postRevisionInput) (*acted, error) {
	who := principalOf(ctx)
	o, err := newOnce(who, in.Idempotent, in.Body.fingerprint())
	if err != nil {
		return nil, err
	}
	read, problem := readCatalog(in.Body.Files)
	if problem == nil {
		problem = read.refusal(in.Body.AcceptChanges)
	}
	if problem != nil {
		return s.replayOr(ctx, who, o, problem)
	}
	cat := read.catalog
	for range placings { // others may store revisions at the same time
		made, err := s.act(ctx, who, o, "", func(tx pgx.Tx) (orderdb.Reply, error) {
			revision, err := catalogdb.Store(ctx, tx, who.workshop, cat, who.actor(), s.set.Clock())
			if err != nil {
				return orderdb.Reply{}, err
			}
			reply := revisionReply{revision, cat.Workshop.Effective}
			if err := s.audit(ctx, tx, who, "catalog stored", "revision "+strconv.Itoa(revision), nil, reply); err != nil {
				return orderdb.Reply{}, err
			}
			body, err := json.Marshal(reply)
			return created("/v1/catalog", body), err
		})
		if !errors.Is(err, catalogdb.ErrRevisionTaken) {
			s.standings.changed(who.workshop) // also when nobody knows whether it was stored
			return made, err
		}
	}
	return nil, unavailable(time.Second, catalogdb.ErrRevisionTaken)
}

// refusal is why a catalog that was read is not stored, nil when it may be.
func (r *catalogRead) refusal(acceptChanges bool) *Problem {
	if r.faults != nil {
		var findings []Finding
		for _, fault := range r.faults[:min(len(r.faults), maxFindings)] {
			findings = append(findings, Finding{Pointer: r.pointer(fault.File), Code: "catalog.fault", Message: fault.Error()})
		}
		problem := invalid(findings...)
		problem.Detail = fmt.Sprintf("The catalog has faults: %d. The first %d are listed.", len(r.faults), len(findings))
		return problem
	}
	if acceptChanges {
		return nil
	}
	changes := golden.Run(r.catalog)
	if len(changes) == 0 {
		return nil
	}
	var findings []Finding
	for _, change := range changes[:min(len(changes), maxFindings)] {
		findings = append(findings, Finding{Pointer: r.pointer(change.Pos.File), Code: "golden-order.changed", Message: change.String()})
	}
	problem := invalid(findings...)
	problem.Detail = fmt.Sprintf("Figures of golden orders that would come out otherwise: %d. If that is meant, mend what they expect, or send accept_changes as true.", len(changes))
	return problem
}

// listedRevision is a revision as listed.
type listedRevision struct {
	Revision  int           `json:"revision"`
	Effective calendar.Date `json:"effective" doc:"First day on which it holds."`
	StoredAt  time.Time     `json:"stored_at"`
	StoredBy  string        `json:"stored_by" doc:"Who stored it: a key by its id, or the program."`
	InForce   bool          `json:"in_force" doc:"true for the one that holds today."`
}

type listRevisionsOutput struct {
	Body struct {
		Revisions []listedRevision `json:"revisions" doc:"Newest first."`
	}
}

// listRevisions lists the workshop's revisions.
func (s *Server) listRevisions(ctx context.Context, _ *struct{}) (*listRevisionsOutput, error) {
	who := principalOf(ctx)
	st, err := s.standings.of(ctx, who.workshop)
	if err != nil {
		return nil, err
	}
	var stored []catalogdb.Revision
	err = tenancy.Transact(ctx, s.set.Pool, who.scope(), func(tx pgx.Tx) (err error) {
		stored, err = catalogdb.Revisions(ctx, tx, who.workshop)
		return err
	})
	out := &listRevisionsOutput{}
	out.Body.Revisions = make([]listedRevision, len(stored))
	for i, r := range stored {
		out.Body.Revisions[i] = listedRevision{r.Number, r.Effective, r.StoredAt.UTC(), r.StoredBy, st.catalog != nil && st.catalog.Revision == r.Number}
	}
	return out, err
}
