-- +goose Up
-- What came of customer's own material, and what is awaited: insert-only. What is
-- there, and whether it is enough, is reckoned from these rows.
create table own_receipt (
    workshop_id uuid not null,
    dealer_id   text not null,
    order_id    uuid not null,
    -- Numbers the order's receipts from 1.
    seq         integer not null constraint own_receipt_positive check (seq > 0),
    act         text not null constraint own_receipt_act check (act in ('expected', 'received', 'short', 'damaged')),
    line        smallint not null constraint own_receipt_line check (line > 0),
    path        text not null,
    -- By the roll a length, of leather an area.
    length_nm   bigint not null constraint own_receipt_length check (length_nm >= 0),
    area_um2    bigint not null constraint own_receipt_area check (area_um2 >= 0),
    -- What came otherwise than said with the order; null where it was not told.
    usable_nm   bigint,
    repeat_nm   bigint,
    across_nm   bigint,
    flaws_nm    bigint not null constraint own_receipt_flaws check (flaws_nm >= 0),
    entered     text not null,
    due         date,
    note        text not null,
    noted_at    timestamptz not null,
    noted_by    text not null,
    constraint own_receipt_pk primary key (workshop_id, order_id, seq),
    constraint own_receipt_amount check (length_nm > 0 or area_um2 > 0),
    constraint own_receipt_order_fk foreign key (workshop_id, order_id) references dealer_order (workshop_id, order_id)
);

alter table own_receipt enable row level security;
alter table own_receipt force row level security;
create policy dealer_rows on own_receipt using (workshop_id = nullif(current_setting('billwright.workshop', true), '')::uuid
    and current_setting('billwright.dealer', true) in ('*', dealer_id));

grant select on own_receipt to billwright_app, billwright_report;
grant insert on own_receipt to billwright_app;

-- +goose Down
drop table own_receipt;
