-- +goose Up
-- Files of orders that are being loaded, or were. The file is kept with its
-- mapping until it is through, so that another process goes on where one ended:
-- position is how many of the file's orders are done, and moves in the
-- transaction that stores them.
create table order_import (
    workshop_id uuid not null,
    import_id   uuid not null,
    name        text not null,
    dry_run     boolean not null,
    test        boolean not null,
    mapping     bytea not null,
    file        bytea,
    sha256      bytea not null constraint order_import_hash check (octet_length(sha256) = 32),
    row_count   integer not null,
    order_count integer not null,
    position    integer not null default 0 constraint order_import_position check (position >= 0 and position <= order_count),
    good        integer not null default 0,
    loaded      integer not null default 0,
    known       integer not null default 0,
    faulty      integer not null default 0,
    fault_count integer not null default 0,
    -- The first of the faults, as JSON.
    faults      jsonb not null default '[]',
    done        boolean not null default false,
    -- Whoever loads it says until when nobody else need look.
    leased_until timestamptz,
    begun_at    timestamptz not null,
    begun_by    text not null,
    role        text not null,
    ended_at    timestamptz,
    constraint order_import_pk primary key (workshop_id, import_id),
    constraint order_import_kept check (done = (file is null)),
    constraint order_import_workshop_fk foreign key (workshop_id) references workshop (workshop_id)
);

-- Which order of a file became which order: insert-only, so that no second run
-- loads one twice, whatever has become of the first.
create table imported_order (
    workshop_id uuid not null,
    dealer_id   text not null,
    test        boolean not null,
    key         text not null,
    order_id    uuid not null,
    import_id   uuid not null,
    row_number  integer not null,
    constraint imported_order_pk primary key (workshop_id, dealer_id, test, key),
    constraint imported_order_order_fk foreign key (workshop_id, order_id) references dealer_order (workshop_id, order_id),
    constraint imported_order_import_fk foreign key (workshop_id, import_id) references order_import (workshop_id, import_id)
);

alter table order_import enable row level security;
alter table order_import force row level security;
create policy workshop_rows on order_import using (workshop_id = nullif(current_setting('billwright.workshop', true), '')::uuid
    and current_setting('billwright.dealer', true) = '*');
alter table imported_order enable row level security;
alter table imported_order force row level security;
create policy dealer_rows on imported_order using (workshop_id = nullif(current_setting('billwright.workshop', true), '')::uuid
    and current_setting('billwright.dealer', true) in ('*', dealer_id));

grant select, insert on order_import, imported_order to billwright_app;
grant update (position, good, loaded, known, faulty, fault_count, faults, done, file, leased_until, ended_at) on order_import to billwright_app;
grant select on imported_order to billwright_report;

-- +goose Down
drop table imported_order, order_import;
