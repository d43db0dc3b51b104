package demanddb

import (
	"context"
	"errors"
	"fmt"
	"time"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"

	"billwright/bom"
)

// PullPlan is the plan of all that was pulled up to a pull, as it is stored.
type PullPlan struct {
	Pull     int
	Revision int
	Proved   bool
	Document []byte
	At       time.Time
}

// ErrNoPlan tells that a pull has no plan yet.
var ErrNoPlan = errors.New("the pull has no plan yet")

// PlanOf reads the document of a pull's plan. Without one: ErrNoPlan.
func PlanOf(ctx context.Context, tx pgx.Tx, workshop uuid.UUID, pull int) ([]byte, error) {
	var document []byte
	err := tx.QueryRow(ctx, `
select document
from pull_plan
where workshop_id = $1 and pull = $2`, workshop, pull).Scan(&document)
	if errors.Is(err, pgx.ErrNoRows) {
		return nil, ErrNoPlan
	}
	if err != nil {
		return nil, fmt.Errorf("read the plan of pull %d: %w", pull, err)
	}
	return document, nil
}

// KeepPlan stores a plan once and gives the document that is stored: that of
// another who was first, where there was one.
func KeepPlan(ctx context.Context, tx pgx.Tx, workshop uuid.UUID, p PullPlan) ([]byte, error) {
	if _, err := tx.Exec(ctx, `
insert into pull_plan (workshop_id, pull, revision, proved, document, made_at)
values ($1, $2, $3, $4, $5, $6)
on conflict do nothing`, workshop, p.Pull, p.Revision, p.Proved, p.Document, p.At); err != nil {
		return nil, fmt.Errorf("store the plan of pull %d: %w", p.Pull, err)
	}
	return PlanOf(ctx, tx, workshop, p.Pull)
}

// PulledTotal is what was pulled of an item for one order, with a pull and before
// it.
type PulledTotal struct {
	Item                 string
	Measure              bom.Measure
	Amount, Before       int64
	Pieces, PiecesBefore int64
}

// PulledUpTo sums what was pulled for the week and kind of a pull up to it, by
// item and order.
func PulledUpTo(ctx context.Context, tx pgx.Tx, workshop uuid.UUID, p Pull) ([]PulledTotal, error) {
	rows, err := tx.Query(ctx, `
select item, measure, sum(amount)::bigint, coalesce(sum(amount) filter (where pull < $4), 0)::bigint, sum(pieces)::bigint, coalesce(sum(pieces) filter (where pull < $4), 0)::bigint
from pull_row
where workshop_id = $1 and week = $2 and kind = $3 and pull <= $4
group by item, measure, order_id
order by item, measure, order_id`, workshop, midnight(p.Week), p.Kind, p.Number)
	if err != nil {
		return nil, fmt.Errorf("sum what was pulled up to pull %d: %w", p.Number, err)
	}
	totals, err := pgx.CollectRows(rows, func(row pgx.CollectableRow) (PulledTotal, error) {
		var t PulledTotal
		err := row.Scan(&t.Item, &t.Measure, &t.Amount, &t.Before, &t.Pieces, &t.PiecesBefore)
		return t, err
	})
	if err != nil {
		return nil, fmt.Errorf("sum what was pulled up to pull %d: %w", p.Number, err)
	}
	return totals, nil
}

// PulledPieces are the pieces to cut of all that was pulled for the week and kind
// of a pull up to it, what was taken back taken off, by item in the order of the
// need-by days. Those of bars have no width.
func PulledPieces(ctx context.Context, tx pgx.Tx, workshop uuid.UUID, p Pull) ([]SheetPiece, error) {
	rows, err := tx.Query(ctx, `
select o.number, o.revision, r.item, r.line, r.unit, r.path, sum(r.pieces)::bigint, r.length_nm, r.width_nm
from pull_row r
join dealer_order o on o.workshop_id = r.workshop_id and o.order_id = r.order_id
where r.workshop_id = $1 and r.week = $2 and r.kind = $3 and r.pull <= $4 and r.length_nm > 0
group by r.item, r.order_id, o.number, o.revision, r.line, r.unit, r.path, r.length_nm, r.width_nm
having sum(r.pieces) > 0
order by r.item, min(r.need_by), r.order_id, r.line, r.path, r.unit, r.length_nm, r.width_nm`, workshop, midnight(p.Week), p.Kind, p.Number)
	if err != nil {
		return nil, fmt.Errorf("list the pieces pulled up to pull %d: %w", p.Number, err)
	}
	pieces, err := pgx.CollectRows(rows, func(row pgx.CollectableRow) (SheetPiece, error) {
		piece := SheetPiece{Kind: p.Kind}
		err := row.Scan(&piece.OrderNumber, &piece.Revision, &piece.Section, &piece.Line, &piece.Unit, &piece.Path, &piece.Pieces, &piece.Length, &piece.Width)
		return piece, err
	})
	if err != nil {
		return nil, fmt.Errorf("list the pieces pulled up to pull %d: %w", p.Number, err)
	}
	return pieces, nil
}
