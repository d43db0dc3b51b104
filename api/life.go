package api

import (
	"context"
	"strings"
	"unicode/utf8"

	"billwright/bom/order"
	"billwright/bom/order/orderdb"
)

// reasoned is the body of an act that needs nothing but, where there is one, its
// reason.
type reasoned struct {
	Reason string `json:"reason,omitempty" required:"false" maxLength:"300" doc:"Why, for the trail."`
}

type actInput struct {
	OrderAct
	Body reasoned
}

// postAccept accepts a received order: what, at what price, by which date, under
// which catalog revision.
func (s *Server) postAccept(ctx context.Context, in *actInput) (*acted, error) {
	st, err := s.catalogFor(ctx, principalOf(ctx).workshop)
	if err != nil {
		return nil, err
	}
	return s.actOn(ctx, in.OrderAct, order.Accept, in.Body, func(a *acting) error {
		a.reason, a.redate = in.Body.Reason, true
		if err := a.doc.Allows(order.Accept); err != nil {
			return err
		}
		if err := a.substitute(st.substitutions); err != nil {
			return err
		}
		return a.doc.Accept(a.cat, a.now)
	})
}

type releaseInput struct {
	OrderAct
	Body struct {
		Reason string `json:"reason,omitempty" required:"false" maxLength:"300" doc:"Why, for the trail."`
		Lines  []int  `json:"lines,omitempty" required:"false" maxItems:"200" doc:"Lines to release; without them, all that are accepted."`
	}
}

// postRelease gives lines to the shop.
func (s *Server) postRelease(ctx context.Context, in *releaseInput) (*acted, error) {
	return s.actOn(ctx, in.OrderAct, order.Release, in.Body, func(a *acting) error {
		a.reason = in.Body.Reason
		return a.doc.Release(in.Body.Lines)
	})
}

// postClose ends a shipped order.
func (s *Server) postClose(ctx context.Context, in *actInput) (*acted, error) {
	return s.actOn(ctx, in.OrderAct, order.Close, in.Body, func(a *acting) error {
		a.reason = in.Body.Reason
		return a.doc.Close()
	})
}

type startFrameInput struct {
	OrderAct
	Line int `path:"line" minimum:"1" maximum:"32000" doc:"Number of the line."`
	Body reasoned
}

// postStartFrame lets a line's frame be bought and made before its customer's
// own material is here.
func (s *Server) postStartFrame(ctx context.Context, in *startFrameInput) (*acted, error) {
	body := struct {
		Line   int
		Reason string
	}{in.Line, in.Body.Reason}
	return s.actOn(ctx, in.OrderAct, order.StartFrame, body, func(a *acting) error {
		a.reason, a.redate = in.Body.Reason, true
		return a.doc.StartFrame(in.Line)
	})
}

type placeHoldInput struct {
	OrderAct
	Body struct {
		Kind   string `json:"kind" maxLength:"60" doc:"Kind of hold, a code of the catalog."`
		Line   int    `json:"line,omitempty" required:"false" minimum:"0" maximum:"32000" doc:"Line that is held; without it, the whole order."`
		Reason string `json:"reason,omitempty" required:"false" maxLength:"300" doc:"What people are told; without it, the kind's own sentence."`
	}
}

// postHold places a hold.
func (s *Server) postHold(ctx context.Context, in *placeHoldInput) (*acted, error) {
	return s.actOn(ctx, in.OrderAct, order.PlaceHold, in.Body, func(a *acting) error {
		a.reason, a.redate = in.Body.Reason, true
		h, err := a.doc.PlaceHold(a.cat, in.Body.Kind, in.Body.Line, strings.TrimSpace(in.Body.Reason), a.who.roleAmong(a.placers(in.Body.Kind)))
		if err != nil {
			return err
		}
		return orderdb.AddHold(a.ctx, a.tx, a.who.workshop, a.before, h, a.now, a.who.actor())
	})
}

type liftHoldInput struct {
	OrderAct
	Seq  int `path:"seq" minimum:"1" maximum:"32000" doc:"Number of the hold."`
	Body struct {
		Reason string `json:"reason" maxLength:"300" doc:"Why it is lifted."`
	}
}

// postLift lifts a hold.
func (s *Server) postLift(ctx context.Context, in *liftHoldInput) (*acted, error) {
	reason := strings.TrimSpace(in.Body.Reason)
	if utf8.RuneCountInString(reason) == 0 {
		return nil, invalid(Finding{Pointer: "/reason", Code: codeMissing, Message: "Say why the hold is lifted."})
	}
	body := struct {
		Seq    int
		Reason string
	}{in.Seq, reason}
	return s.actOn(ctx, in.OrderAct, order.LiftHold, body, func(a *acting) error {
		a.reason, a.redate = reason, true
		h, err := a.doc.LiftHold(a.cat, in.Seq, reason, a.who.roleAmong(a.lifters(in.Seq)), a.now)
		if err != nil {
			return err
		}
		return orderdb.EndHold(a.ctx, a.tx, a.who.workshop, a.before, h.Seq, a.now, a.who.actor())
	})
}

// placers are the roles that may place a kind of hold; none of a kind that the
// catalog does not have.
func (a *acting) placers(kind string) []string {
	if k, found := a.cat.Holds.Get(kind); found {
		return k.Placers()
	}
	return nil
}

// lifters are the roles that may lift the hold with a number.
func (a *acting) lifters(seq int) []string {
	for _, h := range a.doc.Holds {
		if k, found := a.cat.Holds.Get(h.Kind); found && h.Seq == seq {
			return k.Lifters()
		}
	}
	return nil
}
