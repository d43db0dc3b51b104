package orderdb

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"sync"
	"testing"
	"time"

	"github.com/jackc/pgx/v5"

	"billwright/bom/order"
	"billwright/migrations"
	"billwright/migrations/tenancy"
)

// read asks for the news after a place until there is none, as a dealer or "*".
func (s *shop) read(dealer string, after NewsPlace) (news []StoredNews, next NewsPlace) {
	s.t.Helper()
	filter := dealer
	if dealer == "*" {
		filter = ""
	}
	for {
		var page []StoredNews
		s.must(dealer, func(tx pgx.Tx) (err error) {
			page, err = News(s.ctx, tx, s.id, filter, after, 3)
			return err
		})
		if len(page) == 0 {
			return news, after
		}
		after = page[len(page)-1].Place
		news = append(news, page...)
	}
}

func acts(news []StoredNews) []string {
	list := []string{}
	for _, n := range news {
		list = append(list, string(n.Act))
	}
	return list
}

// stored reads an order as it stands.
func (s *shop) stored(number string) (found Stored) {
	s.t.Helper()
	s.must("*", func(tx pgx.Tx) (err error) {
		found, err = Find(s.ctx, tx, s.id, number)
		return err
	})
	return found
}

func saying(act string) order.News {
	return order.News{Version: 1, Act: order.Act(act), What: []string{order.NewsNote}, State: order.Received, Holds: []string{}, Seq: 1}
}

// A transaction that began earlier and commits later: whoever asked in between
// gets what it wrote the next time, and nothing twice. By time, or by number as
// it is given out, the reader would have passed it by.
func TestAnEarlierTransactionThatCommitsLater(t *testing.T) {
	s := openShop(t)
	n := newOrder(tamsel, "TS 1")
	if err := s.insert(n); err != nil {
		t.Fatal(err)
	}
	first := s.stored(n.Order.Number)
	news, place := s.read(tamsel, NewsPlace{})
	if got := acts(news); !slices.Equal(got, []string{"order received"}) {
		t.Fatalf("news %q", got)
	}
	slow, err := s.pool.BeginTx(s.ctx, pgx.TxOptions{BeginQuery: fmt.Sprintf(`begin; select set_config('billwright.workshop', '%s', true), set_config('billwright.dealer', '*', true)`, s.id)})
	if err != nil {
		t.Fatal(err)
	}
	defer slow.Rollback(s.ctx) //nolint:errcheck // committed below
	if err := AddNews(s.ctx, slow, s.id, first, saying("slow"), receivedAt); err != nil {
		t.Fatal(err)
	}
	s.must("*", func(tx pgx.Tx) error {
		return AddNews(s.ctx, tx, s.id, first, saying("quick"), receivedAt.Add(time.Hour))
	})
	news, between := s.read(tamsel, place)
	if len(news) != 0 || between != place {
		t.Errorf("while an older transaction runs, %q is told and the place moves", acts(news))
	}
	if err := slow.Commit(s.ctx); err != nil {
		t.Fatal(err)
	}
	news, place = s.read(tamsel, between)
	if got := acts(news); !slices.Equal(got, []string{"slow", "quick"}) {
		t.Errorf("then %q is told", got)
	}
	if news, _ = s.read(tamsel, place); len(news) != 0 {
		t.Errorf("and %q once more", acts(news))
	}
}

// Writers that commit, or do not, in any order, and a reader who follows them:
// what he is told is what was committed, each once.
func TestNewsAreToldOnceWhileOthersWrite(t *testing.T) {
	s := openShop(t)
	orders := map[string]Stored{}
	for _, dealer := range []string{tamsel, orrin} {
		n := newOrder(dealer, "PO 1")
		if err := s.insert(n); err != nil {
			t.Fatal(err)
		}
		orders[dealer] = s.stored(n.Order.Number)
	}
	const writers, each = 4, 40
	seed := rand.Uint64()
	t.Logf("seed %d", seed)
	var mu sync.Mutex
	committed := map[string][]string{}
	var all sync.WaitGroup
	for w := range writers {
		all.Go(func() {
			draw := rand.New(rand.NewPCG(seed, uint64(w)))
			for i := range each {
				dealer, act := []string{tamsel, orrin}[draw.IntN(2)], fmt.Sprintf("%d-%d", w, i)
				rolledBack := fmt.Errorf("rolled back")
				err := tenancy.Transact(s.ctx, s.pool, tenancy.Scope{Workshop: s.id, Dealer: "*"}, func(tx pgx.Tx) error {
					if err := AddNews(s.ctx, tx, s.id, orders[dealer], saying(act), receivedAt); err != nil {
						return err
					}
					time.Sleep(time.Duration(draw.IntN(4)) * time.Millisecond)
					if draw.IntN(4) == 0 {
						return rolledBack
					}
					return nil
				})
				if err == nil {
					mu.Lock()
					committed[dealer] = append(committed[dealer], act)
					mu.Unlock()
				} else if err != rolledBack { //nolint:errorlint // it is this very one
					t.Error(err)
				}
			}
		})
	}
	done := make(chan struct{})
	go func() { all.Wait(); close(done) }()
	told, place := map[string][]string{}, map[string]NewsPlace{}
	follow := func() {
		for _, dealer := range []string{tamsel, orrin} {
			news, next := s.read(dealer, place[dealer])
			told[dealer], place[dealer] = append(told[dealer], acts(news)...), next
		}
	}
	for running := true; running; {
		select {
		case <-done:
			running = false
		default:
		}
		follow()
	}
	follow()
	for _, dealer := range []string{tamsel, orrin} {
		got, want := told[dealer][1:], committed[dealer]
		slices.Sort(got)
		slices.Sort(want)
		if len(want) == 0 || !slices.Equal(got, want) {
			t.Errorf("%s is told of %d, want %d: %q", dealer, len(got), len(want), got)
		}
	}
}

// Restored to a server that counts its transactions from lower on, the database
// begins a new epoch: what happens then comes behind what was told before.
func TestNewsGoOnAfterARestore(t *testing.T) {
	s := openShop(t)
	n := newOrder(tamsel, "TS 1")
	if err := s.insert(n); err != nil {
		t.Fatal(err)
	}
	if _, err := s.admin.Exec(s.ctx, `update order_news set xact = '9000000000'::xid8`); err != nil {
		t.Fatal(err)
	}
	for range 2 { // the second time nothing is to be done
		if err := migrations.Up(s.ctx, s.adminURL); err != nil {
			t.Fatal(err)
		}
	}
	if epoch := one[int](s, `select news_epoch from workshop where workshop_id = $1`, s.id); epoch != 2 {
		t.Errorf("epoch %d", epoch)
	}
	news, place := s.read(tamsel, NewsPlace{})
	if got := acts(news); !slices.Equal(got, []string{"order received"}) {
		t.Fatalf("news %q", got)
	}
	s.must("*", func(tx pgx.Tx) error {
		return AddNews(s.ctx, tx, s.id, s.stored(n.Order.Number), saying("later"), receivedAt)
	})
	if news, _ = s.read(tamsel, place); !slices.Equal(acts(news), []string{"later"}) {
		t.Errorf("after the restore %q is told", acts(news))
	}
}
