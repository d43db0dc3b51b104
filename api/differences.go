package api

import (
	"context"
	"errors"

	"github.com/jackc/pgx/v5"

	"billwright/catalog"
	"billwright/catalog/catalogdb"
	"billwright/catalog/difference"
	"billwright/migrations/tenancy"
)

type getDifferencesInput struct {
	From int32 `query:"from" required:"true" minimum:"1" maximum:"2147483647" doc:"Number of the one revision."`
	To   int32 `query:"to" required:"true" minimum:"1" maximum:"2147483647" doc:"Number of the other."`
}

// differencesReply is the difference of two revisions.
type differencesReply struct {
	From    int             `json:"from"`
	To      int             `json:"to"`
	Changes []catalogChange `json:"changes" doc:"Table by table; in a table what was changed or removed, then what was added."`
	Orders  []touchedOrder  `json:"orders" doc:"Orders not yet shipped in full whose lines use something that was changed or removed, or whose promise was counted over days that the other revision closes, oldest first. They stay on the revision they were taken under, and their promise stays."`
}

// catalogChange is one thing that is other in the one revision than in the other.
type catalogChange struct {
	Sort    string `json:"sort" doc:"The trade's noun, such as product, standard or wood finish."`
	Code    string `json:"code,omitempty"`
	Name    string `json:"name,omitempty"`
	Part    string `json:"part,omitempty" doc:"What of it, such as attribute cloth (Cloth) › choice oat-weave (Oat plain weave); absent for the whole."`
	Act     string `json:"act" enum:"added,removed,changed"`
	Was     string `json:"was,omitempty" doc:"Of what was changed."`
	Becomes string `json:"becomes,omitempty" doc:"Of what was changed."`
	Says    string `json:"says" doc:"All of it as one sentence."`
}

// touchedOrder is an order with lines that a difference touches.
type touchedOrder struct {
	Number string        `json:"number,omitempty" doc:"Absent for a draft without one."`
	Dealer string        `json:"dealer"`
	State  string        `json:"state"`
	Lines  []touchedLine `json:"lines"`
}

type touchedLine struct {
	Line     int      `json:"line"`
	Product  string   `json:"product"`
	Revision int      `json:"revision" doc:"Revision that the line is on."`
	What     []string `json:"what" doc:"What of the difference it uses, and the closures in its way."`
}

type getDifferencesOutput struct{ Body differencesReply }

// getDifferences tells two revisions apart, and which open orders that touches.
func (s *Server) getDifferences(ctx context.Context, in *getDifferencesInput) (*getDifferencesOutput, error) {
	who := principalOf(ctx)
	var sides [2]*catalog.Catalog
	for i, revision := range []int{int(in.From), int(in.To)} {
		cat, err := s.catalogOf(ctx, who.workshop, revision)
		if errors.Is(err, catalogdb.ErrNoRevision) {
			return nil, noRevision(revision)
		}
		if err != nil {
			return nil, err
		}
		sides[i] = cat
	}
	changes := difference.Between(sides[0], sides[1])
	out := &getDifferencesOutput{differencesReply{From: int(in.From), To: int(in.To), Changes: make([]catalogChange, len(changes)), Orders: []touchedOrder{}}}
	for i, c := range changes {
		out.Body.Changes[i] = catalogChange{c.Sort, c.Code, c.Name, c.Part, string(c.Act), c.Was, c.Becomes, c.String()}
	}
	var touched []catalogdb.TouchedOrder
	err := tenancy.Transact(ctx, s.set.Pool, who.scope(), func(tx pgx.Tx) (err error) {
		touched, err = catalogdb.Touched(ctx, tx, who.workshop, difference.Touched(sides[0], changes).Closing(sides[1]))
		return err
	})
	for _, o := range touched {
		one := touchedOrder{o.Number, o.Dealer, o.State, make([]touchedLine, len(o.Lines))}
		for i, l := range o.Lines {
			one.Lines[i] = touchedLine(l)
		}
		out.Body.Orders = append(out.Body.Orders, one)
	}
	return out, err
}
