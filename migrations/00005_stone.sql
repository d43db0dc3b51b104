-- +goose Up
-- Stone is chosen from and withdrawn like the other materials.
alter table catalog_item
    drop constraint catalog_item_source,
    add constraint catalog_item_source check (source in ('species', 'wood_finishes', 'metal_finishes', 'fabrics', 'glass', 'stone', 'hardware', 'sections'));

-- +goose Down
-- The owner is under row-level security too, which would hide the rows.
alter table catalog_item no force row level security;
delete from catalog_item where source = 'stone';
alter table catalog_item force row level security;
alter table catalog_item
    drop constraint catalog_item_source,
    add constraint catalog_item_source check (source in ('species', 'wood_finishes', 'metal_finishes', 'fabrics', 'glass', 'hardware', 'sections'));
