-- +goose Up
-- What orders are looked for by, beside the folded text: codes of their products
-- and fabrics. The lines of the text stand in a fixed order: number, number
-- without its hyphen, purchase order number, sidemark, dealer, dealer's name; then
-- products and fabrics by code and name.
alter table dealer_order
    add column products text[] not null default '{}',
    add column fabrics text[] not null default '{}';

-- The owner of the tables is under row-level security too, which would hide the
-- rows.
alter table dealer_order no force row level security;
alter table order_line no force row level security;
alter table catalog_fabric no force row level security;
update dealer_order o set
    products = array(select distinct l.product from order_line l where l.workshop_id = o.workshop_id and l.order_id = o.order_id order by l.product),
    fabrics = array(select distinct f.fabric from order_line l
        cross join lateral jsonb_each_text(l.configuration) as picked
        join catalog_fabric f on f.workshop_id = l.workshop_id and f.revision = l.revision and f.fabric = picked.value
        where l.workshop_id = o.workshop_id and l.order_id = o.order_id order by f.fabric);
alter table catalog_fabric force row level security;
alter table order_line force row level security;
alter table dealer_order force row level security;

-- Orders with a hold that stands.
create index order_hold_standing on order_hold (workshop_id, kind, order_id) where lifted_at is null;

-- Who asks is looked up once for a statement and not for each row.
alter policy dealer_rows on dealer_order using (workshop_id = (select nullif(current_setting('billwright.workshop', true), '')::uuid)
    and (select current_setting('billwright.dealer', true)) in ('*', dealer_id));

grant update (products, fabrics) on dealer_order to billwright_app;

-- +goose Down
revoke update (products, fabrics) on dealer_order from billwright_app;
alter policy dealer_rows on dealer_order using (workshop_id = nullif(current_setting('billwright.workshop', true), '')::uuid
    and current_setting('billwright.dealer', true) in ('*', dealer_id));
drop index order_hold_standing;
alter table dealer_order drop column fabrics, drop column products;
