-- +goose Up
-- What is said beside an order: notes for one of three audiences, files that go
-- with it, and what has happened to it for whoever asks since when. Insert-only,
-- all of them. What is not meant for the dealer is kept from him by row-level
-- security, whatever the program asks for.

create table order_note (
    workshop_id   uuid not null,
    dealer_id     text not null,
    order_id      uuid not null,
    -- Numbers the order's notes for an audience from 1, so that no gap tells of
    -- what is meant for another.
    seq           integer not null constraint order_note_positive check (seq > 0),
    audience      text not null constraint order_note_audience check (audience in ('internal', 'dealer', 'shop')),
    -- Line 0 is the whole order.
    line          smallint not null constraint order_note_line check (line >= 0),
    text          text not null,
    changes_build boolean not null,
    -- The hold that a note which changes the build placed.
    hold          smallint,
    noted_at      timestamptz not null,
    noted_by      text not null,
    role          text not null,
    constraint order_note_pk primary key (workshop_id, order_id, audience, seq),
    constraint order_note_held check (changes_build = (hold is not null)),
    constraint order_note_order_fk foreign key (workshop_id, order_id) references dealer_order (workshop_id, order_id)
);

create table order_attachment (
    workshop_id uuid not null,
    dealer_id   text not null,
    order_id    uuid not null,
    -- Numbers the order's attachments for an audience from 1.
    seq         integer not null constraint order_attachment_positive check (seq > 0),
    audience    text not null constraint order_attachment_audience check (audience in ('internal', 'dealer', 'shop')),
    line        smallint not null constraint order_attachment_line check (line >= 0),
    name        text not null,
    media_type  text not null,
    size        integer not null constraint order_attachment_size check (size > 0 and size = octet_length(bytes)),
    sha256      bytea not null constraint order_attachment_hash check (sha256 = sha256(bytes)),
    bytes       bytea not null,
    attached_at timestamptz not null,
    attached_by text not null,
    role        text not null,
    constraint order_attachment_pk primary key (workshop_id, order_id, audience, seq),
    constraint order_attachment_once unique (workshop_id, order_id, audience, sha256),
    constraint order_attachment_order_fk foreign key (workshop_id, order_id) references dealer_order (workshop_id, order_id)
);

-- What happened to orders, as far as their dealers are told. A transaction's
-- number is given when it first writes and says nothing of when it commits; so a
-- reader is shown only what was written by transactions below the oldest that
-- still runs, and nothing can come to stand before what he has seen. Numbers
-- begin anew on another server: the epoch is raised when a database was restored
-- to one that counts lower (migrations.Up).
create table order_news (
    workshop_id uuid not null,
    epoch       integer not null,
    xact        xid8 not null,
    news_id     uuid not null,
    dealer_id   text not null,
    order_id    uuid not null,
    version     integer not null,
    act         text not null,
    what        text[] not null,
    state       text not null,
    promise     date,
    holds       text[] not null,
    -- Of a note or an attachment for the dealer: its number.
    seq         integer,
    at          timestamptz not null,
    constraint order_news_pk primary key (workshop_id, epoch, xact, news_id),
    constraint order_news_order_fk foreign key (workshop_id, order_id) references dealer_order (workshop_id, order_id)
);
alter table workshop add column news_epoch integer not null default 1;

-- +goose StatementBegin
do $$
declare
    name text;
    mine constant text := 'workshop_id = nullif(current_setting(''billwright.workshop'', true), '''')::uuid';
begin
    foreach name in array array['order_note', 'order_attachment']
    loop
        execute format('alter table %I enable row level security', name);
        execute format('alter table %I force row level security', name);
        execute format('create policy dealer_rows on %I using (%s and (current_setting(''billwright.dealer'', true) = ''*''
            or current_setting(''billwright.dealer'', true) = dealer_id and audience = ''dealer''))', name, mine);
    end loop;
    alter table order_news enable row level security;
    alter table order_news force row level security;
    execute format('create policy dealer_rows on order_news using (%s and current_setting(''billwright.dealer'', true) in (''*'', dealer_id))', mine);
    -- The trail is written by whoever acts and read by the workshop's own people.
    drop policy dealer_rows on audit;
    execute format('create policy audit_written on audit for insert with check (%s and current_setting(''billwright.dealer'', true) in (''*'', dealer_id))', mine);
    execute format('create policy audit_read on audit for select using (%s and current_setting(''billwright.dealer'', true) = ''*'')', mine);
end
$$;
-- +goose StatementEnd

-- Whoever migrates finds whether the numbers of transactions went back.
create policy owner_rows on order_news to billwright_owner using (true);

grant select, insert on order_note, order_attachment, order_news to billwright_app;
grant select on order_note, order_news to billwright_report;
-- All of an attachment but what it holds.
grant select (workshop_id, dealer_id, order_id, seq, audience, line, name, media_type, size, sha256, attached_at, attached_by, role) on order_attachment to billwright_report;
grant select (news_epoch) on workshop to billwright_report;
grant select on audit to billwright_app;
-- The trail of one order.
create index audit_subject on audit (workshop_id, subject, audit_id);

-- +goose Down
drop index audit_subject;
revoke select on audit from billwright_app;
drop policy audit_read on audit;
drop policy audit_written on audit;
create policy dealer_rows on audit using (workshop_id = nullif(current_setting('billwright.workshop', true), '')::uuid
    and current_setting('billwright.dealer', true) in ('*', dealer_id));
drop table order_news, order_attachment, order_note;
alter table workshop drop column news_epoch;
