package api

import (
	"context"
	"fmt"
	"net/http"
	"strings"
	"time"

	"github.com/jackc/pgx/v5"

	"billwright/bom/order"
	"billwright/bom/order/orderdb"
	"billwright/migrations/tenancy"
)

// BesideOrder is what an act carries that adds something beside an order.
type BesideOrder struct {
	Numbered
	Idempotent
	IfMatch string `header:"If-Match" doc:"The ETag of the version that it was written on. Needed of a note that changes the build, checked where given."`
}

func (b *BesideOrder) act() OrderAct {
	return OrderAct{Numbered: b.Numbered, Idempotent: b.Idempotent, IfMatch: b.IfMatch}
}

type noteInput struct {
	BesideOrder
	Body noteBody
}

type noteBody struct {
	Audience     string `json:"audience,omitempty" required:"false" maxLength:"20" doc:"Whom it is for: internal, dealer or shop. A dealer's own notes are for the dealer, which may be left out."`
	Line         int    `json:"line,omitempty" required:"false" minimum:"0" maximum:"32000" doc:"Line that it is about; without it, the whole order."`
	Text         string `json:"text" maxLength:"2000" doc:"What it says, at most 2000 characters."`
	ChangesBuild bool   `json:"changes_build,omitempty" required:"false" doc:"true when what it says would change what is built. A note is no specification: it then places an engineering hold."`
}

// noteShown is a note as those see it whom it is meant for.
type noteShown struct {
	Note         int       `json:"note" doc:"Its number among those for the same audience."`
	Audience     string    `json:"audience" enum:"internal,dealer,shop"`
	Line         int       `json:"line"`
	Text         string    `json:"text"`
	ChangesBuild bool      `json:"changes_build"`
	Hold         int       `json:"hold,omitempty" doc:"Number of the hold that it placed."`
	At           time.Time `json:"at"`
	From         string    `json:"from" enum:"dealer,workshop"`
	By           string    `json:"by,omitempty" doc:"The key that wrote it, shown to the workshop's own people."`
	Role         string    `json:"role,omitempty" doc:"The role of that key."`
}

type noteReply struct {
	Order   string    `json:"order"`
	Version int       `json:"version" doc:"The version of the order, which a note raises only when it changes the build."`
	Note    noteShown `json:"note"`
}

// audienceOf settles for whom something is that goes with an order: a dealer
// writes for himself, the workshop's people for whom they say.
func audienceOf(who *principal, asked string) (string, error) {
	if who.dealer == "" {
		return strings.TrimSpace(asked), nil
	}
	if asked != "" && asked != order.ForDealer {
		return "", forbidden("A dealer's key writes for the audience dealer only; leave the audience out.")
	}
	return order.ForDealer, nil
}

// readable are the audiences whose notes and attachments somebody may read.
func (p *principal) readable() []string {
	if p.dealer != "" {
		return []string{order.ForDealer}
	}
	return order.Audiences
}

// postNote writes a note beside an order.
func (s *Server) postNote(ctx context.Context, in *noteInput) (*acted, error) {
	who := principalOf(ctx)
	audience, err := audienceOf(who, in.Body.Audience)
	if err != nil {
		return nil, err
	}
	do := func(a *acting) (orderdb.Reply, error) {
		n := orderdb.StoredNote{At: s.set.Clock(), By: who.actor(), Role: who.role.String(), Note: order.Note{
			Audience: audience, Line: in.Body.Line, Text: strings.TrimSpace(in.Body.Text), ChangesBuild: in.Body.ChangesBuild}}
		return a.note(n)
	}
	if in.Body.ChangesBuild {
		return s.actWith(ctx, in.act(), order.AddNote, in.Body, do)
	}
	return s.actBeside(ctx, in.act(), order.AddNote, in.Body, do)
}

// note stores a note, and the hold of one that changes the build.
func (a *acting) note(n orderdb.StoredNote) (orderdb.Reply, error) {
	if found := a.doc.CheckNote(n.Note); len(found) > 0 {
		return orderdb.Reply{}, invalid(shown(found)...)
	}
	var err error
	if n.Seq, err = orderdb.NextNote(a.ctx, a.tx, a.who.workshop, a.before.ID, n.Audience); err != nil {
		return orderdb.Reply{}, err
	}
	if n.Seq > order.MaxNotes {
		return orderdb.Reply{}, conflict(fmt.Sprintf("The order has %d notes for this audience, and no more are taken.", order.MaxNotes))
	}
	a.reason = n.Audience + " note: " + n.Text
	if n.ChangesBuild {
		if n.Hold, err = a.holdForNote(n); err != nil {
			return orderdb.Reply{}, err
		}
	}
	if err := orderdb.AddNote(a.ctx, a.tx, a.who.workshop, a.before, n); err != nil {
		return orderdb.Reply{}, err
	}
	if err := a.toldBeside(order.AddNote, order.NewsNote, n.Audience, n.Seq, n.At); err != nil {
		return orderdb.Reply{}, err
	}
	body, err := encode(noteReply{a.before.Number, a.version(), showNote(&n, a.who)})
	return orderdb.Reply{Status: http.StatusCreated, Location: orderPath(a.before.Number) + "/notes", ETag: etag(a.version()), Body: body}, err
}

func (a *acting) holdForNote(n orderdb.StoredNote) (int, error) {
	h, err := a.doc.HoldForNote(a.cat, n.Note)
	if err != nil {
		return 0, err
	}
	if err := orderdb.AddHold(a.ctx, a.tx, a.who.workshop, a.before, h, a.now, a.who.actor()); err != nil {
		return 0, err
	}
	a.redate = true
	_, err = a.store(order.PlaceHold, n.At)
	return h.Seq, err
}

// version is that of the order after the act, as far as it has gone.
func (a *acting) version() int { return max(a.doc.Version, a.before.Version) }

// toldBeside writes into the trail what was added beside the order, and into the
// news what of it is for the dealer.
func (a *acting) toldBeside(act order.Act, what, audience string, seq int, at time.Time) error {
	if err := a.audit(act, at); err != nil {
		return err
	}
	if audience != order.ForDealer {
		return nil
	}
	news := order.News{Version: a.version(), Act: act, What: []string{what}, State: a.doc.State, Holds: []string{}, Seq: seq}
	for _, h := range a.doc.Holds {
		news.Holds = append(news.Holds, h.Kind)
	}
	if a.doc.Promise.Valid() {
		news.Promise = &a.doc.Promise
	}
	return orderdb.AddNews(a.ctx, a.tx, a.who.workshop, a.before, news, at)
}

func showNote(n *orderdb.StoredNote, who *principal) noteShown {
	shown := noteShown{Note: n.Seq, Audience: n.Audience, Line: n.Line, Text: n.Text, ChangesBuild: n.ChangesBuild, Hold: n.Hold, At: n.At.UTC(), From: writtenBy(n.Role)}
	if who.dealer == "" {
		shown.By, shown.Role = n.By, n.Role
	}
	return shown
}

func writtenBy(role string) string {
	if role == roleDealer.String() {
		return "dealer"
	}
	return "workshop"
}

type besideInput struct {
	Numbered
	Audience string `query:"audience" maxLength:"20" doc:"Only those for this audience: internal, dealer or shop."`
}

type noteList struct {
	Order string      `json:"order"`
	Notes []noteShown `json:"notes" doc:"Oldest first."`
}

type notesOutput struct{ Body noteList }

// getNotes lists the notes of an order that are meant for whoever asks.
func (s *Server) getNotes(ctx context.Context, in *besideInput) (*notesOutput, error) {
	who, list := principalOf(ctx), noteList{Notes: []noteShown{}}
	err := s.readBeside(ctx, in, func(tx pgx.Tx, stored orderdb.Stored, audiences []string) error {
		list.Order = stored.Number
		notes, err := orderdb.Notes(ctx, tx, who.workshop, stored.ID, audiences)
		for i := range notes {
			list.Notes = append(list.Notes, showNote(&notes[i], who))
		}
		return err
	})
	return &notesOutput{list}, err
}

// readBeside reads what goes with an order for the audiences that somebody may
// read, or for the one of them that he asks for.
func (s *Server) readBeside(ctx context.Context, in *besideInput, read func(pgx.Tx, orderdb.Stored, []string) error) error {
	who := principalOf(ctx)
	audiences := []string{}
	for _, one := range who.readable() {
		if in.Audience == "" || one == in.Audience {
			audiences = append(audiences, one)
		}
	}
	if len(audiences) == 0 && who.dealer == "" {
		return badSyntax("", Finding{Parameter: "query.audience", Code: "audience.unknown", Message: fmt.Sprintf("There is no audience %s.", quoteShort(in.Audience)), Allowed: order.Audiences})
	}
	return tenancy.Transact(ctx, s.set.Pool, who.scope(), func(tx pgx.Tx) error {
		stored, err := findOrder(ctx, tx, who, in.Number)
		if err != nil {
			return err
		}
		return read(tx, stored, audiences)
	})
}
