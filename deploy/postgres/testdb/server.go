package testdb

import (
	"context"
	"crypto/rand"
	"errors"
	"fmt"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"sync/atomic"

	"github.com/jackc/pgx/v5"
	"github.com/jackc/pgx/v5/pgxpool"

	"billwright/deploy/postgres"
	"billwright/migrations"
)

// shared is the test process's one server.
var shared lazy

type lazy struct {
	mu  sync.Mutex
	s   *server
	err error // of the one attempt: a test run does not wait for PostgreSQL once for each test
}

// get starts the server at the first call.
func (l *lazy) get() (*server, error) {
	l.mu.Lock()
	defer l.mu.Unlock()
	if l.s == nil && l.err == nil {
		ctx, cancel := context.WithTimeout(context.Background(), limit)
		defer cancel()
		l.s, l.err = newServer(ctx, os.Getenv("TEST_DATABASE_URL"))
	}
	return l.s, l.err
}

func (l *lazy) close() error {
	l.mu.Lock()
	defer l.mu.Unlock()
	if l.s == nil {
		return nil
	}
	err := l.s.close()
	l.s, l.err = nil, errors.New("testdb: the tests are over")
	return err
}

// server is a PostgreSQL server with a migrated template database.
type server struct {
	own      *private // nil on a server given by address
	address  *url.URL // as its superuser
	admin    *pgxpool.Pool
	template string
	strategy string // of copying the template
	made     atomic.Int64
	run      string // keeps the names of several test processes on one server apart
}

func newServer(ctx context.Context, address string) (_ *server, err error) {
	s := &server{run: strings.ToLower(rand.Text()[:8])}
	if address == "" {
		if s.own, err = startPrivate(ctx); err != nil {
			return nil, err
		}
		address = s.own.srv.URL(postgres.Superuser, "postgres")
	}
	if s.address, err = parseAddress(address); err == nil {
		err = s.prepare(ctx)
	}
	if err != nil {
		return nil, errors.Join(err, s.close())
	}
	return s, nil
}

// setUpKey is the transaction lock under which test processes that share a server prepare it one at a time: roles
// belong to the whole server, and PostgreSQL refuses two changes of one role at once.
const setUpKey = 0x62696c6c // "bill"

func (s *server) prepare(ctx context.Context) (err error) {
	if s.admin, err = pgxpool.New(ctx, s.address.String()); err != nil {
		return fmt.Errorf("testdb: connect: %w", err)
	}
	return pgx.BeginFunc(ctx, s.admin, func(tx pgx.Tx) error {
		var version int
		err := tx.QueryRow(ctx, `select current_setting('server_version_num')::int from pg_advisory_xact_lock($1)`, setUpKey).Scan(&version)
		if err != nil {
			return fmt.Errorf("testdb: wait for other test processes: %w", err)
		}
		if version >= 150000 {
			s.strategy = " strategy file_copy"
		}
		if err := s.makeTemplate(ctx); err != nil {
			return err
		}
		return s.setPasswords(ctx, tx)
	})
}

func (s *server) makeTemplate(ctx context.Context) error {
	name := "billwright_template_" + s.run
	if _, err := s.admin.Exec(ctx, `create database `+name+` template template0`); err != nil {
		return fmt.Errorf("testdb: make the template: %w", err)
	}
	s.template = name
	if err := migrations.EnsureRoles(ctx, s.url("", name)); err != nil {
		return fmt.Errorf("testdb: %w", err)
	}
	if err := migrations.Up(ctx, s.url("", name)); err != nil {
		return fmt.Errorf("testdb: %w", err)
	}
	return nil
}

// setPasswords lets the service's roles in on a server that asks for passwords: they get the superuser's.
func (s *server) setPasswords(ctx context.Context, tx pgx.Tx) error {
	password, has := s.address.User.Password()
	if !has {
		return nil
	}
	for _, role := range []string{migrations.AppRole, migrations.ReportRole} {
		var statement string
		if err := tx.QueryRow(ctx, `select format('alter role %I password %L', $1::text, $2::text)`, role, password).Scan(&statement); err != nil {
			return err
		}
		if _, err := tx.Exec(ctx, statement); err != nil {
			return fmt.Errorf("testdb: give %s a password: %w", role, err)
		}
	}
	return nil
}

func (s *server) url(role, database string) string { return withDatabase(s.address, role, database) }

// copyTemplate: FILE_COPY (PostgreSQL 15 and newer) copies the template's files instead of writing them through the
// log, which is the faster way when durability is off. Older servers know no other way and not the word.
func (s *server) copyTemplate(ctx context.Context) (string, error) {
	name := fmt.Sprintf("billwright_test_%s_%d", s.run, s.made.Add(1))
	if _, err := s.admin.Exec(ctx, `create database `+name+` template `+s.template+s.strategy); err != nil {
		return "", fmt.Errorf("testdb: make a database: %w", err)
	}
	return name, nil
}

func (s *server) drop(ctx context.Context, name string) error {
	if _, err := s.admin.Exec(ctx, `drop database if exists `+name+` with (force)`); err != nil {
		return fmt.Errorf("testdb: drop the database: %w", err)
	}
	return nil
}

// close ends a private server and removes its folder, or takes the template off a given one.
func (s *server) close() error {
	ctx, cancel := context.WithTimeout(context.Background(), limit)
	defer cancel()
	var err error
	if s.own == nil && s.template != "" {
		err = s.drop(ctx, s.template)
	}
	if s.admin != nil {
		s.admin.Close()
	}
	if s.own != nil {
		err = errors.Join(err, s.own.close())
	}
	return err
}

// private is a server started here, in a folder that goes with it.
type private struct {
	srv     *postgres.Server
	dir     string
	watcher *watcher
}

func startPrivate(ctx context.Context) (*private, error) {
	parent := parentFolder()
	sweep(parent)
	dir, err := os.MkdirTemp(parent, folderPrefix)
	if err != nil {
		return nil, err
	}
	p := &private{dir: dir}
	// Root's server runs under another account, which must get through to the 0700 folder below.
	err = os.Chmod(dir, 0o711)
	if err == nil {
		p.watcher, err = watch(dir)
	}
	if err == nil {
		p.srv, err = postgres.Start(ctx, postgres.Options{Dir: filepath.Join(dir, "database"), Ephemeral: true})
	}
	if err != nil {
		return nil, errors.Join(err, p.close())
	}
	return p, nil
}

// close stops the server in the orderly way although nothing in the folder is wanted any more: a killed one would
// leave its shared memory behind.
func (p *private) close() error {
	ctx, cancel := context.WithTimeout(context.Background(), limit)
	defer cancel()
	var err error
	if p.srv != nil {
		err = p.srv.Stop(ctx)
	}
	err = errors.Join(err, os.RemoveAll(p.dir))
	if p.watcher != nil {
		err = errors.Join(err, p.watcher.dismiss())
	}
	return err
}
