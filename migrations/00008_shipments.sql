-- +goose Up
-- What left the shop, carton by carton: insert-only. The key of a carton lets it
-- leave once.

create table shipment (
    workshop_id uuid not null,
    dealer_id   text not null,
    order_id    uuid not null,
    -- Numbers the order's shipments from 1.
    shipment    integer not null constraint shipment_positive check (shipment > 0),
    carrier     text not null,
    tracking    text not null,
    shipped_at  timestamptz not null,
    shipped_by  text not null,
    constraint shipment_pk primary key (workshop_id, order_id, shipment),
    constraint shipment_order_fk foreign key (workshop_id, order_id) references dealer_order (workshop_id, order_id)
);

create table shipped_carton (
    workshop_id uuid not null,
    dealer_id   text not null,
    order_id    uuid not null,
    line        smallint not null,
    unit        smallint not null,
    -- Empty where the unit has no cartons and goes as it is.
    carton      text not null,
    shipment    integer not null,
    constraint shipped_carton_pk primary key (workshop_id, order_id, line, unit, carton),
    constraint shipped_carton_shipment_fk foreign key (workshop_id, order_id, shipment) references shipment (workshop_id, order_id, shipment),
    constraint shipped_carton_positive check (line > 0 and unit > 0)
);

alter table shipment enable row level security;
alter table shipment force row level security;
create policy dealer_rows on shipment using (workshop_id = nullif(current_setting('billwright.workshop', true), '')::uuid
    and current_setting('billwright.dealer', true) in ('*', dealer_id));
alter table shipped_carton enable row level security;
alter table shipped_carton force row level security;
create policy dealer_rows on shipped_carton using (workshop_id = nullif(current_setting('billwright.workshop', true), '')::uuid
    and current_setting('billwright.dealer', true) in ('*', dealer_id));

grant select on shipment, shipped_carton to billwright_app, billwright_report;
grant insert on shipment, shipped_carton to billwright_app;

-- What was used up and is not needed any more stays in the ledger, since it was
-- bought.
alter table requirement add column surplus boolean not null default false;

-- +goose Down
alter table requirement drop column surplus;
drop table shipped_carton;
drop table shipment;
