package api

import (
	"context"
	"errors"
	"net/http"
	"strconv"
	"strings"
	"time"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"

	"billwright/bom/order"
	"billwright/bom/order/orderdb"
	"billwright/catalog/calendar"
	"billwright/catalog/unit"
	"billwright/migrations/tenancy"
)

// Numbered is a path to one order.
type Numbered struct {
	Number string `path:"number" maxLength:"40" doc:"The order's number, such as 7K3M-9QXD. Case, spaces and the hyphen do not matter." example:"7K3M-9QXD"`
}

// Conditional is a read that may be answered by 304.
type Conditional struct {
	IfNoneMatch string `header:"If-None-Match" doc:"The ETag of what the client has already."`
}

// document is a stored JSON document as it was stored.
type document struct {
	Status      int
	ContentType string `header:"Content-Type" hidden:"true"`
	ETag        string `header:"ETag"`
	Vary        string `header:"Vary" hidden:"true"`
	Body        []byte
}

// etag is the strong entity tag of a version.
func etag(version int) string { return `"` + strconv.Itoa(version) + `"` }

// show answers with a document, or with 304 when the client has it.
func (c Conditional) show(tag string, body []byte) *document {
	d := &document{Status: http.StatusOK, ContentType: "application/json", ETag: tag, Body: body}
	if c.has(tag) {
		d.Status, d.ContentType, d.Body = http.StatusNotModified, "", nil
	}
	return d
}

// has compares weakly, as RFC 9110 section 13.1.2 asks of If-None-Match.
func (c Conditional) has(tag string) bool {
	if strings.TrimSpace(c.IfNoneMatch) == "*" {
		return true
	}
	for one := range strings.SplitSeq(c.IfNoneMatch, ",") {
		if strings.TrimPrefix(strings.TrimSpace(one), "W/") == tag {
			return true
		}
	}
	return false
}

func (s *Server) getOrder(ctx context.Context, in *OrderAt) (*document, error) {
	_, document, version, err := s.findVersion(ctx, in)
	if err != nil {
		return nil, err
	}
	return in.show(etag(version), document), nil
}

// findOrder reads an order that the principal may see. Row-level security keeps
// the others away already; the comparison stands beside it.
func findOrder(ctx context.Context, tx pgx.Tx, who *principal, text string) (orderdb.Stored, error) {
	number, err := order.ParseNumber(text)
	if err != nil {
		return orderdb.Stored{}, notFound("There is no such order: " + quoteShort(text) + " is " + err.Error() + ".")
	}
	stored, err := orderdb.Find(ctx, tx, who.workshop, number)
	if errors.Is(err, orderdb.ErrNoOrder) || err == nil && who.dealer != "" && stored.Dealer != who.dealer {
		return orderdb.Stored{}, notFound("There is no order " + number + ".")
	}
	return stored, err
}

type listOrdersInput struct {
	Text   string `query:"text" maxLength:"100" doc:"Fragment of number, purchase order number, sidemark, dealer or product. Case and runs of spaces do not matter."`
	Cursor string `query:"cursor" maxLength:"200" doc:"The next of the page before."`
	Limit  int    `query:"limit" minimum:"1" maximum:"100" default:"50" doc:"Most orders of the page."`
}

type orderSummary struct {
	Number     string         `json:"number"`
	Dealer     string         `json:"dealer"`
	PO         string         `json:"po"`
	Sidemark   string         `json:"sidemark"`
	State      string         `json:"state"`
	Test       bool           `json:"test"`
	Promise    *calendar.Date `json:"promise,omitempty" doc:"Earliest ship date."`
	Net        *unit.Money    `json:"net,omitempty" doc:"Net price; absent while a line is to be quoted."`
	ReceivedAt time.Time      `json:"received_at"`
	Products   []string       `json:"products" doc:"Codes of the products, in the order of the lines."`
}

type orderPage struct {
	Orders []orderSummary `json:"orders" doc:"Newest first."`
	Next   string         `json:"next,omitempty" doc:"Cursor of the next page; absent on the last."`
}

type listOrdersOutput struct{ Body orderPage }

// listOrders shows a page of the orders the principal may see.
func (s *Server) listOrders(ctx context.Context, in *listOrdersInput) (*listOrdersOutput, error) {
	who := principalOf(ctx)
	st, err := s.standings.of(ctx, who.workshop)
	if err != nil {
		return nil, err
	}
	list := listing{"orders", who.workshop.String(), who.dealer, in.Text}
	after, err := list.after(st.workshop.PageSecret, in.Cursor)
	if err != nil {
		return nil, badSyntax("", Finding{Parameter: "query.cursor", Code: "cursor",
			Message: "This is no cursor of this list: send the next of the page before, with the same text."})
	}
	var rows []orderdb.Summary
	err = tenancy.Transact(ctx, s.set.Pool, who.scope(), func(tx pgx.Tx) (err error) {
		filter := orderdb.Filter{Dealer: who.dealer, Text: in.Text, Before: after, Limit: in.Limit + 1}
		rows, err = orderdb.Page(ctx, tx, who.workshop, filter)
		return err
	})
	if err != nil {
		return nil, err
	}
	page := orderPage{Orders: []orderSummary{}}
	if len(rows) > in.Limit { // one more was asked for, to know whether there is a next page
		rows = rows[:in.Limit]
		page.Next = list.cursor(st.workshop.PageSecret, lastID(rows))
	}
	for i := range rows {
		page.Orders = append(page.Orders, summary(&rows[i]))
	}
	return &listOrdersOutput{page}, nil
}

func lastID(rows []orderdb.Summary) uuid.UUID { return rows[len(rows)-1].ID }

func summary(r *orderdb.Summary) orderSummary {
	return orderSummary{Number: r.Number, Dealer: r.Dealer, PO: r.PO, Sidemark: r.Sidemark, State: string(r.State), Test: r.Test,
		Promise: r.Promise, Net: r.Net, ReceivedAt: r.ReceivedAt.UTC(), Products: r.Products}
}
