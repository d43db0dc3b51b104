package api

import (
	"context"
	"time"

	"github.com/jackc/pgx/v5"

	"billwright/bom/demand/demanddb"
	"billwright/catalog"
	"billwright/catalog/calendar"
	"billwright/migrations/tenancy"
)

type listWeeksInput struct {
	From  string `query:"from" maxLength:"40" doc:"First ISO 8601 week, such as 2026-W48; without it, this week."`
	Weeks int    `query:"weeks" minimum:"1" maximum:"53" default:"8" doc:"How many weeks."`
}

// weeksReply is what waits in the weeks ahead.
type weeksReply struct {
	Today calendar.Date `json:"today"`
	AsOf  time.Time     `json:"as_of" doc:"When it was read."`
	Weeks []weekWaiting `json:"weeks" doc:"Every week, also those in which nothing is needed."`
}

// weekWaiting counts by item what waits in a week.
type weekWaiting struct {
	Week    string        `json:"week"`
	Monday  calendar.Date `json:"monday"`
	Items   int           `json:"items" doc:"How many items are needed, or were pulled."`
	ToPull  int           `json:"to_pull" doc:"How many of them a pull would take something of."`
	Surplus int           `json:"surplus" doc:"How many of them a pull would give something back of."`
	NotFirm int           `json:"not_firm" doc:"How many of them have a part on which a hold stands."`
	Late    int           `json:"late" doc:"How many of them should have been here before today and were not received in full."`
	Closed  []closedDay   `json:"closed,omitempty" doc:"Days on which the plant would work and is closed."`
}

type closedDay struct {
	Day calendar.Date `json:"day"`
	Why string        `json:"why"`
}

type listWeeksOutput struct{ Body weeksReply }

// listWeeks tells what waits in the weeks ahead.
func (s *Server) listWeeks(ctx context.Context, in *listWeeksInput) (*listWeeksOutput, error) {
	who := principalOf(ctx)
	st, err := s.catalogFor(ctx, who.workshop)
	if err != nil {
		return nil, err
	}
	today := st.today(s.set.Clock, st.zone)
	first := today.Week()
	if in.From != "" {
		if first, err = calendar.ParseWeek(in.From); err != nil {
			return nil, badSyntax("", Finding{Parameter: "query.from", Code: "week", Message: sentence(err.Error())})
		}
	}
	from := first.Monday()
	asOf := s.set.Clock()
	var waiting []demanddb.Waiting
	err = tenancy.Transact(ctx, s.set.Pool, who.scope(), func(tx pgx.Tx) (err error) {
		waiting, err = demanddb.Ahead(ctx, tx, who.workshop, from, from.AddDays(7*in.Weeks), today)
		return err
	})
	if err != nil {
		return nil, err
	}
	byWeek := map[calendar.Date]demanddb.Waiting{}
	for _, w := range waiting {
		byWeek[w.Week] = w
	}
	reply := weeksReply{Today: today, AsOf: asOf, Weeks: make([]weekWaiting, in.Weeks)}
	for i := range reply.Weeks {
		monday := from.AddDays(7 * i)
		w := byWeek[monday]
		reply.Weeks[i] = weekWaiting{monday.Week().String(), monday, w.Items, w.ToPull, w.Surplus, w.NotFirm, w.Late, closedDays(st.catalog, monday)}
	}
	return &listWeeksOutput{reply}, nil
}

// closedDays are the days of a week on which the plant works in other weeks.
func closedDays(cat *catalog.Catalog, monday calendar.Date) (closed []closedDay) {
	for i := range 7 {
		day := monday.AddDays(i)
		if why, shut := cat.Calendar.Shut(day); shut {
			closed = append(closed, closedDay{day, why})
		}
	}
	return closed
}
