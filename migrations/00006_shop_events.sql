-- +goose Up
-- What the shop told has happened to a line of an order: insert-only. What may
-- no longer be changed follows from these rows and the catalog's locks.

create table shop_event (
    workshop_id uuid not null,
    dealer_id   text not null,
    order_id    uuid not null,
    -- Numbers the order's events from 1.
    seq         integer not null constraint shop_event_positive check (seq > 0),
    event       text not null,
    says        text not null,
    line        smallint not null constraint shop_event_line check (line > 0),
    -- Unit 0 is every unit of the line; an empty path is the whole unit.
    unit        smallint not null constraint shop_event_unit check (unit >= 0),
    path        text not null,
    pieces      integer not null constraint shop_event_pieces check (pieces >= 0),
    note        text not null,
    at          timestamptz not null,
    told_at     timestamptz not null,
    told_by     text not null,
    constraint shop_event_pk primary key (workshop_id, order_id, seq),
    constraint shop_event_order_fk foreign key (workshop_id, order_id) references dealer_order (workshop_id, order_id)
);

alter table shop_event enable row level security;
alter table shop_event force row level security;
create policy dealer_rows on shop_event using (workshop_id = nullif(current_setting('billwright.workshop', true), '')::uuid
    and current_setting('billwright.dealer', true) in ('*', dealer_id));

grant select on shop_event to billwright_app, billwright_report;
grant insert on shop_event to billwright_app;

-- +goose Down
drop table shop_event;
