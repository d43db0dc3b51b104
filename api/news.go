package api

import (
	"context"
	"crypto/hmac"
	"crypto/sha256"
	"encoding/base64"
	"encoding/binary"
	"time"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"

	"billwright/bom/order"
	"billwright/bom/order/orderdb"
	"billwright/catalog/calendar"
	"billwright/migrations/tenancy"
)

type getNewsInput struct {
	After string `query:"after" maxLength:"200" doc:"The next of the reply before; without it, from the beginning."`
	Limit int    `query:"limit" minimum:"1" maximum:"500" default:"100" doc:"Most changes of the reply."`
}

type newsShown struct {
	Order   string         `json:"order"`
	Dealer  string         `json:"dealer"`
	PO      string         `json:"po"`
	Version int            `json:"version" doc:"The version of the order after it."`
	Act     order.Act      `json:"act"`
	What    []string       `json:"what" doc:"What is otherwise: version, state, promise, hold, shipment, note or attachment."`
	State   order.State    `json:"state"`
	Promise *calendar.Date `json:"promise,omitempty"`
	Holds   []string       `json:"holds" doc:"Kinds of the holds that stand."`
	Note    int            `json:"note,omitempty" doc:"Number of the note for the dealer."`
	File    int            `json:"attachment,omitempty" doc:"Number of the attachment for the dealer."`
	At      time.Time      `json:"at"`
}

type newsReply struct {
	Changes []newsShown `json:"changes" doc:"Each exactly once, in an order that never changes."`
	Next    string      `json:"next" doc:"Cursor to ask with the next time, whether there is more or not."`
	More    bool        `json:"more" doc:"true when there is more to be had at once."`
}

type newsOutput struct{ Body newsReply }

// getNews tells what happened to the orders that somebody may see.
func (s *Server) getNews(ctx context.Context, in *getNewsInput) (*newsOutput, error) {
	who := principalOf(ctx)
	st, err := s.standings.of(ctx, who.workshop)
	if err != nil {
		return nil, err
	}
	list := listing{"news", who.workshop.String(), who.dealer}
	after, err := list.newsPlace(st.workshop.PageSecret, in.After)
	if err != nil {
		return nil, badSyntax("", Finding{Parameter: "query.after", Code: "cursor",
			Message: "This is no cursor of these changes: send the next of an earlier reply to the same dealer, or leave it out to begin anew."})
	}
	var rows []orderdb.StoredNews
	err = tenancy.Transact(ctx, s.set.Pool, who.scope(), func(tx pgx.Tx) (err error) {
		rows, err = orderdb.News(ctx, tx, who.workshop, who.dealer, after, in.Limit+1)
		return err
	})
	if err != nil {
		return nil, err
	}
	reply := newsReply{Changes: []newsShown{}, More: len(rows) > in.Limit}
	rows = rows[:min(len(rows), in.Limit)]
	for i := range rows {
		after = rows[i].Place
		reply.Changes = append(reply.Changes, showNews(&rows[i]))
	}
	reply.Next = list.newsCursor(st.workshop.PageSecret, after)
	return &newsOutput{reply}, nil
}

func showNews(n *orderdb.StoredNews) newsShown {
	one := newsShown{Order: n.Number, Dealer: n.Dealer, PO: n.PO, Version: n.Version, Act: n.Act, What: n.What, State: n.State, Promise: n.Promise, Holds: n.Holds, At: n.At.UTC()}
	switch n.What[0] {
	case order.NewsNote:
		one.Note = n.Seq
	case order.NewsAttachment:
		one.File = n.Seq
	}
	return one
}

// A cursor of the news is a place and an HMAC-SHA256 over it, as in page.go.

const newsCursorBytes = 4 + 8 + 16 + sha256.Size

func (l listing) newsCursor(secret [32]byte, p orderdb.NewsPlace) string {
	raw := make([]byte, 0, newsCursorBytes)
	raw = binary.BigEndian.AppendUint32(raw, uint32(p.Epoch))
	raw = binary.BigEndian.AppendUint64(raw, p.Xact)
	raw = append(raw, p.ID[:]...)
	return base64.RawURLEncoding.EncodeToString(append(raw, l.signed(secret, raw)...))
}

// newsPlace reads a cursor of this list; "" is the beginning. Errors: errCursor.
func (l listing) newsPlace(secret [32]byte, cursor string) (orderdb.NewsPlace, error) {
	if cursor == "" {
		return orderdb.NewsPlace{}, nil
	}
	raw, err := base64.RawURLEncoding.Strict().DecodeString(cursor)
	if err != nil || len(raw) != newsCursorBytes || !hmac.Equal(raw[28:], l.signed(secret, raw[:28])) {
		return orderdb.NewsPlace{}, errCursor
	}
	return orderdb.NewsPlace{Epoch: int32(binary.BigEndian.Uint32(raw)), Xact: binary.BigEndian.Uint64(raw[4:]), ID: uuid.UUID(raw[12:28])}, nil
}
