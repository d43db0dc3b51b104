package demanddb

import (
	"cmp"
	"context"
	"fmt"
	"slices"
	"strings"
	"time"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"

	"billwright/bom"
	"billwright/catalog/calendar"
	"billwright/catalog/unit"
)

// Books are what a week needs and what was done about it.
type Books struct {
	// Needs are by kind, item and measure.
	Needs []Need
	// Cuts are what is still cut, by kind and item, the longest pieces first.
	Cuts []Cut
	// Pulled is by kind, item and measure.
	Pulled []Pulled
	// Counted is what is on hand, for all weeks together.
	Counted []Counted
}

// Cut is how many pieces of one size a week needs of an item in bars or sheets,
// for all orders together.
type Cut struct {
	Kind, Item string
	Length     unit.Length
	Width      unit.Length // 0 where it is cut from bars
	Firm       bool
	Pieces     int64
}

// Pulled is what was pulled and bought of one item of a week.
type Pulled struct {
	Kind, Item                       string
	Measure                          bom.Measure
	Amount, Ordered, Received, Short int64
}

// Week reads the books of the week that begins on a Monday, of one kind or of all
// when it is "", in one round trip. The sums are answered from one index in its
// order.
func Week(ctx context.Context, tx pgx.Tx, workshop uuid.UUID, monday calendar.Date, kind string) (Books, error) {
	var b Books
	var sums []sum
	var unmarked bool
	var batch pgx.Batch
	queueSums(&batch, workshop, monday, kind, &sums)
	batch.Queue(`
select exists (select from requirement where workshop_id = $1 and week = $2 and leads is null)`, workshop, midnight(monday)).QueryRow(func(row pgx.Row) error { return row.Scan(&unmarked) })
	queuePulled(&batch, workshop, monday, kind, &b.Pulled)
	queueOnHand(&batch, workshop, kind, &b.Counted)
	if err := tx.SendBatch(ctx, &batch).Close(); err != nil {
		return Books{}, fmt.Errorf("read the books of the week of %s: %w", monday, err)
	}
	b.Needs, b.Cuts = needsOf(sums), cutsOf(sums)
	if unmarked {
		return b, countOrders(ctx, tx, workshop, monday, kind, b.Needs)
	}
	return b, nil
}

// itemKey is what a need is summed by.
type itemKey struct {
	kind, item string
	measure    bom.Measure
}

// sum is that of the rows of one item and size which are alike.
type sum struct {
	itemKey
	length, width  unit.Length
	firm, surplus  bool
	pieces, amount int64
	first          time.Time
	orders         int
}

// ofKind is a statement for one kind, of which an index then gives just the rows,
// or for all of them where the kind is "": each text is put in the place of the
// one before it.
func ofKind(statement, of, all, kind string, more ...string) string {
	if kind != "" {
		return statement
	}
	return strings.NewReplacer(append([]string{of, all}, more...)...).Replace(statement)
}

// queueSums asks for the workshop by an array of one: where row-level security asks
// for it too, an equality is held against the other in a step of its own, through
// which each row would pass.
func queueSums(batch *pgx.Batch, workshop uuid.UUID, monday calendar.Date, kind string, sums *[]sum) {
	batch.Queue(ofKind(`
select $3::text, item, measure, coalesce(length_nm, 0), firm, surplus, coalesce(width_nm, 0),
    sum(pieces), sum(amount)::bigint, min(need_by), count(*) filter (where leads)
from requirement
where workshop_id = any($1) and week = $2 and kind = $3
group by item, measure, length_nm, firm, surplus, width_nm
order by item, measure, length_nm, firm, surplus, width_nm`, "kind = $3", "$3 = ''", kind, "$3::text", "kind", "by item", "by kind, item"),
		[]uuid.UUID{workshop}, midnight(monday), kind).Query(func(rows pgx.Rows) (err error) {
		// Plain types are read straight from the wire.
		var r sum
		var measure string
		var length, width int64
		_, err = pgx.ForEachRow(rows, []any{&r.kind, &r.item, &measure, &length, &r.firm, &r.surplus, &width, &r.pieces, &r.amount, &r.first, &r.orders}, func() error {
			r.measure, r.length, r.width = bom.Measure(measure), unit.Length(length), unit.Length(width)
			*sums = append(*sums, r)
			return nil
		})
		return err
	})
}

// countOrders counts the orders by their ids, where a row of the week was written
// before the rows that lead were marked.
func countOrders(ctx context.Context, tx pgx.Tx, workshop uuid.UUID, monday calendar.Date, kind string, needs []Need) error {
	rows, err := tx.Query(ctx, ofKind(`
select kind, item, measure, count(distinct order_id)
from requirement
where workshop_id = $1 and week = $2 and kind = $3
group by kind, item, measure`, "kind = $3", "$3 = ''", kind), workshop, midnight(monday), kind)
	if err != nil {
		return fmt.Errorf("count the orders of the week of %s: %w", monday, err)
	}
	var key itemKey
	var n int
	orders := map[itemKey]int{}
	if _, err := pgx.ForEachRow(rows, []any{&key.kind, &key.item, &key.measure, &n}, func() error {
		orders[key] = n
		return nil
	}); err != nil {
		return fmt.Errorf("count the orders of the week of %s: %w", monday, err)
	}
	for i := range needs {
		needs[i].Orders = orders[itemKey{needs[i].Kind, needs[i].Item, needs[i].Measure}]
	}
	return nil
}

func queuePulled(batch *pgx.Batch, workshop uuid.UUID, monday calendar.Date, kind string, pulled *[]Pulled) {
	batch.Queue(ofKind(`
with pulled as (
    select kind, item, measure, sum(amount)::bigint as amount
    from pull_row
    where workshop_id = $1 and week = $2 and kind = $3
    group by kind, item, measure
), bought as (
    select kind, item, measure, coalesce(sum(amount) filter (where act = 'ordered'), 0)::bigint as ordered,
        coalesce(sum(amount) filter (where act = 'received'), 0)::bigint as received, coalesce(sum(amount) filter (where act = 'short'), 0)::bigint as short
    from purchase
    where workshop_id = $1 and week = $2 and kind = $3
    group by kind, item, measure
)
select kind, item, measure, coalesce(p.amount, 0), coalesce(b.ordered, 0), coalesce(b.received, 0), coalesce(b.short, 0)
from pulled p full join bought b using (kind, item, measure)
order by kind, item, measure`, "kind = $3", "$3 = ''", kind), workshop, midnight(monday), kind).Query(func(rows pgx.Rows) (err error) {
		*pulled, err = pgx.CollectRows(rows, func(row pgx.CollectableRow) (p Pulled, err error) {
			err = row.Scan(&p.Kind, &p.Item, &p.Measure, &p.Amount, &p.Ordered, &p.Received, &p.Short)
			return p, err
		})
		return err
	})
}

// needsOf adds up the sums of each item, which stand together.
func needsOf(sums []sum) (needs []Need) {
	for i := range sums {
		s := &sums[i]
		first := calendar.DateOf(s.first)
		if i == 0 || sums[i-1].itemKey != s.itemKey {
			needs = append(needs, Need{Kind: s.kind, Item: s.item, Measure: s.measure, FirstNeedBy: first})
		}
		n := &needs[len(needs)-1]
		n.Pieces, n.Amount, n.Orders = n.Pieces+s.pieces, n.Amount+s.amount, n.Orders+s.orders
		if !s.firm {
			n.NotFirm += s.amount
		}
		if first.Before(n.FirstNeedBy) {
			n.FirstNeedBy = first
		}
	}
	return needs
}

// cutsOf are the sums of what has a size and is not surplus. The items stand in
// the order of the sums, the sizes of each from the longest, firm ones first.
func cutsOf(sums []sum) (cuts []Cut) {
	from := 0
	for i := range sums {
		s := &sums[i]
		if s.length > 0 && !s.surplus {
			cuts = append(cuts, Cut{Kind: s.kind, Item: s.item, Length: s.length, Width: s.width, Firm: s.firm, Pieces: s.pieces})
		}
		if i+1 == len(sums) || sums[i+1].kind != s.kind || sums[i+1].item != s.item {
			slices.SortStableFunc(cuts[from:], longestFirst)
			from = len(cuts)
		}
	}
	return cuts
}

func longestFirst(a, b Cut) int {
	if by := cmp.Or(cmp.Compare(b.Length, a.Length), cmp.Compare(b.Width, a.Width)); by != 0 || a.Firm == b.Firm {
		return by
	}
	if a.Firm {
		return -1
	}
	return 1
}
