package authdb

import (
	"context"
	"crypto/sha256"
	"errors"
	"reflect"
	"testing"
	"time"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"
	"github.com/jackc/pgx/v5/pgconn"
	"github.com/jackc/pgx/v5/pgxpool"

	"billwright/deploy/postgres/testdb"
	"billwright/migrations"
	"billwright/migrations/tenancy"
)

func TestMain(m *testing.M) { testdb.Main(m) }

var madeAt = time.Date(2026, 11, 25, 9, 30, 0, 0, time.UTC)

const tamsel = "studio-tamsel"

type shop struct {
	t           *testing.T
	ctx         context.Context
	pool, admin *pgxpool.Pool
	Workshop
}

// open makes a database with one workshop, live or with a trial clock, and two
// dealers.
func open(t *testing.T, clock *time.Time) *shop {
	t.Helper()
	db := testdb.New(t)
	ctx, cancel := context.WithTimeout(context.Background(), time.Minute)
	t.Cleanup(cancel)
	s := &shop{t: t, ctx: ctx, pool: db.Pool(t), admin: db.AdminPool(t)}
	s.Workshop = s.found("corrindale", clock)
	return s
}

func (s *shop) found(code string, clock *time.Time) Workshop {
	s.t.Helper()
	w := Workshop{ID: uuid.Must(uuid.NewV7()), Code: code, Name: "Corrindale Metal and Wood", TrialClock: clock, PageSecret: sha256.Sum256([]byte(code)), Created: madeAt}
	err := tenancy.Transact(s.ctx, s.admin, tenancy.Scope{Workshop: w.ID, Dealer: "*"}, func(tx pgx.Tx) error {
		if err := CreateWorkshop(s.ctx, tx, w); err != nil {
			return err
		}
		_, err := tx.Exec(s.ctx, `insert into dealer (workshop_id, dealer_id, name) values ($1, 'studio-tamsel', 'Studio Tamsel'), ($1, 'orrin-house', 'Orrin House')`, w.ID)
		return err
	})
	if err != nil {
		s.t.Fatal(err)
	}
	return w
}

func (s *shop) as(dealer string, act func(tx pgx.Tx) error) error {
	return tenancy.Transact(s.ctx, s.pool, tenancy.Scope{Workshop: s.ID, Dealer: dealer}, act)
}

func (s *shop) must(act func(tx pgx.Tx) error) {
	s.t.Helper()
	if err := s.as("*", act); err != nil {
		s.t.Fatal(err)
	}
}

func (s *shop) key(name, role, dealer string) Key {
	return Key{Workshop: s.ID, ID: uuid.Must(uuid.NewV7()), Dealer: dealer, Role: role, Name: name, Created: madeAt, SecretSHA256: sha256.Sum256([]byte(name))}
}

func utc(k Key) Key {
	k.Created = k.Created.UTC()
	if k.Revoked != nil {
		at := k.Revoked.UTC()
		k.Revoked = &at
	}
	return k
}

func TestKeysComeBackAsStored(t *testing.T) {
	s := open(t, nil)
	dealers := s.key("Tamsel's website", "dealer", tamsel)
	dealers.Test = true
	owners := s.key("Owner", "owner", "")
	owners.Created = madeAt.Add(time.Hour)
	s.must(func(tx pgx.Tx) error { return errors.Join(InsertKey(s.ctx, tx, owners), InsertKey(s.ctx, tx, dealers)) })
	s.must(func(tx pgx.Tx) error {
		for _, want := range []Key{dealers, owners} {
			got, err := FindKey(s.ctx, tx, s.ID, want.ID)
			if err != nil || !reflect.DeepEqual(utc(got), want) {
				t.Errorf("found %+v, %v; want %+v", got, err, want)
			}
		}
		keys, err := ListKeys(s.ctx, tx, s.ID)
		if len(keys) != 2 || keys[0].ID != dealers.ID || keys[1].ID != owners.ID {
			t.Errorf("the list is %+v", keys)
		}
		return err
	})
}

func TestKeyIsRevokedOnce(t *testing.T) {
	s := open(t, nil)
	k := s.key("Owner", "owner", "")
	s.must(func(tx pgx.Tx) error { return InsertKey(s.ctx, tx, k) })
	for _, at := range []time.Time{madeAt.Add(time.Hour), madeAt.Add(2 * time.Hour)} {
		s.must(func(tx pgx.Tx) error { return RevokeKey(s.ctx, tx, s.ID, k.ID, at) })
		s.must(func(tx pgx.Tx) error {
			got, err := FindKey(s.ctx, tx, s.ID, k.ID)
			if err == nil && (got.Revoked == nil || !got.Revoked.Equal(madeAt.Add(time.Hour))) {
				t.Errorf("revoked at %v", got.Revoked)
			}
			return err
		})
	}
}

func TestKeyThatIsNotThere(t *testing.T) {
	s := open(t, nil)
	elsewhere := *s
	elsewhere.Workshop = s.found("wickerlode", nil)
	theirs, ours := elsewhere.key("Owner", "owner", ""), s.key("Owner", "owner", "")
	elsewhere.must(func(tx pgx.Tx) error { return InsertKey(s.ctx, tx, theirs) })
	s.must(func(tx pgx.Tx) error { return InsertKey(s.ctx, tx, ours) })
	for name, id := range map[string]uuid.UUID{"an unknown key": uuid.New(), "another workshop's key": theirs.ID} {
		for _, act := range []func(tx pgx.Tx) error{
			func(tx pgx.Tx) error { _, err := FindKey(s.ctx, tx, s.ID, id); return err },
			func(tx pgx.Tx) error { _, err := FindKey(s.ctx, tx, elsewhere.ID, id); return err },
			func(tx pgx.Tx) error { return RevokeKey(s.ctx, tx, s.ID, id, madeAt) },
			func(tx pgx.Tx) error { return RevokeKey(s.ctx, tx, elsewhere.ID, id, madeAt) },
		} {
			if err := s.as("*", act); !errors.Is(err, ErrNoKey) {
				t.Errorf("%s: %v", name, err)
			}
		}
	}
	// A dealer sees none of the workshop's own keys.
	err := s.as(tamsel, func(tx pgx.Tx) error { _, err := FindKey(s.ctx, tx, s.ID, ours.ID); return err })
	if !errors.Is(err, ErrNoKey) {
		t.Errorf("a dealer asks for the owner's key: %v", err)
	}
}

func TestKeyThatMakesNoSense(t *testing.T) {
	s := open(t, nil)
	used := s.key("Owner", "owner", "")
	s.must(func(tx pgx.Tx) error { return InsertKey(s.ctx, tx, used) })
	for name, test := range map[string]struct {
		key        Key
		constraint string
	}{
		"a dealer's role without a dealer": {s.key("x", "dealer", ""), "api_key_dealer_role"},
		"an owner of a dealer":             {s.key("x", "owner", tamsel), "api_key_dealer_role"},
		"an unknown role":                  {s.key("x", "king", ""), "api_key_role"},
		"an unknown dealer":                {s.key("x", "dealer", "nobody"), "api_key_dealer_fk"},
		"an id used before":                {used, "api_key_pk"},
	} {
		err := s.as("*", func(tx pgx.Tx) error { return InsertKey(s.ctx, tx, test.key) })
		var refused *pgconn.PgError
		if !errors.As(err, &refused) || refused.ConstraintName != test.constraint {
			t.Errorf("%s: %v", name, err)
		}
	}
}

func TestWorkshopsComeBackAsStored(t *testing.T) {
	clock := madeAt.Add(24 * time.Hour)
	s := open(t, &clock)
	other := s.found("alderney", nil)
	s.must(func(tx pgx.Tx) error {
		got, err := FindWorkshop(s.ctx, tx, s.ID)
		if err != nil {
			return err
		}
		if got.TrialClock == nil || !got.TrialClock.Equal(clock) || !got.Created.Equal(madeAt) {
			t.Errorf("the workshop is %+v", got)
		}
		got.TrialClock, got.Created = s.TrialClock, s.Created
		if got != s.Workshop {
			t.Errorf("the workshop is %+v, want %+v", got, s.Workshop)
		}
		if _, err := FindWorkshop(s.ctx, tx, other.ID); !errors.Is(err, ErrNoWorkshop) {
			t.Errorf("another workshop: %v", err)
		}
		seen, err := ListWorkshops(s.ctx, tx)
		if len(seen) != 1 || seen[0].ID != s.ID {
			t.Errorf("a workshop sees %+v", seen)
		}
		return err
	})
	err := pgx.BeginFunc(s.ctx, s.admin, func(tx pgx.Tx) error {
		all, err := ListWorkshops(s.ctx, tx)
		if len(all) != 2 || all[0].Code != "alderney" || all[1].Code != "corrindale" {
			t.Errorf("the superuser sees %+v", all)
		}
		return err
	})
	if err != nil {
		t.Error(err)
	}
}

// The owner of the tables makes and lists workshops, though row-level security
// is forced on it; the service's role does not, 42501 being
// insufficient_privilege (PostgreSQL manual, appendix A).
func TestWhoMakesWorkshops(t *testing.T) {
	s := open(t, nil)
	w := Workshop{ID: uuid.New(), Code: "made", Name: "Made", Created: madeAt}
	var refused *pgconn.PgError
	err := tenancy.Transact(s.ctx, s.pool, tenancy.Scope{Workshop: w.ID, Dealer: "*"}, func(tx pgx.Tx) error { return CreateWorkshop(s.ctx, tx, w) })
	if !errors.As(err, &refused) || refused.Code != "42501" {
		t.Errorf("the service makes a workshop: %v", err)
	}
	config := s.admin.Config().ConnConfig
	config.RuntimeParams["role"] = migrations.OwnerRole
	conn, err := pgx.ConnectConfig(s.ctx, config)
	if err != nil {
		t.Fatal(err)
	}
	defer conn.Close(context.WithoutCancel(s.ctx))
	err = pgx.BeginFunc(s.ctx, conn, func(tx pgx.Tx) error {
		if err := CreateWorkshop(s.ctx, tx, w); err != nil {
			return err
		}
		all, err := ListWorkshops(s.ctx, tx)
		if len(all) != 2 {
			t.Errorf("the owner sees %+v", all)
		}
		return err
	})
	if err != nil {
		t.Errorf("the owner makes a workshop: %v", err)
	}
}

func TestTrialClock(t *testing.T) {
	clock := madeAt
	trial := open(t, &clock)
	live := *trial
	live.Workshop = trial.found("wickerlode", nil)
	moved := madeAt.Add(72 * time.Hour)
	trial.must(func(tx pgx.Tx) error { return SetTrialClock(trial.ctx, tx, trial.ID, moved) })
	trial.must(func(tx pgx.Tx) error {
		got, err := FindWorkshop(trial.ctx, tx, trial.ID)
		if err == nil && (got.TrialClock == nil || !got.TrialClock.Equal(moved)) {
			t.Errorf("the clock stands at %v", got.TrialClock)
		}
		return err
	})
	err := live.as("*", func(tx pgx.Tx) error { return SetTrialClock(live.ctx, tx, live.ID, moved) })
	if !errors.Is(err, ErrNoTrial) {
		t.Errorf("a live workshop: %v", err)
	}
	err = live.as("*", func(tx pgx.Tx) error { return SetTrialClock(live.ctx, tx, trial.ID, moved) })
	if !errors.Is(err, ErrNoTrial) {
		t.Errorf("another workshop's clock: %v", err)
	}
	if err := trial.as(tamsel, func(tx pgx.Tx) error { return SetTrialClock(trial.ctx, tx, trial.ID, moved) }); err == nil {
		t.Error("a dealer moved the clock")
	}
}

func TestAuditEntries(t *testing.T) {
	s := open(t, nil)
	given := uuid.Must(uuid.NewV7())
	entries := []Entry{
		{Workshop: s.ID, ID: given, At: madeAt, Actor: "Owner", Role: "owner", Act: "key made", Subject: "key 1", After: []byte(`{"role": "buyer"}`), Reason: "asked by post"},
		{Workshop: s.ID, Dealer: tamsel, At: madeAt, Actor: "Tamsel", Role: "dealer", Act: "order cancelled", Subject: "7K3M-9QXD", Before: []byte(`{"state": "received"}`), After: []byte(`{"state": "cancelled"}`)},
	}
	s.must(func(tx pgx.Tx) error { return errors.Join(Audit(s.ctx, tx, entries[0]), Audit(s.ctx, tx, entries[1])) })
	if err := s.as(tamsel, func(tx pgx.Tx) error {
		return Audit(s.ctx, tx, Entry{Workshop: s.ID, Dealer: "orrin-house", At: madeAt})
	}); err == nil {
		t.Error("a dealer wrote an act of another dealer's")
	}
	var stored, whole int
	err := s.admin.QueryRow(s.ctx, `
select count(*), count(*) filter (where
    audit_id = $1 and dealer_id = '' and actor = 'Owner' and act = 'key made' and before is null and after ->> 'role' = 'buyer' and reason = 'asked by post'
    or dealer_id = $2 and substr(audit_id::text, 15, 1) = '7' and before ->> 'state' = 'received' and after ->> 'state' = 'cancelled' and at = $3)
from audit`, given, tamsel, madeAt).Scan(&stored, &whole)
	if err != nil || stored != 2 || whole != 2 {
		t.Errorf("%d entries, %d of them whole: %v", stored, whole, err)
	}
}
