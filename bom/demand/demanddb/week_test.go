package demanddb

import (
	"cmp"
	"fmt"
	"reflect"
	"slices"
	"testing"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"
	"pgregory.net/rapid"

	"billwright/bom"
	"billwright/bom/demand"
	"billwright/catalog/calendar"
	"billwright/catalog/unit"
	"billwright/migrations/tenancy"
)

// drawn is an order of a dealer with what it needs.
type drawn struct {
	dealer string
	id     uuid.UUID
	rows   []demand.Requirement
}

// draw makes up orders whose rows often share an item, a size and a week.
func draw(t *rapid.T, monday calendar.Date) []drawn {
	orders := make([]drawn, rapid.IntRange(1, 6).Draw(t, "orders"))
	for i := range orders {
		o := &orders[i]
		o.dealer, o.id = rapid.SampledFrom([]string{"tamsel", "orrin"}).Draw(t, "dealer"), uuid.Must(uuid.NewV7())
		for seq := range rapid.IntRange(0, 12).Draw(t, "rows") {
			r := demand.Requirement{Seq: seq + 1, Line: 1, Path: "base/leg", Pieces: rapid.IntRange(1, 5).Draw(t, "pieces"), Firm: rapid.Bool().Draw(t, "firm")}
			r.Week = monday.AddDays(7 * rapid.IntRange(0, 1).Draw(t, "week"))
			r.NeedBy = r.Week.AddDays(rapid.IntRange(0, 6).Draw(t, "day"))
			r.Kind = rapid.SampledFrom([]string{bom.KindSteel, bom.KindGlass, bom.KindHardware}).Draw(t, "kind")
			r.Item = rapid.SampledFrom([]string{"a", "b"}).Draw(t, "item")
			r.Measure, r.Amount = rapid.SampledFrom([]bom.Measure{bom.Each, bom.Area}).Draw(t, "measure"), int64(rapid.IntRange(1, 1000).Draw(t, "amount"))
			if r.Kind != bom.KindHardware {
				r.Length = unit.Length(rapid.IntRange(1, 3).Draw(t, "length")) * unit.Inch
			}
			if r.Kind == bom.KindGlass {
				r.Width = unit.Length(rapid.IntRange(1, 2).Draw(t, "width")) * unit.Inch
			}
			if !r.Firm {
				r.Surplus = rapid.Bool().Draw(t, "surplus")
			}
			o.rows = append(o.rows, r)
		}
	}
	return orders
}

// store writes the orders; without marks as before there were any.
func (s *shop) store(orders []drawn, marked bool) error {
	var batch pgx.Batch
	for _, o := range orders {
		batch.Queue(`
insert into dealer_order (workshop_id, dealer_id, order_id, number, version, state, test, revision, po, sidemark, ship_to, ship_complete, received_at, search, document)
values ($1, $2, $3, $4, 1, 'received', false, 1, $4, '', '', false, now(), '', '')`, s.id, o.dealer, o.id, o.id.String())
		for i, leads := range demand.Leads(o.rows) {
			r, mark := &o.rows[i], &leads
			if !marked {
				mark = nil
			}
			batch.Queue(`
insert into requirement (workshop_id, week, order_id, line, seq, dealer_id, bill_version, unit, path, kind, item, pieces, length_nm, width_nm, amount, measure, need_by, firm, surplus, leads)
values ($1, $2, $3, $4, $5, $6, 1, 0, $7, $8, $9, $10, nullif($11::bigint, 0), nullif($12::bigint, 0), $13, $14, $15, $16, $17, $18)`,
				s.id, midnight(r.Week), o.id, r.Line, r.Seq, o.dealer, r.Path, r.Kind, r.Item, r.Pieces, int64(r.Length), int64(r.Width), r.Amount, string(r.Measure), midnight(r.NeedBy), r.Firm, r.Surplus, mark)
		}
	}
	return s.admin.SendBatch(s.ctx, &batch).Close()
}

// added are the books of a week added up row by row.
func added(orders []drawn, dealer string, monday calendar.Date, kind string) (needs []Need, cuts []Cut) {
	for _, o := range orders {
		counted := map[int]bool{}
		for _, r := range o.rows {
			if r.Week != monday || kind != "" && r.Kind != kind || dealer != "*" && o.dealer != dealer {
				continue
			}
			at := slices.IndexFunc(needs, func(n Need) bool { return n.Kind == r.Kind && n.Item == r.Item && n.Measure == r.Measure })
			if at < 0 {
				at = len(needs)
				needs = append(needs, Need{Kind: r.Kind, Item: r.Item, Measure: r.Measure, FirstNeedBy: r.NeedBy})
			}
			n := &needs[at]
			n.Pieces, n.Amount = n.Pieces+int64(r.Pieces), n.Amount+r.Amount
			if !r.Firm {
				n.NotFirm += r.Amount
			}
			if r.NeedBy.Before(n.FirstNeedBy) {
				n.FirstNeedBy = r.NeedBy
			}
			if !counted[at] {
				counted[at] = true
				n.Orders++
			}
			if r.Length > 0 && !r.Surplus {
				cuts = append(cuts, Cut{r.Kind, r.Item, r.Length, r.Width, r.Firm, int64(r.Pieces)})
			}
		}
	}
	slices.SortFunc(needs, func(a, b Need) int {
		return cmp.Or(cmp.Compare(a.Kind, b.Kind), cmp.Compare(a.Item, b.Item), cmp.Compare(a.Measure, b.Measure))
	})
	return needs, alike(cuts)
}

// alike puts cuts of one size together, in an order of their own.
func alike(cuts []Cut) (together []Cut) {
	for _, c := range cuts {
		at := slices.IndexFunc(together, func(o Cut) bool { o.Pieces = c.Pieces; return o == c })
		if at < 0 {
			together = append(together, c)
			continue
		}
		together[at].Pieces += c.Pieces
	}
	slices.SortFunc(together, func(a, b Cut) int { return cmp.Compare(fmt.Sprint(a), fmt.Sprint(b)) })
	return together
}

// Every figure of a week is that of its rows added up one by one, for the workshop
// and for a dealer, whether the rows that lead are marked, not marked or some of
// them: rows without marks were written by a release before there were any.
func TestBooksReadd(t *testing.T) {
	s := open(t)
	monday := day(t, "2026-12-28")
	n := 0
	rapid.Check(t, func(rt *rapid.T) {
		n++
		s.found(fmt.Sprintf("workshop-%d", n))
		marked, before := draw(rt, monday), []drawn(nil)
		if rapid.Bool().Draw(rt, "from before") {
			before = draw(rt, monday)
		}
		if err := s.store(marked, true); err != nil {
			rt.Fatal(err)
		}
		if err := s.store(before, false); err != nil {
			rt.Fatal(err)
		}
		all := append(slices.Clone(marked), before...)
		for _, dealer := range []string{"*", "orrin"} {
			for _, kind := range []string{"", bom.KindSteel, bom.KindGlass, bom.KindHardware} {
				var books Books
				err := tenancy.Transact(s.ctx, s.pool, tenancy.Scope{Workshop: s.id, Dealer: dealer}, func(tx pgx.Tx) (err error) {
					books, err = Week(s.ctx, tx, s.id, monday, kind)
					return err
				})
				if err != nil {
					rt.Fatal(err)
				}
				needs, cuts := added(all, dealer, monday, kind)
				if len(books.Needs)+len(needs) > 0 && !reflect.DeepEqual(books.Needs, needs) {
					rt.Errorf("%s needs of kind %q\n%+v, its rows make\n%+v", dealer, kind, books.Needs, needs)
				}
				if got := alike(books.Cuts); !reflect.DeepEqual(got, cuts) {
					rt.Errorf("%s cuts of kind %q\n%+v, its rows make\n%+v", dealer, kind, got, cuts)
				}
				longest := slices.IsSortedFunc(books.Cuts, func(a, b Cut) int {
					return cmp.Or(cmp.Compare(a.Kind, b.Kind), cmp.Compare(a.Item, b.Item), -cmp.Compare(a.Length, b.Length), -cmp.Compare(a.Width, b.Width), cmp.Compare(fmt.Sprint(b.Firm), fmt.Sprint(a.Firm)))
				})
				if !longest {
					rt.Errorf("the longest and firm ones do not stand first: %+v", books.Cuts)
				}
			}
		}
	})
}
