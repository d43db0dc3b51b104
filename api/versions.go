package api

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"time"

	"github.com/jackc/pgx/v5"

	"billwright/bom/order"
	"billwright/bom/order/orderdb"
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

// getAcknowledgment gives the dealer's confirmation of an order: what was
// understood, to the last default, at what price, by when.
func (s *Server) getAcknowledgment(ctx context.Context, in *OrderAt) (*document, error) {
	stored, text, version, err := s.findVersion(ctx, in)
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
	body, err := encode(d.Acknowledgment(superseded))
	if err != nil {
		return nil, err
	}
	tag := etag(version)
	if superseded { // which it was not yet when it was first asked for
		tag = fmt.Sprintf(`"%d-superseded"`, version)
	}
	return in.show(tag, body), nil
}
