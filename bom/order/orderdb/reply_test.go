package orderdb

import (
	"errors"
	"fmt"
	"reflect"
	"sync"
	"testing"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"

	"billwright/migrations/tenancy"
)

func TestTwoClaimsOfOneKey(t *testing.T) {
	s := openShop(t)
	const scope, key = "dealer " + tamsel, "4d1c"
	s.must(tamsel, func(first pgx.Tx) error {
		locked, reply, err := Claim(s.ctx, first, s.id, scope, key)
		if !locked || reply != nil || err != nil {
			t.Errorf("the first claim: %v, %v, %v", locked, reply, err)
		}
		for _, other := range []struct {
			workshop           uuid.UUID
			scope, key, dealer string
			free               bool
		}{
			{s.id, scope, key, tamsel, false},
			{s.id, scope, "another key", tamsel, true},
			{s.id, "dealer " + orrin, key, orrin, true},
			{uuid.New(), scope, key, tamsel, true},
			// The two texts joined are the same, the parts are not.
			{s.id, scope + " 4d1c", "", tamsel, true},
		} {
			err := tenancy.Transact(s.ctx, s.pool, tenancy.Scope{Workshop: s.id, Dealer: other.dealer}, func(tx pgx.Tx) error {
				locked, reply, err := Claim(s.ctx, tx, other.workshop, other.scope, other.key)
				if locked != other.free || reply != nil {
					t.Errorf("a second claim of %+v: %v, %v", other, locked, reply)
				}
				return err
			})
			if err != nil {
				t.Error(err)
			}
		}
		return nil
	})
	s.must(tamsel, func(tx pgx.Tx) error {
		locked, err := LockKey(s.ctx, tx, s.id, scope, key)
		if !locked {
			t.Error("the key is locked after its transaction")
		}
		return err
	})
}

func TestClaimFindsTheReply(t *testing.T) {
	s := openShop(t)
	n := newOrder(tamsel, "TS 1041")
	claim := func(who string) (locked bool, reply *Reply) {
		s.must(who, func(tx pgx.Tx) (err error) {
			locked, reply, err = Claim(s.ctx, tx, s.id, n.Idempotency.Scope, n.Idempotency.Key)
			return err
		})
		return locked, reply
	}
	if locked, reply := claim(tamsel); !locked || reply != nil {
		t.Errorf("before the order: %v, %+v", locked, reply)
	}
	if err := s.insert(n); err != nil {
		t.Fatal(err)
	}
	if locked, reply := claim(tamsel); !locked || reply == nil || !reflect.DeepEqual(*reply, n.Idempotency.Reply) {
		t.Errorf("after the order: %v, %+v", locked, reply)
	}
	if _, reply := claim(orrin); reply != nil {
		t.Errorf("another dealer sees the reply %+v", reply)
	}
}

// Rounds of 16 requests with one key, as a server would treat them: whoever has
// the lock and finds no reply inserts.
func TestOneKeyAtOnceIsOneOrder(t *testing.T) {
	s := openShop(t)
	for round := range 20 {
		key := fmt.Sprintf("round %d", round)
		var mu sync.Mutex
		tally := map[string]int{}
		replies := map[string]bool{}
		var wg sync.WaitGroup
		for range 16 {
			wg.Go(func() {
				n := newOrder(tamsel, "") // no guard by purchase order: the key alone must do
				n.POGuard, n.Idempotency.Key = "", key
				outcome := ""
				err := s.as(tamsel, func(tx pgx.Tx) error {
					locked, reply, err := Claim(s.ctx, tx, s.id, n.Idempotency.Scope, key)
					switch {
					case err != nil:
						return err
					case reply != nil:
						outcome = "again"
						mu.Lock()
						replies[string(reply.Body)] = true
						mu.Unlock()
						return CountReplay(s.ctx, tx, s.id, n.Idempotency.Scope, key)
					case !locked:
						outcome = "running"
						return nil
					}
					outcome = "stored"
					return Insert(s.ctx, tx, s.id, n)
				})
				if err != nil {
					t.Error(err)
				}
				mu.Lock()
				tally[outcome]++
				mu.Unlock()
			})
		}
		wg.Wait()
		if tally["stored"] != 1 || len(replies) > 1 {
			t.Errorf("%s: %v, %d different replies", key, tally, len(replies))
		}
		if got := one[int](s, `select replays from idempotency where key = $1`, key); got != tally["again"] {
			t.Errorf("%s: %d replays counted of %d", key, got, tally["again"])
		}
	}
	if got := one[int](s, `select count(*) from dealer_order`); got != 20 {
		t.Errorf("%d orders after 20 rounds", got)
	}
}

func TestReplyOfAnotherAct(t *testing.T) {
	s := openShop(t)
	i := Idempotency{Scope: "key 7", Key: "k", Reply: Reply{Status: 201, Location: "/v1/catalog/revisions/2", Body: []byte(`{"revision":2}`)}}
	store := func(who, dealer string) error {
		return s.as(who, func(tx pgx.Tx) error { return StoreReply(s.ctx, tx, s.id, dealer, i, receivedAt) })
	}
	if err := store("*", ""); err != nil {
		t.Fatal(err)
	}
	if err := store("*", ""); !errors.Is(err, ErrKeyUsed) {
		t.Errorf("the key again: %v", err)
	}
	s.must("*", func(tx pgx.Tx) error {
		reply, err := FindReply(s.ctx, tx, s.id, i.Scope, i.Key)
		if !reflect.DeepEqual(reply, i.Reply) {
			t.Errorf("the reply is %+v", reply)
		}
		return err
	})
	for _, who := range []string{tamsel, orrin} {
		err := s.as(who, func(tx pgx.Tx) error {
			_, err := FindReply(s.ctx, tx, s.id, i.Scope, i.Key)
			return err
		})
		if !errors.Is(err, ErrNoReply) {
			t.Errorf("%s asks for it: %v", who, err)
		}
		err = s.as(who, func(tx pgx.Tx) error { return CountReplay(s.ctx, tx, s.id, i.Scope, i.Key) })
		if !errors.Is(err, ErrNoReply) {
			t.Errorf("%s counts it: %v", who, err)
		}
	}
}
