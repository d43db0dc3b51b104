-- +goose Up
-- Changes that were proposed for an order, each with the difference that it was
-- decided on. A proposal is never altered; only its decision is added.

create table change_order (
    workshop_id uuid not null,
    dealer_id   text not null,
    order_id    uuid not null,
    -- Numbers the order's changes from 1.
    change      integer not null constraint change_order_positive check (change > 0),
    -- The version of the order that it was proposed on.
    version     integer not null constraint change_order_version check (version > 0),
    request     bytea not null,
    difference  bytea not null,
    reason      text not null,
    proposed_at timestamptz not null,
    proposed_by text not null,
    decision    text constraint change_order_decision check (decision in ('approved', 'declined')),
    decided_at  timestamptz,
    decided_by  text,
    constraint change_order_pk primary key (workshop_id, order_id, change),
    constraint change_order_order_fk foreign key (workshop_id, order_id) references dealer_order (workshop_id, order_id),
    constraint change_order_decided check ((decision is null) = (decided_at is null) and (decision is null) = (decided_by is null))
);

alter table change_order enable row level security;
alter table change_order force row level security;
create policy dealer_rows on change_order using (workshop_id = nullif(current_setting('billwright.workshop', true), '')::uuid
    and current_setting('billwright.dealer', true) in ('*', dealer_id));

grant select on change_order to billwright_app, billwright_report;
grant insert on change_order to billwright_app;
grant update (decision, decided_at, decided_by) on change_order to billwright_app;
-- The lines of an order that was changed take the place of those it had.
grant delete on order_line to billwright_app;

-- +goose Down
revoke delete on order_line from billwright_app;
drop table change_order;
