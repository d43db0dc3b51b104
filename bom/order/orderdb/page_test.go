package orderdb

import (
	"errors"
	"fmt"
	"slices"
	"strings"
	"sync"
	"testing"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"

	"billwright/bom/order"
)

func (s *shop) page(dealer string, f Filter) (page []Summary) {
	s.t.Helper()
	s.must(dealer, func(tx pgx.Tx) (err error) {
		page, err = Page(s.ctx, tx, s.id, f)
		return err
	})
	return page
}

func numbers(page []Summary) (all []string) {
	for _, row := range page {
		all = append(all, row.Number)
	}
	return all
}

func TestSearchFindsFragments(t *testing.T) {
	s := openShop(t)
	orders := map[string]*order.Order{}
	for _, o := range []struct{ is, po, sidemark string }{
		{"plain", "TS 1041", "Lake  House\tnorth"},
		{"percent", "TS 100%", "half"},
		{"underscore", "TS_1042", `C:\new`},
		{"quotes", `O'Rin "best"`, "x'; drop table bill; --"},
		{"script", "ДОМ-7", "Ванная комната"},
	} {
		n := newOrder(tamsel, o.po)
		n.Order.Sidemark = o.sidemark
		if err := s.insert(n); err != nil {
			t.Fatal(err)
		}
		orders[o.is] = n.Order
	}
	for _, test := range []struct {
		text string
		want []string
	}{
		{"1041", []string{"plain"}},
		{"ts 104", []string{"plain"}},
		{"LAKE house", []string{"plain"}},
		{" lake   house ", []string{"plain"}},
		{orders["plain"].Number, []string{"plain"}},
		{strings.ToLower(strings.ReplaceAll(orders["plain"].Number, "-", "")), []string{"plain"}},
		{"%", []string{"percent"}},
		{"100%", []string{"percent"}},
		{"_", []string{"underscore"}},
		{`\`, []string{"underscore"}},
		{`c:\n`, []string{"underscore"}},
		{"'", []string{"quotes"}},
		{`"best"`, []string{"quotes"}},
		{"'; drop table", []string{"quotes"}},
		{"дом", []string{"script"}},
		{"ВАННАЯ", []string{"script"}},
		{"pell", []string{"plain", "percent", "underscore", "quotes", "script"}},
		{"Name of Studio", []string{"plain", "percent", "underscore", "quotes", "script"}},
		{"", []string{"plain", "percent", "underscore", "quotes", "script"}},
		// From one field over to the next is no fragment.
		{"north studio", nil},
		{"north\nstudio", nil},
		{"t%1", nil},
		{"TS_1041", nil},
		{"\x00", nil},
		{"\xff", nil},
		{strings.Repeat("%_\\'", 2_500), nil},
		{strings.Repeat("a", 10_000), nil},
	} {
		var want []string
		for _, is := range test.want {
			want = append(want, orders[is].Number)
		}
		got := numbers(s.page(tamsel, Filter{Text: test.text, Limit: 100}))
		slices.Sort(got)
		slices.Sort(want)
		if !slices.Equal(got, want) {
			t.Errorf("%.40q finds %q, want %q", test.text, got, test.want)
		}
	}
	if got := one[int](s, `select count(*) from dealer_order`); got != 5 {
		t.Errorf("%d orders after the search, want 5", got)
	}
}

func TestLongTextsAreFoundAgain(t *testing.T) {
	s := openShop(t)
	n := newOrder(tamsel, "TS 1041")
	n.Order.Sidemark = strings.Repeat("long ", 2_000) + "end of it"
	if err := s.insert(n); err != nil {
		t.Fatal(err)
	}
	for _, text := range []string{"end of it", n.Order.Sidemark} {
		if got := numbers(s.page(tamsel, Filter{Text: text, Limit: 1})); !slices.Equal(got, []string{n.Order.Number}) {
			t.Errorf("%d bytes of text find %q", len(text), got)
		}
	}
}

func TestPageByDealerAndState(t *testing.T) {
	s := openShop(t)
	a, b, c := newOrder(tamsel, "1"), newOrder(orrin, "2"), newOrder(tamsel, "3")
	b.Order.State = "accepted"
	if err := errors.Join(s.insert(a), s.insert(b), s.insert(c)); err != nil {
		t.Fatal(err)
	}
	for _, test := range []struct {
		who  string
		f    Filter
		want []string
	}{
		{"*", Filter{Limit: 10}, []string{c.Order.Number, b.Order.Number, a.Order.Number}},
		{"*", Filter{Limit: 2}, []string{c.Order.Number, b.Order.Number}},
		{"*", Filter{Limit: 2, Before: b.Order.ID}, []string{a.Order.Number}},
		{"*", Filter{Limit: 2, Before: a.Order.ID}, nil},
		{"*", Filter{Limit: 10, Dealer: orrin}, []string{b.Order.Number}},
		{"*", Filter{Limit: 10, Dealer: tamsel}, []string{c.Order.Number, a.Order.Number}},
		{"*", Filter{Limit: 1, Dealer: tamsel, Before: c.Order.ID}, []string{a.Order.Number}},
		{"*", Filter{Limit: 10, State: "accepted"}, []string{b.Order.Number}},
		{"*", Filter{Limit: 10, State: order.Received}, []string{c.Order.Number, a.Order.Number}},
		{"*", Filter{Limit: 10, State: "accepted", Dealer: tamsel}, nil},
		{"*", Filter{Limit: 10, Text: orrin}, []string{b.Order.Number}},
		{tamsel, Filter{Limit: 10}, []string{c.Order.Number, a.Order.Number}},
		{tamsel, Filter{Limit: 10, Dealer: orrin}, nil},
		{orrin, Filter{Limit: 10, Text: "pell"}, []string{b.Order.Number}},
	} {
		if got := numbers(s.page(test.who, test.f)); !slices.Equal(got, test.want) {
			t.Errorf("%s sees with %+v %q, want %q", test.who, test.f, got, test.want)
		}
	}
}

// A walk through the list in small pages, while four writers insert: every order
// that stood there at the start is seen exactly once, and none twice.
func TestWalkWhileWritersInsert(t *testing.T) {
	s := openShop(t)
	const standing, limit = 300, 7
	start := map[uuid.UUID]bool{}
	for i := range standing {
		dealer := tamsel
		if i%3 == 0 {
			dealer = orrin
		}
		n := newOrder(dealer, fmt.Sprintf("standing %d", i))
		n.Requirements = nil
		if err := s.insert(n); err != nil {
			t.Fatal(err)
		}
		start[n.Order.ID] = true
	}
	stop := make(chan struct{})
	var wg sync.WaitGroup
	var written [4]int
	for w := range written {
		wg.Go(func() {
			for i := 0; i < 2_000; i++ {
				select {
				case <-stop:
					return
				default:
				}
				n := newOrder(tamsel, fmt.Sprintf("writer %d order %d", w, i))
				n.Requirements = nil
				if err := s.insert(n); err != nil {
					t.Error(err)
					return
				}
				written[w]++
			}
		})
	}
	for round := range 3 {
		seen := map[uuid.UUID]int{}
		f := Filter{Limit: limit}
		for {
			page := s.page("*", f)
			for _, row := range page {
				seen[row.ID]++
			}
			if len(page) < limit {
				break
			}
			f.Before = page[len(page)-1].ID
		}
		for id := range start {
			if seen[id] != 1 {
				t.Errorf("round %d: order %s was seen %d times", round, id, seen[id])
			}
		}
		for id, n := range seen {
			if n != 1 {
				t.Errorf("round %d: order %s was seen %d times", round, id, n)
			}
		}
	}
	close(stop)
	wg.Wait()
	if slices.Min(written[:]) == 0 {
		t.Errorf("the writers wrote %d orders: the walk was not among them", written)
	}
	t.Logf("the writers wrote %d orders meanwhile", written)
}

func TestFindOnlyWhatIsThere(t *testing.T) {
	s := openShop(t)
	n := newOrder(orrin, "TS 1041")
	if err := s.insert(n); err != nil {
		t.Fatal(err)
	}
	for _, test := range []struct {
		who, number string
		want        error
	}{{"*", n.Order.Number, nil}, {orrin, n.Order.Number, nil}, {tamsel, n.Order.Number, ErrNoOrder}, {"*", "0000-0000", ErrNoOrder}, {"*", "", ErrNoOrder}} {
		err := s.as(test.who, func(tx pgx.Tx) error {
			_, err := Find(s.ctx, tx, s.id, test.number)
			return err
		})
		if !errors.Is(err, test.want) {
			t.Errorf("%s asks for %q: %v", test.who, test.number, err)
		}
	}
	err := s.as(tamsel, func(tx pgx.Tx) error {
		_, err := ByPO(s.ctx, tx, s.id, orrin, "ts1041")
		return err
	})
	if !errors.Is(err, ErrNoOrder) {
		t.Errorf("another dealer's purchase order number: %v", err)
	}
}
