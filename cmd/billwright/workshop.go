package main

import (
	"context"
	"crypto/rand"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"time"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"

	"billwright/api"
	"billwright/api/authdb"
	"billwright/catalog"
	"billwright/catalog/calendar"
	"billwright/catalog/catalogdb"
	"billwright/catalog/demonstration"
	"billwright/migrations"
	"billwright/migrations/tenancy"
)

// workshop is what start needs to know of the workshop it serves.
type workshop struct {
	ID   uuid.UUID
	Name string
	// Demonstration tells that its current catalog is the one the program
	// ships for trying out. Key is then that of the demonstration dealer.
	Demonstration bool
	Key           string
}

// prepareWorkshop sets an empty database up with the catalog told, or with the
// demonstration; of one that has a workshop it changes nothing but a missing
// key file.
func prepareWorkshop(ctx context.Context, s settings, db *database) (workshop, error) {
	if db.AdminURL == "" {
		return workshop{ID: s.Workshop, Name: "the workshops of this database"}, nil
	}
	known, err := listWorkshops(ctx, db.AdminURL)
	if err != nil {
		return workshop{}, err
	}
	switch {
	case len(known) == 0:
		return setUp(ctx, s, db)
	case s.Clock != nil && known[0].TrialClock == nil:
		return workshop{}, fmt.Errorf("%s is a live workshop: its clock is the real one, and --clock is for a new database only", known[0].Name)
	case len(known) > 1:
		return oneOf(known, s.Workshop)
	}
	return findWorkshop(ctx, s, db, known[0])
}

// oneOf is the workshop whose pages are served; none when none was told.
func oneOf(known []authdb.Workshop, id uuid.UUID) (workshop, error) {
	if id == uuid.Nil {
		return workshop{Name: fmt.Sprintf("%d workshops", len(known))}, nil
	}
	for i := range known {
		if known[i].ID == id {
			return workshop{ID: id, Name: known[i].Name}, nil
		}
	}
	return workshop{}, fmt.Errorf("%w: this database has no workshop %s", errUsage, id)
}

// asOwner opens a connection in the role that owns the tables and may see every
// workshop.
func asOwner(ctx context.Context, adminURL string) (*pgx.Conn, error) {
	config, err := pgx.ParseConfig(adminURL)
	if err != nil {
		return nil, fmt.Errorf("read the connection string: %w", err)
	}
	config.RuntimeParams["role"] = migrations.OwnerRole
	conn, err := pgx.ConnectConfig(ctx, config)
	if err != nil {
		return nil, fmt.Errorf("connect as the owner of the tables: %w", err)
	}
	return conn, nil
}

func listWorkshops(ctx context.Context, adminURL string) (known []authdb.Workshop, err error) {
	conn, err := asOwner(ctx, adminURL)
	if err != nil {
		return nil, err
	}
	defer conn.Close(ctx)
	err = pgx.BeginFunc(ctx, conn, func(tx pgx.Tx) error {
		known, err = authdb.ListWorkshops(ctx, tx)
		return err
	})
	return known, err
}

func setUp(ctx context.Context, s settings, db *database) (workshop, error) {
	cat, err := firstCatalog(s)
	if err != nil {
		return workshop{}, err
	}
	shop := authdb.Workshop{Code: cat.Workshop.Code, Name: cat.Workshop.Name, TrialClock: s.Clock, Created: time.Now()}
	if s.Clock != nil {
		shop.Created = *s.Clock
	}
	if shop.ID, err = uuid.NewV7(); err != nil {
		return workshop{}, err
	}
	if _, err := rand.Read(shop.PageSecret[:]); err != nil {
		return workshop{}, err
	}
	if err := createWorkshop(ctx, db.AdminURL, shop); err != nil {
		return workshop{}, err
	}
	return findWorkshop(ctx, s, db, shop)
}

// firstCatalog is the catalog that an empty database is set up with.
func firstCatalog(s settings) (*catalog.Catalog, error) {
	if s.Catalog != "" {
		return readCatalog(s.Catalog, os.Stderr)
	}
	cat, faults := catalog.Read(demonstration.Files())
	if len(faults) > 0 {
		return nil, fmt.Errorf("the demonstration catalog has faults: %w", errors.Join(asErrors(faults)...))
	}
	return cat, nil
}

func createWorkshop(ctx context.Context, adminURL string, shop authdb.Workshop) error {
	conn, err := asOwner(ctx, adminURL)
	if err != nil {
		return err
	}
	defer conn.Close(ctx)
	return pgx.BeginFunc(ctx, conn, func(tx pgx.Tx) error { return authdb.CreateWorkshop(ctx, tx, shop) })
}

// findWorkshop reads whether the workshop's current catalog is the
// demonstration, and makes the key files that are missing. A workshop without
// any revision, new or left so by a set-up that was cut short, gets its first.
func findWorkshop(ctx context.Context, s settings, db *database, shop authdb.Workshop) (workshop, error) {
	found := workshop{ID: shop.ID, Name: shop.Name}
	now := time.Now()
	if shop.TrialClock != nil {
		now = *shop.TrialClock
	}
	scope := tenancy.Scope{Workshop: shop.ID, Dealer: tenancy.AllDealers}
	err := tenancy.Transact(ctx, db.Pool, scope, func(tx pgx.Tx) (err error) {
		if err := storeFirst(ctx, tx, s, shop, now); err != nil {
			return err
		}
		found.Demonstration, err = demonstrates(ctx, tx, shop.ID, now)
		return err
	})
	if err != nil {
		return found, err
	}
	if !found.Demonstration {
		_, err = keepKey(ctx, s, db, scope, newKey{workshopKeyFile, "owner", "", "set-up"}, now)
		return found, err
	}
	found.Key, err = keepKey(ctx, s, db, scope, newKey{dealerKeyFile, "dealer", demonstration.Dealer, "demonstration"}, now)
	if err == nil {
		_, err = keepKey(ctx, s, db, scope, newKey{ownerKeyFile, "owner", "", "demonstration"}, now)
	}
	return found, err
}

// storeFirst stores the first revision of a workshop that has none.
func storeFirst(ctx context.Context, tx pgx.Tx, s settings, shop authdb.Workshop, now time.Time) error {
	revisions, err := catalogdb.Revisions(ctx, tx, shop.ID)
	if err != nil || len(revisions) > 0 {
		return err
	}
	cat, err := firstCatalog(s)
	if err != nil {
		return err
	}
	if cat.Workshop.Code != shop.Code {
		return fmt.Errorf("the database was set up for the workshop %s and has no catalog yet; the one given is of %s", shop.Code, cat.Workshop.Code)
	}
	if _, err := catalogdb.Store(ctx, tx, shop.ID, cat, "set-up", now); err != nil {
		return fmt.Errorf("store the first catalog: %w", err)
	}
	return nil
}

// demonstrates tells whether the catalog in force is the demonstration.
func demonstrates(ctx context.Context, tx pgx.Tx, shop uuid.UUID, now time.Time) (bool, error) {
	revision, err := catalogdb.Current(ctx, tx, shop, calendar.DateOf(now))
	if errors.Is(err, catalogdb.ErrNoRevision) {
		return false, nil
	}
	if err != nil {
		return false, err
	}
	cat, err := catalogdb.Load(ctx, tx, shop, revision)
	if err != nil {
		return false, err
	}
	return cat.Workshop.Demonstration, nil
}

// The key files in the data folder, mode 0600: the demonstration's two, and the
// owner's of a workshop of one's own.
const (
	dealerKeyFile   = "demonstration-key"
	ownerKeyFile    = "demonstration-owner-key"
	workshopKeyFile = "owner-key"
)

// newKey is a key to make when its file is not there.
type newKey struct{ file, role, dealer, name string }

// keepKey reads a key from its file, or makes one and stores its hash.
func keepKey(ctx context.Context, s settings, db *database, scope tenancy.Scope, k newKey, now time.Time) (string, error) {
	return keep(filepath.Join(s.Data, k.file), func() (string, error) {
		text, key, err := api.NewKey(scope.Workshop, k.role, k.dealer, k.name, false, now)
		if err != nil {
			return "", err
		}
		err = tenancy.Transact(ctx, db.Pool, scope, func(tx pgx.Tx) error { return authdb.InsertKey(ctx, tx, key) })
		return text, err
	})
}

func asErrors[F interface{ Error() string }](faults []F) []error {
	all := make([]error, len(faults))
	for i, fault := range faults {
		all[i] = errors.New(fault.Error())
	}
	return all
}

// readKey reads a key file.
func readKey(path string) (string, error) {
	text, err := os.ReadFile(path)
	if err != nil {
		return "", fmt.Errorf("read the key: %w", err)
	}
	return strings.TrimSpace(string(text)), nil
}
