-- +goose Up
-- What an order was before each act: a version is kept when the next one takes
-- its place, so that placing an order costs nothing more. Insert-only.

create table order_version (
    workshop_id uuid not null,
    dealer_id   text not null,
    order_id    uuid not null,
    version     integer not null constraint order_version_positive check (version > 0),
    state       text not null,
    document    bytea not null,
    -- What ended this version: the act, who did it and when.
    ended_at    timestamptz not null,
    ended_by    text not null,
    act         text not null,
    constraint order_version_pk primary key (workshop_id, order_id, version),
    constraint order_version_order_fk foreign key (workshop_id, order_id) references dealer_order (workshop_id, order_id)
);

alter table dealer_order add column valid_until date;

-- What one order needs, for the acts that date it anew.
create index requirement_order on requirement (workshop_id, order_id);

alter table order_version enable row level security;
alter table order_version force row level security;
create policy dealer_rows on order_version using (workshop_id = nullif(current_setting('billwright.workshop', true), '')::uuid
    and current_setting('billwright.dealer', true) in ('*', dealer_id));

grant select on order_version to billwright_app, billwright_report;
grant insert on order_version to billwright_app;
-- A draft and a quote become an order; the demand of an order follows its acts.
grant update (number, revision, po, po_guard, sidemark, ship_to, requested, ship_complete, received_at, valid_until) on dealer_order to billwright_app;
grant delete on requirement to billwright_app;

-- +goose Down
revoke delete on requirement from billwright_app;
revoke update (number, revision, po, po_guard, sidemark, ship_to, requested, ship_complete, received_at, valid_until) on dealer_order from billwright_app;
drop index requirement_order;
alter table dealer_order drop column valid_until;
drop table order_version;
