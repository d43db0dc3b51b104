package api

import (
	"context"

	"billwright/bom"
)

// layoutsReply tells how the cloth of a bill is cut.
type layoutsReply struct {
	Order   string       `json:"order"`
	Version int          `json:"bill_version"`
	Units   bom.Units    `json:"units"`
	Layouts []bom.Layout `json:"layouts"`
}

type getLayoutsInput struct {
	Versioned
	Conditional
	Format string `query:"format" enum:"json,svg" doc:"Form of the reply: svg is a drawing of the goods to scale; without it, JSON."`
}

// getLayouts reckons the bill again from the revision that the order is pinned
// to, and lays its cloth out.
func (s *Server) getLayouts(ctx context.Context, in *getLayoutsInput) (*document, error) {
	stored, bill, trace, err := s.traceBill(ctx, in.Versioned)
	if err != nil {
		return nil, err
	}
	if in.Format == "svg" {
		return drawLayouts(trace.Bill, stored.Number)
	}
	body, err := bom.Document(trace.Bill.Units, layoutsReply{stored.Number, bill.Version, trace.Bill.Units, append([]bom.Layout{}, trace.Bill.Layouts()...)})
	if err != nil {
		return nil, err
	}
	return in.show(etag(bill.Version), body), nil
}
