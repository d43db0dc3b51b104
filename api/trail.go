package api

import (
	"context"
	"encoding/json"
	"time"

	"github.com/jackc/pgx/v5"

	"billwright/api/authdb"
	"billwright/migrations/tenancy"
)

// mostTrail bounds the entries of a trail that are shown.
const mostTrail = 5000

type trailEntry struct {
	At     time.Time       `json:"at"`
	By     string          `json:"by"`
	Name   string          `json:"name,omitempty" doc:"What the key is called."`
	Role   string          `json:"role"`
	Act    string          `json:"act"`
	Before json.RawMessage `json:"before,omitempty" doc:"How the order stood before, absent where it was not there."`
	After  json.RawMessage `json:"after,omitempty" doc:"How it stood after."`
	Reason string          `json:"reason,omitempty"`
}

type trailReply struct {
	Order   string       `json:"order"`
	Version int          `json:"version"`
	Entries []trailEntry `json:"entries" doc:"Oldest first, at most 5000."`
}

type trailOutput struct {
	ContentType string `header:"Content-Type" hidden:"true"`
	Body        []byte
}

// getTrail tells who did what to an order, when and why.
func (s *Server) getTrail(ctx context.Context, in *Numbered) (*trailOutput, error) {
	who := principalOf(ctx)
	reply := trailReply{Entries: []trailEntry{}}
	err := tenancy.Transact(ctx, s.set.Pool, who.scope(), func(tx pgx.Tx) error {
		stored, err := findOrder(ctx, tx, who, in.Number)
		if err != nil {
			return err
		}
		reply.Order, reply.Version = stored.Number, stored.Version
		entries, err := authdb.Trail(ctx, tx, who.workshop, stored.Number, mostTrail)
		for _, e := range entries {
			reply.Entries = append(reply.Entries, trailEntry{e.At, e.Actor, e.Name, e.Role, e.Act, e.Before, e.After, e.Reason})
		}
		return err
	})
	if err != nil {
		return nil, err
	}
	body, err := json.Marshal(reply)
	return &trailOutput{"application/json", body}, err
}
