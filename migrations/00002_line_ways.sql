-- +goose Up
-- The ways chosen on a line for pieces longer than the bars on the rack: a JSON
-- object of the part's path and the way. They go with the configuration.
alter table order_line
    add column ways jsonb not null default '{}' constraint order_line_ways check (jsonb_typeof(ways) = 'object');

-- +goose Down
alter table order_line drop column ways;
