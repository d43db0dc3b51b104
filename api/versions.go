package api

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"strings"
	"time"

	"github.com/jackc/pgx/v5"

	"billwright/bom/order"
	"billwright/bom/order/orderdb"
	"billwright/bom/paper"
	"billwright/migrations/tenancy"
)

// versionList is what was done to an order, oldest first.
type versionList struct {
	Order    string         `json:"order"`
	Version  int            `json:"version" doc:"The version that stands."`
	Versions []orderVersion `json:"versions"`
}

type orderVersion struct {
	Version int         `json:"version"`
	State   order.State `json:"state"`
	Act     order.Act   `json:"ended_by_act" doc:"The act that put the next version in its place."`
	EndedAt time.Time   `json:"ended_at"`
}

type versionsOutput struct{ Body versionList }

// listVersions lists the versions of an order that are superseded.
func (s *Server) listVersions(ctx context.Context, in *Numbered) (*versionsOutput, error) {
	who := principalOf(ctx)
	list := versionList{Versions: []orderVersion{}}
	err := tenancy.Transact(ctx, s.set.Pool, who.scope(), func(tx pgx.Tx) error {
		stored, err := findOrder(ctx, tx, who, in.Number)
		if err != nil {
			return err
		}
		list.Order, list.Version = stored.Number, stored.Version
		ended, err := orderdb.Versions(ctx, tx, who.workshop, stored.ID, 1)
		for _, e := range ended {
			list.Versions = append(list.Versions, orderVersion{e.Version, e.State, e.Act, e.At.UTC()})
		}
		return err
	})
	if err != nil {
		return nil, err
	}
	return &versionsOutput{list}, nil
}

// OrderAt is a path to one version of an order.
type OrderAt struct {
	Numbered
	Conditional
	Version int `query:"version" minimum:"1" doc:"Version of the order; without it, the one that stands."`
}

// findVersion reads an order as it stands or stood.
func (s *Server) findVersion(ctx context.Context, in *OrderAt) (stored orderdb.Stored, document []byte, version int, err error) {
	who := principalOf(ctx)
	err = tenancy.Transact(ctx, s.set.Pool, who.scope(), func(tx pgx.Tx) (err error) {
		if stored, err = findOrder(ctx, tx, who, in.Number); err != nil {
			return err
		}
		version, document = stored.Version, stored.Document
		if in.Version == 0 || in.Version == stored.Version {
			return nil
		}
		version = in.Version
		document, err = orderdb.Version(ctx, tx, who.workshop, stored.ID, in.Version)
		if errors.Is(err, orderdb.ErrNoOrder) {
			return notFound(fmt.Sprintf("Order %s has no version %d; it is at version %d.", stored.Number, in.Version, stored.Version))
		}
		return err
	})
	return stored, document, version, err
}

type getAcknowledgmentInput struct {
	OrderAt
	Format string `query:"format" enum:"json,pdf,html" doc:"Form of the reply; without it, a paper where Accept names HTML or PDF before JSON, else JSON."`
	Size   string `query:"size" enum:"letter,a4" doc:"Size of the sheets of a paper; without it, letter."`
	Accept string `header:"Accept" hidden:"true"`
}

// printed tells as which paper the acknowledgment is asked for, if as any.
func (in *getAcknowledgmentInput) printed() (Printed, bool) {
	if in.Format != "" {
		return Printed{Format: in.Format, Size: in.Size}, in.Format != "json"
	}
	for one := range strings.SplitSeq(in.Accept, ",") {
		switch media, weight := mediaRange(one); {
		case weight <= 0:
		case media == "application/json", media == "*/*":
			return Printed{}, false
		case media == "text/html", media == pdfType:
			return Printed{Accept: in.Accept, Size: in.Size}, true
		}
	}
	return Printed{}, false
}

// getAcknowledgment gives the dealer's confirmation of an order: what was
// understood, to the last default, at what price, by when.
func (s *Server) getAcknowledgment(ctx context.Context, in *getAcknowledgmentInput) (*printedReply, error) {
	stored, text, version, err := s.findVersion(ctx, &in.OrderAt)
	if err != nil {
		return nil, err
	}
	var d order.Document
	if err := json.Unmarshal(text, &d); err != nil {
		return nil, fmt.Errorf("read a stored order: %w", err)
	}
	if d.State == order.Drafted || d.Bill.Version == 0 {
		return nil, conflict("A draft is not acknowledged; place it first.")
	}
	superseded := version < stored.Version
	if as, asked := in.printed(); asked {
		return s.printAcknowledgment(ctx, &d, superseded, as)
	}
	body, err := encode(d.Acknowledgment(superseded))
	if err != nil {
		return nil, err
	}
	tag := etag(version)
	if superseded { // which it was not yet when it was first asked for
		tag = fmt.Sprintf(`"%d-superseded"`, version)
	}
	shown := in.show(tag, body)
	return &printedReply{Status: shown.Status, ContentType: shown.ContentType, ETag: shown.ETag, Vary: "Accept", Body: shown.Body}, nil
}

// printAcknowledgment prints what the dealer is told was understood.
func (s *Server) printAcknowledgment(ctx context.Context, d *order.Document, superseded bool, as Printed) (*printedReply, error) {
	cat, err := s.catalogOf(ctx, principalOf(ctx).workshop, d.Revision)
	if err != nil {
		return nil, err
	}
	a := d.Acknowledgment(superseded)
	made := paper.Acknowledge(&a, cat.Workshop.Currency, cat.Workshop.Name, requestOf(ctx).base+"/orders/"+d.Number)
	return as.print(made, fmt.Sprintf("%s-v%d-acknowledgment", d.Number, d.Version))
}
