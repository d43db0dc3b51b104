package api

import (
	"context"
	"crypto/sha256"
	"encoding/json"
	"errors"
	"fmt"
	"net/http"
	"slices"
	"strconv"
	"strings"
	"time"

	"github.com/jackc/pgx/v5"

	"billwright/api/authdb"
	"billwright/bom/order"
	"billwright/bom/order/orderdb"
	"billwright/catalog"
	"billwright/catalog/calendar"
	"billwright/catalog/catalogdb"
	"billwright/migrations/tenancy"
)

// substitute explodes an order that is about to be accepted with the
// substitutions in force, where it was exploded with others.
func (a *acting) substitute(inForce []catalog.Substitution) error {
	if len(inForce) == 0 && len(a.doc.Substitutions) == 0 {
		return nil
	}
	events, err := orderdb.Events(a.ctx, a.tx, a.who.workshop, a.before.ID)
	if err != nil {
		return err
	}
	asked := order.Change{Substitute: true, Substitutions: inForce}
	_, found, err := a.doc.Change(a.cat, asked, events, a.who.roleAmong(order.Overriders), a.now)
	if err != nil {
		return err
	}
	if len(found) == 1 && found[0].Code == "change.nothing" {
		return nil
	}
	r, err := a.reckonChange(asked)
	if err != nil {
		return err
	}
	return a.applyChange(r)
}

type substitutionInput struct {
	Idempotent
	Body struct {
		Kind   string `json:"kind" maxLength:"40" doc:"Kind of material: steel, hardware, foam, powder, liquid or wire."`
		Item   string `json:"item" maxLength:"100" doc:"Code of the item that is not to be had."`
		By     string `json:"by" maxLength:"100" doc:"Code of the item that is taken instead."`
		From   string `json:"from,omitempty" required:"false" maxLength:"40" doc:"First day, such as 2026-12-01; today, if left out."`
		Until  string `json:"until" maxLength:"40" doc:"Last day, such as 2026-12-31."`
		Reason string `json:"reason" maxLength:"300" doc:"Why."`
	}
}

type substitutionReply struct {
	catalog.Substitution
	MadeAt time.Time `json:"made_at"`
	MadeBy string    `json:"made_by"`
}

// postSubstitution lets the orders of some days be made of another material.
// Orders that were accepted before stay as they are.
func (s *Server) postSubstitution(ctx context.Context, in *substitutionInput) (*acted, error) {
	who := principalOf(ctx)
	said, err := json.Marshal(in.Body)
	if err != nil {
		return nil, fmt.Errorf("read a substitution: %w", err)
	}
	o, err := newOnce(who, in.Idempotent, sha256.Sum256(sized(sized(nil, "substitution "+who.replayScope()), string(said))))
	if err != nil {
		return nil, err
	}
	st, err := s.catalogFor(ctx, who.workshop)
	if err != nil {
		return nil, err
	}
	now := st.now(s.set.Clock)
	asked, findings := in.read(st.catalog, st.catalog.Calendar.DayOf(now))
	if len(findings) > 0 {
		return s.replayOr(ctx, who, o, invalid(shown(findings)...))
	}
	reply, err := s.act(ctx, who, o, "", func(tx pgx.Tx) (orderdb.Reply, error) {
		if err := overlapping(ctx, tx, who, &asked); err != nil {
			return orderdb.Reply{}, err
		}
		number, err := catalogdb.AddSubstitution(ctx, tx, who.workshop, asked, now, who.actor())
		if err != nil {
			return orderdb.Reply{}, err
		}
		asked.Number = number
		body, err := encode(substitutionReply{asked, now.UTC(), who.actor()})
		if err != nil {
			return orderdb.Reply{}, err
		}
		entry := authdb.Entry{Workshop: who.workshop, At: s.set.Clock(), Actor: who.actor(), Role: who.role.String(), Act: "substitution made",
			Subject: fmt.Sprintf("substitution %d: %s %s by %s until %s", number, asked.Kind, asked.Item, asked.By, asked.Until), Reason: asked.Reason}
		return created("/v1/substitutions/"+strconv.Itoa(number), body), authdb.Audit(ctx, tx, entry)
	})
	s.standings.changed(who.workshop)
	return reply, err
}

// read reads the request with all that is wrong with it.
func (in *substitutionInput) read(cat *catalog.Catalog, today calendar.Date) (catalog.Substitution, []catalog.Finding) {
	b := &in.Body
	asked := catalog.Substitution{Kind: strings.TrimSpace(b.Kind), Item: strings.TrimSpace(b.Item), By: strings.TrimSpace(b.By), From: today, Until: today, Reason: strings.TrimSpace(b.Reason)}
	var findings []catalog.Finding
	day := func(pointer, text string, into *calendar.Date) {
		date, err := calendar.ParseDate(text)
		if err != nil {
			findings = append(findings, catalog.Finding{Pointer: pointer, Code: "date.unreadable", Message: fmt.Sprintf("%s is not a day: %v.", quoteShort(text), err)})
			return
		}
		*into = date
	}
	if b.From != "" {
		day("/from", b.From, &asked.From)
	}
	day("/until", b.Until, &asked.Until)
	if asked.Reason == "" {
		findings = append(findings, catalog.Finding{Pointer: "/reason", Code: codeMissing, Message: "Say why it is substituted."})
	}
	findings = append(findings, cat.CheckSubstitution(&asked)...)
	if len(findings) == 0 && asked.Until.Before(today) {
		findings = append(findings, catalog.Finding{Pointer: "/until", Code: "date.past", Message: fmt.Sprintf("It would have ended on %s, before today, %s.", asked.Until, today)})
	}
	return asked, findings
}

// overlapping refuses a second substitution of an item for the same days, and one
// by an item that is substituted itself.
func overlapping(ctx context.Context, tx pgx.Tx, who *principal, s *catalog.Substitution) error {
	stored, err := catalogdb.Substitutions(ctx, tx, who.workshop, s.From)
	if err != nil {
		return err
	}
	i := slices.IndexFunc(stored, func(o catalogdb.StoredSubstitution) bool {
		return o.Kind == s.Kind && (o.Item == s.Item || o.Item == s.By || o.Substitution.By == s.Item) && !o.From.After(s.Until)
	})
	if i < 0 {
		return nil
	}
	o := &stored[i]
	return conflict(fmt.Sprintf("Substitution %d takes %s for %s from %s until %s already; end it first.", o.Number, o.Substitution.By, o.Item, o.From, o.Until))
}

type endSubstitutionInput struct {
	Idempotent
	Number int `path:"substitution" minimum:"1" maximum:"1000000" doc:"Number of the substitution."`
	Body   struct {
		Reason string `json:"reason" maxLength:"300" doc:"Why it ends before its last day."`
	}
}

// postEndSubstitution ends a substitution before its last day.
func (s *Server) postEndSubstitution(ctx context.Context, in *endSubstitutionInput) (*acted, error) {
	who := principalOf(ctx)
	reason := strings.TrimSpace(in.Body.Reason)
	if reason == "" {
		return nil, invalid(Finding{Pointer: "/reason", Code: codeMissing, Message: "Say why it ends."})
	}
	o, err := newOnce(who, in.Idempotent, sha256.Sum256(sized(sized(nil, "end substitution "+who.replayScope()), fmt.Sprint(in.Number, " ", reason))))
	if err != nil {
		return nil, err
	}
	st, err := s.standings.of(ctx, who.workshop)
	if err != nil {
		return nil, err
	}
	reply, err := s.act(ctx, who, o, "", func(tx pgx.Tx) (orderdb.Reply, error) {
		err := catalogdb.EndSubstitution(ctx, tx, who.workshop, in.Number, st.now(s.set.Clock), who.actor())
		if errors.Is(err, catalogdb.ErrNoSubstitution) {
			return orderdb.Reply{}, notFound(fmt.Sprintf("There is no substitution %d that stands.", in.Number))
		}
		if err != nil {
			return orderdb.Reply{}, err
		}
		entry := authdb.Entry{Workshop: who.workshop, At: s.set.Clock(), Actor: who.actor(), Role: who.role.String(), Act: "substitution ended", Subject: fmt.Sprintf("substitution %d", in.Number), Reason: reason}
		body, err := encode(struct {
			Number int  `json:"number"`
			Ended  bool `json:"ended"`
		}{in.Number, true})
		if err != nil {
			return orderdb.Reply{}, err
		}
		return orderdb.Reply{Status: http.StatusOK, Body: body}, authdb.Audit(ctx, tx, entry)
	})
	s.standings.changed(who.workshop)
	return reply, err
}

type substitutionList struct {
	Substitutions []substitutionReply `json:"substitutions" doc:"Those that stand today or later."`
}

type substitutionsOutput struct{ Body substitutionList }

// listSubstitutions lists what is made of another material.
func (s *Server) listSubstitutions(ctx context.Context, _ *struct{}) (*substitutionsOutput, error) {
	who := principalOf(ctx)
	st, err := s.standings.of(ctx, who.workshop)
	if err != nil {
		return nil, err
	}
	list := substitutionList{Substitutions: []substitutionReply{}}
	err = tenancy.Transact(ctx, s.set.Pool, who.scope(), func(tx pgx.Tx) error {
		stored, err := catalogdb.Substitutions(ctx, tx, who.workshop, st.day)
		for _, one := range stored {
			list.Substitutions = append(list.Substitutions, substitutionReply{one.Substitution, one.At.UTC(), one.By})
		}
		return err
	})
	if err != nil {
		return nil, err
	}
	return &substitutionsOutput{list}, nil
}
