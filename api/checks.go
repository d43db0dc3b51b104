package api

import (
	"context"
	"strconv"
	"strings"

	"billwright/bom"
	"billwright/bom/load"
	"billwright/bom/order"
)

type postCheckInput struct{ Body orderRequest }

// checkReply is an order as it would be taken now, without a number.
type checkReply struct {
	Order order.Document `json:"order"`
	Bill  bom.Bill       `json:"bill"`
}

type checkOutput struct {
	ContentType string `header:"Content-Type" hidden:"true"`
	Body        []byte
}

// postCheck reckons an order and keeps nothing of it. A check may come without
// a purchase order number.
func (s *Server) postCheck(ctx context.Context, in *postCheckInput) (*checkOutput, error) {
	who := principalOf(ctx)
	st, err := s.catalogFor(ctx, who.workshop)
	if err != nil {
		return nil, err
	}
	draft, entered := in.Body.draft(who, st.catalog)
	_, refused := in.Body.override(who)
	without := in.Body.PO == nil || strings.TrimSpace(draft.PO) == ""
	if without {
		draft.PO = "check"
	}
	o, domain := order.Reckon(st.catalog, draft, st.now(s.set.Clock))
	if findings := together(append(entered, refused...), domain); len(findings) > 0 {
		return nil, invalid(withNearest(shown(findings), &in.Body, st.catalog, st.catalog.Calendar.DayOf(st.now(s.set.Clock)))...)
	}
	if without {
		o.PO = ""
	}
	o.Test = who.test
	takes, err := load.Of(st.catalog, o.Bill, o.Promise)
	if err != nil {
		return nil, invalid(Finding{Code: "load.undated", Message: sentence(err.Error())})
	}
	warnings, err := s.warnOfLoad(ctx, who, st.catalog, takes)
	if err != nil {
		return nil, err
	}
	o.Warnings = append(o.Warnings, warnings...)
	bill, err := o.Bill.Document()
	if err != nil {
		return nil, err
	}
	shown := o.Document(bom.Hash(bill))
	document, err := shown.Bytes()
	if err != nil {
		return nil, err
	}
	return &checkOutput{"application/json", object(member{"order", document}, member{"bill", bill})}, nil
}

// member is a named value of a JSON object that is JSON already.
type member struct {
	name  string
	value []byte
}

// object writes a JSON object without reading its members again.
func object(members ...member) []byte {
	out := []byte{'{'}
	for i, m := range members {
		if i > 0 {
			out = append(out, ',')
		}
		out = strconv.AppendQuote(out, m.name) // the names are the program's own, plain words
		out = append(append(out, ':'), m.value...)
	}
	return append(out, '}')
}
