package orderdb

import (
	"slices"
	"testing"
	"time"

	"github.com/jackc/pgx/v5"

	"billwright/bom/load"
	"billwright/bom/order"
	"billwright/catalog/calendar"
)

// What orders of all dealers take of the departments is summed by week; a dealer
// sees his own only; what is shipped or cancelled takes nothing more.
func TestLoadIsSummedByWeek(t *testing.T) {
	s := openShop(t)
	first, second := newOrder(tamsel, "PO 1"), newOrder(orrin, "PO 1")
	second.Load = []load.Row{{Department: "forge", Week: takes()[0].Week, Minutes: 25}}
	tested := newOrder(orrin, "PO 2")
	tested.Order.Test, tested.POGuard = true, ""
	for _, n := range []NewOrder{first, second, tested} {
		if err := s.insert(n); err != nil {
			t.Fatal(err)
		}
	}
	monday, after := takes()[0].Week, takes()[1].Week
	sums := func(dealer string, to calendar.Date) (list []WeekLoad) {
		t.Helper()
		s.must(dealer, func(tx pgx.Tx) (err error) {
			list, err = Loads(s.ctx, tx, s.id, monday, to)
			return err
		})
		return list
	}
	if got, want := sums("*", after.AddDays(7)), []WeekLoad{{monday, "forge", 425, 0, 2}, {after, "welding", 655, 0, 1}}; !slices.Equal(got, want) {
		t.Errorf("got %+v, want %+v", got, want)
	}
	if got := sums("*", after); len(got) != 1 {
		t.Errorf("the week after the last is among %+v", got)
	}
	if got, want := sums(orrin, after.AddDays(7)), []WeekLoad{{monday, "forge", 25, 0, 1}}; !slices.Equal(got, want) {
		t.Errorf("a dealer sees %+v, want %+v", got, want)
	}
	s.must("*", func(tx pgx.Tx) error {
		got, err := LoadOf(s.ctx, tx, s.id, monday)
		if want := []WeekLoad{{Week: monday, Department: "forge", Minutes: 425}}; !slices.Equal(got, want) {
			t.Errorf("the one week: %+v, want %+v", got, want)
		}
		return err
	})
	s.act(first, 1, order.Accepted)
	if got := sums("*", after); got[0].Accepted != 400 {
		t.Errorf("accepted: %+v", got)
	}
	s.must("*", func(tx pgx.Tx) error {
		stored, err := Find(s.ctx, tx, s.id, second.Order.Number)
		if err != nil {
			return err
		}
		if err := ReplaceLoad(s.ctx, tx, s.id, stored, []load.Row{{Department: "welding", Week: after, Minutes: 5}}); err != nil {
			return err
		}
		rows, err := Load(s.ctx, tx, s.id, stored.ID)
		if want := []load.Row{{Department: "welding", Week: after, Minutes: 5}}; !slices.Equal(rows, want) {
			t.Errorf("replaced by %+v, want %+v", rows, want)
		}
		return err
	})
	s.act(first, 2, order.Cancelled)
	if got, want := sums("*", after.AddDays(7)), []WeekLoad{{after, "welding", 5, 0, 1}}; !slices.Equal(got, want) {
		t.Errorf("after it was cancelled: %+v, want %+v", got, want)
	}
}

// act saves that an order which is at a version has another state.
func (s *shop) act(n NewOrder, version int, state order.State) {
	s.t.Helper()
	s.must("*", func(tx pgx.Tx) error {
		before, err := Lock(s.ctx, tx, s.id, n.Order.Number)
		if err != nil {
			return err
		}
		after := &order.Document{Version: version + 1, State: state, Promise: n.Order.Promise, Net: n.Order.Net}
		return Save(s.ctx, tx, s.id, Acted{Before: before, After: after, Document: []byte("{}"), Act: "act", Actor: "key 1", At: time.Now()})
	})
}
