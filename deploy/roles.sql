-- Run once by the postgres image, as the administrator, when it makes a new database folder (docker-compose.yml).
-- The service makes its other roles itself (migrations.EnsureRoles); these two need a password. Passwords come from
-- the environment by \getenv (psql 15 and newer), so that they show in no list of processes.
\set ON_ERROR_STOP on
\getenv migrate_password MIGRATE_PASSWORD
\getenv app_password APP_PASSWORD

-- Makes the other roles and changes tables: nothing that answers requests ever connects as this one.
create role billwright_migrate login createrole nosuperuser nocreatedb nobypassrls password :'migrate_password';
-- The service itself: no role of its own to give, no way round row-level security.
create role billwright_app login nosuperuser nocreatedb nocreaterole nobypassrls noinherit password :'app_password';

select format('alter database %I owner to billwright_migrate', current_database()) \gexec
