package api

import (
	"context"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"

	"billwright/bom"
	"billwright/bom/demand/demanddb"
	"billwright/catalog/calendar"
	"billwright/migrations/tenancy"
)

type listPurchasesInput struct {
	Week   string `query:"week" required:"true" maxLength:"40" doc:"ISO 8601 week that they are for, such as 2026-W48."`
	Kind   string `query:"kind" maxLength:"40" doc:"Only of this kind of material."`
	Item   string `query:"item" maxLength:"200" doc:"Only of this item."`
	Before string `query:"before" maxLength:"40" doc:"Only purchases older than the one with this id: the next of the page before."`
	Limit  int    `query:"limit" minimum:"1" maximum:"100" default:"50" doc:"Most purchases of the page."`
}

type purchaseList struct {
	Week      string          `json:"week"`
	Monday    calendar.Date   `json:"monday"`
	Purchases []purchaseReply `json:"purchases" doc:"Newest first."`
	Next      string          `json:"next,omitempty" doc:"The before of the next page; absent on the last."`
}

type listPurchasesOutput struct{ Body purchaseList }

// listPurchases shows one by one what was written down of what is bought for a
// week.
func (s *Server) listPurchases(ctx context.Context, in *listPurchasesInput) (*listPurchasesOutput, error) {
	who := principalOf(ctx)
	week, err := calendar.ParseWeek(in.Week)
	if err != nil {
		return nil, badSyntax("", Finding{Parameter: "query.week", Code: "week", Message: sentence(err.Error())})
	}
	before := uuid.Max
	if in.Before != "" {
		if before, err = uuid.Parse(in.Before); err != nil {
			return nil, badSyntax("", Finding{Parameter: "query.before", Code: "cursor", Message: "This is no purchase: send the next of the page before."})
		}
	}
	st, err := s.catalogFor(ctx, who.workshop)
	if err != nil {
		return nil, err
	}
	units := bom.Units(st.catalog.Workshop.Units)
	out := &listPurchasesOutput{purchaseList{Week: week.String(), Monday: week.Monday(), Purchases: []purchaseReply{}}}
	err = tenancy.Transact(ctx, s.set.Pool, who.scope(), func(tx pgx.Tx) error {
		list, err := demanddb.Purchases(ctx, tx, who.workshop, demanddb.Bought{Week: week.Monday(), Kind: in.Kind, Item: in.Item}, before, in.Limit+1)
		if len(list) > in.Limit {
			list = list[:in.Limit]
			out.Body.Next = list[in.Limit-1].ID.String()
		}
		for i := range list {
			out.Body.Purchases = append(out.Body.Purchases, showPurchase(&list[i], units))
		}
		return err
	})
	if err != nil {
		return nil, err
	}
	return out, nil
}
