-- +goose Up
-- What is cut from sheets has a width beside its length; a pull keeps the plan
-- of all that was pulled for its week and kind up to it, made after its rows were
-- committed: a plan may be missing until somebody reads it, never be changed.

alter table requirement add column width_nm bigint constraint requirement_width check (width_nm > 0 and length_nm > 0);
alter table pull_row add column width_nm bigint not null default 0 constraint pull_row_width check (width_nm >= 0);
alter table stock_count add column width_nm bigint not null default 0 constraint stock_count_width check (width_nm >= 0);
alter table stock_count drop constraint stock_count_pk;
alter table stock_count add constraint stock_count_pk primary key (workshop_id, kind, item, length_nm, width_nm);

-- The sizes stand in the index that a week's sum reads, so that what is cut of
-- each size is summed from it too.
drop index requirement_week_item;
create index requirement_week_item on requirement (workshop_id, week, kind, item)
    include (dealer_id, order_id, pieces, amount, measure, need_by, firm, length_nm, width_nm, surplus);

create table pull_plan (
    workshop_id uuid not null,
    pull        integer not null,
    -- The catalog whose bars, sheets and saw it was planned with.
    revision    integer not null,
    -- Whether no plan costs less, of all sections and items together.
    proved      boolean not null,
    document    bytea not null,
    made_at     timestamptz not null,
    constraint pull_plan_pk primary key (workshop_id, pull),
    constraint pull_plan_pull_fk foreign key (workshop_id, pull) references pull (workshop_id, pull)
);
alter table pull_plan enable row level security;
alter table pull_plan force row level security;
create policy workshop_rows on pull_plan using (workshop_id = nullif(current_setting('billwright.workshop', true), '')::uuid
    and current_setting('billwright.dealer', true) = '*');
grant select on pull_plan to billwright_app, billwright_report;
grant insert on pull_plan to billwright_app;

-- +goose Down
drop table pull_plan;
drop index requirement_week_item;
create index requirement_week_item on requirement (workshop_id, week, kind, item)
    include (dealer_id, order_id, pieces, amount, measure, need_by, firm);
delete from stock_count where width_nm > 0;
alter table stock_count drop constraint stock_count_pk;
alter table stock_count add constraint stock_count_pk primary key (workshop_id, kind, item, length_nm);
alter table stock_count drop column width_nm;
alter table pull_row drop column width_nm;
alter table requirement drop column width_nm;
