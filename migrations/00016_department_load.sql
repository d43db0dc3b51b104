-- +goose Up
-- What an order takes of each department of the shop, roughly: minutes of its
-- bill's operations, all in the week of the working day so many before its
-- promise. A cancelled or shipped order takes nothing.

create table department_load (
    workshop_id   uuid not null,
    order_id      uuid not null,
    department    text not null,
    dealer_id     text not null,
    week          date not null constraint department_load_week_monday check (extract(isodow from week) = 1),
    -- Tenths of a minute.
    tenths        bigint not null constraint department_load_tenths check (tenths > 0),
    constraint department_load_pk primary key (workshop_id, order_id, department),
    constraint department_load_order_fk foreign key (workshop_id, order_id) references dealer_order (workshop_id, order_id)
);
-- Everything that a week's sum reads, dealer_id for row-level security too, so
-- that it is answered from the index alone.
create index department_load_week on department_load (workshop_id, week, department) include (dealer_id, tenths);

alter table department_load enable row level security;
alter table department_load force row level security;
create policy dealer_rows on department_load using (workshop_id = nullif(current_setting('billwright.workshop', true), '')::uuid
    and current_setting('billwright.dealer', true) in ('*', dealer_id));

grant select on department_load to billwright_app, billwright_report;
grant insert, delete on department_load to billwright_app;

-- +goose Down
drop table department_load;
