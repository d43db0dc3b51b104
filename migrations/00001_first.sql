-- +goose Up
-- Every key starts with the workshop, so that one install serves several and a
-- workshop can be moved whole. Rows that belong to a dealer carry dealer_id and
-- are guarded by row-level security: a transaction sees a dealer's rows only
-- after set_config('billwright.workshop', ..., true) and
-- set_config('billwright.dealer', ..., true); '*' stands for the workshop's own
-- people. The settings read '' once a transaction that set them has ended,
-- which matches no workshop.

create table workshop (
    workshop_id uuid not null,
    code        text not null constraint workshop_code_form check (code ~ '^[a-z0-9]+(-[a-z0-9]+)*$'),
    name        text not null,
    -- A trial workshop has a clock that an act moves; a live one has none.
    trial_clock timestamptz,
    -- Signs the cursors of list pages, so that every instance reads them.
    page_secret bytea not null constraint workshop_page_secret_size check (octet_length(page_secret) = 32),
    created_at  timestamptz not null,
    constraint workshop_pk primary key (workshop_id)
);

create table dealer (
    workshop_id uuid not null,
    dealer_id   text not null constraint dealer_code_form check (dealer_id ~ '^[a-z0-9]+(-[a-z0-9]+)*$'),
    name        text not null,
    constraint dealer_pk primary key (workshop_id, dealer_id),
    constraint dealer_workshop_fk foreign key (workshop_id) references workshop (workshop_id)
);

create table api_key (
    workshop_id   uuid not null,
    key_id        uuid not null,
    dealer_id     text,
    role          text not null constraint api_key_role check (role in ('dealer', 'rep', 'buyer', 'engineer', 'shop', 'owner')),
    name          text not null,
    secret_sha256 bytea not null constraint api_key_hash_size check (octet_length(secret_sha256) = 32),
    -- Orders of a test key never become requirements.
    test          boolean not null default false,
    created_at    timestamptz not null,
    revoked_at    timestamptz,
    constraint api_key_pk primary key (workshop_id, key_id),
    constraint api_key_dealer_fk foreign key (workshop_id, dealer_id) references dealer (workshop_id, dealer_id),
    constraint api_key_dealer_role check ((role = 'dealer') = (dealer_id is not null))
);

-- A revision is immutable: the service's role may insert and read these tables,
-- nothing else. catalog_file keeps the engineer's exact bytes; the other tables
-- hold the same revision for filtering and for where-used.

create table catalog_revision (
    workshop_id   uuid not null,
    revision      integer not null constraint catalog_revision_positive check (revision > 0),
    effective     date not null,
    source_sha256 bytea not null,
    stored_at     timestamptz not null,
    stored_by     text not null,
    constraint catalog_revision_pk primary key (workshop_id, revision),
    constraint catalog_revision_workshop_fk foreign key (workshop_id) references workshop (workshop_id)
);

create table catalog_file (
    workshop_id uuid not null,
    revision    integer not null,
    path        text not null,
    bytes       bytea not null,
    constraint catalog_file_pk primary key (workshop_id, revision, path),
    constraint catalog_file_revision_fk foreign key (workshop_id, revision) references catalog_revision (workshop_id, revision)
);

create table catalog_product (
    workshop_id uuid not null,
    revision    integer not null,
    product     text not null,
    name        text not null,
    collection  text not null,
    lead_days   integer not null,
    -- Last day on which it may be ordered, and what takes its place.
    last_order  date,
    successor   text,
    constraint catalog_product_pk primary key (workshop_id, revision, product),
    constraint catalog_product_revision_fk foreign key (workshop_id, revision) references catalog_revision (workshop_id, revision)
);

-- An entry of a table that attributes choose from, or that may be withdrawn, by
-- the table's key in the catalog's files.
create table catalog_item (
    workshop_id uuid not null,
    revision    integer not null,
    source      text not null constraint catalog_item_source check (source in ('species', 'wood_finishes', 'metal_finishes', 'fabrics', 'glass', 'hardware', 'sections')),
    item        text not null,
    position    integer not null,
    name        text not null,
    last_order  date,
    successor   text,
    constraint catalog_item_pk primary key (workshop_id, revision, source, item),
    constraint catalog_item_revision_fk foreign key (workshop_id, revision) references catalog_revision (workshop_id, revision)
);

create table catalog_attribute (
    workshop_id  uuid not null,
    revision     integer not null,
    product      text not null,
    attribute    text not null,
    position     smallint not null,
    name         text not null,
    kind         text not null constraint catalog_attribute_kind check (kind in ('choice', 'length', 'count', 'text')),
    -- Limits of a length.
    smallest_nm  bigint,
    largest_nm   bigint,
    -- Limits of a count; of a text, the most characters.
    least        integer,
    most         integer,
    default_text text,
    -- The table of which every item may be chosen; such an attribute has no rows
    -- in catalog_choice, which for a large catalog would be millions.
    chooses_all  text,
    constraint catalog_attribute_pk primary key (workshop_id, revision, product, attribute),
    constraint catalog_attribute_product_fk foreign key (workshop_id, revision, product) references catalog_product (workshop_id, revision, product)
);

create table catalog_choice (
    workshop_id uuid not null,
    revision    integer not null,
    product     text not null,
    attribute   text not null,
    choice      text not null,
    position    integer not null,
    name        text not null,
    last_order  date,
    successor   text,
    constraint catalog_choice_pk primary key (workshop_id, revision, product, attribute, choice),
    constraint catalog_choice_attribute_fk foreign key (workshop_id, revision, product, attribute) references catalog_attribute (workshop_id, revision, product, attribute)
);

create table catalog_rule (
    workshop_id uuid not null,
    revision    integer not null,
    product     text not null,
    rule        text not null,
    says        text not null,
    constraint catalog_rule_pk primary key (workshop_id, revision, product, rule),
    constraint catalog_rule_product_fk foreign key (workshop_id, revision, product) references catalog_product (workshop_id, revision, product)
);

create table catalog_standard (
    workshop_id uuid not null,
    revision    integer not null,
    standard    text not null,
    value       text not null,
    source      text not null,
    constraint catalog_standard_pk primary key (workshop_id, revision, standard),
    constraint catalog_standard_revision_fk foreign key (workshop_id, revision) references catalog_revision (workshop_id, revision)
);

create table catalog_section (
    workshop_id     uuid not null,
    revision        integer not null,
    section         text not null,
    name            text not null,
    shape           text not null,
    mass_ug_per_m   bigint not null,
    perimeter_nm    bigint not null,
    longest_bar_nm  bigint not null,
    constraint catalog_section_pk primary key (workshop_id, revision, section),
    constraint catalog_section_revision_fk foreign key (workshop_id, revision) references catalog_revision (workshop_id, revision)
);

create table catalog_species (
    workshop_id uuid not null,
    revision    integer not null,
    species     text not null,
    name        text not null,
    blanks      text not null constraint catalog_species_blanks check (blanks in ('made', 'bought')),
    -- Of blanks made in the shop.
    yield       text,
    constraint catalog_species_pk primary key (workshop_id, revision, species),
    constraint catalog_species_revision_fk foreign key (workshop_id, revision) references catalog_revision (workshop_id, revision)
);

create table catalog_finish (
    workshop_id uuid not null,
    revision    integer not null,
    kind        text not null constraint catalog_finish_kind check (kind in ('wood', 'metal')),
    finish      text not null,
    name        text not null,
    clear_coat  boolean not null,
    hand_steps  smallint not null,
    constraint catalog_finish_pk primary key (workshop_id, revision, kind, finish),
    constraint catalog_finish_revision_fk foreign key (workshop_id, revision) references catalog_revision (workshop_id, revision)
);

-- The allowed pairs of a wood finish and a species.
create table catalog_finish_species (
    workshop_id uuid not null,
    revision    integer not null,
    kind        text not null constraint catalog_finish_species_kind check (kind = 'wood'),
    finish      text not null,
    species     text not null,
    constraint catalog_finish_species_pk primary key (workshop_id, revision, kind, finish, species),
    constraint catalog_finish_species_finish_fk foreign key (workshop_id, revision, kind, finish) references catalog_finish (workshop_id, revision, kind, finish),
    constraint catalog_finish_species_species_fk foreign key (workshop_id, revision, species) references catalog_species (workshop_id, revision, species)
);

create table catalog_fabric (
    workshop_id    uuid not null,
    revision       integer not null,
    fabric         text not null,
    name           text not null,
    grade          text not null,
    goods_width_nm bigint not null,
    own_material   boolean not null,
    constraint catalog_fabric_pk primary key (workshop_id, revision, fabric),
    constraint catalog_fabric_revision_fk foreign key (workshop_id, revision) references catalog_revision (workshop_id, revision)
);

create table dealer_order (
    workshop_id    uuid not null,
    dealer_id      text not null,
    order_id       uuid not null,
    -- What people call the order; a draft may have none.
    number         text,
    version        integer not null constraint dealer_order_version check (version > 0),
    state          text not null constraint dealer_order_state check (state in ('draft', 'quoted', 'received', 'accepted', 'released', 'in work', 'ready', 'shipped in part', 'shipped', 'closed', 'cancelled')),
    test           boolean not null,
    revision       integer not null,
    po             text not null,
    -- The purchase order number with case and spaces folded away, or null where
    -- a second order under it is meant (override, test, re-make, parts).
    po_guard       text,
    sidemark       text not null,
    ship_to        text not null,
    requested      date,
    ship_complete  boolean not null,
    promise        date,
    net_cents      bigint,
    received_at    timestamptz not null,
    -- Folded text for a fragment search: number, PO, sidemark, dealer, products.
    search         text not null,
    -- The order as the interface shows it, canonical JSON.
    document       bytea not null,
    constraint dealer_order_pk primary key (workshop_id, order_id),
    constraint dealer_order_numbered check (number is not null or state = 'draft'),
    constraint dealer_order_dealer_fk foreign key (workshop_id, dealer_id) references dealer (workshop_id, dealer_id),
    constraint dealer_order_revision_fk foreign key (workshop_id, revision) references catalog_revision (workshop_id, revision)
);
-- Partial, so that a lookup by order_id never goes by them. On a table that was
-- never analyzed all keys that begin with the workshop look alike, and checking
-- a foreign key went through every order of the workshop.
create unique index dealer_order_number_once on dealer_order (workshop_id, number) where number is not null;
create unique index dealer_order_po_once on dealer_order (workshop_id, dealer_id, po_guard) where po_guard is not null;

create table order_line (
    workshop_id   uuid not null,
    dealer_id     text not null,
    order_id      uuid not null,
    line          smallint not null constraint order_line_positive check (line > 0),
    product       text not null,
    quantity      integer not null constraint order_line_quantity check (quantity > 0),
    revision      integer not null,
    configuration jsonb not null,
    net_cents     bigint,
    constraint order_line_pk primary key (workshop_id, order_id, line),
    constraint order_line_order_fk foreign key (workshop_id, order_id) references dealer_order (workshop_id, order_id),
    constraint order_line_product_fk foreign key (workshop_id, revision, product) references catalog_product (workshop_id, revision, product)
);

create table order_hold (
    workshop_id uuid not null,
    dealer_id   text not null,
    order_id    uuid not null,
    -- Numbers the order's holds from 1: one line may be held twice for one kind
    -- at one time, as for two cushions each in a cloth of the customer's own.
    seq         smallint not null constraint order_hold_positive check (seq > 0),
    -- Line 0 is the whole order.
    line        smallint not null,
    kind        text not null constraint order_hold_kind check (kind ~ '^[a-z0-9]+([-_./][a-z0-9]+)*$'),
    reason      text not null,
    placed_at   timestamptz not null,
    placed_by   text not null,
    lifted_at   timestamptz,
    lifted_by   text,
    constraint order_hold_pk primary key (workshop_id, order_id, seq),
    constraint order_hold_order_fk foreign key (workshop_id, order_id) references dealer_order (workshop_id, order_id)
);

-- A bill is stored whole with the version of the arithmetic that made it and is
-- never reckoned again: a mended formula leaves it alone. How its figures came
-- about is not stored; it is reckoned again from the pinned revision on demand
-- and shown only when the same bill comes out, by sha256.
create table bill (
    workshop_id  uuid not null,
    dealer_id    text not null,
    order_id     uuid not null,
    bill_version integer not null constraint bill_version_positive check (bill_version > 0),
    revision     integer not null,
    arithmetic   integer not null,
    sha256       bytea not null constraint bill_hash_size check (octet_length(sha256) = 32),
    document     bytea not null,
    made_at      timestamptz not null,
    constraint bill_pk primary key (workshop_id, order_id, bill_version),
    constraint bill_order_fk foreign key (workshop_id, order_id) references dealer_order (workshop_id, order_id)
);

-- One row for everything to buy. week is the Monday of the ISO week of need_by:
-- a date sorts and adds where year and week glued together do not. unit 0 means
-- every unit of the line alike.
create table requirement (
    workshop_id  uuid not null,
    week         date not null constraint requirement_week_monday check (extract(isodow from week) = 1),
    order_id     uuid not null,
    line         smallint not null,
    seq          smallint not null,
    dealer_id    text not null,
    bill_version integer not null,
    unit         smallint not null constraint requirement_unit check (unit >= 0),
    path         text not null constraint requirement_path_form check (path ~ '^[a-z0-9]+(-[a-z0-9]+)*(/[a-z0-9]+(-[a-z0-9]+)*)*$'),
    kind         text not null,
    item         text not null,
    pieces       integer not null constraint requirement_pieces check (pieces > 0),
    length_nm    bigint,
    amount       bigint not null,
    measure      text not null constraint requirement_measure check (measure in ('each', 'length', 'area', 'volume', 'mass')),
    need_by      date not null,
    firm         boolean not null,
    constraint requirement_pk primary key (workshop_id, week, order_id, line, seq),
    constraint requirement_need_by_week check (need_by >= week and need_by < week + 7),
    constraint requirement_order_fk foreign key (workshop_id, order_id) references dealer_order (workshop_id, order_id)
);
-- Everything that a week's sum reads, dealer_id for row-level security too, so
-- that it is answered from the index alone.
create index requirement_week_item on requirement (workshop_id, week, kind, item)
    include (dealer_id, order_id, pieces, amount, measure, need_by, firm);

create table idempotency (
    workshop_id uuid not null,
    -- 'dealer CODE', or 'key UUID' for the workshop's own people.
    scope       text not null,
    key         text not null,
    -- The dealer whose order it is; '' for an act that is no dealer's.
    dealer_id   text not null,
    fingerprint bytea not null constraint idempotency_fingerprint_size check (octet_length(fingerprint) = 32),
    status      smallint not null,
    location    text not null,
    etag        text not null,
    reply       bytea not null,
    replays     integer not null default 0,
    created_at  timestamptz not null,
    constraint idempotency_pk primary key (workshop_id, scope, key)
);

create table audit (
    workshop_id uuid not null,
    audit_id    uuid not null,
    -- '' for an act that is no dealer's.
    dealer_id   text not null,
    at          timestamptz not null,
    actor       text not null,
    role        text not null,
    act         text not null,
    subject     text not null,
    before      jsonb,
    after       jsonb,
    reason      text not null,
    constraint audit_pk primary key (workshop_id, audit_id)
);

-- +goose StatementBegin
do $$
declare
    name text;
begin
    -- Rows of the workshop: read by whoever asks, written by its own people.
    foreach name in array array['workshop', 'catalog_revision', 'catalog_file', 'catalog_product', 'catalog_item', 'catalog_attribute', 'catalog_choice',
        'catalog_rule', 'catalog_standard', 'catalog_section', 'catalog_species', 'catalog_finish', 'catalog_finish_species', 'catalog_fabric']
    loop
        execute format('alter table %I enable row level security', name);
        execute format('alter table %I force row level security', name);
        execute format('create policy workshop_rows on %I using (workshop_id = nullif(current_setting(''billwright.workshop'', true), '''')::uuid)
            with check (workshop_id = nullif(current_setting(''billwright.workshop'', true), '''')::uuid
            and current_setting(''billwright.dealer'', true) = ''*'')', name);
    end loop;
    -- Rows of a dealer: that dealer's, or any when the workshop's own people ask.
    foreach name in array array['dealer', 'api_key', 'dealer_order', 'order_line', 'order_hold', 'bill', 'requirement', 'idempotency', 'audit']
    loop
        execute format('alter table %I enable row level security', name);
        execute format('alter table %I force row level security', name);
        execute format('create policy dealer_rows on %I using (workshop_id = nullif(current_setting(''billwright.workshop'', true), '''')::uuid
            and current_setting(''billwright.dealer'', true) in (''*'', dealer_id))', name);
    end loop;
end
$$;
-- +goose StatementEnd

-- Whoever sets an install up makes and lists its workshops as the owner of the
-- tables, for whom row-level security holds too.
create policy owner_rows on workshop to billwright_owner using (true);

grant select on all tables in schema public to billwright_app, billwright_report;
revoke select on workshop, api_key, audit, idempotency from billwright_report;
-- All of a workshop but the secret of its pages.
grant select (workshop_id, code, name, trial_clock, created_at) on workshop to billwright_report;
revoke select on audit from billwright_app;
grant insert on all tables in schema public to billwright_app;
revoke insert on workshop, goose_db_version from billwright_app;
grant update (trial_clock) on workshop to billwright_app;
grant update (revoked_at) on api_key to billwright_app;
grant update (name) on dealer to billwright_app;
grant update (version, state, promise, net_cents, document, search) on dealer_order to billwright_app;
grant update (lifted_at, lifted_by) on order_hold to billwright_app;
grant update (replays) on idempotency to billwright_app;

-- +goose Down
drop table audit, idempotency, requirement, bill, order_hold, order_line, dealer_order,
    catalog_fabric, catalog_finish_species, catalog_finish, catalog_species, catalog_section, catalog_standard, catalog_rule,
    catalog_choice, catalog_attribute, catalog_item, catalog_product, catalog_file, catalog_revision, api_key, dealer, workshop;
