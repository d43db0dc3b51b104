-- +goose NO TRANSACTION
-- +goose Up
-- A week's sums read the rows of a kind in the order in which they are added up:
-- item, measure, size, firm or not. So one pass without sort or hash gives the
-- sums of the items and those of each size. leads is true of one row of an order
-- in a week for each kind, item and measure, so that the orders are counted
-- without their ids; null where the row was written before there were marks, and
-- then they are counted by their ids.
--
-- The indexes are made beside the writing, without a transaction; whatever a
-- broken run left behind is thrown away first.
alter table requirement add column if not exists leads boolean;
drop index concurrently if exists requirement_week_sums;
create index concurrently requirement_week_sums on requirement (workshop_id, week, kind, item, measure, length_nm, firm, surplus, width_nm)
    include (dealer_id, order_id, pieces, amount, need_by, leads);
drop index concurrently if exists requirement_unmarked;
create index concurrently requirement_unmarked on requirement (workshop_id, week) where leads is null;
drop index concurrently if exists requirement_week_item;

-- Whether all dealers are asked for is looked up once, not compared in each row.
alter policy dealer_rows on requirement using (workshop_id = (select nullif(current_setting('billwright.workshop', true), '')::uuid)
    and ((select current_setting('billwright.dealer', true) = '*') or dealer_id = (select current_setting('billwright.dealer', true))));
alter policy dealer_rows on pull_row using (workshop_id = (select nullif(current_setting('billwright.workshop', true), '')::uuid)
    and ((select current_setting('billwright.dealer', true) = '*') or dealer_id = (select current_setting('billwright.dealer', true))));

-- +goose Down
alter policy dealer_rows on requirement using (workshop_id = (select nullif(current_setting('billwright.workshop', true), '')::uuid)
    and (select current_setting('billwright.dealer', true)) in ('*', dealer_id));
alter policy dealer_rows on pull_row using (workshop_id = (select nullif(current_setting('billwright.workshop', true), '')::uuid)
    and (select current_setting('billwright.dealer', true)) in ('*', dealer_id));
drop index concurrently if exists requirement_week_item;
create index concurrently requirement_week_item on requirement (workshop_id, week, kind, item)
    include (dealer_id, order_id, pieces, amount, measure, need_by, firm, length_nm, width_nm, surplus);
drop index concurrently if exists requirement_unmarked;
drop index concurrently if exists requirement_week_sums;
alter table requirement drop column if exists leads;
