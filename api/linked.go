package api

import (
	"context"
	"fmt"
	"net/http"
	"strings"
	"time"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"

	"billwright/bom/demand"
	"billwright/bom/load"
	"billwright/bom/order"
	"billwright/bom/order/orderdb"
	"billwright/catalog"
	"billwright/migrations/tenancy"
)

type partsInput struct {
	OrderAct
	Body struct {
		Parts  []partAsked `json:"parts" maxItems:"200" doc:"Which parts are needed again."`
		Reason string      `json:"reason,omitempty" required:"false" maxLength:"300" doc:"Why."`
		PO     string      `json:"po,omitempty" required:"false" maxLength:"40" doc:"Purchase order number; without it, that of the order."`
		Charge string      `json:"charge,omitempty" required:"false" maxLength:"20" doc:"none, or an amount for each piece; without it, the price list."`
	}
}

type partAsked struct {
	Line     int    `json:"line" minimum:"1" maximum:"32000" doc:"Line that the part is of."`
	Path     string `json:"path" maxLength:"200" doc:"Position path of the part, such as base or base/leg."`
	Quantity int    `json:"quantity,omitempty" required:"false" minimum:"0" maximum:"999" doc:"How many pieces of it; 1 if left out."`
}

// postParts takes an order of replacement parts of what has shipped.
func (s *Server) postParts(ctx context.Context, in *partsInput) (*acted, error) {
	return s.actWith(ctx, in.OrderAct, order.AskParts, in.Body, func(a *acting) (orderdb.Reply, error) {
		if a.who.dealer != "" && in.Body.Charge != "" {
			return orderdb.Reply{}, forbidden("What parts cost is settled by the workshop's people; leave the charge out.")
		}
		charge, err := charging(in.Body.Charge, "full")
		if err != nil {
			return orderdb.Reply{}, err
		}
		taken, err := orderdb.TakenOf(a.ctx, a.tx, a.who.workshop, a.before.ID, order.RelationParts)
		if err != nil {
			return orderdb.Reply{}, err
		}
		asked, links := make([]order.PartAsked, len(in.Body.Parts)), make([]order.Taken, len(in.Body.Parts))
		for i, p := range in.Body.Parts {
			asked[i] = order.PartAsked{Line: p.Line, Path: strings.TrimSpace(p.Path), Quantity: max(p.Quantity, 1)}
			links[i] = order.Taken{Line: asked[i].Line, Path: asked[i].Path, Quantity: asked[i].Quantity}
		}
		a.reason = strings.TrimSpace(in.Body.Reason)
		draft, found, err := a.doc.Parts(a.cat, asked, taken, charge, a.reason)
		if err != nil {
			return orderdb.Reply{}, err
		}
		return a.linkedOrder(order.AskParts, draft, found, in.Body.PO, links, s.set.Clock())
	})
}

type remakeInput struct {
	OrderAct
	Body struct {
		Line   int    `json:"line" minimum:"1" maximum:"32000" doc:"Line of which a unit is made again."`
		Unit   int    `json:"unit" minimum:"1" maximum:"999" doc:"The unit, from 1."`
		Reason string `json:"reason" maxLength:"300" doc:"Why it is made again."`
		Charge string `json:"charge" maxLength:"20" doc:"What it costs: none under warranty, full for the price of the line, or an amount such as 85.00."`
		PO     string `json:"po,omitempty" required:"false" maxLength:"40" doc:"Purchase order number; without it, that of the order."`
	}
}

// postRemake makes a shipped unit again as it was made.
func (s *Server) postRemake(ctx context.Context, in *remakeInput) (*acted, error) {
	return s.actWith(ctx, in.OrderAct, order.Remake, in.Body, func(a *acting) (orderdb.Reply, error) {
		a.reason = strings.TrimSpace(in.Body.Reason)
		if a.reason == "" {
			return orderdb.Reply{}, invalid(Finding{Pointer: "/reason", Code: codeMissing, Message: "Say why it is made again."})
		}
		charge, err := charging(in.Body.Charge, "")
		if err != nil {
			return orderdb.Reply{}, err
		}
		taken, err := orderdb.TakenOf(a.ctx, a.tx, a.who.workshop, a.before.ID, order.RelationRemake)
		if err != nil {
			return orderdb.Reply{}, err
		}
		draft, found, err := a.doc.RemakeOf(a.cat, in.Body.Line, in.Body.Unit, taken, charge, a.reason)
		if err != nil {
			return orderdb.Reply{}, err
		}
		return a.linkedOrder(order.Remake, draft, found, in.Body.PO, []order.Taken{{Line: in.Body.Line, Unit: in.Body.Unit, Quantity: 1}}, s.set.Clock())
	})
}

// charging reads what is charged; not is the word that is of no use here.
func charging(text, not string) (order.Charging, error) {
	c, err := order.ParseCharging(strings.TrimSpace(text))
	if err == nil && c.Word == not {
		err = fmt.Errorf("say what is charged: none, full or an amount such as 85.00")
		if not == "full" {
			err = fmt.Errorf("a part costs what the price list says, none or an amount such as 85.00")
		}
	}
	if err != nil {
		return c, invalid(Finding{Pointer: "/charge", Code: "charge.unreadable", Message: sentence(err.Error())})
	}
	return c, nil
}

// linkedOrder takes an order that comes of another one, which stays at its
// version, under the catalog that that one is pinned to.
func (a *acting) linkedOrder(act order.Act, draft *order.Draft, found []catalog.Finding, po string, links []order.Taken, at time.Time) (orderdb.Reply, error) {
	if len(found) > 0 {
		return orderdb.Reply{}, invalid(shown(found)...)
	}
	if po = strings.TrimSpace(po); po != "" {
		draft.PO = po
	}
	id, err := uuid.NewV7()
	if err != nil {
		return orderdb.Reply{}, fmt.Errorf("draw an order's id: %w", err)
	}
	o, found := order.New(a.cat, draft, order.Identity{ID: id, Test: a.before.Test}, a.now)
	if len(found) > 0 {
		return orderdb.Reply{}, invalid(shown(found)...)
	}
	made := orderdb.NewOrder{Order: o, Audit: orderdb.AuditEntry{Actor: a.who.actor(), Role: a.who.role.String(), Act: "order received: " + draft.Of.Relation + " of " + draft.Of.Order, Reason: a.reason}}
	if err := write(&made); err != nil {
		return orderdb.Reply{}, err
	}
	if made.Requirements, err = demand.Requirements(a.cat, o.Bill, o.Promise, notFirm); err != nil {
		return orderdb.Reply{}, conflict(sentence(err.Error()))
	}
	if made.Load, err = load.Of(a.cat, o.Bill, o.Promise); err != nil {
		return orderdb.Reply{}, conflict(sentence(err.Error()))
	}
	return a.addLinked(act, made, links, at)
}

// addLinked stores an order with its link to the one that the act is on.
func (a *acting) addLinked(act order.Act, made orderdb.NewOrder, links []order.Taken, at time.Time) (orderdb.Reply, error) {
	if err := orderdb.Insert(a.ctx, a.tx, a.who.workshop, made); err != nil {
		return orderdb.Reply{}, err
	}
	if err := orderdb.AddLinks(a.ctx, a.tx, a.who.workshop, a.before, made.Order.ID, made.Order.Of.Relation, links, a.now, a.who.actor()); err != nil {
		return orderdb.Reply{}, err
	}
	if err := a.audit(act, at); err != nil {
		return orderdb.Reply{}, err
	}
	return orderdb.Reply{Status: http.StatusCreated, Location: orderPath(made.Order.Number), ETag: etag(made.Order.Version), Body: made.Document}, nil
}

type splitInput struct {
	OrderAct
	Body struct {
		Lines  []splitLine `json:"lines" maxItems:"200" doc:"What is moved to another order."`
		Reason string      `json:"reason,omitempty" required:"false" maxLength:"300" doc:"Why, for the trail."`
	}
}

type splitLine struct {
	Line     int `json:"line" minimum:"1" maximum:"32000" doc:"Line that is moved."`
	Quantity int `json:"quantity,omitempty" required:"false" minimum:"0" maximum:"999" doc:"How many units of it; all of them, if left out."`
}

// postSplit moves lines or units to another order, which stands as this one does.
func (s *Server) postSplit(ctx context.Context, in *splitInput) (*acted, error) {
	return s.actWith(ctx, in.OrderAct, order.Split, in.Body, func(a *acting) (orderdb.Reply, error) {
		a.reason = strings.TrimSpace(in.Body.Reason)
		events, err := orderdb.Events(a.ctx, a.tx, a.who.workshop, a.before.ID)
		if err != nil {
			return orderdb.Reply{}, err
		}
		var moved []order.SplitLine
		var links []order.Taken
		for _, l := range in.Body.Lines {
			moved, links = append(moved, order.SplitLine(l)), append(links, order.Taken{Line: l.Line, Quantity: l.Quantity})
		}
		draft, change, found, err := a.doc.SplitOff(a.cat, moved, events)
		if err != nil {
			return orderdb.Reply{}, err
		}
		if len(found) > 0 {
			return orderdb.Reply{}, invalid(shown(found)...)
		}
		made, err := a.splitOrder(draft)
		if err != nil {
			return orderdb.Reply{}, err
		}
		at := s.set.Clock()
		reply, err := a.addLinked(order.Split, made, links, at)
		if err != nil {
			return orderdb.Reply{}, err
		}
		r, err := a.reckonChange(change)
		if err != nil {
			return orderdb.Reply{}, err
		}
		if err := a.applyChange(r); err != nil {
			return orderdb.Reply{}, err
		}
		_, err = a.store(order.Split, at)
		return reply, err
	})
}

// splitOrder makes the order that lines are moved to.
func (a *acting) splitOrder(draft *order.Draft) (made orderdb.NewOrder, err error) {
	id, err := uuid.NewV7()
	if err != nil {
		return made, fmt.Errorf("draw an order's id: %w", err)
	}
	o, found := order.New(a.cat, draft, order.Identity{ID: id, Test: a.before.Test}, a.doc.ReceivedAt)
	if len(found) > 0 {
		return made, invalid(shown(found)...)
	}
	made = orderdb.NewOrder{Order: o, Audit: orderdb.AuditEntry{Actor: a.who.actor(), Role: a.who.role.String(), Act: "order split off " + a.before.Number, Reason: a.reason}}
	if err := write(&made); err != nil {
		return made, err
	}
	document, err := a.doc.SplitTo(o, made.BillHash)
	if err != nil {
		return made, err
	}
	if made.Document, err = document.Bytes(); err != nil {
		return made, err
	}
	firm := func(line int, kind string) bool { return document.Firm(a.cat, line, kind) }
	if made.Requirements, err = demand.Requirements(a.cat, o.Bill, o.Promise, firm); err != nil {
		return made, conflict(sentence(err.Error()))
	}
	if made.Load, err = load.Of(a.cat, o.Bill, o.Promise); err != nil {
		return made, conflict(sentence(err.Error()))
	}
	return made, nil
}

type linkList struct {
	Order string      `json:"order"`
	Links []orderLink `json:"links"`
}

type orderLink struct {
	Of       string      `json:"of" doc:"The order that the other one came of."`
	Order    string      `json:"order"`
	Relation string      `json:"relation" enum:"copy,split,parts,re-make"`
	State    order.State `json:"state" doc:"Of the order that came of it."`
	Line     int         `json:"line" doc:"Line of the order it came of; 0 is all of it."`
	Unit     int         `json:"unit" doc:"Unit that is made again, or 0."`
	Path     string      `json:"path,omitempty" doc:"Part that is replaced."`
	Quantity int         `json:"quantity" doc:"0 is all of the line."`
	At       time.Time   `json:"at"`
}

type linksOutput struct{ Body linkList }

// getLinks tells which order an order came of, and which came of it.
func (s *Server) getLinks(ctx context.Context, in *Numbered) (*linksOutput, error) {
	who := principalOf(ctx)
	list := linkList{Links: []orderLink{}}
	err := tenancy.Transact(ctx, s.set.Pool, who.scope(), func(tx pgx.Tx) error {
		stored, err := findOrder(ctx, tx, who, in.Number)
		if err != nil {
			return err
		}
		list.Order = stored.Number
		links, err := orderdb.Links(ctx, tx, who.workshop, stored.ID)
		for _, l := range links {
			list.Links = append(list.Links, orderLink{l.Of, l.Order, l.Relation, l.State, l.Line, l.Unit, l.Path, l.Quantity, l.At.UTC()})
		}
		return err
	})
	if err != nil {
		return nil, err
	}
	return &linksOutput{list}, nil
}
