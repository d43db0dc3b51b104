-- +goose Up
-- Material taken in place of another for some days. What was made of it is told
-- by the orders; a row here is never altered but for its end, which may come sooner.

create table substitution (
    workshop_id uuid not null,
    -- Numbers the workshop's substitutions from 1.
    number      integer not null constraint substitution_positive check (number > 0),
    kind        text not null,
    item        text not null,
    by_item     text not null constraint substitution_other check (by_item <> item),
    from_day    date not null,
    until_day   date not null,
    reason      text not null,
    made_at     timestamptz not null,
    made_by     text not null,
    ended_at    timestamptz,
    ended_by    text,
    constraint substitution_pk primary key (workshop_id, number),
    constraint substitution_workshop_fk foreign key (workshop_id) references workshop (workshop_id),
    constraint substitution_ended check ((ended_at is null) = (ended_by is null)),
    constraint substitution_days check (until_day >= from_day)
);

create index substitution_days on substitution (workshop_id, until_day);

alter table substitution enable row level security;
alter table substitution force row level security;
-- No dealer has any part in what the workshop makes do with.
create policy workshop_rows on substitution using (workshop_id = nullif(current_setting('billwright.workshop', true), '')::uuid
    and current_setting('billwright.dealer', true) = '*');

grant select on substitution to billwright_app, billwright_report;
grant insert on substitution to billwright_app;
grant update (ended_at, ended_by) on substitution to billwright_app;

-- +goose Down
drop table substitution;
