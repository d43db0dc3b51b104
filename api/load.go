package api

import (
	"context"
	"fmt"
	"net/http"
	"sync"
	"time"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"

	"billwright/bom"
	"billwright/bom/load"
	"billwright/bom/order"
	"billwright/bom/order/orderdb"
	"billwright/catalog"
	"billwright/catalog/calendar"
	"billwright/migrations/tenancy"
)

// plannedLoad tells what orders take of a department in the week of a Monday.
type plannedLoad func(department string, monday calendar.Date) bom.Minutes

// loadWarnings tell of the weeks in which an order, that takes rows, finds a
// department full. They say nothing of other orders, since dealers read them.
func loadWarnings(cat *catalog.Catalog, rows []load.Row, planned plannedLoad) (warnings []order.Warning) {
	for _, full := range load.Full(cat, rows, planned) {
		warnings = append(warnings, order.Warning{Code: order.WarnLoadFull, Message: fmt.Sprintf(
			"%s has more to do in week %s, when it is to work on this order, than it has time for. The promise stands and may be hard to keep.", full.Department.Name, full.Week)})
	}
	return warnings
}

// loads remembers for a moment what all orders of a workshop take of its
// departments: it is rough, and every order that comes asks for it.
type loads struct {
	age time.Duration

	mu    sync.Mutex
	weeks map[workshopWeek]weekSum
}

type workshopWeek struct {
	workshop uuid.UUID
	monday   calendar.Date
}

type weekSum struct {
	read    time.Time
	minutes map[string]bom.Minutes
}

// loadsHeld bounds the weeks that are remembered.
const loadsHeld = 1024

func (l *loads) get(key workshopWeek, now time.Time) (map[string]bom.Minutes, bool) {
	l.mu.Lock()
	defer l.mu.Unlock()
	sum, found := l.weeks[key]
	return sum.minutes, found && now.Sub(sum.read) < l.age
}

func (l *loads) put(key workshopWeek, sum weekSum) {
	l.mu.Lock()
	defer l.mu.Unlock()
	if l.weeks == nil || len(l.weeks) >= loadsHeld {
		l.weeks = map[workshopWeek]weekSum{}
	}
	l.weeks[key] = sum
}

// warnOfLoad warns of full weeks of an order that is not stored yet. The sums
// are read in a transaction of their own, that sees every dealer's orders.
func (s *Server) warnOfLoad(ctx context.Context, who *principal, cat *catalog.Catalog, rows []load.Row) ([]order.Warning, error) {
	sums := map[calendar.Date]map[string]bom.Minutes{}
	for _, r := range rows {
		if sums[r.Week] != nil {
			continue
		}
		key, now := workshopWeek{who.workshop, r.Week}, time.Now()
		sum, fresh := s.loads.get(key, now)
		if !fresh {
			err := tenancy.Transact(ctx, s.set.Pool, tenancy.Scope{Workshop: who.workshop, Dealer: tenancy.AllDealers}, func(tx pgx.Tx) (err error) {
				sum, err = sumOfWeek(ctx, tx, who.workshop, r.Week)
				return err
			})
			if err != nil {
				return nil, err
			}
			s.loads.put(key, weekSum{now, sum})
		}
		sums[r.Week] = sum
	}
	return loadWarnings(cat, rows, func(department string, monday calendar.Date) bom.Minutes { return sums[monday][department] }), nil
}

func sumOfWeek(ctx context.Context, tx pgx.Tx, workshop uuid.UUID, monday calendar.Date) (map[string]bom.Minutes, error) {
	list, err := orderdb.LoadOf(ctx, tx, workshop, monday)
	sum := make(map[string]bom.Minutes, len(list))
	for _, w := range list {
		sum[w.Department] = w.Minutes
	}
	return sum, err
}

// loaded stores what the order of an act takes of departments, and renews its
// warnings of full weeks. In a dealer's transaction other dealers' orders are not
// seen: there is no warning then, until the workshop accepts the order.
func (a *acting) loaded(rows []load.Row) error {
	if err := orderdb.ReplaceLoad(a.ctx, a.tx, a.who.workshop, a.before, rows); err != nil {
		return err
	}
	return a.warnOfLoad(rows)
}

// warnOfLoad renews the warnings of full weeks of an order whose load is stored.
func (a *acting) warnOfLoad(rows []load.Row) error {
	a.doc.Warnings = order.Renewed(a.doc.Warnings, order.WarnLoadFull, nil)
	if a.who.dealer != "" {
		return nil
	}
	sums := map[calendar.Date]map[string]bom.Minutes{}
	for _, r := range rows {
		if sums[r.Week] == nil {
			sum, err := sumOfWeek(a.ctx, a.tx, a.who.workshop, r.Week)
			if err != nil {
				return err
			}
			sums[r.Week] = sum
		}
		sums[r.Week][r.Department] -= r.Minutes // its own
	}
	a.doc.Warnings = append(a.doc.Warnings, loadWarnings(a.cat, rows, func(department string, monday calendar.Date) bom.Minutes { return sums[monday][department] })...)
	return nil
}

// redateLoad counts what the order takes of departments in the weeks of its
// promise.
func (a *acting) redateLoad() error {
	rows, err := orderdb.Load(a.ctx, a.tx, a.who.workshop, a.before.ID)
	if err != nil || len(rows) == 0 {
		return err
	}
	if err := load.Redate(a.cat, rows, a.doc.Promise); err != nil {
		return conflict(sentence(err.Error()))
	}
	return a.loaded(rows)
}

type getLoadInput struct {
	From   string `query:"from" maxLength:"40" doc:"First ISO 8601 week, such as 2026-W48; without it, this week." example:"2026-W48"`
	Weeks  int    `query:"weeks" minimum:"1" maximum:"53" default:"8" doc:"How many weeks."`
	Format string `query:"format" enum:"json,svg" doc:"Form of the reply: svg is a chart of each department, week by week; without it, JSON."`
}

// loadReply is what orders take of the departments, week by week.
type loadReply struct {
	Weeks []loadWeek `json:"weeks"`
}

type loadWeek struct {
	Week        string           `json:"week"`
	Monday      calendar.Date    `json:"monday"`
	Departments []departmentLoad `json:"departments" doc:"In the order of the catalog."`
}

type departmentLoad struct {
	Department string `json:"department"`
	Name       string `json:"name,omitempty" doc:"Absent of a department that the catalog in force does not have."`
	Capacity   string `json:"capacity" doc:"What it has in this week, as much less as days are closed, such as 3840.0 min."`
	Planned    string `json:"planned" doc:"What orders take of it that are placed and neither shipped nor cancelled."`
	Accepted   string `json:"accepted" doc:"The part of it of orders that are accepted."`
	Free       string `json:"free" doc:"What is left; below zero where it is full."`
	Full       bool   `json:"full"`
	Orders     int    `json:"orders"`
}

// getLoad tells roughly what orders take of the departments in some weeks.
func (s *Server) getLoad(ctx context.Context, in *getLoadInput) (*document, error) {
	who := principalOf(ctx)
	st, err := s.catalogFor(ctx, who.workshop)
	if err != nil {
		return nil, err
	}
	first := calendar.DateOf(st.now(s.set.Clock).In(st.zone)).Week()
	if in.From != "" {
		if first, err = readWeekOf("query.from", in.From); err != nil {
			return nil, err
		}
	}
	from := first.Monday()
	to := from.AddDays(7 * in.Weeks)
	var sums []orderdb.WeekLoad
	err = tenancy.Transact(ctx, s.set.Pool, who.scope(), func(tx pgx.Tx) (err error) {
		sums, err = orderdb.Loads(ctx, tx, who.workshop, from, to)
		return err
	})
	if err != nil {
		return nil, err
	}
	out := loadReply{Weeks: []loadWeek{}}
	for monday := from; monday.Before(to); monday = monday.AddDays(7) {
		out.Weeks = append(out.Weeks, weekOfLoad(st.catalog, monday, sums))
	}
	if in.Format == "svg" {
		return drawLoad(first.String(), out.Weeks)
	}
	body, err := encode(out)
	return &document{Status: http.StatusOK, ContentType: "application/json", Body: body}, err
}

func weekOfLoad(cat *catalog.Catalog, monday calendar.Date, sums []orderdb.WeekLoad) loadWeek {
	week := loadWeek{Week: monday.Week().String(), Monday: monday, Departments: []departmentLoad{}}
	taken := map[string]orderdb.WeekLoad{}
	for _, sum := range sums {
		if sum.Week == monday {
			taken[sum.Department] = sum
		}
	}
	add := func(code, name string, capacity bom.Minutes) {
		t := taken[code]
		week.Departments = append(week.Departments, departmentLoad{Department: code, Name: name, Capacity: capacity.String(), Planned: t.Minutes.String(),
			Accepted: t.Accepted.String(), Free: (capacity - t.Minutes).String(), Full: t.Minutes > capacity, Orders: t.Orders})
	}
	for code, d := range cat.Departments.All() {
		add(code.Value, d.Name, load.Capacity(cat, d, monday.Week()))
	}
	for _, sum := range sums {
		if _, found := cat.Departments.Get(sum.Department); sum.Week == monday && !found {
			add(sum.Department, "", 0)
		}
	}
	return week
}
