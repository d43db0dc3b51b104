package api

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"io"
	"log/slog"
	"net/http"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"
	"github.com/jackc/pgx/v5/pgxpool"

	"billwright/api/authdb"
	"billwright/catalog"
	"billwright/catalog/catalogdb"
	"billwright/catalog/demonstration"
	"billwright/catalog/source"
	"billwright/deploy/postgres/testdb"
	"billwright/migrations/tenancy"
)

func TestMain(m *testing.M) { testdb.Main(m) }

// noon is a Wednesday on which the demonstration catalog is in force.
var noon = time.Date(2026, 11, 25, 18, 0, 0, 0, time.UTC)

// shop is a workshop with the demonstration catalog, served on loopback from a
// database of its own.
type shop struct {
	t        testing.TB
	base     string
	server   *Server
	logged   *logText
	db       *testdb.Database
	pool     *pgxpool.Pool
	workshop uuid.UUID
	client   *http.Client

	mu  sync.Mutex
	now time.Time
}

type shopSettings struct {
	trial    bool      // it has a clock of its own, at noon
	trialAt  time.Time // or at another time
	bare     bool      // it has no catalog
	poolSize int32
	files    func([]source.File) []source.File
}

func openShop(t testing.TB, set shopSettings) *shop {
	t.Helper()
	s := &shop{t: t, logged: &logText{}, db: testdb.New(t), workshop: uuid.New(), now: noon,
		client: &http.Client{Timeout: 30 * time.Second, Transport: &http.Transport{MaxIdleConnsPerHost: 64}}}
	t.Cleanup(s.client.CloseIdleConnections)
	config, err := pgxpool.ParseConfig(s.db.AppURL)
	if err != nil {
		t.Fatal(err)
	}
	config.MaxConns = 8
	if set.poolSize != 0 {
		config.MaxConns = set.poolSize
	}
	if s.pool, err = pgxpool.NewWithConfig(t.Context(), config); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(s.pool.Close)
	row := authdb.Workshop{ID: s.workshop, Code: "corrindale", Name: "Corrindale Metal and Wood", PageSecret: [32]byte{1, 2, 3}, Created: noon}
	if set.trial {
		row.TrialClock = &noon
	}
	if !set.trialAt.IsZero() {
		row.TrialClock = &set.trialAt
	}
	if err := pgx.BeginFunc(t.Context(), s.db.AdminPool(t), func(tx pgx.Tx) error { return authdb.CreateWorkshop(t.Context(), tx, row) }); err != nil {
		t.Fatal(err)
	}
	if !set.bare {
		files := demonstration.Files()
		if set.files != nil {
			files = set.files(files)
		}
		s.store(files)
	}
	s.serve()
	return s
}

// serve starts another instance of the service on the shop's database.
func (s *shop) serve() string {
	s.t.Helper()
	server, err := New(Settings{Log: slog.New(slog.NewJSONHandler(s.logged, nil)), Pool: s.pool, Ready: s.pool.Ping, Clock: s.clock})
	if err != nil {
		s.t.Fatal(err)
	}
	s.server, s.base = server, serve(s.t, server)
	return s.base
}

func (s *shop) clock() time.Time {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.now
}

func (s *shop) transact(act func(context.Context, pgx.Tx) error) {
	s.t.Helper()
	ctx := context.Background()
	err := tenancy.Transact(ctx, s.pool, tenancy.Scope{Workshop: s.workshop, Dealer: tenancy.AllDealers}, func(tx pgx.Tx) error { return act(ctx, tx) })
	if err != nil {
		s.t.Fatal(err)
	}
}

func (s *shop) store(files []source.File) {
	s.t.Helper()
	cat, faults := catalog.Read(files)
	if faults != nil {
		s.t.Fatal(faults)
	}
	s.transact(func(ctx context.Context, tx pgx.Tx) error {
		_, err := catalogdb.Store(ctx, tx, s.workshop, cat, "test", noon)
		return err
	})
}

// key makes a key for a role; "dealer studio-tamsel" is one for a dealer, and a
// trailing " test" makes it a test key.
func (s *shop) key(who string) string {
	s.t.Helper()
	who, test := strings.CutSuffix(who, " test")
	role, dealer, _ := strings.Cut(who, " ")
	text, key, err := NewKey(s.workshop, role, dealer, who, test, noon)
	if err != nil {
		s.t.Fatal(err)
	}
	s.transact(func(ctx context.Context, tx pgx.Tx) error { return authdb.InsertKey(ctx, tx, key) })
	return text
}

// reply is what came back.
type reply struct {
	status int
	header http.Header
	body   []byte
}

// ask sends a request; headers are "Name: value".
func (s *shop) ask(key, method, path, body string, headers ...string) reply {
	s.t.Helper()
	r, err := s.try(key, method, path, body, headers...)
	if err != nil {
		s.t.Fatal(err)
	}
	return r
}

func (s *shop) try(key, method, path, body string, headers ...string) (reply, error) {
	if !strings.HasPrefix(path, "http:") { // else it names the instance
		path = s.base + path
	}
	req, err := http.NewRequest(method, path, strings.NewReader(body))
	if err != nil {
		return reply{}, err
	}
	if key != "" {
		req.Header.Set("Authorization", "Bearer "+key)
	}
	if body != "" {
		req.Header.Set("Content-Type", "application/json")
	}
	for _, header := range headers {
		name, value, _ := strings.Cut(header, ": ")
		req.Header.Set(name, value)
	}
	got, err := s.client.Do(req)
	if err != nil {
		return reply{}, err
	}
	defer got.Body.Close()
	text, err := io.ReadAll(got.Body)
	return reply{got.StatusCode, got.Header, text}, err
}

// place posts an order under an idempotency key.
func (s *shop) place(key, once, body string) reply {
	s.t.Helper()
	return s.ask(key, "POST", "/v1/orders", body, "Idempotency-Key: "+once)
}

// placed posts an order that must be taken, and gives its number.
func (s *shop) placed(key, once, body string) string {
	s.t.Helper()
	r := s.place(key, once, body)
	r.want(s.t, 201)
	var order struct{ Number string }
	r.read(s.t, &order)
	return order.Number
}

func (r reply) want(t testing.TB, status int) reply {
	t.Helper()
	if r.status != status {
		t.Fatalf("status %d, want %d: %s", r.status, status, r.body)
	}
	return r
}

func (r reply) read(t testing.TB, into any) {
	t.Helper()
	if err := json.Unmarshal(r.body, into); err != nil {
		t.Fatalf("%v: %s", err, r.body)
	}
}

// problem reads a refusal of a status.
func (r reply) problem(t testing.TB, status int) Problem {
	t.Helper()
	r.want(t, status)
	if ct := r.header.Get("Content-Type"); ct != problemType {
		t.Errorf("content type %q", ct)
	}
	if hit := forbiddenInReplies.Find(r.body); hit != nil {
		t.Errorf("the reply gives away %q: %s", hit, r.body)
	}
	var p Problem
	r.read(t, &p)
	if p.Status != status || p.Detail == "" || p.RequestID == "" {
		t.Errorf("incomplete: %s", r.body)
	}
	return p
}

// faults lists a refusal's findings as "pointer code", in order.
func (r reply) faults(t testing.TB, status int) []string {
	t.Helper()
	var all []string
	for _, f := range r.problem(t, status).Errors {
		all = append(all, strings.TrimSpace(f.Pointer+f.Parameter+" "+f.Code))
	}
	return all
}

// order writes an order of the example's: with changes gives the fields that
// are other than there.
func (s *shop) order(changes map[string]any) string {
	s.t.Helper()
	var body map[string]any
	if err := json.Unmarshal(demonstration.Order(), &body); err != nil {
		s.t.Fatal(err)
	}
	for field, value := range changes {
		if value == nil {
			delete(body, field)
		} else {
			body[field] = value
		}
	}
	text, err := json.Marshal(body)
	if err != nil {
		s.t.Fatal(err)
	}
	return string(text)
}

// bench is the body of a small order.
func bench(po string, more ...string) string {
	return fmt.Sprintf(`{"po":%q%s,"lines":[{"product":"sallow-bench","quantity":1,"configuration":{"length":"4'","height":"1 ft 6 1/2 in","cloth":"sedge-stripe"}}]}`,
		po, strings.Join(more, ""))
}

func compact(t testing.TB, text []byte) string {
	t.Helper()
	var out bytes.Buffer
	if err := json.Compact(&out, text); err != nil {
		t.Fatal(err)
	}
	return out.String()
}
