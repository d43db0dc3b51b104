package orderdb

import (
	"context"
	"fmt"
	"time"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"

	"billwright/bom/order"
	"billwright/catalog/calendar"
)

// NewsPlace is a place in a workshop's news: after a row of one transaction. Its
// zero value is before the first. Transactions are numbered when they begin to
// write; epochs part the numbers of one server from those of the next.
type NewsPlace struct {
	Epoch int32
	Xact  uint64
	ID    uuid.UUID
}

// StoredNews is a row of the news.
type StoredNews struct {
	order.News
	Place  NewsPlace
	Number string
	Dealer string
	PO     string
	At     time.Time
}

// AddNews tells of something that made no other version of an order.
func AddNews(ctx context.Context, tx pgx.Tx, workshop uuid.UUID, s Stored, n order.News, at time.Time) error {
	id, err := uuid.NewV7()
	if err != nil {
		return fmt.Errorf("draw an id: %w", err)
	}
	_, err = tx.Exec(ctx, `
insert into order_news (workshop_id, epoch, xact, news_id, dealer_id, order_id, version, act, what, state, promise, holds, seq, at)
select $1, w.news_epoch, pg_current_xact_id(), $2, $3, $4, $5, $6, $7, $8, $9, $10, nullif($11, 0), $12
from workshop w where w.workshop_id = $1`,
		workshop, id, s.Dealer, s.ID, n.Version, string(n.Act), n.What, string(n.State), maybeDay(n.Promise), n.Holds, n.Seq, at)
	if err != nil {
		return fmt.Errorf("store news of an order: %w", err)
	}
	return nil
}

// News reads what happened after a place, in an order that never changes: by the
// number of the transaction that wrote it. What a transaction wrote that still
// runs, or that began after one which does, is left for the next time, since the
// older one may yet commit and would come to stand before it. Dealer is a
// dealer's code, or "" for all that the transaction may see.
func News(ctx context.Context, tx pgx.Tx, workshop uuid.UUID, dealer string, after NewsPlace, limit int) ([]StoredNews, error) {
	rows, err := tx.Query(ctx, `
select n.epoch, n.xact::text::bigint, n.news_id, coalesce(o.number, ''), n.dealer_id, o.po, n.version, n.act, n.what, n.state, n.promise, n.holds, coalesce(n.seq, 0), n.at
from order_news n
join workshop w on w.workshop_id = n.workshop_id
join dealer_order o on o.workshop_id = n.workshop_id and o.order_id = n.order_id
where n.workshop_id = $1 and (n.epoch, n.xact, n.news_id) > ($2, $3::text::xid8, $4) and ($5 = '' or n.dealer_id = $5)
    and (n.epoch < w.news_epoch or n.xact < pg_snapshot_xmin(pg_current_snapshot()))
order by n.epoch, n.xact, n.news_id
limit $6`, workshop, after.Epoch, fmt.Sprint(after.Xact), after.ID, dealer, limit)
	if err != nil {
		return nil, fmt.Errorf("read the news: %w", err)
	}
	news, err := pgx.CollectRows(rows, func(row pgx.CollectableRow) (StoredNews, error) {
		var n StoredNews
		var xact int64
		var promise *time.Time
		err := row.Scan(&n.Place.Epoch, &xact, &n.Place.ID, &n.Number, &n.Dealer, &n.PO, &n.Version, &n.Act, &n.What, &n.State, &promise, &n.Holds, &n.Seq, &n.At)
		n.Place.Xact = uint64(xact)
		if promise != nil {
			day := calendar.DateOf(*promise)
			n.Promise = &day
		}
		return n, err
	})
	if err != nil {
		return nil, fmt.Errorf("read the news: %w", err)
	}
	return news, nil
}
