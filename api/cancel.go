package api

import (
	"context"
	"encoding/json"
	"fmt"
	"net/http"
	"strings"
	"time"

	"billwright/bom"
	"billwright/bom/demand"
	"billwright/bom/demand/demanddb"
	"billwright/bom/order"
	"billwright/bom/order/orderdb"
	"billwright/catalog"
)

type cancelInput struct {
	OrderAct
	Body struct {
		Reason string `json:"reason" maxLength:"300" doc:"Why it is cancelled."`
	}
}

// postCancel ends an order: what it needs goes, but for what was used up, and
// each line is charged by how far it has come.
func (s *Server) postCancel(ctx context.Context, in *cancelInput) (*acted, error) {
	reason := strings.TrimSpace(in.Body.Reason)
	if reason == "" {
		return nil, invalid(Finding{Pointer: "/reason", Code: codeMissing, Message: "Say why the order is cancelled."})
	}
	return s.actWith(ctx, in.OrderAct, order.Cancel, in.Body, func(a *acting) (orderdb.Reply, error) {
		a.reason = reason
		if a.who.dealer != "" && a.doc.AcceptedAt != nil {
			return orderdb.Reply{}, forbidden("An accepted order is cancelled by the workshop; ask its rep.")
		}
		if a.doc.State == order.Drafted {
			return a.cancelDraft(s.set.Clock())
		}
		if err := a.cancel(); err != nil {
			return orderdb.Reply{}, err
		}
		return a.store(order.Cancel, s.set.Clock())
	})
}

func (a *acting) cancel() error {
	events, err := orderdb.Events(a.ctx, a.tx, a.who.workshop, a.before.ID)
	if err != nil {
		return err
	}
	rows, err := orderdb.Requirements(a.ctx, a.tx, a.who.workshop, a.before.ID)
	if err != nil {
		return err
	}
	surplus := demand.Used(rows, uses(a.cat, events), unitsOf(a.doc))
	if err := a.doc.Cancel(a.cat, a.reason, events, a.now, a.who.actor()); err != nil {
		return err
	}
	units := bom.Units(a.cat.Workshop.Units)
	for i := range rows { // what was surplus before stays
		if rows[i].Surplus {
			surplus = append(surplus, rows[i])
		}
	}
	for i := range surplus {
		surplus[i].Surplus, surplus[i].Firm, surplus[i].Seq = true, false, i+1
		a.doc.Cancelled.Surplus = append(a.doc.Cancelled.Surplus, surplusRow(&surplus[i], "", units))
	}
	if err := orderdb.FreePO(a.ctx, a.tx, a.who.workshop, a.before); err != nil || a.doc.Test {
		return err
	}
	return orderdb.ReplaceRequirements(a.ctx, a.tx, a.who.workshop, a.before, max(a.doc.Bill.Version, 1), surplus)
}

// cancelDraft ends a draft, which has neither lines nor needs.
func (a *acting) cancelDraft(at time.Time) (orderdb.Reply, error) {
	var d order.DraftDocument
	if err := json.Unmarshal(a.before.Document, &d); err != nil {
		return orderdb.Reply{}, fmt.Errorf("read a draft: %w", err)
	}
	d.Cancel(a.reason, a.now, a.who.actor())
	d.Version = a.before.Version + 1
	text, err := d.Bytes()
	if err != nil {
		return orderdb.Reply{}, err
	}
	a.doc = &order.Document{Version: d.Version, State: d.State, Holds: []order.Hold{}}
	saved := orderdb.Acted{Before: a.before, After: a.doc, Document: text, Act: order.Cancel, Actor: a.who.actor(), At: at}
	if err := orderdb.Save(a.ctx, a.tx, a.who.workshop, saved); err != nil {
		return orderdb.Reply{}, err
	}
	if err := a.audit(order.Cancel, at); err != nil {
		return orderdb.Reply{}, err
	}
	return orderdb.Reply{Status: http.StatusOK, Location: orderPath(a.before.Number), ETag: etag(d.Version), Body: text}, nil
}

// uses tells what of which line the events used up.
func uses(cat *catalog.Catalog, events []order.ShopEvent) (all []demand.Use) {
	for i := range events {
		e := &events[i]
		if kind, found := cat.ShopEvent(e.Event); found && len(kind.Uses) > 0 {
			path := e.Path
			if strings.HasPrefix(path, order.CartonPath) {
				path = "" // the carton is closed: all of the unit is in it
			}
			all = append(all, demand.Use{Line: e.Line, Unit: e.Unit, Path: path, UsesUp: kind.UsesUp})
		}
	}
	return all
}

// unitsOf tells how many units a line of an order has.
func unitsOf(d *order.Document) func(line int) int {
	units := map[int]int{}
	for i := range d.Lines {
		if d.Lines[i].State != order.Cancelled {
			units[d.Lines[i].Line] = d.Lines[i].Quantity
		}
	}
	return func(line int) int { return units[line] }
}

func surplusRow(r *demand.Requirement, disposition string, units bom.Units) order.SurplusRow {
	return order.SurplusRow{Line: r.Line, Unit: r.Unit, Path: r.Path, Kind: r.Kind, Item: r.Item, Length: lengthOf(r.Length, units), Pieces: r.Pieces,
		Amount: quantityOf(&demanddb.Need{Kind: r.Kind, Measure: r.Measure}, r.Amount, units).Text, Disposition: disposition}
}
