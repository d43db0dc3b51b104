package api

import (
	"context"
	"encoding/json"
	"fmt"
	"time"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"

	"billwright/api/authdb"
	"billwright/bom/order"
	"billwright/bom/order/orderdb"
	"billwright/catalog"
)

type copyInput struct {
	Numbered
	Idempotent
	Body reasoned
}

// postCopy makes a draft of what an order asked for, judged under the catalog in
// force: what is no longer to be had is among what it lacks, with what takes its
// place. The order itself is left alone, so that no version of it is named.
func (s *Server) postCopy(ctx context.Context, in *copyInput) (*acted, error) {
	who := principalOf(ctx)
	o, err := newOnce(who, in.Idempotent, actFingerprint(who, order.Copy, in.Number, in.Body))
	if err != nil {
		return nil, err
	}
	st, err := s.catalogFor(ctx, who.workshop)
	if err != nil {
		return nil, err
	}
	now := st.now(s.set.Clock)
	return s.actFor(ctx, who, o, func(tx pgx.Tx) (string, orderdb.Reply, error) {
		stored, err := findOrder(ctx, tx, who, in.Number)
		if err != nil {
			return "", orderdb.Reply{}, err
		}
		d, err := copyOf(stored, who, st.catalog, &in.Body, now)
		if err != nil {
			return "", orderdb.Reply{}, err
		}
		text, err := d.Bytes()
		if err != nil {
			return "", orderdb.Reply{}, err
		}
		id := uuid.MustParse(d.ID)
		if err := orderdb.InsertDraft(ctx, tx, who.workshop, id, d, text); err != nil {
			return "", orderdb.Reply{}, err
		}
		at := s.set.Clock()
		if err := orderdb.AddLinks(ctx, tx, who.workshop, stored, id, order.RelationCopy, []order.Taken{{}}, now, who.actor()); err != nil {
			return "", orderdb.Reply{}, err
		}
		entry := authdb.Entry{Workshop: who.workshop, Dealer: d.Dealer, At: at, Actor: who.actor(), Role: who.role.String(), Act: "order copied from " + stored.Number, Subject: d.Number, Reason: in.Body.Reason}
		if err := authdb.Audit(ctx, tx, entry); err != nil {
			return "", orderdb.Reply{}, err
		}
		reply := created(orderPath(d.Number), text)
		reply.ETag = etag(1)
		return stored.Dealer, reply, nil
	})
}

// copyOf makes a draft of what a stored order or draft asked for.
func copyOf(stored orderdb.Stored, who *principal, cat *catalog.Catalog, why *reasoned, now time.Time) (*order.DraftDocument, error) {
	asked, err := askedFor(stored)
	if err != nil {
		return nil, err
	}
	asked.PO, asked.POOverride, asked.Requested = nil, nil, nil
	id, err := uuid.NewV7()
	if err != nil {
		return nil, fmt.Errorf("draw a draft's id: %w", err)
	}
	d, err := draftOf(asked, who, cat, id, now)
	if err != nil {
		return nil, err
	}
	d.Test = stored.Test || who.test
	d.Of = &order.Origin{Order: stored.Number, Relation: order.RelationCopy, Reason: why.Reason}
	return d, nil
}

// askedFor is the request that a stored order or draft came of.
func askedFor(stored orderdb.Stored) (*orderRequest, error) {
	var kept struct {
		Request json.RawMessage `json:"request"`
	}
	if err := json.Unmarshal(stored.Document, &kept); err != nil {
		return nil, fmt.Errorf("read a stored order: %w", err)
	}
	if len(kept.Request) > 0 {
		return request(kept.Request)
	}
	var d order.Document
	if err := json.Unmarshal(stored.Document, &d); err != nil {
		return nil, fmt.Errorf("read a stored order: %w", err)
	}
	r := &orderRequest{Dealer: written(d.Dealer), Sidemark: written(d.Sidemark), ShipTo: written(d.ShipTo)}
	if d.ShipComplete {
		r.ShipComplete = flagEntry("true")
	}
	for i := range d.Lines {
		l := &d.Lines[i]
		if l.Part != "" {
			continue // a part is asked for of the order it was shipped with
		}
		line := lineRequest{Product: written(l.Product), Quantity: quantityEntry(fmt.Sprint(l.Quantity)), Configuration: map[string]choiceEntry{}}
		for k := range l.Configuration {
			if c := &l.Configuration[k]; !c.Defaulted {
				line.Configuration[c.Attribute] = choiceEntry(written(c.Entered))
			}
		}
		for path, way := range l.Ways {
			if line.Ways == nil {
				line.Ways = map[string]textEntry{}
			}
			line.Ways[path] = written(way)
		}
		r.Lines = append(r.Lines, line)
	}
	return r, nil
}

// written is a text as JSON.
func written(text string) textEntry {
	out, err := json.Marshal(text)
	if err != nil { // a text always can be
		panic(fmt.Errorf("api: a text cannot be written: %w", err))
	}
	return out
}
