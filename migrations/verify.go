package migrations

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"

	"github.com/jackc/pgx/v5"
	"github.com/jackc/pgx/v5/pgxpool"
)

// Leave is something that Verify lets pass when told to.
type Leave uint8

// Ephemeral lets pass settings that lose data in a crash. For tests only.
const Ephemeral Leave = 1

// Verify refuses a database on which the service's promises would not hold. The
// pool is the service's own: the check is of what its role may do, and of what
// its connections are set to. All reasons come at once, joined, one to a line:
//
//   - the role is a superuser, passes by row-level security, or owns a table or
//     may become its owner;
//   - the tables are not there, or row-level security is not forced on one that
//     has a workshop_id or a dealer_id;
//   - fsync, full_page_writes or synchronous_commit is off.
func Verify(ctx context.Context, pool *pgxpool.Pool, leave ...Leave) error {
	role, err := roleReasons(ctx, pool)
	if err != nil {
		return fmt.Errorf("check the database: %w", err)
	}
	tables, err := tableReasons(ctx, pool)
	if err != nil {
		return fmt.Errorf("check the database: %w", err)
	}
	reasons := append(role, tables...)
	if !slices.Contains(leave, Ephemeral) {
		settings, err := settingReasons(ctx, pool)
		if err != nil {
			return fmt.Errorf("check the database: %w", err)
		}
		reasons = append(reasons, settings...)
	}
	return errors.Join(reasons...)
}

func roleReasons(ctx context.Context, pool *pgxpool.Pool) ([]error, error) {
	var name string
	var super, bypass bool
	var owned []string
	// The role that logged in counts too: a session may go back to it.
	err := pool.QueryRow(ctx, `
select current_user::text,
    (select bool_or(r.rolsuper) from pg_roles r where r.rolname in (current_user, session_user)),
    (select bool_or(r.rolbypassrls) from pg_roles r where r.rolname in (current_user, session_user)),
    array(select c.relname::text from pg_class c join pg_namespace n on n.oid = c.relnamespace
        where c.relkind in ('r', 'p') and n.nspname !~ '^pg_' and n.nspname <> 'information_schema'
            and (pg_has_role(current_user, c.relowner, 'member') or pg_has_role(session_user, c.relowner, 'member'))
        order by c.relname)`).Scan(&name, &super, &bypass, &owned)
	if err != nil {
		return nil, err
	}
	const instead = "connect as " + AppRole + " or another role that owns nothing"
	var reasons []error
	if super {
		reasons = append(reasons, fmt.Errorf("the service is connected as %s, a superuser, for whom row-level security does not hold: %s", name, instead))
	}
	if bypass && !super {
		reasons = append(reasons, fmt.Errorf("the role %s has BYPASSRLS, so that row-level security does not hold for it: %s", name, instead))
	}
	if len(owned) > 0 && !super { // a superuser is a member of every role
		reasons = append(reasons, fmt.Errorf("the role %s owns tables or may become their owner (%s), and an owner may lift row-level security: %s", name, strings.Join(owned, ", "), instead))
	}
	return reasons, nil
}

func tableReasons(ctx context.Context, pool *pgxpool.Pool) ([]error, error) {
	type table struct {
		name    string
		guarded bool
	}
	rows, err := pool.Query(ctx, `
select c.relname::text, c.relrowsecurity and c.relforcerowsecurity
from pg_class c
join pg_namespace n on n.oid = c.relnamespace
where c.relkind in ('r', 'p') and n.nspname !~ '^pg_' and n.nspname <> 'information_schema'
    and exists (select from pg_attribute a where a.attrelid = c.oid and a.attname in ('workshop_id', 'dealer_id') and not a.attisdropped)
order by c.relname`)
	if err != nil {
		return nil, err
	}
	tables, err := pgx.CollectRows(rows, func(row pgx.CollectableRow) (t table, err error) { return t, row.Scan(&t.name, &t.guarded) })
	if err != nil {
		return nil, err
	}
	if len(tables) == 0 {
		return []error{errors.New("the database has no tables of this program: migrate it first")}, nil
	}
	var reasons []error
	for _, t := range tables {
		if !t.guarded {
			reasons = append(reasons, fmt.Errorf("row-level security is not forced on the table %s: alter table %[1]s enable row level security, force row level security", t.name))
		}
	}
	return reasons, nil
}

func settingReasons(ctx context.Context, pool *pgxpool.Pool) ([]error, error) {
	rows, err := pool.Query(ctx, `
select name
from pg_settings
where name in ('fsync', 'full_page_writes', 'synchronous_commit') and setting = 'off'
order by name`)
	if err != nil {
		return nil, err
	}
	off, err := pgx.CollectRows(rows, pgx.RowTo[string])
	if err != nil {
		return nil, err
	}
	var reasons []error
	for _, name := range off {
		reasons = append(reasons, fmt.Errorf("the setting %s is off, so that a crash would lose orders that were acknowledged: set it on", name))
	}
	return reasons, nil
}
