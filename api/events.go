package api

import (
	"context"
	"encoding/json"
	"fmt"
	"slices"
	"strings"
	"time"

	"github.com/jackc/pgx/v5"

	"billwright/bom"
	"billwright/bom/demand"
	"billwright/bom/order"
	"billwright/bom/order/orderdb"
	"billwright/catalog"
	"billwright/migrations/tenancy"
)

type eventInput struct {
	OrderAct
	Body eventBody
}

type eventBody struct {
	Event  string `json:"event" maxLength:"80" doc:"What has happened: an event of the catalog, by its code or by what it says."`
	Line   int    `json:"line" minimum:"1" maximum:"32000" doc:"Line that it happened to."`
	Unit   int    `json:"unit,omitempty" required:"false" minimum:"0" maximum:"999" doc:"Unit of the line, from 1; without it, every unit."`
	Path   string `json:"path,omitempty" required:"false" maxLength:"200" doc:"Path of a row of the bill, such as base/leg; without it, the whole unit. What is spoiled needs it."`
	Carton string `json:"carton,omitempty" required:"false" maxLength:"80" doc:"Of a carton that is closed: its code, as the bill has it behind carton/; without it, all of the unit."`
	Pieces int    `json:"pieces,omitempty" required:"false" minimum:"0" maximum:"999" doc:"Of a spoiled row: how many pieces, 1 if left out."`
	At     string `json:"at,omitempty" required:"false" maxLength:"40" doc:"When it happened, such as 2026-12-01T14:30:00Z; now, if left out."`
	Note   string `json:"note,omitempty" required:"false" maxLength:"300" doc:"What people should know of it; why, of what is spoiled."`
}

// postEvent writes down what the shop tells, and takes the line where that
// leads.
func (s *Server) postEvent(ctx context.Context, in *eventInput) (*acted, error) {
	return s.actOn(ctx, in.OrderAct, order.TellEvent, in.Body, func(a *acting) error {
		e, err := a.event(&in.Body)
		if err != nil {
			return err
		}
		earlier, err := orderdb.Events(a.ctx, a.tx, a.who.workshop, a.before.ID)
		if err != nil {
			return err
		}
		e.Seq = len(earlier) + 1
		if e, err = a.doc.Tell(a.cat, e, earlier); err != nil {
			return err
		}
		if err := a.onBill(e.Line, e.Path); err != nil {
			return err
		}
		a.reason = strings.TrimSpace(e.Says + ": " + e.Note)
		if kind, _ := a.cat.ShopEvent(e.Event); kind.Scraps {
			if e.Pieces = max(e.Pieces, 1); !a.doc.Test {
				if err := a.needAgain(e); err != nil {
					return err
				}
			}
		}
		return orderdb.AddEvent(a.ctx, a.tx, a.who.workshop, a.before, e, a.now)
	})
}

// event reads the request; what is spoiled says where and why.
func (a *acting) event(b *eventBody) (order.ShopEvent, error) {
	e := order.ShopEvent{Event: strings.TrimSpace(b.Event), Line: b.Line, Unit: b.Unit, Path: strings.TrimSpace(b.Path), Pieces: b.Pieces,
		Note: strings.TrimSpace(b.Note), At: a.now.UTC().Truncate(time.Microsecond), By: a.who.actor()}
	var findings []Finding
	if b.At != "" {
		at, err := time.Parse(time.RFC3339, b.At)
		switch {
		case err != nil:
			findings = append(findings, Finding{Pointer: "/at", Code: "time.unreadable", Message: fmt.Sprintf("%s is no instant; write one such as 2026-12-01T14:30:00Z.", quoteShort(b.At))})
		case at.After(a.now):
			findings = append(findings, Finding{Pointer: "/at", Code: "time.future", Message: "What has not happened yet cannot be told."})
		default:
			e.At = at.UTC().Truncate(time.Microsecond)
		}
	}
	kind, _ := a.cat.ShopEvent(e.Event)
	boxes := kind.Leads == catalog.LeadsReady
	switch {
	case b.Carton != "" && !boxes:
		findings = append(findings, Finding{Pointer: "/carton", Code: "carton.not", Message: "A carton is named where it is closed only."})
	case b.Carton != "" && e.Path != "":
		findings = append(findings, Finding{Pointer: "/path", Code: "path.not", Message: "Say either the carton or its path."})
	case b.Carton != "":
		e.Path = order.CartonPath + b.Carton
	case boxes && e.Path != "" && !strings.HasPrefix(e.Path, order.CartonPath):
		findings = append(findings, Finding{Pointer: "/path", Code: "path.not-carton", Message: "What is closed is a carton, such as carton/whole; leave the path out for all of the unit."})
	}
	if kind.Scraps && e.Path == "" {
		findings = append(findings, Finding{Pointer: "/path", Code: codeMissing, Message: "Say which row of the bill is spoiled, such as base/leg."})
	}
	if kind.Scraps && e.Note == "" {
		findings = append(findings, Finding{Pointer: "/note", Code: codeMissing, Message: "Say why the piece is spoiled."})
	}
	if !kind.Scraps && e.Pieces > 0 {
		findings = append(findings, Finding{Pointer: "/pieces", Code: "pieces.not", Message: "Pieces are told of what is spoiled only."})
	}
	if len(findings) > 0 {
		return e, invalid(findings...)
	}
	return e, nil
}

// onBill refuses a path that the bill of the line does not have.
func (a *acting) onBill(line int, path string) error {
	if path == "" {
		return nil
	}
	bill, err := orderdb.Bill(a.ctx, a.tx, a.who.workshop, a.before.Number, 0)
	if err != nil {
		return err
	}
	rows, err := bom.DocumentRows(bill.Document)
	if err != nil {
		return err
	}
	var paths []string
	for _, row := range rows {
		if row.Line == line {
			paths = append(paths, row.Path)
		}
	}
	if slices.Contains(paths, path) {
		return nil
	}
	slices.Sort(paths)
	return invalid(Finding{Pointer: "/path", Code: "path.unknown", Message: fmt.Sprintf("The bill of line %d has no row %s.", line, quoteShort(path)), Allowed: slices.Compact(paths)})
}

// needAgain adds what a spoiled row needs once more; every other row stays as it
// is.
func (a *acting) needAgain(e order.ShopEvent) error {
	rows, err := orderdb.Requirements(a.ctx, a.tx, a.who.workshop, a.before.ID)
	if err != nil {
		return err
	}
	again, short := demand.Again(rows, e.Line, e.Unit, e.Path, e.Pieces)
	if short > 0 {
		return invalid(Finding{Pointer: "/pieces", Code: "pieces.too-many", Message: fmt.Sprintf("Row %s of line %d has %d pieces.", e.Path, e.Line, short)})
	}
	if len(again) == 0 {
		return nil // a row of work, for which nothing is bought
	}
	return orderdb.ReplaceRequirements(a.ctx, a.tx, a.who.workshop, a.before, a.doc.Bill.Version, append(rows, again...))
}

type lockList struct {
	Order   string            `json:"order"`
	Version int               `json:"version"`
	Locks   []order.Locked    `json:"locks"`
	Events  []order.ShopEvent `json:"events"`
	MayTell []toldKind        `json:"may_tell" doc:"What the shop may tell, by the catalog that the order is pinned to."`
}

type toldKind struct {
	Event  string `json:"event"`
	Says   string `json:"says"`
	Scraps bool   `json:"scraps,omitzero" doc:"It tells that a piece is spoiled."`
}

type locksOutput struct{ Body lockList }

// getLocks tells what of an order may no longer be changed, and what the shop
// told of it.
func (s *Server) getLocks(ctx context.Context, in *Numbered) (*locksOutput, error) {
	who := principalOf(ctx)
	seen, err := s.seen(ctx, who, in.Number)
	if err != nil {
		return nil, err
	}
	cat, err := s.catalogOf(ctx, who.workshop, seen.Revision)
	if err != nil {
		return nil, err
	}
	list := lockList{Order: seen.Number, Events: []order.ShopEvent{}, MayTell: []toldKind{}}
	for _, k := range cat.ShopEvents() {
		list.MayTell = append(list.MayTell, toldKind{k.Code, k.Says, k.Scraps})
	}
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
		list.Version, list.Events, list.Locks = stored.Version, append(list.Events, events...), d.Locks(cat, events)
		return nil
	})
	if err != nil {
		return nil, err
	}
	return &locksOutput{list}, nil
}
