// Package migrations holds the database's shape as numbered SQL files and brings
// a database to it.
//
// Up and EnsureRoles need a direct connection string (not one through a
// transaction pooler) of a role that may create roles, such as the superuser of
// the private server. The tables belong to billwright_owner, which cannot log
// in; the service connects as billwright_app, which owns nothing.
package migrations

import (
	"context"
	"database/sql"
	"embed"
	"fmt"

	"github.com/jackc/pgx/v5"
	"github.com/jackc/pgx/v5/stdlib"
	"github.com/pressly/goose/v3"
	"github.com/pressly/goose/v3/lock"
)

//go:embed *.sql
var files embed.FS

// The roles that EnsureRoles makes.
const (
	OwnerRole  = "billwright_owner"
	AppRole    = "billwright_app"
	ReportRole = "billwright_report"
)

// EnsureRoles creates the roles that are missing and lets the owner role create
// tables in the connected database. It changes no password. Several processes
// may run it at once.
func EnsureRoles(ctx context.Context, adminURL string) error {
	conn, err := pgx.Connect(ctx, adminURL)
	if err != nil {
		return fmt.Errorf("connect to ensure roles: %w", err)
	}
	defer conn.Close(ctx)
	// Two processes may both find a role missing; the second create then fails
	// with duplicate_object or unique_violation, which is what was wanted.
	_, err = conn.Exec(ctx, `
do $$
begin
    begin create role billwright_owner nologin; exception when duplicate_object or unique_violation then null; end;
    begin create role billwright_app login nosuperuser nocreatedb nocreaterole nobypassrls noinherit; exception when duplicate_object or unique_violation then null; end;
    begin
        create role billwright_report login nosuperuser nocreatedb nocreaterole nobypassrls noinherit;
        alter role billwright_report set default_transaction_read_only = on;
        alter role billwright_report set statement_timeout = '30s';
    exception when duplicate_object or unique_violation then null; end;
    if not pg_has_role(current_user, 'billwright_owner', 'member') then
        execute format('grant billwright_owner to %I', current_user);
    end if;
end
$$`)
	if err != nil {
		return fmt.Errorf("create the roles: %w", err)
	}
	return retryConcurrent(ctx, func() error {
		_, err := conn.Exec(ctx, `grant create, usage on schema public to billwright_owner`)
		if err != nil {
			return err
		}
		_, err = conn.Exec(ctx, `grant usage on schema public to billwright_app, billwright_report`)
		return err
	})
}

// Up applies every migration that the database lacks, one process at a time.
func Up(ctx context.Context, adminURL string) error {
	db, err := openAsOwner(adminURL)
	if err != nil {
		return err
	}
	defer db.Close()
	provider, err := newProvider(db)
	if err != nil {
		return err
	}
	if _, err := provider.Up(ctx); err != nil {
		return fmt.Errorf("migrate the database: %w", err)
	}
	return raiseEpochs(ctx, db)
}

// raiseEpochs begins a new epoch of news where the database holds news of
// transactions that this server has not come to yet: it was restored from
// another server, and what happens from now on must stand behind that.
func raiseEpochs(ctx context.Context, db *sql.DB) error {
	_, err := db.ExecContext(ctx, `
update workshop w set news_epoch = w.news_epoch + 1
where exists (select from order_news n
    where n.workshop_id = w.workshop_id and n.epoch = w.news_epoch and n.xact >= pg_snapshot_xmax(pg_current_snapshot()))`)
	if err != nil {
		return fmt.Errorf("raise the epoch of news: %w", err)
	}
	return nil
}

// Down steps the database back by one migration.
func Down(ctx context.Context, adminURL string) error {
	db, err := openAsOwner(adminURL)
	if err != nil {
		return err
	}
	defer db.Close()
	provider, err := newProvider(db)
	if err != nil {
		return err
	}
	if _, err := provider.Down(ctx); err != nil {
		return fmt.Errorf("step the database back: %w", err)
	}
	return nil
}

// Pending tells whether the database lacks a migration of this program.
func Pending(ctx context.Context, adminURL string) (bool, error) {
	db, err := openAsOwner(adminURL)
	if err != nil {
		return false, err
	}
	defer db.Close()
	provider, err := newProvider(db)
	if err != nil {
		return false, err
	}
	return provider.HasPending(ctx)
}

func openAsOwner(adminURL string) (*sql.DB, error) {
	config, err := pgx.ParseConfig(adminURL)
	if err != nil {
		return nil, fmt.Errorf("read the connection string: %w", err)
	}
	// Everything is created as the owner, so nothing needs re-owning later.
	config.RuntimeParams["role"] = OwnerRole
	config.RuntimeParams["lock_timeout"] = "5s"
	return stdlib.OpenDB(*config), nil
}

func newProvider(db *sql.DB) (*goose.Provider, error) {
	// goose takes its lock only when told to; without one, four processes that
	// started together each applied the same migration in a trial.
	locker, err := lock.NewPostgresSessionLocker(lock.WithLockTimeout(1, 300), lock.WithUnlockTimeout(1, 60))
	if err != nil {
		return nil, fmt.Errorf("make the migration lock: %w", err)
	}
	provider, err := goose.NewProvider(goose.DialectPostgres, db, files, goose.WithSessionLocker(locker))
	if err != nil {
		return nil, fmt.Errorf("read the migrations: %w", err)
	}
	return provider, nil
}
