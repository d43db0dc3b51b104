package demanddb

import (
	"context"
	"errors"
	"fmt"
	"time"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"
	"github.com/jackc/pgx/v5/pgconn"

	"billwright/bom"
	"billwright/catalog/calendar"
	"billwright/catalog/unit"
)

// Pull is a numbered, unchangeable taking of what a week needs of a kind of
// material: the differences since the pull before it.
type Pull struct {
	Number int
	Week   calendar.Date // its Monday
	Kind   string
	// Seq numbers the pulls of the week and kind from 1.
	Seq  int
	Rows int
	At   time.Time
	By   string
}

// PullRow is one difference: what an order's row needs more, or, negative, less
// than was pulled for it.
type PullRow struct {
	OrderNumber string
	Dealer      string
	Line        int
	Unit        int
	Path        string
	Item        string
	Pieces      int64
	// Length is that of each piece where it is cut from bars or sheets, else 0, and
	// Width where it is cut from sheets.
	Length  unit.Length
	Width   unit.Length
	Amount  int64
	Measure bom.Measure
	NeedBy  calendar.Date
	// Mark tells why the row is there: first, late add, changed or cancelled.
	Mark string
}

// ErrNothingNew tells that nothing is needed that was not pulled, and nothing
// was pulled that is not needed.
var ErrNothingNew = errors.New("nothing new to pull")

// ErrPulledMeanwhile tells that another pull of the week and kind was made
// meanwhile. The transaction is of no more use.
var ErrPulledMeanwhile = errors.New("another pull was made meanwhile")

// MakePull takes the differences of a week and kind since its last pull, in one
// statement. Demand that is not firm is not taken; what was pulled of it before
// stays pulled as long as it is needed at all. Errors: ErrNothingNew, and
// nothing is stored; ErrPulledMeanwhile.
func MakePull(ctx context.Context, tx pgx.Tx, workshop uuid.UUID, monday calendar.Date, kind string, at time.Time, by string) (Pull, error) {
	p := Pull{Week: monday, Kind: kind, At: at, By: by}
	err := tx.QueryRow(ctx, `
with needed as (
    select dealer_id, order_id, line, unit, path, item, coalesce(length_nm, 0) as length_nm, coalesce(width_nm, 0) as width_nm, measure,
        sum(pieces) as pieces, sum(amount) as amount,
        coalesce(sum(pieces) filter (where firm), 0) as firm_pieces, coalesce(sum(amount) filter (where firm), 0) as firm_amount,
        min(need_by) as need_by
    from requirement
    where workshop_id = $1 and week = $2 and kind = $3
    group by dealer_id, order_id, line, unit, path, item, coalesce(length_nm, 0), coalesce(width_nm, 0), measure
), taken as (
    select dealer_id, order_id, line, unit, path, item, length_nm, width_nm, measure, sum(pieces) as pieces, sum(amount) as amount, max(need_by) as need_by
    from pull_row
    where workshop_id = $1 and week = $2 and kind = $3
    group by dealer_id, order_id, line, unit, path, item, length_nm, width_nm, measure
), compared as (
    select dealer_id, order_id, line, unit, path, item, length_nm, width_nm, measure,
        greatest(coalesce(n.firm_pieces, 0), least(coalesce(n.pieces, 0), coalesce(t.pieces, 0))) - coalesce(t.pieces, 0) as pieces,
        greatest(coalesce(n.firm_amount, 0), least(coalesce(n.amount, 0), coalesce(t.amount, 0))) - coalesce(t.amount, 0) as amount,
        coalesce(n.need_by, t.need_by) as need_by,
        coalesce(t.pieces, 0) > 0 as had, coalesce(n.pieces, 0) > 0 as has
    from needed n full join taken t using (dealer_id, order_id, line, unit, path, item, length_nm, width_nm, measure)
), different as (
    select *, row_number() over (order by item, need_by, order_id, line, path, unit, length_nm, width_nm, measure) as seq
    from compared
    where pieces <> 0 or amount <> 0
), made as (
    insert into pull (workshop_id, pull, week, kind, seq, row_count, pulled_at, pulled_by)
    select $1, coalesce((select max(pull) from pull where workshop_id = $1), 0) + 1, $2, $3,
        coalesce((select max(seq) from pull where workshop_id = $1 and week = $2 and kind = $3), 0) + 1, d.n, $4, $5
    from (select count(*) as n from different) d
    where d.n > 0
    returning pull, seq, row_count
), rows as (
    insert into pull_row (workshop_id, week, kind, pull, seq, dealer_id, order_id, line, unit, path, item, pieces, length_nm, width_nm, amount, measure, need_by, mark)
    select $1, $2, $3, m.pull, d.seq, d.dealer_id, d.order_id, d.line, d.unit, d.path, d.item, d.pieces, d.length_nm, d.width_nm, d.amount, d.measure, d.need_by,
        case when not d.has then 'cancelled' when d.had then 'changed' when m.seq = 1 then 'first' else 'late add' end
    from different d, made m
)
select pull, seq, row_count from made`, workshop, midnight(monday), kind, at, by).Scan(&p.Number, &p.Seq, &p.Rows)
	var refused *pgconn.PgError
	switch {
	case errors.Is(err, pgx.ErrNoRows):
		return Pull{}, ErrNothingNew
	case errors.As(err, &refused) && refused.Code == "23505" && (refused.ConstraintName == "pull_once" || refused.ConstraintName == "pull_pk"):
		return Pull{}, ErrPulledMeanwhile
	case err != nil:
		return Pull{}, fmt.Errorf("pull %s of the week of %s: %w", kind, monday, err)
	}
	return p, nil
}

// LockPulls keeps two pulls of a week and kind from being made at once; it only
// spares waiting, since a unique key keeps them apart.
func LockPulls(ctx context.Context, tx pgx.Tx, workshop uuid.UUID, monday calendar.Date, kind string) error {
	if _, err := tx.Exec(ctx, `select pg_advisory_xact_lock(hashtextextended($1, 0))`, "pull "+workshop.String()+" "+monday.String()+" "+kind); err != nil {
		return fmt.Errorf("lock the pulls of a week: %w", err)
	}
	return nil
}

// ErrNoPull tells that there is no pull of a number.
var ErrNoPull = errors.New("no such pull")

// FindPull reads a pull. Without it: ErrNoPull.
func FindPull(ctx context.Context, tx pgx.Tx, workshop uuid.UUID, number int) (Pull, error) {
	pulls, err := pulls(ctx, tx, `
select pull, week, kind, seq, row_count, pulled_at, pulled_by
from pull
where workshop_id = $1 and pull = $2`, workshop, number)
	if err == nil && len(pulls) == 0 {
		return Pull{}, ErrNoPull
	}
	if err != nil {
		return Pull{}, err
	}
	return pulls[0], nil
}

// LastPull reads the last pull of a week and kind. Without one: ErrNoPull.
func LastPull(ctx context.Context, tx pgx.Tx, workshop uuid.UUID, monday calendar.Date, kind string) (Pull, error) {
	pulls, err := pulls(ctx, tx, `
select pull, week, kind, seq, row_count, pulled_at, pulled_by
from pull
where workshop_id = $1 and week = $2 and kind = $3
order by seq desc
limit 1`, workshop, midnight(monday), kind)
	if err == nil && len(pulls) == 0 {
		return Pull{}, ErrNoPull
	}
	if err != nil {
		return Pull{}, err
	}
	return pulls[0], nil
}

// Pulls lists the pulls before a number, newest first, at most limit.
func Pulls(ctx context.Context, tx pgx.Tx, workshop uuid.UUID, before, limit int) ([]Pull, error) {
	return pulls(ctx, tx, `
select pull, week, kind, seq, row_count, pulled_at, pulled_by
from pull
where workshop_id = $1 and pull < $2
order by pull desc
limit $3`, workshop, before, limit)
}

func pulls(ctx context.Context, tx pgx.Tx, statement string, args ...any) ([]Pull, error) {
	rows, err := tx.Query(ctx, statement, args...)
	if err != nil {
		return nil, fmt.Errorf("read pulls: %w", err)
	}
	list, err := pgx.CollectRows(rows, func(row pgx.CollectableRow) (Pull, error) {
		var p Pull
		var week time.Time
		err := row.Scan(&p.Number, &week, &p.Kind, &p.Seq, &p.Rows, &p.At, &p.By)
		p.Week = calendar.DateOf(week)
		return p, err
	})
	if err != nil {
		return nil, fmt.Errorf("read pulls: %w", err)
	}
	return list, nil
}

// PullRows reads the rows of a pull in their order.
func PullRows(ctx context.Context, tx pgx.Tx, workshop uuid.UUID, number int) ([]PullRow, error) {
	return pullRows(ctx, tx, `
select o.number, r.dealer_id, r.line, r.unit, r.path, r.item, r.pieces, r.length_nm, r.width_nm, r.amount, r.measure, r.need_by, r.mark
from pull_row r
join dealer_order o on o.workshop_id = r.workshop_id and o.order_id = r.order_id
where r.workshop_id = $1 and r.pull = $2
order by r.seq`, workshop, number)
}

func pullRows(ctx context.Context, tx pgx.Tx, statement string, args ...any) ([]PullRow, error) {
	rows, err := tx.Query(ctx, statement, args...)
	if err != nil {
		return nil, fmt.Errorf("read the rows of a pull: %w", err)
	}
	list, err := pgx.CollectRows(rows, func(row pgx.CollectableRow) (PullRow, error) {
		var r PullRow
		var needBy time.Time
		err := row.Scan(&r.OrderNumber, &r.Dealer, &r.Line, &r.Unit, &r.Path, &r.Item, &r.Pieces, &r.Length, &r.Width, &r.Amount, &r.Measure, &needBy, &r.Mark)
		r.NeedBy = calendar.DateOf(needBy)
		return r, err
	})
	if err != nil {
		return nil, fmt.Errorf("read the rows of a pull: %w", err)
	}
	return list, nil
}
