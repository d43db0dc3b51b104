package main

import (
	"context"
	"errors"
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"time"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"

	"billwright/api/authdb"
	"billwright/catalog"
	"billwright/catalog/catalogdb"
	"billwright/catalog/difference"
	"billwright/catalog/source"
	"billwright/deploy/postgres"
	"billwright/migrations/tenancy"
)

// shelf is where the revisions of a workshop's catalog stand: its database, or
// a service that is asked over HTTP.
type shelf interface {
	files(ctx context.Context, revision int) ([]source.File, error)
	store(ctx context.Context, cat *catalog.Catalog, acceptChanges bool) (revision int, err error)
	// touched tells which open orders a difference touches. Errors: errNotAsked.
	touched(ctx context.Context, from, to *side, changes []difference.Change) ([]catalogdb.TouchedOrder, error)
	close()
}

// errNotAsked tells that a shelf cannot say which open orders are touched.
var errNotAsked = errors.New("a service tells them for two stored revisions only")

// place says which shelf is meant.
type place struct {
	Data, Workshop, URL, Key string
}

const defaultURL = "http://127.0.0.1:8417"

func (p *place) flags(flags *flag.FlagSet) {
	flags.StringVar(&p.Data, "data", "", "`folder` of the private database; without it the user's own state folder. With DATABASE_URL set, that database is meant")
	flags.StringVar(&p.Workshop, "workshop", "", "`code` of the workshop, where the database has several or the catalog goes by another")
	flags.StringVar(&p.URL, "url", "", "`address` of a running service to go through, such as "+defaultURL)
	flags.StringVar(&p.Key, "key", "", "`file` with an engineer's or owner's key for the running service")
}

// open opens the shelf: a service where an address or a key is given, or where
// one is running on the private database; else the database itself.
func (p *place) open(ctx context.Context) (shelf, error) {
	data, err := dataFolder(p.Data)
	if err != nil {
		return nil, err
	}
	if p.URL != "" || p.Key != "" {
		return p.openService(data)
	}
	s := settings{Data: data, DatabaseURL: os.Getenv("DATABASE_URL"), MigrateURL: os.Getenv("MIGRATE_DATABASE_URL"), Connections: 2}
	if s.DatabaseURL == "" && !postgres.Exists(filepath.Join(data, "postgres")) {
		return nil, fmt.Errorf("there is no database in %s yet: billwright start makes one; or name another folder with --data, a server with DATABASE_URL, or a running service with --url and --key", data)
	}
	db, err := openDatabase(ctx, s)
	if errors.Is(err, postgres.ErrInUse) {
		service, err := p.openService(data)
		if err != nil {
			return nil, fmt.Errorf("the service is running on this database: go through it with --url and --key (%w)", err)
		}
		return service, nil
	}
	if err != nil {
		return nil, err
	}
	found, err := p.workshop(ctx, db)
	if err != nil {
		db.close()
		return nil, err
	}
	return &databaseShelf{db: db, workshop: found}, nil
}

// workshop finds the workshop that is meant among those of a database.
func (p *place) workshop(ctx context.Context, db *database) (uuid.UUID, error) {
	if db.AdminURL == "" {
		return uuid.Nil, errors.New("the role of DATABASE_URL may not list workshops: set MIGRATE_DATABASE_URL to an administering one, or go through the running service with --url and --key")
	}
	known, err := listWorkshops(ctx, db.AdminURL)
	if err != nil {
		return uuid.Nil, err
	}
	var codes []string
	for _, w := range known {
		if w.Code == p.Workshop || p.Workshop == "" && len(known) == 1 {
			return w.ID, nil
		}
		codes = append(codes, w.Code)
	}
	switch {
	case len(codes) == 0:
		return uuid.Nil, errors.New("this database has no workshop yet: billwright start makes one")
	case p.Workshop == "":
		return uuid.Nil, fmt.Errorf("this database has several workshops: name one with --workshop: %s", strings.Join(codes, ", "))
	}
	hint := "this database has " + strings.Join(codes, ", ") + ": name the one that is meant with --workshop"
	if near, found := source.Nearest(p.Workshop, codes); found {
		hint = fmt.Sprintf("did you mean --workshop %s?", near)
	}
	return uuid.Nil, fmt.Errorf("there is no workshop %q here; %s", p.Workshop, hint)
}

// databaseShelf is a workshop's own database.
type databaseShelf struct {
	db       *database
	workshop uuid.UUID
}

func (d *databaseShelf) close() { d.db.close() }

func (d *databaseShelf) transact(ctx context.Context, act func(tx pgx.Tx) error) error {
	return tenancy.Transact(ctx, d.db.Pool, tenancy.Scope{Workshop: d.workshop, Dealer: tenancy.AllDealers}, act)
}

func (d *databaseShelf) files(ctx context.Context, revision int) (files []source.File, err error) {
	err = d.transact(ctx, func(tx pgx.Tx) error {
		files, err = catalogdb.Files(ctx, tx, d.workshop, revision)
		return err
	})
	if errors.Is(err, catalogdb.ErrNoRevision) {
		err = fmt.Errorf("there is no revision %d of the catalog", revision)
	}
	return files, err
}

// loader is who the trail says stored a revision that came by no key.
const loader = "billwright catalog load"

// storings bounds how often storing is tried while others store as well.
const storings = 10

func (d *databaseShelf) store(ctx context.Context, cat *catalog.Catalog, _ bool) (revision int, err error) {
	for range storings {
		now := time.Now()
		err = d.transact(ctx, func(tx pgx.Tx) error {
			if revision, err = catalogdb.Store(ctx, tx, d.workshop, cat, loader, now); err != nil {
				return err
			}
			after := fmt.Sprintf(`{"revision":%d,"effective":%q}`, revision, cat.Workshop.Effective)
			return authdb.Audit(ctx, tx, authdb.Entry{Workshop: d.workshop, At: now, Actor: loader, Role: "owner", Act: "catalog stored",
				Subject: fmt.Sprintf("revision %d", revision), After: []byte(after)})
		})
		if !errors.Is(err, catalogdb.ErrRevisionTaken) {
			break
		}
	}
	return revision, err
}

func (d *databaseShelf) touched(ctx context.Context, from, to *side, changes []difference.Change) (touched []catalogdb.TouchedOrder, err error) {
	err = d.transact(ctx, func(tx pgx.Tx) error {
		touched, err = catalogdb.Touched(ctx, tx, d.workshop, difference.Touched(from.catalog, changes).Closing(to.catalog))
		return err
	})
	return touched, err
}
