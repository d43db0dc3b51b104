package api

import (
	"context"
	"time"

	"github.com/jackc/pgx/v5"

	"billwright/bom/order/orderdb"
	"billwright/migrations/tenancy"
)

type listChangesInput struct {
	Numbered
	Before int `query:"before" minimum:"1" maximum:"1000001" default:"1000001" doc:"Only changes of a lower number."`
	Limit  int `query:"limit" minimum:"1" maximum:"100" default:"50" doc:"Most changes of the page."`
}

type changeList struct {
	Order   string          `json:"order"`
	Changes []ChangeSummary `json:"changes" doc:"Newest first. The change itself has what it makes otherwise."`
}

// ChangeSummary is a change without what it makes otherwise.
type ChangeSummary struct {
	Change    int        `json:"change"`
	Version   int        `json:"version" doc:"The version of the order that it was proposed on."`
	Reason    string     `json:"reason"`
	At        time.Time  `json:"proposed_at"`
	By        string     `json:"proposed_by"`
	Decision  string     `json:"decision,omitempty" doc:"approved or declined."`
	DecidedAt *time.Time `json:"decided_at,omitempty"`
	DecidedBy string     `json:"decided_by,omitempty"`
}

type listChangesOutput struct{ Body changeList }

// listChanges shows a page of the changes that were proposed on an order.
func (s *Server) listChanges(ctx context.Context, in *listChangesInput) (*listChangesOutput, error) {
	who := principalOf(ctx)
	out := &listChangesOutput{changeList{Changes: []ChangeSummary{}}}
	err := tenancy.Transact(ctx, s.set.Pool, who.scope(), func(tx pgx.Tx) error {
		stored, err := findOrder(ctx, tx, who, in.Number)
		if err != nil {
			return err
		}
		out.Body.Order = stored.Number
		changes, err := orderdb.Changes(ctx, tx, who.workshop, stored.ID, in.Before, in.Limit)
		for i := range changes {
			out.Body.Changes = append(out.Body.Changes, summaryOf(&changes[i]))
		}
		return err
	})
	if err != nil {
		return nil, err
	}
	return out, nil
}

func summaryOf(c *orderdb.StoredChange) ChangeSummary {
	one := ChangeSummary{Change: c.Change, Version: c.Version, Reason: c.Reason, At: c.At.UTC(), By: c.By, Decision: c.Decision, DecidedBy: c.DecidedBy}
	if c.DecidedAt != nil {
		at := c.DecidedAt.UTC()
		one.DecidedAt = &at
	}
	return one
}
