package migrations_test

import (
	"context"
	"net/url"
	"strings"
	"testing"
	"time"

	"github.com/jackc/pgx/v5/pgxpool"

	"billwright/deploy/postgres/testdb"
	"billwright/migrations"
)

// reasons are the lines of Verify's refusal.
func reasons(err error) []string {
	if err == nil {
		return nil
	}
	return strings.Split(err.Error(), "\n")
}

// want holds each reason against a piece of it, in order.
func want(t *testing.T, what string, err error, pieces ...string) {
	t.Helper()
	got := reasons(err)
	fits := len(got) == len(pieces)
	for i := 0; fits && i < len(got); i++ {
		fits = strings.Contains(got[i], pieces[i])
	}
	if !fits {
		t.Errorf("%s: %d reasons, want %d (%q):\n%s", what, len(got), len(pieces), pieces, strings.Join(got, "\n"))
	}
}

func TestVerify(t *testing.T) {
	db := testdb.New(t)
	ctx, cancel := context.WithTimeout(context.Background(), time.Minute)
	defer cancel()
	admin := db.AdminPool(t)
	run := func(statements ...string) {
		t.Helper()
		for _, statement := range statements {
			if _, err := admin.Exec(ctx, statement); err != nil {
				t.Fatalf("%s: %v", statement, err)
			}
		}
	}
	app := db.Pool(t)
	want(t, "the service's role", migrations.Verify(ctx, app, migrations.Ephemeral))
	want(t, "the superuser", migrations.Verify(ctx, admin, migrations.Ephemeral), "a superuser")

	bypass, owner := db.Name+"_bypass", db.Name+"_owner"
	for _, role := range []string{bypass, owner} {
		run(`create role `+role+` login`, `grant select on all tables in schema public to `+role)
		t.Cleanup(func() {
			ctx, cancel := context.WithTimeout(context.Background(), time.Minute)
			defer cancel()
			for _, statement := range []string{`drop owned by ` + role, `drop role ` + role} {
				if _, err := admin.Exec(ctx, statement); err != nil {
					t.Error(err)
				}
			}
		})
	}
	run(`alter role `+bypass+` bypassrls`, `grant billwright_owner to `+owner, `alter role `+owner+` noinherit`)
	want(t, "a role with BYPASSRLS", migrations.Verify(ctx, as(t, ctx, admin, db.AppURL, bypass), migrations.Ephemeral), "BYPASSRLS")
	want(t, "a member of the owner", migrations.Verify(ctx, as(t, ctx, admin, db.AppURL, owner), migrations.Ephemeral), "may become their owner (api_key, audit, bill, ")

	run(`alter table bill no force row level security`, `alter table dealer disable row level security`, `create table left_open (dealer_id text)`, `create table of_no_workshop (n int)`)
	open := []string{"not forced on the table bill:", "not forced on the table dealer:", "not forced on the table left_open:"}
	want(t, "open tables", migrations.Verify(ctx, app, migrations.Ephemeral), open...)

	run(`alter database ` + db.Name + ` set synchronous_commit = off`) // for connections made from now on
	var fsync, pages string
	if err := admin.QueryRow(ctx, `select current_setting('fsync'), current_setting('full_page_writes')`).Scan(&fsync, &pages); err != nil {
		t.Fatal(err)
	}
	everything := append([]string{"BYPASSRLS"}, open...)
	if fsync == "off" {
		everything = append(everything, "the setting fsync is off")
	}
	if pages == "off" {
		everything = append(everything, "the setting full_page_writes is off")
	}
	everything = append(everything, "the setting synchronous_commit is off")
	want(t, "everything at once", migrations.Verify(ctx, as(t, ctx, admin, db.AppURL, bypass)), everything...)
}

func TestVerifyOfAnEmptyDatabase(t *testing.T) {
	address := emptyDatabase(t, "empty")
	ctx, cancel := context.WithTimeout(context.Background(), time.Minute)
	defer cancel()
	pool, err := pgxpool.New(ctx, withRole(t, address, migrations.AppRole))
	if err != nil {
		t.Fatal(err)
	}
	defer pool.Close()
	want(t, "an empty database", migrations.Verify(ctx, pool, migrations.Ephemeral), "migrate it first")
}

// as connects as a role made by the test, which gets the password in the address.
func as(t *testing.T, ctx context.Context, admin *pgxpool.Pool, address, role string) *pgxpool.Pool {
	t.Helper()
	u, err := url.Parse(address)
	if err != nil {
		t.Fatal(err)
	}
	if password, has := u.User.Password(); has {
		var statement string
		if err := admin.QueryRow(ctx, `select format('alter role %I password %L', $1::text, $2::text)`, role, password).Scan(&statement); err != nil {
			t.Fatal(err)
		}
		if _, err := admin.Exec(ctx, statement); err != nil {
			t.Fatal(err)
		}
	}
	pool, err := pgxpool.New(ctx, withRole(t, address, role))
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(pool.Close)
	return pool
}

// withRole is an address with another role in it.
func withRole(t *testing.T, address, role string) string {
	t.Helper()
	u, err := url.Parse(address)
	if err != nil {
		t.Fatal(err)
	}
	if password, has := u.User.Password(); has {
		u.User = url.UserPassword(role, password)
	} else {
		u.User = url.User(role)
	}
	return u.String()
}
