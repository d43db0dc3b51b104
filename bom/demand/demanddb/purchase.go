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

// Purchase is one thing that happened to what is bought for a week.
type Purchase struct {
	ID   uuid.UUID
	Week calendar.Date
	Kind string
	Item string
	// Act is ordered, received or short.
	Act     string
	Amount  int64
	Measure bom.Measure
	// Entered is the amount as somebody wrote it.
	Entered string
	Note    string
	At      time.Time
	By      string
}

// AddPurchase writes a purchase to the ledger, which is never changed.
func AddPurchase(ctx context.Context, tx pgx.Tx, workshop uuid.UUID, p Purchase) error {
	_, err := tx.Exec(ctx, `
insert into purchase (workshop_id, week, kind, item, purchase_id, act, amount, measure, entered, note, done_at, done_by)
values ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11, $12)`,
		workshop, midnight(p.Week), p.Kind, p.Item, p.ID, p.Act, p.Amount, string(p.Measure), p.Entered, p.Note, p.At, p.By)
	if err != nil {
		return fmt.Errorf("store a purchase: %w", err)
	}
	return nil
}

// Bought picks purchases of a week: of a kind and of an item, empty for all.
type Bought struct {
	Week       calendar.Date
	Kind, Item string
}

// Purchases lists what was written down of what is bought for a week, the newest
// first, at most so many that come before one; uuid.Max is before none.
func Purchases(ctx context.Context, tx pgx.Tx, workshop uuid.UUID, of Bought, before uuid.UUID, limit int) ([]Purchase, error) {
	rows, err := tx.Query(ctx, `
select kind, item, purchase_id, act, amount, measure, entered, note, done_at, done_by
from purchase
where workshop_id = $1 and week = $2 and ($3 = '' or kind = $3) and ($4 = '' or item = $4) and purchase_id < $5
order by purchase_id desc
limit $6`, workshop, midnight(of.Week), of.Kind, of.Item, before, limit)
	if err != nil {
		return nil, fmt.Errorf("list purchases: %w", err)
	}
	list, err := pgx.CollectRows(rows, func(row pgx.CollectableRow) (Purchase, error) {
		p := Purchase{Week: of.Week}
		err := row.Scan(&p.Kind, &p.Item, &p.ID, &p.Act, &p.Amount, &p.Measure, &p.Entered, &p.Note, &p.At, &p.By)
		return p, err
	})
	if err != nil {
		return nil, fmt.Errorf("list purchases: %w", err)
	}
	return list, nil
}

// Counted is how much of an item is on hand, of bars and offcuts by their length.
type Counted struct {
	Kind, Item string
	Length     unit.Length // 0 where it is not cut from bars or sheets
	Width      unit.Length // 0 where it is not cut from sheets
	Pieces     int64
	Amount     int64
	Measure    bom.Measure
}

// Count puts a count of an item in the place of the one before.
func Count(ctx context.Context, tx pgx.Tx, workshop uuid.UUID, kind, item string, counted []Counted, at time.Time, by string) error {
	if _, err := tx.Exec(ctx, `
delete from stock_count where workshop_id = $1 and kind = $2 and item = $3`, workshop, kind, item); err != nil {
		return fmt.Errorf("take a count away: %w", err)
	}
	for _, c := range counted {
		_, err := tx.Exec(ctx, `
insert into stock_count (workshop_id, kind, item, length_nm, width_nm, pieces, amount, measure, counted_at, counted_by)
values ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10)`, workshop, kind, item, int64(c.Length), int64(c.Width), c.Pieces, c.Amount, string(c.Measure), at, by)
		if err != nil {
			return fmt.Errorf("store a count: %w", err)
		}
	}
	return nil
}

// OnHand lists what is counted, of one kind or of all when it is "".
func OnHand(ctx context.Context, tx pgx.Tx, workshop uuid.UUID, kind string) (counted []Counted, err error) {
	var batch pgx.Batch
	queueOnHand(&batch, workshop, kind, &counted)
	if err := tx.SendBatch(ctx, &batch).Close(); err != nil {
		return nil, fmt.Errorf("list what is on hand: %w", err)
	}
	return counted, nil
}

func queueOnHand(batch *pgx.Batch, workshop uuid.UUID, kind string, counted *[]Counted) {
	batch.Queue(ofKind(`
select kind, item, length_nm, width_nm, pieces, amount, measure
from stock_count
where workshop_id = $1 and kind = $2
order by kind, item, length_nm, width_nm`, "kind = $2", "$2 = ''", kind), workshop, kind).Query(func(rows pgx.Rows) (err error) {
		*counted, err = pgx.CollectRows(rows, func(row pgx.CollectableRow) (c Counted, err error) {
			err = row.Scan(&c.Kind, &c.Item, &c.Length, &c.Width, &c.Pieces, &c.Amount, &c.Measure)
			return c, err
		})
		return err
	})
}
