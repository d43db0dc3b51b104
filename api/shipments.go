package api

import (
	"context"
	"encoding/json"
	"fmt"
	"strings"
	"time"

	"github.com/jackc/pgx/v5"

	"billwright/bom/order"
	"billwright/bom/order/orderdb"
	"billwright/migrations/tenancy"
)

type shipInput struct {
	OrderAct
	Body struct {
		Cartons  []cartonAsked `json:"cartons" maxItems:"2000" doc:"What leaves."`
		Carrier  string        `json:"carrier,omitempty" required:"false" maxLength:"80" doc:"Who carries it."`
		Tracking string        `json:"tracking,omitempty" required:"false" maxLength:"120" doc:"The carrier's own number for it."`
	}
}

type cartonAsked struct {
	Line   int    `json:"line" minimum:"1" maximum:"32000" doc:"Line of the order."`
	Unit   int    `json:"unit,omitempty" required:"false" minimum:"0" maximum:"999" doc:"Unit of the line, from 1; without it, every unit."`
	Carton string `json:"carton,omitempty" required:"false" maxLength:"80" doc:"Code of the carton, as the bill has it behind carton/; without it, all of the unit."`
}

// postShipment sends boxed cartons of an order.
func (s *Server) postShipment(ctx context.Context, in *shipInput) (*acted, error) {
	return s.actOn(ctx, in.OrderAct, order.Ship, in.Body, func(a *acting) error {
		events, err := orderdb.Events(a.ctx, a.tx, a.who.workshop, a.before.ID)
		if err != nil {
			return err
		}
		asked := make([]order.ShipAsked, len(in.Body.Cartons))
		for i, c := range in.Body.Cartons {
			asked[i] = order.ShipAsked{Line: c.Line, Unit: c.Unit, Carton: c.Carton}
		}
		shipment := order.Shipment{At: a.now.UTC().Truncate(time.Microsecond), By: a.who.actor(), Carrier: strings.TrimSpace(in.Body.Carrier), Tracking: strings.TrimSpace(in.Body.Tracking)}
		shipped, found, err := a.doc.Ship(a.cat, asked, shipment, events)
		if err != nil {
			return err
		}
		if len(found) > 0 {
			return invalid(shown(found)...)
		}
		a.reason = strings.TrimSpace(fmt.Sprintf("shipment %d %s %s", shipped.Shipment, shipped.Carrier, shipped.Tracking))
		return orderdb.AddShipment(a.ctx, a.tx, a.who.workshop, a.before, shipped)
	})
}

type cartonList struct {
	Order   string       `json:"order"`
	Version int          `json:"version"`
	State   order.State  `json:"state"`
	Lines   []cartonLine `json:"lines"`
	// Cartons are all of them, by line, unit and carton.
	Cartons   []order.CartonStanding `json:"cartons"`
	Shipments []order.Shipment       `json:"shipments"`
}

type cartonLine struct {
	Line    int         `json:"line"`
	State   order.State `json:"state"`
	Cartons int         `json:"cartons"`
	Boxed   int         `json:"boxed" doc:"Closed and still here."`
	Shipped int         `json:"shipped"`
}

type cartonsOutput struct{ Body cartonList }

// getCartons tells how far each carton of an order has come.
func (s *Server) getCartons(ctx context.Context, in *Numbered) (*cartonsOutput, error) {
	who := principalOf(ctx)
	seen, err := s.seen(ctx, who, in.Number)
	if err != nil {
		return nil, err
	}
	if seen.State == order.Drafted {
		return nil, isDraft(seen)
	}
	cat, err := s.catalogOf(ctx, who.workshop, seen.Revision)
	if err != nil {
		return nil, err
	}
	list := cartonList{Order: seen.Number, Lines: []cartonLine{}, Shipments: []order.Shipment{}}
	err = tenancy.Transact(ctx, s.set.Pool, who.scope(), func(tx pgx.Tx) error {
		stored, err := orderdb.Find(ctx, tx, who.workshop, seen.Number)
		if err != nil {
			return err
		}
		var d order.Document
		if err := json.Unmarshal(stored.Document, &d); err != nil {
			return fmt.Errorf("read a stored order: %w", err)
		}
		events, err := orderdb.Events(ctx, tx, who.workshop, stored.ID)
		if err != nil {
			return err
		}
		list.Version, list.State, list.Cartons = stored.Version, d.State, d.Standings(cat, events)
		list.Shipments = append(list.Shipments, d.Shipments...)
		list.Lines = cartonLines(&d, list.Cartons)
		return nil
	})
	if err != nil {
		return nil, err
	}
	return &cartonsOutput{list}, nil
}

// cartonLines counts the cartons of each line.
func cartonLines(d *order.Document, cartons []order.CartonStanding) []cartonLine {
	lines := []cartonLine{}
	for i := range d.Lines {
		l := cartonLine{Line: d.Lines[i].Line, State: d.Lines[i].State}
		for _, c := range cartons {
			if c.Line != l.Line {
				continue
			}
			l.Cartons++
			switch c.State {
			case order.CartonBoxed:
				l.Boxed++
			case order.CartonShipped:
				l.Shipped++
			}
		}
		lines = append(lines, l)
	}
	return lines
}
