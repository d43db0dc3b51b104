-- +goose Up
-- Two ledgers. What is needed now is the table requirement, which follows the
-- orders. What was taken out of it is a pull: numbered, insert-only, with a row
-- for every difference since the pull before it of the same week and kind; rows
-- of what was cancelled are negative. Their difference is what is still to pull.

create table pull (
    workshop_id uuid not null,
    pull        integer not null constraint pull_positive check (pull > 0),
    week        date not null constraint pull_week_monday check (extract(isodow from week) = 1),
    kind        text not null,
    -- Numbers the pulls of a week and kind from 1, so that of two made at once
    -- only one is.
    seq         integer not null constraint pull_seq_positive check (seq > 0),
    row_count   integer not null constraint pull_not_empty check (row_count > 0),
    pulled_at   timestamptz not null,
    pulled_by   text not null,
    constraint pull_pk primary key (workshop_id, pull),
    constraint pull_once unique (workshop_id, week, kind, seq),
    constraint pull_workshop_fk foreign key (workshop_id) references workshop (workshop_id)
);

create table pull_row (
    workshop_id uuid not null,
    week        date not null,
    kind        text not null,
    pull        integer not null,
    seq         integer not null,
    dealer_id   text not null,
    order_id    uuid not null,
    line        smallint not null,
    unit        smallint not null,
    path        text not null,
    item        text not null,
    -- Negative where something pulled before is not needed any more.
    pieces      integer not null,
    length_nm   bigint not null,
    amount      bigint not null,
    measure     text not null,
    need_by     date not null,
    mark        text not null constraint pull_row_mark check (mark in ('first', 'late add', 'changed', 'cancelled')),
    constraint pull_row_pk primary key (workshop_id, week, kind, pull, seq),
    constraint pull_row_pull_fk foreign key (workshop_id, pull) references pull (workshop_id, pull),
    constraint pull_row_order_fk foreign key (workshop_id, order_id) references dealer_order (workshop_id, order_id)
);
create index pull_row_pull on pull_row (workshop_id, pull);
create index pull_row_order on pull_row (workshop_id, order_id);

-- What was bought for a week: ordered, received, found short. Insert-only.
create table purchase (
    workshop_id uuid not null,
    week        date not null constraint purchase_week_monday check (extract(isodow from week) = 1),
    kind        text not null,
    item        text not null,
    purchase_id uuid not null,
    act         text not null constraint purchase_act check (act in ('ordered', 'received', 'short')),
    amount      bigint not null constraint purchase_amount check (amount > 0),
    measure     text not null,
    entered     text not null,
    note        text not null,
    done_at     timestamptz not null,
    done_by     text not null,
    constraint purchase_pk primary key (workshop_id, week, kind, item, purchase_id),
    constraint purchase_workshop_fk foreign key (workshop_id) references workshop (workshop_id)
);

-- What is on hand as last counted: bars and offcuts by their length, else an
-- amount under length 0.
create table stock_count (
    workshop_id uuid not null,
    kind        text not null,
    item        text not null,
    length_nm   bigint not null constraint stock_count_length check (length_nm >= 0),
    pieces      integer not null constraint stock_count_pieces check (pieces >= 0),
    amount      bigint not null constraint stock_count_amount check (amount >= 0),
    measure     text not null,
    counted_at  timestamptz not null,
    counted_by  text not null,
    constraint stock_count_pk primary key (workshop_id, kind, item, length_nm),
    constraint stock_count_workshop_fk foreign key (workshop_id) references workshop (workshop_id)
);

-- +goose StatementBegin
do $$
declare
    name text;
begin
    foreach name in array array['pull', 'purchase', 'stock_count']
    loop
        execute format('alter table %I enable row level security', name);
        execute format('alter table %I force row level security', name);
        -- No dealer has any part in what the workshop buys.
        execute format('create policy workshop_rows on %I using (workshop_id = nullif(current_setting(''billwright.workshop'', true), '''')::uuid
            and current_setting(''billwright.dealer'', true) = ''*'')', name);
    end loop;
end
$$;
-- +goose StatementEnd
alter table pull_row enable row level security;
alter table pull_row force row level security;
create policy dealer_rows on pull_row using (workshop_id = nullif(current_setting('billwright.workshop', true), '')::uuid
    and current_setting('billwright.dealer', true) in ('*', dealer_id));

grant select on pull, pull_row, purchase, stock_count to billwright_app, billwright_report;
grant insert on pull, pull_row, purchase, stock_count to billwright_app;
grant delete on stock_count to billwright_app;

-- +goose Down
drop table stock_count, purchase, pull_row, pull;
