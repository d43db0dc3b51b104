package api

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"time"

	"github.com/jackc/pgx/v5"

	"billwright/api/authdb"
	"billwright/bom/order/orderdb"
	"billwright/migrations/tenancy"
)

// clockReply is the time of a trial workshop. It stands still between moves.
type clockReply struct {
	Now time.Time `json:"now" doc:"What time the workshop believes it is, such as 2026-11-25T14:30:00Z (RFC 3339)."`
}

type clockOutput struct{ Body clockReply }

func liveClock() *Problem {
	return conflict("This is a live workshop: it goes by the real time. Only a trial workshop has a clock to read or move.")
}

// getClock tells a trial workshop's time.
func (s *Server) getClock(ctx context.Context, _ *struct{}) (*clockOutput, error) {
	st, err := s.standings.of(ctx, principalOf(ctx).workshop)
	if err != nil {
		return nil, err
	}
	if st.workshop.TrialClock == nil {
		return nil, liveClock()
	}
	return &clockOutput{clockReply{st.workshop.TrialClock.UTC()}}, nil
}

type putClockInput struct{ Body clockReply }

// putClock moves a trial workshop's clock, forward only: what was done on a day
// must not come to lie in its future.
func (s *Server) putClock(ctx context.Context, in *putClockInput) (*clockOutput, error) {
	who := principalOf(ctx)
	to := in.Body.Now.UTC().Truncate(time.Microsecond) // the grain of the database
	err := tenancy.Transact(ctx, s.set.Pool, who.scope(), func(tx pgx.Tx) error {
		// Of two moves at once, the second must see the first.
		locked, err := orderdb.LockKey(ctx, tx, who.workshop, "clock", "move")
		if err != nil {
			return err
		}
		if !locked {
			return conflict("The clock is being moved just now; look where it stands and move it again.")
		}
		w, err := authdb.FindWorkshop(ctx, tx, who.workshop)
		if err != nil {
			return err
		}
		if w.TrialClock == nil {
			return liveClock()
		}
		if to.Before(*w.TrialClock) {
			return invalid(Finding{Pointer: "/now", Code: "clock.backward",
				Message: fmt.Sprintf("The clock only moves forward, and stands at %s.", w.TrialClock.UTC().Format(time.RFC3339Nano))})
		}
		if err := authdb.SetTrialClock(ctx, tx, who.workshop, to); err != nil {
			return err
		}
		return s.audit(ctx, tx, who, "clock moved", "clock", clockReply{w.TrialClock.UTC()}, clockReply{to})
	})
	if errors.Is(err, authdb.ErrNoTrial) {
		return nil, liveClock()
	}
	if err != nil {
		return nil, err
	}
	s.standings.changed(who.workshop)
	return &clockOutput{clockReply{to}}, nil
}

// audit writes an act to the trail at the real time, whatever a trial
// workshop's clock says. before and after may be nil.
func (s *Server) audit(ctx context.Context, tx pgx.Tx, who *principal, act, subject string, before, after any) error {
	entry := authdb.Entry{Workshop: who.workshop, Dealer: who.dealer, At: s.set.Clock(), Actor: who.actor(), Role: who.role.String(), Act: act, Subject: subject}
	for _, side := range []struct {
		value any
		text  *[]byte
	}{{before, &entry.Before}, {after, &entry.After}} {
		if side.value == nil {
			continue
		}
		text, err := json.Marshal(side.value)
		if err != nil {
			return fmt.Errorf("write an audit entry: %w", err)
		}
		*side.text = text
	}
	return authdb.Audit(ctx, tx, entry)
}
