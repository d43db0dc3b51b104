-- +goose Up
-- Orders that came of another: re-makes, replacement parts, what was split off,
-- copies. Insert-only.

create table order_link (
    workshop_id uuid not null,
    dealer_id   text not null,
    -- The order that the other one came of.
    of_order_id uuid not null,
    order_id    uuid not null,
    -- Numbers the lines of the link from 1.
    seq         integer not null constraint order_link_positive check (seq > 0),
    relation    text not null constraint order_link_relation check (relation in ('copy', 'split', 'parts', 're-make')),
    -- What of the order it came of: line 0 is the order, unit 0 no single unit, an
    -- empty path the whole product.
    line        smallint not null,
    unit        smallint not null,
    path        text not null,
    quantity    integer not null,
    linked_at   timestamptz not null,
    linked_by   text not null,
    constraint order_link_pk primary key (workshop_id, of_order_id, order_id, seq),
    constraint order_link_of_fk foreign key (workshop_id, of_order_id) references dealer_order (workshop_id, order_id),
    constraint order_link_order_fk foreign key (workshop_id, order_id) references dealer_order (workshop_id, order_id)
);

create index order_link_order on order_link (workshop_id, order_id);

alter table order_link enable row level security;
alter table order_link force row level security;
create policy dealer_rows on order_link using (workshop_id = nullif(current_setting('billwright.workshop', true), '')::uuid
    and current_setting('billwright.dealer', true) in ('*', dealer_id));

grant select on order_link to billwright_app, billwright_report;
grant insert on order_link to billwright_app;

-- +goose Down
drop table order_link;
