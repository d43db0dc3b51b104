package desk

import (
	"context"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"os"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"
	"github.com/jackc/pgx/v5/pgxpool"

	"billwright/api"
	"billwright/api/authdb"
	"billwright/catalog"
	"billwright/catalog/catalogdb"
	"billwright/catalog/demonstration"
	"billwright/deploy/postgres/testdb"
	"billwright/migrations/tenancy"
)

func TestMain(m *testing.M) { testdb.Main(m, func() { endBrowser() }) }

// noon is a Wednesday on which the demonstration catalog is in force.
var noon = time.Date(2026, 11, 25, 18, 0, 0, 0, time.UTC)

// shop is a trial workshop with the demonstration catalog, its interface and its
// desk served on loopback from a database of its own.
type shop struct {
	t        testing.TB
	base     string
	api      *api.Server
	pool     *pgxpool.Pool
	admin    *pgxpool.Pool
	workshop uuid.UUID
	// down cuts every connection instead of answering.
	down atomic.Bool
}

func openShop(t testing.TB) *shop {
	t.Helper()
	db := testdb.New(t)
	s := &shop{t: t, workshop: uuid.New(), pool: db.Pool(t), admin: db.AdminPool(t)}
	row := authdb.Workshop{ID: s.workshop, Code: "corrindale", Name: "Corrindale Metal and Wood", PageSecret: [32]byte{1, 2, 3}, Created: noon, TrialClock: &noon}
	if err := pgx.BeginFunc(t.Context(), s.admin, func(tx pgx.Tx) error { return authdb.CreateWorkshop(t.Context(), tx, row) }); err != nil {
		t.Fatal(err)
	}
	cat, faults := catalog.Read(demonstration.Files())
	if faults != nil {
		t.Fatal(faults)
	}
	s.transact(func(ctx context.Context, tx pgx.Tx) error {
		_, err := catalogdb.Store(ctx, tx, s.workshop, cat, "test", noon)
		return err
	})
	log := slog.New(slog.NewTextHandler(os.Stderr, &slog.HandlerOptions{Level: slog.LevelError}))
	server, err := api.New(api.Settings{Log: log, Pool: s.pool, Ready: s.pool.Ping})
	if err != nil {
		t.Fatal(err)
	}
	s.api = server
	pages, err := New(Settings{API: server, Workshop: s.workshop, Name: row.Name, Log: log})
	if err != nil {
		t.Fatal(err)
	}
	handler := pages.Handler()
	web := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if s.down.Load() {
			panic(http.ErrAbortHandler)
		}
		handler.ServeHTTP(w, r)
	}))
	t.Cleanup(web.Close)
	s.base = web.URL
	return s
}

func (s *shop) transact(act func(context.Context, pgx.Tx) error) {
	s.t.Helper()
	ctx := context.Background()
	if err := tenancy.Transact(ctx, s.pool, tenancy.Scope{Workshop: s.workshop, Dealer: tenancy.AllDealers}, func(tx pgx.Tx) error { return act(ctx, tx) }); err != nil {
		s.t.Fatal(err)
	}
}

const password = "four ash legs welded"

// person lets somebody in, the first one as the first admin.
func (s *shop) person(name string, roles ...string) api.Person {
	s.t.Helper()
	ctx := context.Background()
	admin := api.Person{Workshop: s.workshop, Name: "Set-up", Roles: []string{"admin"}}
	if err := s.api.AddPerson(ctx, admin, api.NewPerson{Name: name, Password: password, Roles: roles}); err != nil {
		s.t.Fatal(err)
	}
	listed, err := s.api.People(ctx, admin)
	if err != nil {
		s.t.Fatal(err)
	}
	for _, p := range listed {
		if p.Name == name {
			return p.Person
		}
	}
	s.t.Fatalf("%s was not let in", name)
	return api.Person{}
}

// ask asks the interface as a person, past the pages.
func (s *shop) ask(p api.Person, method, path, body string, headers ...string) *httptest.ResponseRecorder {
	s.t.Helper()
	r := httptest.NewRequest(method, path, strings.NewReader(body))
	if body == "" {
		r.Body = http.NoBody
	}
	r.Header.Set("Content-Type", "application/json")
	for i := 0; i+1 < len(headers); i += 2 {
		r.Header.Set(headers[i], headers[i+1])
	}
	w := httptest.NewRecorder()
	s.api.As(p).ServeHTTP(w, r)
	return w
}

// signedIn opens a window in which a person with the roles has signed in.
func (s *shop) signedIn(name string, roles ...string) *tab {
	s.t.Helper()
	s.person(name, roles...)
	b := s.openTab()
	b.open("/sign-in")
	b.press(name + "\t" + password + "\r")
	b.await(`document.querySelector(".who-am-i") !== null`)
	b.keys = 0
	return b
}
