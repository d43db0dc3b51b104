// Package demanddb sums the stored requirements by week. Requirements are
// written with their order (package orderdb).
package demanddb

import (
	"context"
	"fmt"
	"time"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"

	"billwright/bom"
	"billwright/catalog/calendar"
	"billwright/catalog/unit"
)

// Need is the sum over the orders of one item that must be here within a week.
type Need struct {
	Kind   string
	Item   string
	Pieces int64
	// Amount is in the grain of Measure; NotFirm is the part of it on which a
	// hold stands.
	Amount  int64
	Measure bom.Measure
	NotFirm int64
	// FirstNeedBy is the earliest day on which some of it must be here.
	FirstNeedBy calendar.Date
	// Orders is how many orders it is for.
	Orders int
}

// Peg is one order row behind a Need.
type Peg struct {
	OrderNumber string
	Dealer      string
	Line        int
	// Unit is the unit of the line it is for, or 0 where all are alike.
	Unit   int
	Path   string
	Pieces int64
	// Length is that of each piece where it is cut from bars or sheets, else 0, and
	// Width where it is cut from sheets.
	Length  unit.Length
	Width   unit.Length
	Amount  int64
	Measure bom.Measure
	NeedBy  calendar.Date
	Firm    bool
}

// Pegs lists the order rows behind one item of a week, in the order of their
// need-by days.
func Pegs(ctx context.Context, tx pgx.Tx, workshop uuid.UUID, monday calendar.Date, kind, item string) ([]Peg, error) {
	rows, err := tx.Query(ctx, `
select o.number, r.dealer_id, r.line, r.unit, r.path, r.pieces, coalesce(r.length_nm, 0), coalesce(r.width_nm, 0), r.amount, r.measure, r.need_by, r.firm
from requirement r
join dealer_order o on o.workshop_id = r.workshop_id and o.order_id = r.order_id
where r.workshop_id = $1 and r.week = $2 and r.kind = $3 and r.item = $4
order by r.need_by, r.order_id, r.line, r.seq`, workshop, midnight(monday), kind, item)
	if err != nil {
		return nil, fmt.Errorf("list %s %s in the week of %s: %w", kind, item, monday, err)
	}
	pegs, err := pgx.CollectRows(rows, func(row pgx.CollectableRow) (Peg, error) {
		var p Peg
		var needBy time.Time
		err := row.Scan(&p.OrderNumber, &p.Dealer, &p.Line, &p.Unit, &p.Path, &p.Pieces, &p.Length, &p.Width, &p.Amount, &p.Measure, &needBy, &p.Firm)
		p.NeedBy = calendar.DateOf(needBy)
		return p, err
	})
	if err != nil {
		return nil, fmt.Errorf("list %s %s in the week of %s: %w", kind, item, monday, err)
	}
	return pegs, nil
}

// Piece is pieces of one order's row that are cut from bars of a section.
type Piece struct {
	OrderNumber string
	// Revision is that of the catalog that the order is pinned to.
	Revision int
	Section  string
	Line     int
	// Unit is the unit of the line it is for, or 0 where all are alike.
	Unit   int
	Path   string
	Pieces int64
	// Length is the cut length of each.
	Length unit.Length
	Firm   bool
}

// Pieces lists what is still cut from bars in a week, of one section or of all when it
// is "", by section and in the order of the need-by days.
func Pieces(ctx context.Context, tx pgx.Tx, workshop uuid.UUID, monday calendar.Date, section string) ([]Piece, error) {
	rows, err := tx.Query(ctx, `
select o.number, o.revision, r.item, r.line, r.unit, r.path, r.pieces, r.length_nm, r.firm
from requirement r
join dealer_order o on o.workshop_id = r.workshop_id and o.order_id = r.order_id
where r.workshop_id = $1 and r.week = $2 and r.kind = $3 and ($4 = '' or r.item = $4) and r.length_nm is not null and not r.surplus
order by r.item, r.need_by, r.order_id, r.line, r.seq`, workshop, midnight(monday), bom.KindSteel, section)
	if err != nil {
		return nil, fmt.Errorf("list the pieces of the week of %s: %w", monday, err)
	}
	pieces, err := pgx.CollectRows(rows, func(row pgx.CollectableRow) (Piece, error) {
		var p Piece
		err := row.Scan(&p.OrderNumber, &p.Revision, &p.Section, &p.Line, &p.Unit, &p.Path, &p.Pieces, &p.Length, &p.Firm)
		return p, err
	})
	if err != nil {
		return nil, fmt.Errorf("list the pieces of the week of %s: %w", monday, err)
	}
	return pieces, nil
}

// SheetPiece is pieces of one order's row that are cut from sheets of an item.
type SheetPiece struct {
	Piece
	Kind  string
	Width unit.Length
}

// SheetPieces lists what is still cut from sheets in a week, of one kind and item or of
// all where they are "", by kind and item, in the order of the need-by days. The
// item stands under Section.
func SheetPieces(ctx context.Context, tx pgx.Tx, workshop uuid.UUID, monday calendar.Date, kind, item string) ([]SheetPiece, error) {
	rows, err := tx.Query(ctx, `
select o.number, o.revision, r.kind, r.item, r.line, r.unit, r.path, r.pieces, r.length_nm, r.width_nm, r.firm
from requirement r
join dealer_order o on o.workshop_id = r.workshop_id and o.order_id = r.order_id
where r.workshop_id = $1 and r.week = $2 and ($3 = '' or r.kind = $3) and ($4 = '' or r.item = $4) and r.width_nm is not null and not r.surplus
order by r.kind, r.item, r.need_by, r.order_id, r.line, r.seq`, workshop, midnight(monday), kind, item)
	if err != nil {
		return nil, fmt.Errorf("list what is cut from sheets in the week of %s: %w", monday, err)
	}
	pieces, err := pgx.CollectRows(rows, func(row pgx.CollectableRow) (SheetPiece, error) {
		var p SheetPiece
		err := row.Scan(&p.OrderNumber, &p.Revision, &p.Kind, &p.Section, &p.Line, &p.Unit, &p.Path, &p.Pieces, &p.Length, &p.Width, &p.Firm)
		return p, err
	})
	if err != nil {
		return nil, fmt.Errorf("list what is cut from sheets in the week of %s: %w", monday, err)
	}
	return pieces, nil
}

// ByOrder sums what each order needs of an item in a week, in the order of the
// orders' ids.
func ByOrder(ctx context.Context, tx pgx.Tx, workshop uuid.UUID, monday calendar.Date, kind, item string) ([]int64, error) {
	rows, err := tx.Query(ctx, `
select sum(amount)::bigint
from requirement
where workshop_id = $1 and week = $2 and kind = $3 and item = $4
group by order_id
order by order_id`, workshop, midnight(monday), kind, item)
	if err != nil {
		return nil, fmt.Errorf("sum %s %s by order in the week of %s: %w", kind, item, monday, err)
	}
	amounts, err := pgx.CollectRows(rows, pgx.RowTo[int64])
	if err != nil {
		return nil, fmt.Errorf("sum %s %s by order in the week of %s: %w", kind, item, monday, err)
	}
	return amounts, nil
}

// NewestRevision is the newest catalog revision that an order is pinned to which
// needs an item in a week; 0 where none needs it.
func NewestRevision(ctx context.Context, tx pgx.Tx, workshop uuid.UUID, monday calendar.Date, kind, item string) (int, error) {
	var revision int
	err := tx.QueryRow(ctx, `
select coalesce(max(o.revision), 0)
from requirement r
join dealer_order o on o.workshop_id = r.workshop_id and o.order_id = r.order_id
where r.workshop_id = $1 and r.week = $2 and r.kind = $3 and r.item = $4`, workshop, midnight(monday), kind, item).Scan(&revision)
	if err != nil {
		return 0, fmt.Errorf("find the newest catalog of %s %s in the week of %s: %w", kind, item, monday, err)
	}
	return revision, nil
}

func midnight(d calendar.Date) time.Time {
	return time.Date(d.Year, d.Month, d.Day, 0, 0, 0, 0, time.UTC)
}

// Late is a Need of a week whose need-by day is past.
type Late struct {
	Week calendar.Date // its Monday
	Need
}

// PastDue sums what should have been here before a day, week by week, the latest
// weeks first, and leaves out what was received.
func PastDue(ctx context.Context, tx pgx.Tx, workshop uuid.UUID, day calendar.Date, kind string) ([]Late, error) {
	rows, err := tx.Query(ctx, `
with needed as (
    select week, kind, item, sum(pieces)::bigint as pieces, sum(amount)::bigint as amount, measure,
        coalesce(sum(amount) filter (where not firm), 0)::bigint as not_firm, min(need_by) as first, count(distinct order_id) as orders
    from requirement
    where workshop_id = $1 and week <= $2 and need_by < $2 and ($3 = '' or kind = $3)
    group by week, kind, item, measure
), received as (
    select week, kind, item, measure, sum(amount) as amount
    from purchase
    where workshop_id = $1 and week <= $2 and act = 'received'
    group by week, kind, item, measure
)
select week, kind, item, pieces, n.amount, measure, not_firm, first, orders
from needed n left join received r using (week, kind, item, measure)
where coalesce(r.amount, 0) < n.amount
order by week desc, kind, item, measure
limit 1000`, workshop, midnight(day), kind)
	if err != nil {
		return nil, fmt.Errorf("sum what is late on %s: %w", day, err)
	}
	late, err := pgx.CollectRows(rows, func(row pgx.CollectableRow) (Late, error) {
		var l Late
		var week, first time.Time
		err := row.Scan(&week, &l.Kind, &l.Item, &l.Pieces, &l.Amount, &l.Measure, &l.NotFirm, &first, &l.Orders)
		l.Week, l.FirstNeedBy = calendar.DateOf(week), calendar.DateOf(first)
		return l, err
	})
	if err != nil {
		return nil, fmt.Errorf("sum what is late on %s: %w", day, err)
	}
	return late, nil
}
