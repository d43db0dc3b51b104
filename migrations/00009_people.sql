-- +goose Up
-- People who sign in with a name and a password. A person's rows are the
-- workshop's; nobody is ever deleted, since the trail names them.

create table person (
    workshop_id uuid not null,
    person_id   uuid not null,
    name        text not null constraint person_named check (length(name) between 1 and 60),
    -- The name by which a person is found: case and runs of spaces do not matter.
    folded      text not null,
    password    text not null constraint person_password_form check (password like '$argon2id$%'),
    roles       text[] not null constraint person_roles
                check (cardinality(roles) > 0 and roles <@ array['rep', 'buyer', 'engineer', 'shop', 'owner', 'admin']),
    created_at  timestamptz not null,
    disabled_at timestamptz,
    constraint person_pk primary key (workshop_id, person_id),
    constraint person_folded unique (workshop_id, folded),
    constraint person_workshop_fk foreign key (workshop_id) references workshop (workshop_id)
);

-- The secret itself is in the person's browser only.
create table person_session (
    workshop_id    uuid not null,
    session_sha256 bytea not null constraint person_session_hash_size check (octet_length(session_sha256) = 32),
    person_id      uuid not null,
    began_at       timestamptz not null,
    seen_at        timestamptz not null,
    constraint person_session_pk primary key (workshop_id, session_sha256),
    constraint person_session_person_fk foreign key (workshop_id, person_id) references person (workshop_id, person_id)
);

-- Sign-ins that failed, by the name tried and by the address they came from.
create table sign_in_try (
    workshop_id uuid not null,
    subject     text not null,
    began_at    timestamptz not null,
    tries       integer not null,
    constraint sign_in_try_pk primary key (workshop_id, subject),
    constraint sign_in_try_workshop_fk foreign key (workshop_id) references workshop (workshop_id)
);

-- The token that lets the first admin in, once.
create table first_admin (
    workshop_id  uuid not null,
    token_sha256 bytea not null constraint first_admin_hash_size check (octet_length(token_sha256) = 32),
    expires_at   timestamptz not null,
    constraint first_admin_pk primary key (workshop_id),
    constraint first_admin_workshop_fk foreign key (workshop_id) references workshop (workshop_id)
);

-- +goose StatementBegin
do $$
declare
    name text;
begin
    foreach name in array array['person', 'person_session', 'sign_in_try', 'first_admin']
    loop
        execute format('alter table %I enable row level security', name);
        execute format('alter table %I force row level security', name);
        execute format('create policy workshop_people on %I using (workshop_id = nullif(current_setting(''billwright.workshop'', true), '''')::uuid
            and current_setting(''billwright.dealer'', true) = ''*'')', name);
    end loop;
end
$$;
-- +goose StatementEnd

grant select, insert on person, person_session, sign_in_try, first_admin to billwright_app;
grant update (password, roles, disabled_at) on person to billwright_app;
grant update (seen_at) on person_session to billwright_app;
grant update (began_at, tries) on sign_in_try to billwright_app;
grant update (token_sha256, expires_at) on first_admin to billwright_app;
grant delete on person_session, sign_in_try, first_admin to billwright_app;

-- +goose Down
drop table first_admin, sign_in_try, person_session, person;
