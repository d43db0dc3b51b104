package migrations_test

import (
	"context"
	"fmt"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/jackc/pgx/v5"

	"billwright/deploy/postgres/testdb"
	"billwright/migrations"
)

// emptyDatabase makes a database beside a test's own, without any migration.
func emptyDatabase(t *testing.T, name string) (address string) {
	t.Helper()
	db := testdb.New(t)
	name = db.Name + "_" + name
	ctx, cancel := context.WithTimeout(context.Background(), time.Minute)
	defer cancel()
	admin := db.AdminPool(t)
	if _, err := admin.Exec(ctx, `create database `+name+` template template0`); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		ctx, cancel := context.WithTimeout(context.Background(), time.Minute)
		defer cancel()
		conn, err := pgx.Connect(ctx, db.AdminURL)
		if err != nil {
			t.Fatal(err)
		}
		defer conn.Close(ctx)
		if _, err := conn.Exec(ctx, `drop database `+name+` with (force)`); err != nil {
			t.Error(err)
		}
	})
	u, err := url.Parse(db.AdminURL)
	if err != nil {
		t.Fatal(err)
	}
	u.Path = "/" + name
	return u.String()
}

// written are the migrations' texts.
func written(t *testing.T) []string {
	t.Helper()
	paths, err := filepath.Glob("*.sql")
	if err != nil || len(paths) == 0 {
		t.Fatalf("no migrations: %v", err)
	}
	texts := make([]string, len(paths))
	for i, path := range paths {
		text, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		texts[i] = string(text)
	}
	return texts
}

// tablesWritten counts the tables that the migrations say they make.
func tablesWritten(t *testing.T) (tables int) {
	t.Helper()
	for _, text := range written(t) {
		tables += strings.Count("\n"+text, "\ncreate table ")
	}
	return tables
}

func TestEightMigratorsAtOnce(t *testing.T) {
	for round := range 3 {
		address := emptyDatabase(t, fmt.Sprint("round", round))
		ctx, cancel := context.WithTimeout(context.Background(), 2*time.Minute)
		var wg sync.WaitGroup
		for migrator := range 8 {
			wg.Go(func() {
				if err := migrations.EnsureRoles(ctx, address); err != nil {
					t.Errorf("round %d, migrator %d: %v", round, migrator, err)
				}
				if err := migrations.Up(ctx, address); err != nil {
					t.Errorf("round %d, migrator %d: %v", round, migrator, err)
				}
			})
		}
		wg.Wait()
		if pending, err := migrations.Pending(ctx, address); pending || err != nil {
			t.Errorf("round %d: pending %v, %v", round, pending, err)
		}
		conn, err := pgx.Connect(ctx, address)
		if err != nil {
			t.Fatal(err)
		}
		var twice, tables int
		err = conn.QueryRow(ctx, `
select (select count(*) from (select from goose_db_version group by version_id having count(*) > 1) as again),
    (select count(*) from pg_class where relkind = 'r' and relnamespace = 'public'::regnamespace and relowner = 'billwright_owner'::regrole)`).Scan(&twice, &tables)
		if err != nil || twice != 0 || tables != tablesWritten(t)+1 { // and that of the migrations themselves
			t.Errorf("round %d: %d migrations were applied twice, the owner has %d tables: %v", round, twice, tables, err)
		}
		conn.Close(ctx)
		cancel()
	}
}

func TestDownTakesEverythingBack(t *testing.T) {
	address := emptyDatabase(t, "down")
	ctx, cancel := context.WithTimeout(context.Background(), time.Minute)
	defer cancel()
	if err := migrations.EnsureRoles(ctx, address); err != nil {
		t.Fatal(err)
	}
	for range 2 {
		if pending, err := migrations.Pending(ctx, address); !pending || err != nil {
			t.Fatalf("an empty database: pending %v, %v", pending, err)
		}
		if err := migrations.Up(ctx, address); err != nil {
			t.Fatal(err)
		}
		left := []string{"everything"}
		for step := 0; len(left) > 0 && step < 20; step++ { // each step takes back one file
			if err := migrations.Down(ctx, address); err != nil {
				t.Fatalf("step %d, with %q left: %v", step+1, left, err)
			}
			left = relations(ctx, t, address)
		}
		if len(left) > 0 {
			t.Errorf("stepping back left %q", left)
		}
	}
}

// relations are the tables, indexes and the like in a database, but those of
// the migrations themselves.
func relations(ctx context.Context, t *testing.T, address string) (names []string) {
	t.Helper()
	conn, err := pgx.Connect(ctx, address)
	if err != nil {
		t.Fatal(err)
	}
	defer conn.Close(ctx)
	err = conn.QueryRow(ctx, `
select coalesce(array_agg(relname::text), '{}') from pg_class
where relnamespace = 'public'::regnamespace and relname not like 'goose\_db\_version%'`).Scan(&names)
	if err != nil {
		t.Fatal(err)
	}
	return names
}
