package api

import (
	"context"
	"errors"
	"net/http"
	"slices"
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
	Link        string `header:"Link" doc:"Of a superseded bill: the last one, by rel latest-version (RFC 5829)."`
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
	Text         string `query:"text" maxLength:"20000" doc:"Fragment of number, purchase order number, sidemark, dealer, product or fabric. Case and runs of spaces do not matter."`
	Number       string `query:"number" maxLength:"20000" doc:"Fragment of the number, with its hyphen or without."`
	PO           string `query:"po" maxLength:"20000" doc:"Fragment of the purchase order number."`
	Sidemark     string `query:"sidemark" maxLength:"20000" doc:"Fragment of the sidemark."`
	Dealer       string `query:"dealer" maxLength:"100" doc:"Code of the dealer."`
	State        string `query:"state" maxLength:"40" doc:"State of the order, such as in work."`
	Product      string `query:"product" maxLength:"100" doc:"Code of a product that a line is of."`
	Fabric       string `query:"fabric" maxLength:"100" doc:"Code of a fabric that a cushion is of."`
	Hold         string `query:"hold" maxLength:"100" doc:"Kind of a hold that stands."`
	ReceivedFrom string `query:"received_from" maxLength:"40" doc:"First day on which it was received, in the plant's time, such as 2026-11-02."`
	ReceivedTo   string `query:"received_to" maxLength:"40" doc:"Last day on which it was received."`
	PromisedFrom string `query:"promised_from" maxLength:"40" doc:"First day that is promised."`
	PromisedTo   string `query:"promised_to" maxLength:"40" doc:"Last day that is promised."`
	Cursor       string `query:"cursor" maxLength:"200" doc:"The next of the page before."`
	Limit        int    `query:"limit" minimum:"1" maximum:"100" default:"50" doc:"Most orders of the page."`
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
	filter, findings := in.filter(who, st.zone)
	if len(findings) > 0 {
		return nil, badSyntax("", findings...)
	}
	list := listing{"orders", who.workshop.String(), who.dealer, in.Text, in.Number, in.PO, in.Sidemark, in.Dealer, in.State, in.Product, in.Fabric, in.Hold,
		in.ReceivedFrom, in.ReceivedTo, in.PromisedFrom, in.PromisedTo}
	after, err := list.after(st.workshop.PageSecret, in.Cursor)
	if err != nil {
		return nil, badSyntax("", Finding{Parameter: "query.cursor", Code: "cursor",
			Message: "This is no cursor of this list: send the next of the page before, with the same filters."})
	}
	var rows []orderdb.Summary
	err = tenancy.Transact(ctx, s.set.Pool, who.scope(), func(tx pgx.Tx) (err error) {
		filter.Before = after
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

// filter reads what is looked for. What cannot be is told; what merely finds
// nothing, such as another dealer's code, finds nothing.
func (in *listOrdersInput) filter(who *principal, zone *time.Location) (orderdb.Filter, []Finding) {
	f := orderdb.Filter{Dealer: in.Dealer, Text: in.Text, Number: in.Number, PO: in.PO, Sidemark: in.Sidemark, State: order.State(in.State),
		Product: in.Product, Fabric: in.Fabric, Hold: in.Hold, Zone: zone, Limit: in.Limit + 1}
	var findings []Finding
	if who.dealer != "" {
		if in.Dealer != "" && in.Dealer != who.dealer {
			f.Limit = 0 // he has no part in it
		}
		f.Dealer = who.dealer
	}
	if in.State != "" && !slices.Contains(order.States, f.State) {
		findings = append(findings, Finding{Parameter: "query.state", Code: "state.unknown", Message: "There is no state " + quoteShort(in.State) + ".", Allowed: stateNames()})
	}
	for _, day := range []struct {
		name, text string
		into       **calendar.Date
	}{{"received_from", in.ReceivedFrom, &f.ReceivedFrom}, {"received_to", in.ReceivedTo, &f.ReceivedTo},
		{"promised_from", in.PromisedFrom, &f.PromisedFrom}, {"promised_to", in.PromisedTo, &f.PromisedTo}} {
		if day.text == "" {
			continue
		}
		date, err := calendar.ParseDate(day.text)
		if err != nil {
			findings = append(findings, Finding{Parameter: "query." + day.name, Code: "date.unreadable", Message: quoteShort(day.text) + " is no day; write one such as 2026-11-02."})
			continue
		}
		*day.into = &date
	}
	return f, findings
}

func stateNames() []string {
	names := make([]string, len(order.States))
	for i, s := range order.States {
		names[i] = string(s)
	}
	return names
}

func lastID(rows []orderdb.Summary) uuid.UUID { return rows[len(rows)-1].ID }

func summary(r *orderdb.Summary) orderSummary {
	return orderSummary{Number: r.Number, Dealer: r.Dealer, PO: r.PO, Sidemark: r.Sidemark, State: string(r.State), Test: r.Test,
		Promise: r.Promise, Net: r.Net, ReceivedAt: r.ReceivedAt.UTC(), Products: r.Products}
}
