package testdb

import (
	"context"
	"errors"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"testing"
	"time"

	"github.com/jackc/pgx/v5"
	"github.com/jackc/pgx/v5/pgconn"

	"billwright/deploy/postgres"
	"billwright/migrations"
)

// emptyServer is one without any of our roles, as a new container's.
func emptyServer(ctx context.Context, t *testing.T) *postgres.Server {
	t.Helper()
	dir, err := os.MkdirTemp("", "billwright-roles-")
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { os.RemoveAll(dir) })
	if err := os.Chmod(dir, 0o711); err != nil { // the server runs under another account when this is root
		t.Fatal(err)
	}
	server, err := postgres.Start(ctx, postgres.Options{Dir: filepath.Join(dir, "database"), Ephemeral: true})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := server.Stop(context.WithoutCancel(ctx)); err != nil {
			t.Error(err)
		}
	})
	return server
}

// exec1 runs one statement on a connection of its own.
func exec1(ctx context.Context, address, sql string) error {
	conn, err := pgx.Connect(ctx, address)
	if err != nil {
		return err
	}
	defer conn.Close(ctx)
	_, err = conn.Exec(ctx, sql)
	return err
}

// docker-compose.yml hands deploy/roles.sql to its database image; here a real server runs it.
func TestRolesOfTheComposeFile(t *testing.T) {
	ctx, cancel := context.WithTimeout(context.Background(), time.Minute)
	defer cancel()
	server := emptyServer(ctx, t)
	if err := exec1(ctx, server.URL(postgres.Superuser, "postgres"), `create database billwright template template0`); err != nil {
		t.Fatal(err)
	}
	admin := server.URL(postgres.Superuser, "billwright")

	// The image calls psql on each .sql file of its start folder.
	psql := exec.CommandContext(ctx, "psql", "--no-psqlrc", "--no-password", "--dbname", admin, "--file", "../../roles.sql")
	psql.Env = append(os.Environ(), "MIGRATE_PASSWORD=it's one", "APP_PASSWORD=another")
	if out, err := psql.CombinedOutput(); err != nil {
		t.Fatalf("psql: %v\n%s", err, out)
	}

	// The service's start: EnsureRoles and Up as billwright_migrate, twice, as after a restart.
	migrate := server.URL("billwright_migrate", "billwright")
	for range 2 {
		if err := migrations.EnsureRoles(ctx, migrate); err != nil {
			t.Fatal(err)
		}
		if err := migrations.Up(ctx, migrate); err != nil {
			t.Fatal(err)
		}
	}

	app := server.URL("billwright_app", "billwright")
	if err := exec1(ctx, app, `select from workshop`); err != nil {
		t.Errorf("the service's role cannot read: %v", err)
	}
	for _, sql := range []string{`drop table workshop`, `create role more`, `set role billwright_owner`, `create table more (n int)`} {
		var refused *pgconn.PgError
		// 42501 insufficient_privilege (PostgreSQL manual, appendix A)
		if err := exec1(ctx, app, sql); !errors.As(err, &refused) || refused.Code != "42501" {
			t.Errorf("the service's role: %s: got %v, want refusal 42501", sql, err)
		}
	}
	conn, err := pgx.Connect(ctx, admin)
	if err != nil {
		t.Fatal(err)
	}
	defer conn.Close(ctx)
	rows, _ := conn.Query(ctx, `select rolname || case when rolpassword is null then ' without' else ' with' end || ' password'
		|| case when rolsuper then ', superuser' else '' end || case when rolbypassrls then ', past row-level security' else '' end
		from pg_authid where rolname like 'billwright%' order by rolname`)
	got, err := pgx.CollectRows(rows, pgx.RowTo[string])
	if err != nil {
		t.Fatal(err)
	}
	want := []string{"billwright_app with password", "billwright_migrate with password", "billwright_owner without password", "billwright_report without password"}
	if !slices.Equal(got, want) {
		t.Errorf("roles %q\nwant  %q", got, want)
	}
}
