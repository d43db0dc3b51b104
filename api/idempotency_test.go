package api

import (
	"bytes"
	"fmt"
	"slices"
	"strings"
	"sync"
	"testing"

	"billwright/catalog/source"
)

func TestARetryIsAnsweredWithTheSameBytes(t *testing.T) {
	s := openShop(t, shopSettings{})
	dealer, second := s.key("dealer studio-tamsel"), s.key("dealer studio-tamsel")
	first := s.place(dealer, "k-1", bench("A 1", `,"sidemark":"Hall/1"`)).want(t, 201)
	if first.header.Get("Idempotent-Replayed") != "" {
		t.Error("the first reply is marked as a replay")
	}
	// The same request however it is written, and with the dealer's other key.
	for key, body := range map[string]string{
		dealer: bench("A 1", `,"sidemark":"Hall/1"`),
		second: strings.ReplaceAll(bench("A 1", ` , "sidemark" : "H\u0061ll\/1"`), `{"length":"4'","height":"1 ft 6 1/2 in"`, `{"height":"1 ft 6 1/2 in", "length":"4'"`),
	} {
		again := s.place(key, "k-1", body).want(t, 201)
		if !bytes.Equal(again.body, first.body) || again.header.Get("Idempotent-Replayed") != "true" ||
			again.header.Get("Location") != first.header.Get("Location") || again.header.Get("ETag") != first.header.Get("ETag") {
			t.Errorf("replayed %v %s", again.header, again.body)
		}
	}
	for _, other := range []string{bench("A 2", `,"sidemark":"Hall/1"`), bench("A 1"), bench("A 1", `,"sidemark":"Hall/1","ship_complete":false`), `{}`} {
		if got := s.place(dealer, "k-1", other).faults(t, 422); !slices.Equal(got, []string{"header.Idempotency-Key idempotency-key.reused"}) {
			t.Errorf("%s: %v", other, got)
		}
	}
	var replays int
	if err := s.db.AdminPool(t).QueryRow(t.Context(), `select replays from idempotency`).Scan(&replays); err != nil || replays != 2 {
		t.Errorf("%d replays counted: %v", replays, err)
	}
}

func TestRefusedRequestsUseUpNoKey(t *testing.T) {
	s := openShop(t, shopSettings{})
	dealer := s.key("dealer studio-tamsel")
	s.place(dealer, "k", bench("")).problem(t, 422)
	number := s.placed(dealer, "other", bench("A 1"))
	s.place(dealer, "k", bench("A 1")).problem(t, 409)
	if got := s.placed(dealer, "k", bench("A 2")); got == number {
		t.Error("the same order")
	}
}

// What was taken stays taken: its retry is answered though today's catalog
// would refuse it.
func TestARetryOutlivesItsCatalog(t *testing.T) {
	s := openShop(t, shopSettings{})
	dealer := s.key("dealer studio-tamsel")
	first := s.place(dealer, "k", bench("A 1")).want(t, 201)
	s.revise(func(files []source.File) []source.File {
		return replaceText(t, files, "sallow-bench", "sallow-seat")
	}).want(t, 201)
	if got := s.place(dealer, "k2", bench("A 2")).faults(t, 422); !slices.Equal(got, []string{"/lines/0/product product.unknown"}) {
		t.Errorf("the new catalog is not in force: %v", got)
	}
	again := s.place(dealer, "k", bench("A 1")).want(t, 201)
	if !bytes.Equal(again.body, first.body) || again.header.Get("Idempotent-Replayed") != "true" {
		t.Errorf("%s", again.body)
	}
	if got := s.place(dealer, "k", bench("A 2")).faults(t, 422); !slices.Equal(got, []string{"header.Idempotency-Key idempotency-key.reused"}) {
		t.Errorf("another request: %v", got)
	}
}

func TestIdempotencyKeysAreNeeded(t *testing.T) {
	s := openShop(t, shopSettings{})
	dealer := s.key("dealer studio-tamsel")
	for _, header := range []string{"Other: x", "Idempotency-Key: ", "Idempotency-Key: two words", "Idempotency-Key: " + letters(256), "Idempotency-Key: é"} {
		if got := s.ask(dealer, "POST", "/v1/orders", bench("A 1"), header).faults(t, 400); !slices.Equal(got, []string{"header.Idempotency-Key idempotency-key"}) {
			t.Errorf("%q: %v", header, got)
		}
	}
	s.place(dealer, letters(255), bench("A 1")).want(t, 201)
	s.place(dealer, "!~", bench("A 2")).want(t, 201)
}

// One key, 50 connections at once: one order a round, and byte-equal replies
// from two instances.
func TestOneKeyFiftyConnections(t *testing.T) {
	s := openShop(t, shopSettings{})
	dealer := s.key("dealer studio-tamsel")
	bases := []string{s.base, s.serve()}
	const connections = 50
	rounds := 12
	if testing.Short() {
		rounds = 3
	}
	for round := range rounds {
		body := bench(fmt.Sprint("R ", round))
		replies := make([]reply, connections)
		start := make(chan struct{})
		var done sync.WaitGroup
		for i := range connections {
			done.Go(func() {
				<-start
				for range 100 { // 409 asks to come again
					r, err := s.try(dealer, "POST", bases[i%2]+"/v1/orders", body, fmt.Sprint("Idempotency-Key: round-", round))
					if replies[i] = r; err != nil || r.status != 409 {
						return
					}
				}
			})
		}
		close(start)
		done.Wait()
		made := 0
		for _, r := range replies {
			if r.status != 201 || !bytes.Equal(r.body, replies[0].body) {
				t.Fatalf("round %d: %d %s\nbeside %s", round, r.status, r.body, replies[0].body)
			}
			if r.header.Get("Idempotent-Replayed") == "" {
				made++
			}
		}
		if made != 1 {
			t.Errorf("round %d: %d requests say that they placed the order", round, made)
		}
	}
	var orders, numbers int
	if err := s.db.AdminPool(t).QueryRow(t.Context(), `select count(*), count(distinct po) from dealer_order`).Scan(&orders, &numbers); err != nil {
		t.Fatal(err)
	}
	if orders != rounds || numbers != rounds {
		t.Errorf("%d orders of %d rounds", orders, rounds)
	}
}

func TestFingerprintsTellRequestsApart(t *testing.T) {
	who := &principal{dealer: "studio-tamsel", role: roleDealer}
	seen := map[[32]byte]string{}
	for _, body := range []string{
		`{}`, `{"po":""}`, `{"po":"null"}`, `{"po":null}`, `{"po":"1"}`, `{"po":1}`, `{"sidemark":"1"}`, `{"lines":[]}`, `{"lines":[{}]}`, `{"lines":[{},{}]}`,
		`{"lines":[{"product":"a"}]}`, `{"lines":[{"configuration":{"a":"b"}}]}`, `{"lines":[{"configuration":{"ab":""}}]}`, `{"lines":[{"configuration":{"":"ab"}}]}`,
		`{"lines":[{"configuration":{"a":"b","c":"d"}}]}`, `{"lines":[{"configuration":{"a":"b"}},{"configuration":{"c":"d"}}]}`,
		`{"lines":[{"quantity":1}]}`, `{"lines":[{"quantity":1.0}]}`, `{"lines":[{"quantity":"1"}]}`, `{"ship_complete":true}`, `{"ship_complete":false}`,
	} {
		var r orderRequest
		if f := decodeStrict([]byte(body), &r); f != nil {
			t.Fatal(body, f)
		}
		print := r.fingerprint(who)
		// {"lines":[]} says what {} says.
		if other, twice := seen[print]; twice && !(other == `{}` && body == `{"lines":[]}`) {
			t.Errorf("%s and %s have the same fingerprint", body, other)
		}
		seen[print] = body
		if r.fingerprint(&principal{dealer: "studio-tamsel", role: roleDealer, test: true}) == print {
			t.Errorf("%s: a test key has the same fingerprint", body)
		}
	}
}
