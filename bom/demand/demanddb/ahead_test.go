package demanddb

import (
	"context"
	"reflect"
	"testing"
	"time"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"

	"billwright/bom"
	"billwright/catalog/calendar"
	"billwright/catalog/unit"
	"billwright/migrations/tenancy"
)

// By hand: the last week of 2026 needs square bar (a part of it held), round bar,
// oak (a part of it held) and own material (all of it held); the week after oak.
// So a pull of the last week takes of three items, and three have held parts.
// On 30 December oak (28) and square bar (29) are late.
func TestWhatWaitsInTheWeeksAhead(t *testing.T) {
	s := twoOrders(t)
	last, after := day(t, "2026-12-28"), day(t, "2027-01-04")
	act := func(do func(context.Context, pgx.Tx) error) {
		t.Helper()
		scope := tenancy.Scope{Workshop: s.id, Dealer: tenancy.AllDealers}
		if err := tenancy.Transact(s.ctx, s.pool, scope, func(tx pgx.Tx) error { return do(s.ctx, tx) }); err != nil {
			t.Fatal(err)
		}
	}
	waits := func(when, to string, want ...Waiting) {
		t.Helper()
		act(func(ctx context.Context, tx pgx.Tx) error {
			got, err := Ahead(ctx, tx, s.id, day(t, "2026-12-21"), day(t, to), day(t, "2026-12-30"))
			if !(len(got) == 0 && len(want) == 0) && !reflect.DeepEqual(got, want) {
				t.Errorf("%s:\n got %+v\nwant %+v", when, got, want)
			}
			return err
		})
	}
	next := Waiting{Week: after, Items: 1, ToPull: 1}
	waits("at first", "2027-01-11", Waiting{Week: last, Items: 4, ToPull: 3, NotFirm: 3, Late: 2}, next)
	waits("only before the Monday", "2027-01-04", Waiting{Week: last, Items: 4, ToPull: 3, NotFirm: 3, Late: 2})
	waits("in no week", "2026-12-21")

	pull := func(kind string) {
		t.Helper()
		act(func(ctx context.Context, tx pgx.Tx) error {
			_, err := MakePull(ctx, tx, s.id, last, kind, time.Now(), "test")
			return err
		})
	}
	pull("steel")
	waits("steel is pulled", "2027-01-11", Waiting{Week: last, Items: 4, ToPull: 1, NotFirm: 3, Late: 2}, next)
	receive := func(amount unit.Volume) {
		t.Helper()
		act(func(ctx context.Context, tx pgx.Tx) error {
			return AddPurchase(ctx, tx, s.id, Purchase{ID: uuid.Must(uuid.NewV7()), Week: last, Kind: "lumber", Item: "white-oak 5/4", Act: "received", Amount: int64(amount), Measure: bom.Volume, Entered: "bf", At: time.Now(), By: "test"})
		})
	}
	receive(16 * unit.BoardFoot)
	waits("a foot of oak is missing", "2027-01-11", Waiting{Week: last, Items: 4, ToPull: 1, NotFirm: 3, Late: 2}, next)
	receive(unit.BoardFoot)
	waits("all oak is here", "2027-01-11", Waiting{Week: last, Items: 4, ToPull: 1, NotFirm: 3, Late: 1}, next)
	// The ring is not needed any more: what was pulled of round bar is surplus.
	if _, err := s.admin.Exec(s.ctx, `delete from requirement where workshop_id = $1 and path = 'base/ring'`, s.id); err != nil {
		t.Fatal(err)
	}
	waits("the ring is gone", "2027-01-11", Waiting{Week: last, Items: 4, ToPull: 1, Surplus: 1, NotFirm: 3, Late: 1}, next)

	act(func(ctx context.Context, tx pgx.Tx) error {
		pulls, err := PullsOfWeek(ctx, tx, s.id, last)
		if len(pulls) != 1 || pulls[0].Number != 1 || pulls[0].Kind != "steel" || pulls[0].Week != (calendar.Date{Year: 2026, Month: 12, Day: 28}) {
			t.Errorf("the week was pulled by %+v", pulls)
		}
		if none, err := PullsOfWeek(ctx, tx, s.id, after); len(none) != 0 || err != nil {
			t.Errorf("the week after was pulled by %+v, %v", none, err)
		}
		return err
	})
}
