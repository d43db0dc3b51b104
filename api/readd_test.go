package api

import (
	"fmt"
	"time"

	"github.com/jackc/pgx/v5"

	"billwright/bom"
	"billwright/catalog/calendar"
)

// stored is a row of what an order needs, as the database has it.
type stored struct {
	week          time.Time
	order         string
	kind, item    string
	measure       bom.Measure
	pieces        int64
	amount        int64
	needBy        time.Time
	firm          bool
	leads, marked bool
}

// booksReadd holds every week that something is needed in against the rows behind
// it, added up one by one: pieces, amounts, what is not firm, the earliest day and
// the number of orders; and holds that of the rows of an order that are added up
// together just one is marked to lead, whoever wrote them.
func (s *shop) booksReadd(buyer string) {
	s.t.Helper()
	found, err := s.db.AdminPool(s.t).Query(s.t.Context(), `
select week, order_id::text, kind, item, measure, pieces, amount, need_by, firm, coalesce(leads, false), leads is not null from requirement order by week`)
	if err != nil {
		s.t.Fatal(err)
	}
	rows, err := pgx.CollectRows(found, func(row pgx.CollectableRow) (r stored, err error) {
		err = row.Scan(&r.week, &r.order, &r.kind, &r.item, &r.measure, &r.pieces, &r.amount, &r.needBy, &r.firm, &r.leads, &r.marked)
		return r, err
	})
	if err != nil {
		s.t.Fatal(err)
	}
	leaders := map[string]int{}
	for _, r := range rows {
		of := fmt.Sprint(r.week, r.order, r.kind, r.item, r.measure)
		if leaders[of] += 0; r.leads {
			leaders[of]++
		}
		if !r.marked {
			s.t.Errorf("a row of %s %s is not marked", r.kind, r.item)
		}
	}
	for of, n := range leaders {
		if n != 1 {
			s.t.Errorf("%d rows lead of %s", n, of)
		}
	}
	for from := 0; from < len(rows); {
		to := from
		for to < len(rows) && rows[to].week.Equal(rows[from].week) {
			to++
		}
		s.weekReadds(buyer, rows[from:to])
		from = to
	}
}

// weekReadds holds a week against its rows.
func (s *shop) weekReadds(buyer string, rows []stored) {
	s.t.Helper()
	week := calendar.DateOf(rows[0].week).Week().String()
	var reply weekReply
	s.ask(buyer, "GET", "/v1/requirements/"+week, "").want(s.t, 200).read(s.t, &reply)
	if reply.AsOf.IsZero() {
		s.t.Errorf("%s does not tell as of when", week)
	}
	told := map[string]bool{}
	for _, n := range reply.Requirements {
		var pieces, amount, notFirm int64
		var first time.Time
		orders := map[string]bool{}
		measure := bom.Measure("")
		for _, r := range rows {
			if r.kind != n.Kind || r.item != n.Item {
				continue
			}
			measure = r.measure
			pieces, amount, orders[r.order] = pieces+r.pieces, amount+r.amount, true
			if !r.firm {
				notFirm += r.amount
			}
			if first.IsZero() || r.needBy.Before(first) {
				first = r.needBy
			}
		}
		told[n.Kind+" "+n.Item] = true
		if n.Pieces != pieces || n.Orders != len(orders) {
			s.t.Errorf("%s, %s %s: %d pieces for %d orders, its rows make %d for %d", week, n.Kind, n.Item, n.Pieces, n.Orders, pieces, len(orders))
		}
		if len(orders) == 0 {
			continue // pulled, and not needed any more
		}
		if n.Amount.Exact != exactAmount(measure, amount) || n.NotFirm.Exact != exactAmount(measure, notFirm) || n.FirstNeedBy != calendar.DateOf(first) {
			s.t.Errorf("%s, %s %s: %s, %s not firm, from %s; its rows make %s, %s, %s", week, n.Kind, n.Item, n.Amount.Exact, n.NotFirm.Exact, n.FirstNeedBy,
				exactAmount(measure, amount), exactAmount(measure, notFirm), calendar.DateOf(first))
		}
	}
	for _, r := range rows {
		if !told[r.kind+" "+r.item] {
			s.t.Errorf("%s: nothing is told of %s %s", week, r.kind, r.item)
		}
	}
}
