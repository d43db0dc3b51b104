CREATE TABLE public.api_key (
    workshop_id uuid NOT NULL,
    key_id uuid NOT NULL,
    dealer_id text,
    role text NOT NULL,
    name text NOT NULL,
    secret_sha256 bytea NOT NULL,
    test boolean DEFAULT false NOT NULL,
    created_at timestamp with time zone NOT NULL,
    revoked_at timestamp with time zone,
    CONSTRAINT api_key_dealer_role CHECK (((role = 'dealer'::text) = (dealer_id IS NOT NULL))),
    CONSTRAINT api_key_hash_size CHECK ((octet_length(secret_sha256) = 32)),
    CONSTRAINT api_key_role CHECK ((role = ANY (ARRAY['dealer'::text, 'rep'::text, 'buyer'::text, 'engineer'::text, 'shop'::text, 'owner'::text])))
);

ALTER TABLE ONLY public.api_key FORCE ROW LEVEL SECURITY;

ALTER TABLE public.api_key OWNER TO billwright_owner;

CREATE TABLE public.audit (
    workshop_id uuid NOT NULL,
    audit_id uuid NOT NULL,
    dealer_id text NOT NULL,
    at timestamp with time zone NOT NULL,
    actor text NOT NULL,
    role text NOT NULL,
    act text NOT NULL,
    subject text NOT NULL,
    before jsonb,
    after jsonb,
    reason text NOT NULL
);

ALTER TABLE ONLY public.audit FORCE ROW LEVEL SECURITY;

ALTER TABLE public.audit OWNER TO billwright_owner;

CREATE TABLE public.bill (
    workshop_id uuid NOT NULL,
    dealer_id text NOT NULL,
    order_id uuid NOT NULL,
    bill_version integer NOT NULL,
    revision integer NOT NULL,
    arithmetic integer NOT NULL,
    sha256 bytea NOT NULL,
    document bytea NOT NULL,
    made_at timestamp with time zone NOT NULL,
    CONSTRAINT bill_hash_size CHECK ((octet_length(sha256) = 32)),
    CONSTRAINT bill_version_positive CHECK ((bill_version > 0))
);

ALTER TABLE ONLY public.bill FORCE ROW LEVEL SECURITY;

ALTER TABLE public.bill OWNER TO billwright_owner;

CREATE TABLE public.catalog_attribute (
    workshop_id uuid NOT NULL,
    revision integer NOT NULL,
    product text NOT NULL,
    attribute text NOT NULL,
    "position" smallint NOT NULL,
    name text NOT NULL,
    kind text NOT NULL,
    smallest_nm bigint,
    largest_nm bigint,
    "least" integer,
    most integer,
    default_text text,
    chooses_all text,
    CONSTRAINT catalog_attribute_kind CHECK ((kind = ANY (ARRAY['choice'::text, 'length'::text, 'count'::text, 'text'::text])))
);

ALTER TABLE ONLY public.catalog_attribute FORCE ROW LEVEL SECURITY;

ALTER TABLE public.catalog_attribute OWNER TO billwright_owner;

CREATE TABLE public.catalog_choice (
    workshop_id uuid NOT NULL,
    revision integer NOT NULL,
    product text NOT NULL,
    attribute text NOT NULL,
    choice text NOT NULL,
    "position" integer NOT NULL,
    name text NOT NULL,
    last_order date,
    successor text
);

ALTER TABLE ONLY public.catalog_choice FORCE ROW LEVEL SECURITY;

ALTER TABLE public.catalog_choice OWNER TO billwright_owner;

CREATE TABLE public.catalog_fabric (
    workshop_id uuid NOT NULL,
    revision integer NOT NULL,
    fabric text NOT NULL,
    name text NOT NULL,
    grade text NOT NULL,
    goods_width_nm bigint NOT NULL,
    own_material boolean NOT NULL
);

ALTER TABLE ONLY public.catalog_fabric FORCE ROW LEVEL SECURITY;

ALTER TABLE public.catalog_fabric OWNER TO billwright_owner;

CREATE TABLE public.catalog_file (
    workshop_id uuid NOT NULL,
    revision integer NOT NULL,
    path text NOT NULL,
    bytes bytea NOT NULL
);

ALTER TABLE ONLY public.catalog_file FORCE ROW LEVEL SECURITY;

ALTER TABLE public.catalog_file OWNER TO billwright_owner;

CREATE TABLE public.catalog_finish (
    workshop_id uuid NOT NULL,
    revision integer NOT NULL,
    kind text NOT NULL,
    finish text NOT NULL,
    name text NOT NULL,
    clear_coat boolean NOT NULL,
    hand_steps smallint NOT NULL,
    CONSTRAINT catalog_finish_kind CHECK ((kind = ANY (ARRAY['wood'::text, 'metal'::text])))
);

ALTER TABLE ONLY public.catalog_finish FORCE ROW LEVEL SECURITY;

ALTER TABLE public.catalog_finish OWNER TO billwright_owner;

CREATE TABLE public.catalog_finish_species (
    workshop_id uuid NOT NULL,
    revision integer NOT NULL,
    kind text NOT NULL,
    finish text NOT NULL,
    species text NOT NULL,
    CONSTRAINT catalog_finish_species_kind CHECK ((kind = 'wood'::text))
);

ALTER TABLE ONLY public.catalog_finish_species FORCE ROW LEVEL SECURITY;

ALTER TABLE public.catalog_finish_species OWNER TO billwright_owner;

CREATE TABLE public.catalog_item (
    workshop_id uuid NOT NULL,
    revision integer NOT NULL,
    source text NOT NULL,
    item text NOT NULL,
    "position" integer NOT NULL,
    name text NOT NULL,
    last_order date,
    successor text,
    CONSTRAINT catalog_item_source CHECK ((source = ANY (ARRAY['species'::text, 'wood_finishes'::text, 'metal_finishes'::text, 'fabrics'::text, 'glass'::text, 'stone'::text, 'hardware'::text, 'sections'::text])))
);

ALTER TABLE ONLY public.catalog_item FORCE ROW LEVEL SECURITY;

ALTER TABLE public.catalog_item OWNER TO billwright_owner;

CREATE TABLE public.catalog_product (
    workshop_id uuid NOT NULL,
    revision integer NOT NULL,
    product text NOT NULL,
    name text NOT NULL,
    collection text NOT NULL,
    lead_days integer NOT NULL,
    last_order date,
    successor text
);

ALTER TABLE ONLY public.catalog_product FORCE ROW LEVEL SECURITY;

ALTER TABLE public.catalog_product OWNER TO billwright_owner;

CREATE TABLE public.catalog_revision (
    workshop_id uuid NOT NULL,
    revision integer NOT NULL,
    effective date NOT NULL,
    source_sha256 bytea NOT NULL,
    stored_at timestamp with time zone NOT NULL,
    stored_by text NOT NULL,
    CONSTRAINT catalog_revision_positive CHECK ((revision > 0))
);

ALTER TABLE ONLY public.catalog_revision FORCE ROW LEVEL SECURITY;

ALTER TABLE public.catalog_revision OWNER TO billwright_owner;

CREATE TABLE public.catalog_rule (
    workshop_id uuid NOT NULL,
    revision integer NOT NULL,
    product text NOT NULL,
    rule text NOT NULL,
    says text NOT NULL
);

ALTER TABLE ONLY public.catalog_rule FORCE ROW LEVEL SECURITY;

ALTER TABLE public.catalog_rule OWNER TO billwright_owner;

CREATE TABLE public.catalog_section (
    workshop_id uuid NOT NULL,
    revision integer NOT NULL,
    section text NOT NULL,
    name text NOT NULL,
    shape text NOT NULL,
    mass_ug_per_m bigint NOT NULL,
    perimeter_nm bigint NOT NULL,
    longest_bar_nm bigint NOT NULL
);

ALTER TABLE ONLY public.catalog_section FORCE ROW LEVEL SECURITY;

ALTER TABLE public.catalog_section OWNER TO billwright_owner;

CREATE TABLE public.catalog_species (
    workshop_id uuid NOT NULL,
    revision integer NOT NULL,
    species text NOT NULL,
    name text NOT NULL,
    blanks text NOT NULL,
    yield text,
    CONSTRAINT catalog_species_blanks CHECK ((blanks = ANY (ARRAY['made'::text, 'bought'::text])))
);

ALTER TABLE ONLY public.catalog_species FORCE ROW LEVEL SECURITY;

ALTER TABLE public.catalog_species OWNER TO billwright_owner;

CREATE TABLE public.catalog_standard (
    workshop_id uuid NOT NULL,
    revision integer NOT NULL,
    standard text NOT NULL,
    value text NOT NULL,
    source text NOT NULL
);

ALTER TABLE ONLY public.catalog_standard FORCE ROW LEVEL SECURITY;

ALTER TABLE public.catalog_standard OWNER TO billwright_owner;

CREATE TABLE public.change_order (
    workshop_id uuid NOT NULL,
    dealer_id text NOT NULL,
    order_id uuid NOT NULL,
    change integer NOT NULL,
    version integer NOT NULL,
    request bytea NOT NULL,
    difference bytea NOT NULL,
    reason text NOT NULL,
    proposed_at timestamp with time zone NOT NULL,
    proposed_by text NOT NULL,
    decision text,
    decided_at timestamp with time zone,
    decided_by text,
    CONSTRAINT change_order_decided CHECK ((((decision IS NULL) = (decided_at IS NULL)) AND ((decision IS NULL) = (decided_by IS NULL)))),
    CONSTRAINT change_order_decision CHECK ((decision = ANY (ARRAY['approved'::text, 'declined'::text]))),
    CONSTRAINT change_order_positive CHECK ((change > 0)),
    CONSTRAINT change_order_version CHECK ((version > 0))
);

ALTER TABLE ONLY public.change_order FORCE ROW LEVEL SECURITY;

ALTER TABLE public.change_order OWNER TO billwright_owner;

CREATE TABLE public.dealer (
    workshop_id uuid NOT NULL,
    dealer_id text NOT NULL,
    name text NOT NULL,
    CONSTRAINT dealer_code_form CHECK ((dealer_id ~ '^[a-z0-9]+(-[a-z0-9]+)*$'::text))
);

ALTER TABLE ONLY public.dealer FORCE ROW LEVEL SECURITY;

ALTER TABLE public.dealer OWNER TO billwright_owner;

CREATE TABLE public.dealer_order (
    workshop_id uuid NOT NULL,
    dealer_id text NOT NULL,
    order_id uuid NOT NULL,
    number text,
    version integer NOT NULL,
    state text NOT NULL,
    test boolean NOT NULL,
    revision integer NOT NULL,
    po text NOT NULL,
    po_guard text,
    sidemark text NOT NULL,
    ship_to text NOT NULL,
    requested date,
    ship_complete boolean NOT NULL,
    promise date,
    net_cents bigint,
    received_at timestamp with time zone NOT NULL,
    search text NOT NULL,
    document bytea NOT NULL,
    valid_until date,
    products text[] DEFAULT '{}'::text[] NOT NULL,
    fabrics text[] DEFAULT '{}'::text[] NOT NULL,
    CONSTRAINT dealer_order_numbered CHECK (((number IS NOT NULL) OR (state = 'draft'::text))),
    CONSTRAINT dealer_order_state CHECK ((state = ANY (ARRAY['draft'::text, 'quoted'::text, 'received'::text, 'accepted'::text, 'released'::text, 'in work'::text, 'ready'::text, 'shipped in part'::text, 'shipped'::text, 'closed'::text, 'cancelled'::text]))),
    CONSTRAINT dealer_order_version CHECK ((version > 0))
);

ALTER TABLE ONLY public.dealer_order FORCE ROW LEVEL SECURITY;

ALTER TABLE public.dealer_order OWNER TO billwright_owner;

CREATE TABLE public.department_load (
    workshop_id uuid NOT NULL,
    order_id uuid NOT NULL,
    department text NOT NULL,
    dealer_id text NOT NULL,
    week date NOT NULL,
    tenths bigint NOT NULL,
    CONSTRAINT department_load_tenths CHECK ((tenths > 0)),
    CONSTRAINT department_load_week_monday CHECK ((EXTRACT(isodow FROM week) = (1)::numeric))
);

ALTER TABLE ONLY public.department_load FORCE ROW LEVEL SECURITY;

ALTER TABLE public.department_load OWNER TO billwright_owner;

CREATE TABLE public.first_admin (
    workshop_id uuid NOT NULL,
    token_sha256 bytea NOT NULL,
    expires_at timestamp with time zone NOT NULL,
    CONSTRAINT first_admin_hash_size CHECK ((octet_length(token_sha256) = 32))
);

ALTER TABLE ONLY public.first_admin FORCE ROW LEVEL SECURITY;

ALTER TABLE public.first_admin OWNER TO billwright_owner;

CREATE TABLE public.idempotency (
    workshop_id uuid NOT NULL,
    scope text NOT NULL,
    key text NOT NULL,
    dealer_id text NOT NULL,
    fingerprint bytea NOT NULL,
    status smallint NOT NULL,
    location text NOT NULL,
    etag text NOT NULL,
    reply bytea NOT NULL,
    replays integer DEFAULT 0 NOT NULL,
    created_at timestamp with time zone NOT NULL,
    CONSTRAINT idempotency_fingerprint_size CHECK ((octet_length(fingerprint) = 32))
);

ALTER TABLE ONLY public.idempotency FORCE ROW LEVEL SECURITY;

ALTER TABLE public.idempotency OWNER TO billwright_owner;

CREATE TABLE public.imported_order (
    workshop_id uuid NOT NULL,
    dealer_id text NOT NULL,
    test boolean NOT NULL,
    key text NOT NULL,
    order_id uuid NOT NULL,
    import_id uuid NOT NULL,
    row_number integer NOT NULL
);

ALTER TABLE ONLY public.imported_order FORCE ROW LEVEL SECURITY;

ALTER TABLE public.imported_order OWNER TO billwright_owner;

CREATE TABLE public.order_attachment (
    workshop_id uuid NOT NULL,
    dealer_id text NOT NULL,
    order_id uuid NOT NULL,
    seq integer NOT NULL,
    audience text NOT NULL,
    line smallint NOT NULL,
    name text NOT NULL,
    media_type text NOT NULL,
    size integer NOT NULL,
    sha256 bytea NOT NULL,
    bytes bytea NOT NULL,
    attached_at timestamp with time zone NOT NULL,
    attached_by text NOT NULL,
    role text NOT NULL,
    CONSTRAINT order_attachment_audience CHECK ((audience = ANY (ARRAY['internal'::text, 'dealer'::text, 'shop'::text]))),
    CONSTRAINT order_attachment_hash CHECK ((sha256 = sha256(bytes))),
    CONSTRAINT order_attachment_line CHECK ((line >= 0)),
    CONSTRAINT order_attachment_positive CHECK ((seq > 0)),
    CONSTRAINT order_attachment_size CHECK (((size > 0) AND (size = octet_length(bytes))))
);

ALTER TABLE ONLY public.order_attachment FORCE ROW LEVEL SECURITY;

ALTER TABLE public.order_attachment OWNER TO billwright_owner;

CREATE TABLE public.order_hold (
    workshop_id uuid NOT NULL,
    dealer_id text NOT NULL,
    order_id uuid NOT NULL,
    seq smallint NOT NULL,
    line smallint NOT NULL,
    kind text NOT NULL,
    reason text NOT NULL,
    placed_at timestamp with time zone NOT NULL,
    placed_by text NOT NULL,
    lifted_at timestamp with time zone,
    lifted_by text,
    CONSTRAINT order_hold_kind CHECK ((kind ~ '^[a-z0-9]+([-_./][a-z0-9]+)*$'::text)),
    CONSTRAINT order_hold_positive CHECK ((seq > 0))
);

ALTER TABLE ONLY public.order_hold FORCE ROW LEVEL SECURITY;

ALTER TABLE public.order_hold OWNER TO billwright_owner;

CREATE TABLE public.order_import (
    workshop_id uuid NOT NULL,
    import_id uuid NOT NULL,
    name text NOT NULL,
    dry_run boolean NOT NULL,
    test boolean NOT NULL,
    mapping bytea NOT NULL,
    file bytea,
    sha256 bytea NOT NULL,
    row_count integer NOT NULL,
    order_count integer NOT NULL,
    "position" integer DEFAULT 0 NOT NULL,
    good integer DEFAULT 0 NOT NULL,
    loaded integer DEFAULT 0 NOT NULL,
    known integer DEFAULT 0 NOT NULL,
    faulty integer DEFAULT 0 NOT NULL,
    fault_count integer DEFAULT 0 NOT NULL,
    faults jsonb DEFAULT '[]'::jsonb NOT NULL,
    done boolean DEFAULT false NOT NULL,
    leased_until timestamp with time zone,
    begun_at timestamp with time zone NOT NULL,
    begun_by text NOT NULL,
    role text NOT NULL,
    ended_at timestamp with time zone,
    CONSTRAINT order_import_hash CHECK ((octet_length(sha256) = 32)),
    CONSTRAINT order_import_kept CHECK ((done = (file IS NULL))),
    CONSTRAINT order_import_position CHECK ((("position" >= 0) AND ("position" <= order_count)))
);

ALTER TABLE ONLY public.order_import FORCE ROW LEVEL SECURITY;

ALTER TABLE public.order_import OWNER TO billwright_owner;

CREATE TABLE public.order_line (
    workshop_id uuid NOT NULL,
    dealer_id text NOT NULL,
    order_id uuid NOT NULL,
    line smallint NOT NULL,
    product text NOT NULL,
    quantity integer NOT NULL,
    revision integer NOT NULL,
    configuration jsonb NOT NULL,
    net_cents bigint,
    ways jsonb DEFAULT '{}'::jsonb NOT NULL,
    CONSTRAINT order_line_positive CHECK ((line > 0)),
    CONSTRAINT order_line_quantity CHECK ((quantity > 0)),
    CONSTRAINT order_line_ways CHECK ((jsonb_typeof(ways) = 'object'::text))
);

ALTER TABLE ONLY public.order_line FORCE ROW LEVEL SECURITY;

ALTER TABLE public.order_line OWNER TO billwright_owner;

CREATE TABLE public.order_link (
    workshop_id uuid NOT NULL,
    dealer_id text NOT NULL,
    of_order_id uuid NOT NULL,
    order_id uuid NOT NULL,
    seq integer NOT NULL,
    relation text NOT NULL,
    line smallint NOT NULL,
    unit smallint NOT NULL,
    path text NOT NULL,
    quantity integer NOT NULL,
    linked_at timestamp with time zone NOT NULL,
    linked_by text NOT NULL,
    CONSTRAINT order_link_positive CHECK ((seq > 0)),
    CONSTRAINT order_link_relation CHECK ((relation = ANY (ARRAY['copy'::text, 'split'::text, 'parts'::text, 're-make'::text])))
);

ALTER TABLE ONLY public.order_link FORCE ROW LEVEL SECURITY;

ALTER TABLE public.order_link OWNER TO billwright_owner;

CREATE TABLE public.order_news (
    workshop_id uuid NOT NULL,
    epoch integer NOT NULL,
    xact xid8 NOT NULL,
    news_id uuid NOT NULL,
    dealer_id text NOT NULL,
    order_id uuid NOT NULL,
    version integer NOT NULL,
    act text NOT NULL,
    what text[] NOT NULL,
    state text NOT NULL,
    promise date,
    holds text[] NOT NULL,
    seq integer,
    at timestamp with time zone NOT NULL
);

ALTER TABLE ONLY public.order_news FORCE ROW LEVEL SECURITY;

ALTER TABLE public.order_news OWNER TO billwright_owner;

CREATE TABLE public.order_note (
    workshop_id uuid NOT NULL,
    dealer_id text NOT NULL,
    order_id uuid NOT NULL,
    seq integer NOT NULL,
    audience text NOT NULL,
    line smallint NOT NULL,
    text text NOT NULL,
    changes_build boolean NOT NULL,
    hold smallint,
    noted_at timestamp with time zone NOT NULL,
    noted_by text NOT NULL,
    role text NOT NULL,
    CONSTRAINT order_note_audience CHECK ((audience = ANY (ARRAY['internal'::text, 'dealer'::text, 'shop'::text]))),
    CONSTRAINT order_note_held CHECK ((changes_build = (hold IS NOT NULL))),
    CONSTRAINT order_note_line CHECK ((line >= 0)),
    CONSTRAINT order_note_positive CHECK ((seq > 0))
);

ALTER TABLE ONLY public.order_note FORCE ROW LEVEL SECURITY;

ALTER TABLE public.order_note OWNER TO billwright_owner;

CREATE TABLE public.order_version (
    workshop_id uuid NOT NULL,
    dealer_id text NOT NULL,
    order_id uuid NOT NULL,
    version integer NOT NULL,
    state text NOT NULL,
    document bytea NOT NULL,
    ended_at timestamp with time zone NOT NULL,
    ended_by text NOT NULL,
    act text NOT NULL,
    CONSTRAINT order_version_positive CHECK ((version > 0))
);

ALTER TABLE ONLY public.order_version FORCE ROW LEVEL SECURITY;

ALTER TABLE public.order_version OWNER TO billwright_owner;

CREATE TABLE public.own_receipt (
    workshop_id uuid NOT NULL,
    dealer_id text NOT NULL,
    order_id uuid NOT NULL,
    seq integer NOT NULL,
    act text NOT NULL,
    line smallint NOT NULL,
    path text NOT NULL,
    length_nm bigint NOT NULL,
    area_um2 bigint NOT NULL,
    usable_nm bigint,
    repeat_nm bigint,
    across_nm bigint,
    flaws_nm bigint NOT NULL,
    entered text NOT NULL,
    due date,
    note text NOT NULL,
    noted_at timestamp with time zone NOT NULL,
    noted_by text NOT NULL,
    CONSTRAINT own_receipt_act CHECK ((act = ANY (ARRAY['expected'::text, 'received'::text, 'short'::text, 'damaged'::text]))),
    CONSTRAINT own_receipt_amount CHECK (((length_nm > 0) OR (area_um2 > 0))),
    CONSTRAINT own_receipt_area CHECK ((area_um2 >= 0)),
    CONSTRAINT own_receipt_flaws CHECK ((flaws_nm >= 0)),
    CONSTRAINT own_receipt_length CHECK ((length_nm >= 0)),
    CONSTRAINT own_receipt_line CHECK ((line > 0)),
    CONSTRAINT own_receipt_positive CHECK ((seq > 0))
);

ALTER TABLE ONLY public.own_receipt FORCE ROW LEVEL SECURITY;

ALTER TABLE public.own_receipt OWNER TO billwright_owner;

CREATE TABLE public.person (
    workshop_id uuid NOT NULL,
    person_id uuid NOT NULL,
    name text NOT NULL,
    folded text NOT NULL,
    password text NOT NULL,
    roles text[] NOT NULL,
    created_at timestamp with time zone NOT NULL,
    disabled_at timestamp with time zone,
    CONSTRAINT person_named CHECK (((length(name) >= 1) AND (length(name) <= 60))),
    CONSTRAINT person_password_form CHECK ((password ~~ '$argon2id$%'::text)),
    CONSTRAINT person_roles CHECK (((cardinality(roles) > 0) AND (roles <@ ARRAY['rep'::text, 'buyer'::text, 'engineer'::text, 'shop'::text, 'owner'::text, 'admin'::text])))
);

ALTER TABLE ONLY public.person FORCE ROW LEVEL SECURITY;

ALTER TABLE public.person OWNER TO billwright_owner;

CREATE TABLE public.person_session (
    workshop_id uuid NOT NULL,
    session_sha256 bytea NOT NULL,
    person_id uuid NOT NULL,
    began_at timestamp with time zone NOT NULL,
    seen_at timestamp with time zone NOT NULL,
    CONSTRAINT person_session_hash_size CHECK ((octet_length(session_sha256) = 32))
);

ALTER TABLE ONLY public.person_session FORCE ROW LEVEL SECURITY;

ALTER TABLE public.person_session OWNER TO billwright_owner;

CREATE TABLE public.pull (
    workshop_id uuid NOT NULL,
    pull integer NOT NULL,
    week date NOT NULL,
    kind text NOT NULL,
    seq integer NOT NULL,
    row_count integer NOT NULL,
    pulled_at timestamp with time zone NOT NULL,
    pulled_by text NOT NULL,
    CONSTRAINT pull_not_empty CHECK ((row_count > 0)),
    CONSTRAINT pull_positive CHECK ((pull > 0)),
    CONSTRAINT pull_seq_positive CHECK ((seq > 0)),
    CONSTRAINT pull_week_monday CHECK ((EXTRACT(isodow FROM week) = (1)::numeric))
);

ALTER TABLE ONLY public.pull FORCE ROW LEVEL SECURITY;

ALTER TABLE public.pull OWNER TO billwright_owner;

CREATE TABLE public.pull_plan (
    workshop_id uuid NOT NULL,
    pull integer NOT NULL,
    revision integer NOT NULL,
    proved boolean NOT NULL,
    document bytea NOT NULL,
    made_at timestamp with time zone NOT NULL
);

ALTER TABLE ONLY public.pull_plan FORCE ROW LEVEL SECURITY;

ALTER TABLE public.pull_plan OWNER TO billwright_owner;

CREATE TABLE public.pull_row (
    workshop_id uuid NOT NULL,
    week date NOT NULL,
    kind text NOT NULL,
    pull integer NOT NULL,
    seq integer NOT NULL,
    dealer_id text NOT NULL,
    order_id uuid NOT NULL,
    line smallint NOT NULL,
    unit smallint NOT NULL,
    path text NOT NULL,
    item text NOT NULL,
    pieces integer NOT NULL,
    length_nm bigint NOT NULL,
    amount bigint NOT NULL,
    measure text NOT NULL,
    need_by date NOT NULL,
    mark text NOT NULL,
    width_nm bigint DEFAULT 0 NOT NULL,
    CONSTRAINT pull_row_mark CHECK ((mark = ANY (ARRAY['first'::text, 'late add'::text, 'changed'::text, 'cancelled'::text]))),
    CONSTRAINT pull_row_width CHECK ((width_nm >= 0))
);

ALTER TABLE ONLY public.pull_row FORCE ROW LEVEL SECURITY;

ALTER TABLE public.pull_row OWNER TO billwright_owner;

CREATE TABLE public.purchase (
    workshop_id uuid NOT NULL,
    week date NOT NULL,
    kind text NOT NULL,
    item text NOT NULL,
    purchase_id uuid NOT NULL,
    act text NOT NULL,
    amount bigint NOT NULL,
    measure text NOT NULL,
    entered text NOT NULL,
    note text NOT NULL,
    done_at timestamp with time zone NOT NULL,
    done_by text NOT NULL,
    CONSTRAINT purchase_act CHECK ((act = ANY (ARRAY['ordered'::text, 'received'::text, 'short'::text]))),
    CONSTRAINT purchase_amount CHECK ((amount > 0)),
    CONSTRAINT purchase_week_monday CHECK ((EXTRACT(isodow FROM week) = (1)::numeric))
);

ALTER TABLE ONLY public.purchase FORCE ROW LEVEL SECURITY;

ALTER TABLE public.purchase OWNER TO billwright_owner;

CREATE TABLE public.requirement (
    workshop_id uuid NOT NULL,
    week date NOT NULL,
    order_id uuid NOT NULL,
    line smallint NOT NULL,
    seq smallint NOT NULL,
    dealer_id text NOT NULL,
    bill_version integer NOT NULL,
    unit smallint NOT NULL,
    path text NOT NULL,
    kind text NOT NULL,
    item text NOT NULL,
    pieces integer NOT NULL,
    length_nm bigint,
    amount bigint NOT NULL,
    measure text NOT NULL,
    need_by date NOT NULL,
    firm boolean NOT NULL,
    surplus boolean DEFAULT false NOT NULL,
    width_nm bigint,
    leads boolean,
    CONSTRAINT requirement_measure CHECK ((measure = ANY (ARRAY['each'::text, 'length'::text, 'area'::text, 'volume'::text, 'mass'::text]))),
    CONSTRAINT requirement_need_by_week CHECK (((need_by >= week) AND (need_by < (week + 7)))),
    CONSTRAINT requirement_path_form CHECK ((path ~ '^[a-z0-9]+(-[a-z0-9]+)*(/[a-z0-9]+(-[a-z0-9]+)*)*$'::text)),
    CONSTRAINT requirement_pieces CHECK ((pieces > 0)),
    CONSTRAINT requirement_unit CHECK ((unit >= 0)),
    CONSTRAINT requirement_week_monday CHECK ((EXTRACT(isodow FROM week) = (1)::numeric)),
    CONSTRAINT requirement_width CHECK (((width_nm > 0) AND (length_nm > 0)))
);

ALTER TABLE ONLY public.requirement FORCE ROW LEVEL SECURITY;

ALTER TABLE public.requirement OWNER TO billwright_owner;

CREATE TABLE public.shipment (
    workshop_id uuid NOT NULL,
    dealer_id text NOT NULL,
    order_id uuid NOT NULL,
    shipment integer NOT NULL,
    carrier text NOT NULL,
    tracking text NOT NULL,
    shipped_at timestamp with time zone NOT NULL,
    shipped_by text NOT NULL,
    CONSTRAINT shipment_positive CHECK ((shipment > 0))
);

ALTER TABLE ONLY public.shipment FORCE ROW LEVEL SECURITY;

ALTER TABLE public.shipment OWNER TO billwright_owner;

CREATE TABLE public.shipped_carton (
    workshop_id uuid NOT NULL,
    dealer_id text NOT NULL,
    order_id uuid NOT NULL,
    line smallint NOT NULL,
    unit smallint NOT NULL,
    carton text NOT NULL,
    shipment integer NOT NULL,
    CONSTRAINT shipped_carton_positive CHECK (((line > 0) AND (unit > 0)))
);

ALTER TABLE ONLY public.shipped_carton FORCE ROW LEVEL SECURITY;

ALTER TABLE public.shipped_carton OWNER TO billwright_owner;

CREATE TABLE public.shop_event (
    workshop_id uuid NOT NULL,
    dealer_id text NOT NULL,
    order_id uuid NOT NULL,
    seq integer NOT NULL,
    event text NOT NULL,
    says text NOT NULL,
    line smallint NOT NULL,
    unit smallint NOT NULL,
    path text NOT NULL,
    pieces integer NOT NULL,
    note text NOT NULL,
    at timestamp with time zone NOT NULL,
    told_at timestamp with time zone NOT NULL,
    told_by text NOT NULL,
    CONSTRAINT shop_event_line CHECK ((line > 0)),
    CONSTRAINT shop_event_pieces CHECK ((pieces >= 0)),
    CONSTRAINT shop_event_positive CHECK ((seq > 0)),
    CONSTRAINT shop_event_unit CHECK ((unit >= 0))
);

ALTER TABLE ONLY public.shop_event FORCE ROW LEVEL SECURITY;

ALTER TABLE public.shop_event OWNER TO billwright_owner;

CREATE TABLE public.sign_in_try (
    workshop_id uuid NOT NULL,
    subject text NOT NULL,
    began_at timestamp with time zone NOT NULL,
    tries integer NOT NULL
);

ALTER TABLE ONLY public.sign_in_try FORCE ROW LEVEL SECURITY;

ALTER TABLE public.sign_in_try OWNER TO billwright_owner;

CREATE TABLE public.stock_count (
    workshop_id uuid NOT NULL,
    kind text NOT NULL,
    item text NOT NULL,
    length_nm bigint NOT NULL,
    pieces integer NOT NULL,
    amount bigint NOT NULL,
    measure text NOT NULL,
    counted_at timestamp with time zone NOT NULL,
    counted_by text NOT NULL,
    width_nm bigint DEFAULT 0 NOT NULL,
    CONSTRAINT stock_count_amount CHECK ((amount >= 0)),
    CONSTRAINT stock_count_length CHECK ((length_nm >= 0)),
    CONSTRAINT stock_count_pieces CHECK ((pieces >= 0)),
    CONSTRAINT stock_count_width CHECK ((width_nm >= 0))
);

ALTER TABLE ONLY public.stock_count FORCE ROW LEVEL SECURITY;

ALTER TABLE public.stock_count OWNER TO billwright_owner;

CREATE TABLE public.substitution (
    workshop_id uuid NOT NULL,
    number integer NOT NULL,
    kind text NOT NULL,
    item text NOT NULL,
    by_item text NOT NULL,
    from_day date NOT NULL,
    until_day date NOT NULL,
    reason text NOT NULL,
    made_at timestamp with time zone NOT NULL,
    made_by text NOT NULL,
    ended_at timestamp with time zone,
    ended_by text,
    CONSTRAINT substitution_days CHECK ((until_day >= from_day)),
    CONSTRAINT substitution_ended CHECK (((ended_at IS NULL) = (ended_by IS NULL))),
    CONSTRAINT substitution_other CHECK ((by_item <> item)),
    CONSTRAINT substitution_positive CHECK ((number > 0))
);

ALTER TABLE ONLY public.substitution FORCE ROW LEVEL SECURITY;

ALTER TABLE public.substitution OWNER TO billwright_owner;

CREATE TABLE public.workshop (
    workshop_id uuid NOT NULL,
    code text NOT NULL,
    name text NOT NULL,
    trial_clock timestamp with time zone,
    page_secret bytea NOT NULL,
    created_at timestamp with time zone NOT NULL,
    news_epoch integer DEFAULT 1 NOT NULL,
    CONSTRAINT workshop_code_form CHECK ((code ~ '^[a-z0-9]+(-[a-z0-9]+)*$'::text)),
    CONSTRAINT workshop_page_secret_size CHECK ((octet_length(page_secret) = 32))
);

ALTER TABLE ONLY public.workshop FORCE ROW LEVEL SECURITY;

ALTER TABLE public.workshop OWNER TO billwright_owner;

ALTER TABLE ONLY public.api_key
    ADD CONSTRAINT api_key_pk PRIMARY KEY (workshop_id, key_id);

ALTER TABLE ONLY public.audit
    ADD CONSTRAINT audit_pk PRIMARY KEY (workshop_id, audit_id);

ALTER TABLE ONLY public.bill
    ADD CONSTRAINT bill_pk PRIMARY KEY (workshop_id, order_id, bill_version);

ALTER TABLE ONLY public.catalog_attribute
    ADD CONSTRAINT catalog_attribute_pk PRIMARY KEY (workshop_id, revision, product, attribute);

ALTER TABLE ONLY public.catalog_choice
    ADD CONSTRAINT catalog_choice_pk PRIMARY KEY (workshop_id, revision, product, attribute, choice);

ALTER TABLE ONLY public.catalog_fabric
    ADD CONSTRAINT catalog_fabric_pk PRIMARY KEY (workshop_id, revision, fabric);

ALTER TABLE ONLY public.catalog_file
    ADD CONSTRAINT catalog_file_pk PRIMARY KEY (workshop_id, revision, path);

ALTER TABLE ONLY public.catalog_finish
    ADD CONSTRAINT catalog_finish_pk PRIMARY KEY (workshop_id, revision, kind, finish);

ALTER TABLE ONLY public.catalog_finish_species
    ADD CONSTRAINT catalog_finish_species_pk PRIMARY KEY (workshop_id, revision, kind, finish, species);

ALTER TABLE ONLY public.catalog_item
    ADD CONSTRAINT catalog_item_pk PRIMARY KEY (workshop_id, revision, source, item);

ALTER TABLE ONLY public.catalog_product
    ADD CONSTRAINT catalog_product_pk PRIMARY KEY (workshop_id, revision, product);

ALTER TABLE ONLY public.catalog_revision
    ADD CONSTRAINT catalog_revision_pk PRIMARY KEY (workshop_id, revision);

ALTER TABLE ONLY public.catalog_rule
    ADD CONSTRAINT catalog_rule_pk PRIMARY KEY (workshop_id, revision, product, rule);

ALTER TABLE ONLY public.catalog_section
    ADD CONSTRAINT catalog_section_pk PRIMARY KEY (workshop_id, revision, section);

ALTER TABLE ONLY public.catalog_species
    ADD CONSTRAINT catalog_species_pk PRIMARY KEY (workshop_id, revision, species);

ALTER TABLE ONLY public.catalog_standard
    ADD CONSTRAINT catalog_standard_pk PRIMARY KEY (workshop_id, revision, standard);

ALTER TABLE ONLY public.change_order
    ADD CONSTRAINT change_order_pk PRIMARY KEY (workshop_id, order_id, change);

ALTER TABLE ONLY public.dealer_order
    ADD CONSTRAINT dealer_order_pk PRIMARY KEY (workshop_id, order_id);

ALTER TABLE ONLY public.dealer
    ADD CONSTRAINT dealer_pk PRIMARY KEY (workshop_id, dealer_id);

ALTER TABLE ONLY public.department_load
    ADD CONSTRAINT department_load_pk PRIMARY KEY (workshop_id, order_id, department);

ALTER TABLE ONLY public.first_admin
    ADD CONSTRAINT first_admin_pk PRIMARY KEY (workshop_id);

ALTER TABLE ONLY public.idempotency
    ADD CONSTRAINT idempotency_pk PRIMARY KEY (workshop_id, scope, key);

ALTER TABLE ONLY public.imported_order
    ADD CONSTRAINT imported_order_pk PRIMARY KEY (workshop_id, dealer_id, test, key);

ALTER TABLE ONLY public.order_attachment
    ADD CONSTRAINT order_attachment_once UNIQUE (workshop_id, order_id, audience, sha256);

ALTER TABLE ONLY public.order_attachment
    ADD CONSTRAINT order_attachment_pk PRIMARY KEY (workshop_id, order_id, audience, seq);

ALTER TABLE ONLY public.order_hold
    ADD CONSTRAINT order_hold_pk PRIMARY KEY (workshop_id, order_id, seq);

ALTER TABLE ONLY public.order_import
    ADD CONSTRAINT order_import_pk PRIMARY KEY (workshop_id, import_id);

ALTER TABLE ONLY public.order_line
    ADD CONSTRAINT order_line_pk PRIMARY KEY (workshop_id, order_id, line);

ALTER TABLE ONLY public.order_link
    ADD CONSTRAINT order_link_pk PRIMARY KEY (workshop_id, of_order_id, order_id, seq);

ALTER TABLE ONLY public.order_news
    ADD CONSTRAINT order_news_pk PRIMARY KEY (workshop_id, epoch, xact, news_id);

ALTER TABLE ONLY public.order_note
    ADD CONSTRAINT order_note_pk PRIMARY KEY (workshop_id, order_id, audience, seq);

ALTER TABLE ONLY public.order_version
    ADD CONSTRAINT order_version_pk PRIMARY KEY (workshop_id, order_id, version);

ALTER TABLE ONLY public.own_receipt
    ADD CONSTRAINT own_receipt_pk PRIMARY KEY (workshop_id, order_id, seq);

ALTER TABLE ONLY public.person
    ADD CONSTRAINT person_folded UNIQUE (workshop_id, folded);

ALTER TABLE ONLY public.person
    ADD CONSTRAINT person_pk PRIMARY KEY (workshop_id, person_id);

ALTER TABLE ONLY public.person_session
    ADD CONSTRAINT person_session_pk PRIMARY KEY (workshop_id, session_sha256);

ALTER TABLE ONLY public.pull
    ADD CONSTRAINT pull_once UNIQUE (workshop_id, week, kind, seq);

ALTER TABLE ONLY public.pull
    ADD CONSTRAINT pull_pk PRIMARY KEY (workshop_id, pull);

ALTER TABLE ONLY public.pull_plan
    ADD CONSTRAINT pull_plan_pk PRIMARY KEY (workshop_id, pull);

ALTER TABLE ONLY public.pull_row
    ADD CONSTRAINT pull_row_pk PRIMARY KEY (workshop_id, week, kind, pull, seq);

ALTER TABLE ONLY public.purchase
    ADD CONSTRAINT purchase_pk PRIMARY KEY (workshop_id, week, kind, item, purchase_id);

ALTER TABLE ONLY public.requirement
    ADD CONSTRAINT requirement_pk PRIMARY KEY (workshop_id, week, order_id, line, seq);

ALTER TABLE ONLY public.shipment
    ADD CONSTRAINT shipment_pk PRIMARY KEY (workshop_id, order_id, shipment);

ALTER TABLE ONLY public.shipped_carton
    ADD CONSTRAINT shipped_carton_pk PRIMARY KEY (workshop_id, order_id, line, unit, carton);

ALTER TABLE ONLY public.shop_event
    ADD CONSTRAINT shop_event_pk PRIMARY KEY (workshop_id, order_id, seq);

ALTER TABLE ONLY public.sign_in_try
    ADD CONSTRAINT sign_in_try_pk PRIMARY KEY (workshop_id, subject);

ALTER TABLE ONLY public.stock_count
    ADD CONSTRAINT stock_count_pk PRIMARY KEY (workshop_id, kind, item, length_nm, width_nm);

ALTER TABLE ONLY public.substitution
    ADD CONSTRAINT substitution_pk PRIMARY KEY (workshop_id, number);

ALTER TABLE ONLY public.workshop
    ADD CONSTRAINT workshop_pk PRIMARY KEY (workshop_id);

CREATE INDEX audit_subject ON public.audit USING btree (workshop_id, subject, audit_id);

CREATE UNIQUE INDEX dealer_order_number_once ON public.dealer_order USING btree (workshop_id, number) WHERE (number IS NOT NULL);

CREATE UNIQUE INDEX dealer_order_po_once ON public.dealer_order USING btree (workshop_id, dealer_id, po_guard) WHERE (po_guard IS NOT NULL);

CREATE INDEX department_load_week ON public.department_load USING btree (workshop_id, week, department) INCLUDE (dealer_id, tenths);

CREATE INDEX order_hold_standing ON public.order_hold USING btree (workshop_id, kind, order_id) WHERE (lifted_at IS NULL);

CREATE INDEX order_link_order ON public.order_link USING btree (workshop_id, order_id);

CREATE INDEX pull_row_order ON public.pull_row USING btree (workshop_id, order_id);

CREATE INDEX pull_row_pull ON public.pull_row USING btree (workshop_id, pull);

CREATE INDEX requirement_order ON public.requirement USING btree (workshop_id, order_id);

CREATE INDEX requirement_unmarked ON public.requirement USING btree (workshop_id, week) WHERE (leads IS NULL);

CREATE INDEX requirement_week_sums ON public.requirement USING btree (workshop_id, week, kind, item, measure, length_nm, firm, surplus, width_nm) INCLUDE (dealer_id, order_id, pieces, amount, need_by, leads);

CREATE INDEX substitution_days ON public.substitution USING btree (workshop_id, until_day);

ALTER TABLE ONLY public.api_key
    ADD CONSTRAINT api_key_dealer_fk FOREIGN KEY (workshop_id, dealer_id) REFERENCES public.dealer(workshop_id, dealer_id);

ALTER TABLE ONLY public.bill
    ADD CONSTRAINT bill_order_fk FOREIGN KEY (workshop_id, order_id) REFERENCES public.dealer_order(workshop_id, order_id);

ALTER TABLE ONLY public.catalog_attribute
    ADD CONSTRAINT catalog_attribute_product_fk FOREIGN KEY (workshop_id, revision, product) REFERENCES public.catalog_product(workshop_id, revision, product);

ALTER TABLE ONLY public.catalog_choice
    ADD CONSTRAINT catalog_choice_attribute_fk FOREIGN KEY (workshop_id, revision, product, attribute) REFERENCES public.catalog_attribute(workshop_id, revision, product, attribute);

ALTER TABLE ONLY public.catalog_fabric
    ADD CONSTRAINT catalog_fabric_revision_fk FOREIGN KEY (workshop_id, revision) REFERENCES public.catalog_revision(workshop_id, revision);

ALTER TABLE ONLY public.catalog_file
    ADD CONSTRAINT catalog_file_revision_fk FOREIGN KEY (workshop_id, revision) REFERENCES public.catalog_revision(workshop_id, revision);

ALTER TABLE ONLY public.catalog_finish
    ADD CONSTRAINT catalog_finish_revision_fk FOREIGN KEY (workshop_id, revision) REFERENCES public.catalog_revision(workshop_id, revision);

ALTER TABLE ONLY public.catalog_finish_species
    ADD CONSTRAINT catalog_finish_species_finish_fk FOREIGN KEY (workshop_id, revision, kind, finish) REFERENCES public.catalog_finish(workshop_id, revision, kind, finish);

ALTER TABLE ONLY public.catalog_finish_species
    ADD CONSTRAINT catalog_finish_species_species_fk FOREIGN KEY (workshop_id, revision, species) REFERENCES public.catalog_species(workshop_id, revision, species);

ALTER TABLE ONLY public.catalog_item
    ADD CONSTRAINT catalog_item_revision_fk FOREIGN KEY (workshop_id, revision) REFERENCES public.catalog_revision(workshop_id, revision);

ALTER TABLE ONLY public.catalog_product
    ADD CONSTRAINT catalog_product_revision_fk FOREIGN KEY (workshop_id, revision) REFERENCES public.catalog_revision(workshop_id, revision);

ALTER TABLE ONLY public.catalog_revision
    ADD CONSTRAINT catalog_revision_workshop_fk FOREIGN KEY (workshop_id) REFERENCES public.workshop(workshop_id);

ALTER TABLE ONLY public.catalog_rule
    ADD CONSTRAINT catalog_rule_product_fk FOREIGN KEY (workshop_id, revision, product) REFERENCES public.catalog_product(workshop_id, revision, product);

ALTER TABLE ONLY public.catalog_section
    ADD CONSTRAINT catalog_section_revision_fk FOREIGN KEY (workshop_id, revision) REFERENCES public.catalog_revision(workshop_id, revision);

ALTER TABLE ONLY public.catalog_species
    ADD CONSTRAINT catalog_species_revision_fk FOREIGN KEY (workshop_id, revision) REFERENCES public.catalog_revision(workshop_id, revision);

ALTER TABLE ONLY public.catalog_standard
    ADD CONSTRAINT catalog_standard_revision_fk FOREIGN KEY (workshop_id, revision) REFERENCES public.catalog_revision(workshop_id, revision);

ALTER TABLE ONLY public.change_order
    ADD CONSTRAINT change_order_order_fk FOREIGN KEY (workshop_id, order_id) REFERENCES public.dealer_order(workshop_id, order_id);

ALTER TABLE ONLY public.dealer_order
    ADD CONSTRAINT dealer_order_dealer_fk FOREIGN KEY (workshop_id, dealer_id) REFERENCES public.dealer(workshop_id, dealer_id);

ALTER TABLE ONLY public.dealer_order
    ADD CONSTRAINT dealer_order_revision_fk FOREIGN KEY (workshop_id, revision) REFERENCES public.catalog_revision(workshop_id, revision);

ALTER TABLE ONLY public.dealer
    ADD CONSTRAINT dealer_workshop_fk FOREIGN KEY (workshop_id) REFERENCES public.workshop(workshop_id);

ALTER TABLE ONLY public.department_load
    ADD CONSTRAINT department_load_order_fk FOREIGN KEY (workshop_id, order_id) REFERENCES public.dealer_order(workshop_id, order_id);

ALTER TABLE ONLY public.first_admin
    ADD CONSTRAINT first_admin_workshop_fk FOREIGN KEY (workshop_id) REFERENCES public.workshop(workshop_id);

ALTER TABLE ONLY public.imported_order
    ADD CONSTRAINT imported_order_import_fk FOREIGN KEY (workshop_id, import_id) REFERENCES public.order_import(workshop_id, import_id);

ALTER TABLE ONLY public.imported_order
    ADD CONSTRAINT imported_order_order_fk FOREIGN KEY (workshop_id, order_id) REFERENCES public.dealer_order(workshop_id, order_id);

ALTER TABLE ONLY public.order_attachment
    ADD CONSTRAINT order_attachment_order_fk FOREIGN KEY (workshop_id, order_id) REFERENCES public.dealer_order(workshop_id, order_id);

ALTER TABLE ONLY public.order_hold
    ADD CONSTRAINT order_hold_order_fk FOREIGN KEY (workshop_id, order_id) REFERENCES public.dealer_order(workshop_id, order_id);

ALTER TABLE ONLY public.order_import
    ADD CONSTRAINT order_import_workshop_fk FOREIGN KEY (workshop_id) REFERENCES public.workshop(workshop_id);

ALTER TABLE ONLY public.order_line
    ADD CONSTRAINT order_line_order_fk FOREIGN KEY (workshop_id, order_id) REFERENCES public.dealer_order(workshop_id, order_id);

ALTER TABLE ONLY public.order_line
    ADD CONSTRAINT order_line_product_fk FOREIGN KEY (workshop_id, revision, product) REFERENCES public.catalog_product(workshop_id, revision, product);

ALTER TABLE ONLY public.order_link
    ADD CONSTRAINT order_link_of_fk FOREIGN KEY (workshop_id, of_order_id) REFERENCES public.dealer_order(workshop_id, order_id);

ALTER TABLE ONLY public.order_link
    ADD CONSTRAINT order_link_order_fk FOREIGN KEY (workshop_id, order_id) REFERENCES public.dealer_order(workshop_id, order_id);

ALTER TABLE ONLY public.order_news
    ADD CONSTRAINT order_news_order_fk FOREIGN KEY (workshop_id, order_id) REFERENCES public.dealer_order(workshop_id, order_id);

ALTER TABLE ONLY public.order_note
    ADD CONSTRAINT order_note_order_fk FOREIGN KEY (workshop_id, order_id) REFERENCES public.dealer_order(workshop_id, order_id);

ALTER TABLE ONLY public.order_version
    ADD CONSTRAINT order_version_order_fk FOREIGN KEY (workshop_id, order_id) REFERENCES public.dealer_order(workshop_id, order_id);

ALTER TABLE ONLY public.own_receipt
    ADD CONSTRAINT own_receipt_order_fk FOREIGN KEY (workshop_id, order_id) REFERENCES public.dealer_order(workshop_id, order_id);

ALTER TABLE ONLY public.person_session
    ADD CONSTRAINT person_session_person_fk FOREIGN KEY (workshop_id, person_id) REFERENCES public.person(workshop_id, person_id);

ALTER TABLE ONLY public.person
    ADD CONSTRAINT person_workshop_fk FOREIGN KEY (workshop_id) REFERENCES public.workshop(workshop_id);

ALTER TABLE ONLY public.pull_plan
    ADD CONSTRAINT pull_plan_pull_fk FOREIGN KEY (workshop_id, pull) REFERENCES public.pull(workshop_id, pull);

ALTER TABLE ONLY public.pull_row
    ADD CONSTRAINT pull_row_order_fk FOREIGN KEY (workshop_id, order_id) REFERENCES public.dealer_order(workshop_id, order_id);

ALTER TABLE ONLY public.pull_row
    ADD CONSTRAINT pull_row_pull_fk FOREIGN KEY (workshop_id, pull) REFERENCES public.pull(workshop_id, pull);

ALTER TABLE ONLY public.pull
    ADD CONSTRAINT pull_workshop_fk FOREIGN KEY (workshop_id) REFERENCES public.workshop(workshop_id);

ALTER TABLE ONLY public.purchase
    ADD CONSTRAINT purchase_workshop_fk FOREIGN KEY (workshop_id) REFERENCES public.workshop(workshop_id);

ALTER TABLE ONLY public.requirement
    ADD CONSTRAINT requirement_order_fk FOREIGN KEY (workshop_id, order_id) REFERENCES public.dealer_order(workshop_id, order_id);

ALTER TABLE ONLY public.shipment
    ADD CONSTRAINT shipment_order_fk FOREIGN KEY (workshop_id, order_id) REFERENCES public.dealer_order(workshop_id, order_id);

ALTER TABLE ONLY public.shipped_carton
    ADD CONSTRAINT shipped_carton_shipment_fk FOREIGN KEY (workshop_id, order_id, shipment) REFERENCES public.shipment(workshop_id, order_id, shipment);

ALTER TABLE ONLY public.shop_event
    ADD CONSTRAINT shop_event_order_fk FOREIGN KEY (workshop_id, order_id) REFERENCES public.dealer_order(workshop_id, order_id);

ALTER TABLE ONLY public.sign_in_try
    ADD CONSTRAINT sign_in_try_workshop_fk FOREIGN KEY (workshop_id) REFERENCES public.workshop(workshop_id);

ALTER TABLE ONLY public.stock_count
    ADD CONSTRAINT stock_count_workshop_fk FOREIGN KEY (workshop_id) REFERENCES public.workshop(workshop_id);

ALTER TABLE ONLY public.substitution
    ADD CONSTRAINT substitution_workshop_fk FOREIGN KEY (workshop_id) REFERENCES public.workshop(workshop_id);

ALTER TABLE public.api_key ENABLE ROW LEVEL SECURITY;

ALTER TABLE public.audit ENABLE ROW LEVEL SECURITY;

CREATE POLICY audit_read ON public.audit FOR SELECT USING (((workshop_id = (NULLIF(current_setting('billwright.workshop'::text, true), ''::text))::uuid) AND (current_setting('billwright.dealer'::text, true) = '*'::text)));

CREATE POLICY audit_written ON public.audit FOR INSERT WITH CHECK (((workshop_id = (NULLIF(current_setting('billwright.workshop'::text, true), ''::text))::uuid) AND ((current_setting('billwright.dealer'::text, true) = '*'::text) OR (current_setting('billwright.dealer'::text, true) = dealer_id))));

ALTER TABLE public.bill ENABLE ROW LEVEL SECURITY;

ALTER TABLE public.catalog_attribute ENABLE ROW LEVEL SECURITY;

ALTER TABLE public.catalog_choice ENABLE ROW LEVEL SECURITY;

ALTER TABLE public.catalog_fabric ENABLE ROW LEVEL SECURITY;

ALTER TABLE public.catalog_file ENABLE ROW LEVEL SECURITY;

ALTER TABLE public.catalog_finish ENABLE ROW LEVEL SECURITY;

ALTER TABLE public.catalog_finish_species ENABLE ROW LEVEL SECURITY;

ALTER TABLE public.catalog_item ENABLE ROW LEVEL SECURITY;

ALTER TABLE public.catalog_product ENABLE ROW LEVEL SECURITY;

ALTER TABLE public.catalog_revision ENABLE ROW LEVEL SECURITY;

ALTER TABLE public.catalog_rule ENABLE ROW LEVEL SECURITY;

ALTER TABLE public.catalog_section ENABLE ROW LEVEL SECURITY;

ALTER TABLE public.catalog_species ENABLE ROW LEVEL SECURITY;

ALTER TABLE public.catalog_standard ENABLE ROW LEVEL SECURITY;

ALTER TABLE public.change_order ENABLE ROW LEVEL SECURITY;

ALTER TABLE public.dealer ENABLE ROW LEVEL SECURITY;

ALTER TABLE public.dealer_order ENABLE ROW LEVEL SECURITY;

CREATE POLICY dealer_rows ON public.api_key USING (((workshop_id = (NULLIF(current_setting('billwright.workshop'::text, true), ''::text))::uuid) AND ((current_setting('billwright.dealer'::text, true) = '*'::text) OR (current_setting('billwright.dealer'::text, true) = dealer_id))));

CREATE POLICY dealer_rows ON public.bill USING (((workshop_id = (NULLIF(current_setting('billwright.workshop'::text, true), ''::text))::uuid) AND ((current_setting('billwright.dealer'::text, true) = '*'::text) OR (current_setting('billwright.dealer'::text, true) = dealer_id))));

CREATE POLICY dealer_rows ON public.change_order USING (((workshop_id = (NULLIF(current_setting('billwright.workshop'::text, true), ''::text))::uuid) AND ((current_setting('billwright.dealer'::text, true) = '*'::text) OR (current_setting('billwright.dealer'::text, true) = dealer_id))));

CREATE POLICY dealer_rows ON public.dealer USING (((workshop_id = (NULLIF(current_setting('billwright.workshop'::text, true), ''::text))::uuid) AND ((current_setting('billwright.dealer'::text, true) = '*'::text) OR (current_setting('billwright.dealer'::text, true) = dealer_id))));

CREATE POLICY dealer_rows ON public.dealer_order USING (((workshop_id = ( SELECT (NULLIF(current_setting('billwright.workshop'::text, true), ''::text))::uuid AS "nullif")) AND ((( SELECT current_setting('billwright.dealer'::text, true) AS current_setting) = '*'::text) OR (( SELECT current_setting('billwright.dealer'::text, true) AS current_setting) = dealer_id))));

CREATE POLICY dealer_rows ON public.department_load USING (((workshop_id = (NULLIF(current_setting('billwright.workshop'::text, true), ''::text))::uuid) AND ((current_setting('billwright.dealer'::text, true) = '*'::text) OR (current_setting('billwright.dealer'::text, true) = dealer_id))));

CREATE POLICY dealer_rows ON public.idempotency USING (((workshop_id = (NULLIF(current_setting('billwright.workshop'::text, true), ''::text))::uuid) AND ((current_setting('billwright.dealer'::text, true) = '*'::text) OR (current_setting('billwright.dealer'::text, true) = dealer_id))));

CREATE POLICY dealer_rows ON public.imported_order USING (((workshop_id = (NULLIF(current_setting('billwright.workshop'::text, true), ''::text))::uuid) AND ((current_setting('billwright.dealer'::text, true) = '*'::text) OR (current_setting('billwright.dealer'::text, true) = dealer_id))));

CREATE POLICY dealer_rows ON public.order_attachment USING (((workshop_id = (NULLIF(current_setting('billwright.workshop'::text, true), ''::text))::uuid) AND ((current_setting('billwright.dealer'::text, true) = '*'::text) OR ((current_setting('billwright.dealer'::text, true) = dealer_id) AND (audience = 'dealer'::text)))));

CREATE POLICY dealer_rows ON public.order_hold USING (((workshop_id = (NULLIF(current_setting('billwright.workshop'::text, true), ''::text))::uuid) AND ((current_setting('billwright.dealer'::text, true) = '*'::text) OR (current_setting('billwright.dealer'::text, true) = dealer_id))));

CREATE POLICY dealer_rows ON public.order_line USING (((workshop_id = (NULLIF(current_setting('billwright.workshop'::text, true), ''::text))::uuid) AND ((current_setting('billwright.dealer'::text, true) = '*'::text) OR (current_setting('billwright.dealer'::text, true) = dealer_id))));

CREATE POLICY dealer_rows ON public.order_link USING (((workshop_id = (NULLIF(current_setting('billwright.workshop'::text, true), ''::text))::uuid) AND ((current_setting('billwright.dealer'::text, true) = '*'::text) OR (current_setting('billwright.dealer'::text, true) = dealer_id))));

CREATE POLICY dealer_rows ON public.order_news USING (((workshop_id = (NULLIF(current_setting('billwright.workshop'::text, true), ''::text))::uuid) AND ((current_setting('billwright.dealer'::text, true) = '*'::text) OR (current_setting('billwright.dealer'::text, true) = dealer_id))));

CREATE POLICY dealer_rows ON public.order_note USING (((workshop_id = (NULLIF(current_setting('billwright.workshop'::text, true), ''::text))::uuid) AND ((current_setting('billwright.dealer'::text, true) = '*'::text) OR ((current_setting('billwright.dealer'::text, true) = dealer_id) AND (audience = 'dealer'::text)))));

CREATE POLICY dealer_rows ON public.order_version USING (((workshop_id = (NULLIF(current_setting('billwright.workshop'::text, true), ''::text))::uuid) AND ((current_setting('billwright.dealer'::text, true) = '*'::text) OR (current_setting('billwright.dealer'::text, true) = dealer_id))));

CREATE POLICY dealer_rows ON public.own_receipt USING (((workshop_id = (NULLIF(current_setting('billwright.workshop'::text, true), ''::text))::uuid) AND ((current_setting('billwright.dealer'::text, true) = '*'::text) OR (current_setting('billwright.dealer'::text, true) = dealer_id))));

CREATE POLICY dealer_rows ON public.pull_row USING (((workshop_id = ( SELECT (NULLIF(current_setting('billwright.workshop'::text, true), ''::text))::uuid AS "nullif")) AND (( SELECT (current_setting('billwright.dealer'::text, true) = '*'::text)) OR (dealer_id = ( SELECT current_setting('billwright.dealer'::text, true) AS current_setting)))));

CREATE POLICY dealer_rows ON public.requirement USING (((workshop_id = ( SELECT (NULLIF(current_setting('billwright.workshop'::text, true), ''::text))::uuid AS "nullif")) AND (( SELECT (current_setting('billwright.dealer'::text, true) = '*'::text)) OR (dealer_id = ( SELECT current_setting('billwright.dealer'::text, true) AS current_setting)))));

CREATE POLICY dealer_rows ON public.shipment USING (((workshop_id = (NULLIF(current_setting('billwright.workshop'::text, true), ''::text))::uuid) AND ((current_setting('billwright.dealer'::text, true) = '*'::text) OR (current_setting('billwright.dealer'::text, true) = dealer_id))));

CREATE POLICY dealer_rows ON public.shipped_carton USING (((workshop_id = (NULLIF(current_setting('billwright.workshop'::text, true), ''::text))::uuid) AND ((current_setting('billwright.dealer'::text, true) = '*'::text) OR (current_setting('billwright.dealer'::text, true) = dealer_id))));

CREATE POLICY dealer_rows ON public.shop_event USING (((workshop_id = (NULLIF(current_setting('billwright.workshop'::text, true), ''::text))::uuid) AND ((current_setting('billwright.dealer'::text, true) = '*'::text) OR (current_setting('billwright.dealer'::text, true) = dealer_id))));

ALTER TABLE public.department_load ENABLE ROW LEVEL SECURITY;

ALTER TABLE public.first_admin ENABLE ROW LEVEL SECURITY;

ALTER TABLE public.idempotency ENABLE ROW LEVEL SECURITY;

ALTER TABLE public.imported_order ENABLE ROW LEVEL SECURITY;

ALTER TABLE public.order_attachment ENABLE ROW LEVEL SECURITY;

ALTER TABLE public.order_hold ENABLE ROW LEVEL SECURITY;

ALTER TABLE public.order_import ENABLE ROW LEVEL SECURITY;

ALTER TABLE public.order_line ENABLE ROW LEVEL SECURITY;

ALTER TABLE public.order_link ENABLE ROW LEVEL SECURITY;

ALTER TABLE public.order_news ENABLE ROW LEVEL SECURITY;

ALTER TABLE public.order_note ENABLE ROW LEVEL SECURITY;

ALTER TABLE public.order_version ENABLE ROW LEVEL SECURITY;

ALTER TABLE public.own_receipt ENABLE ROW LEVEL SECURITY;

CREATE POLICY owner_rows ON public.order_news TO billwright_owner USING (true);

CREATE POLICY owner_rows ON public.workshop TO billwright_owner USING (true);

ALTER TABLE public.person ENABLE ROW LEVEL SECURITY;

ALTER TABLE public.person_session ENABLE ROW LEVEL SECURITY;

ALTER TABLE public.pull ENABLE ROW LEVEL SECURITY;

ALTER TABLE public.pull_plan ENABLE ROW LEVEL SECURITY;

ALTER TABLE public.pull_row ENABLE ROW LEVEL SECURITY;

ALTER TABLE public.purchase ENABLE ROW LEVEL SECURITY;

ALTER TABLE public.requirement ENABLE ROW LEVEL SECURITY;

ALTER TABLE public.shipment ENABLE ROW LEVEL SECURITY;

ALTER TABLE public.shipped_carton ENABLE ROW LEVEL SECURITY;

ALTER TABLE public.shop_event ENABLE ROW LEVEL SECURITY;

ALTER TABLE public.sign_in_try ENABLE ROW LEVEL SECURITY;

ALTER TABLE public.stock_count ENABLE ROW LEVEL SECURITY;

ALTER TABLE public.substitution ENABLE ROW LEVEL SECURITY;

ALTER TABLE public.workshop ENABLE ROW LEVEL SECURITY;

CREATE POLICY workshop_people ON public.first_admin USING (((workshop_id = (NULLIF(current_setting('billwright.workshop'::text, true), ''::text))::uuid) AND (current_setting('billwright.dealer'::text, true) = '*'::text)));

CREATE POLICY workshop_people ON public.person USING (((workshop_id = (NULLIF(current_setting('billwright.workshop'::text, true), ''::text))::uuid) AND (current_setting('billwright.dealer'::text, true) = '*'::text)));

CREATE POLICY workshop_people ON public.person_session USING (((workshop_id = (NULLIF(current_setting('billwright.workshop'::text, true), ''::text))::uuid) AND (current_setting('billwright.dealer'::text, true) = '*'::text)));

CREATE POLICY workshop_people ON public.sign_in_try USING (((workshop_id = (NULLIF(current_setting('billwright.workshop'::text, true), ''::text))::uuid) AND (current_setting('billwright.dealer'::text, true) = '*'::text)));

CREATE POLICY workshop_rows ON public.catalog_attribute USING ((workshop_id = (NULLIF(current_setting('billwright.workshop'::text, true), ''::text))::uuid)) WITH CHECK (((workshop_id = (NULLIF(current_setting('billwright.workshop'::text, true), ''::text))::uuid) AND (current_setting('billwright.dealer'::text, true) = '*'::text)));

CREATE POLICY workshop_rows ON public.catalog_choice USING ((workshop_id = (NULLIF(current_setting('billwright.workshop'::text, true), ''::text))::uuid)) WITH CHECK (((workshop_id = (NULLIF(current_setting('billwright.workshop'::text, true), ''::text))::uuid) AND (current_setting('billwright.dealer'::text, true) = '*'::text)));

CREATE POLICY workshop_rows ON public.catalog_fabric USING ((workshop_id = (NULLIF(current_setting('billwright.workshop'::text, true), ''::text))::uuid)) WITH CHECK (((workshop_id = (NULLIF(current_setting('billwright.workshop'::text, true), ''::text))::uuid) AND (current_setting('billwright.dealer'::text, true) = '*'::text)));

CREATE POLICY workshop_rows ON public.catalog_file USING ((workshop_id = (NULLIF(current_setting('billwright.workshop'::text, true), ''::text))::uuid)) WITH CHECK (((workshop_id = (NULLIF(current_setting('billwright.workshop'::text, true), ''::text))::uuid) AND (current_setting('billwright.dealer'::text, true) = '*'::text)));

CREATE POLICY workshop_rows ON public.catalog_finish USING ((workshop_id = (NULLIF(current_setting('billwright.workshop'::text, true), ''::text))::uuid)) WITH CHECK (((workshop_id = (NULLIF(current_setting('billwright.workshop'::text, true), ''::text))::uuid) AND (current_setting('billwright.dealer'::text, true) = '*'::text)));

CREATE POLICY workshop_rows ON public.catalog_finish_species USING ((workshop_id = (NULLIF(current_setting('billwright.workshop'::text, true), ''::text))::uuid)) WITH CHECK (((workshop_id = (NULLIF(current_setting('billwright.workshop'::text, true), ''::text))::uuid) AND (current_setting('billwright.dealer'::text, true) = '*'::text)));

CREATE POLICY workshop_rows ON public.catalog_item USING ((workshop_id = (NULLIF(current_setting('billwright.workshop'::text, true), ''::text))::uuid)) WITH CHECK (((workshop_id = (NULLIF(current_setting('billwright.workshop'::text, true), ''::text))::uuid) AND (current_setting('billwright.dealer'::text, true) = '*'::text)));

CREATE POLICY workshop_rows ON public.catalog_product USING ((workshop_id = (NULLIF(current_setting('billwright.workshop'::text, true), ''::text))::uuid)) WITH CHECK (((workshop_id = (NULLIF(current_setting('billwright.workshop'::text, true), ''::text))::uuid) AND (current_setting('billwright.dealer'::text, true) = '*'::text)));

CREATE POLICY workshop_rows ON public.catalog_revision USING ((workshop_id = (NULLIF(current_setting('billwright.workshop'::text, true), ''::text))::uuid)) WITH CHECK (((workshop_id = (NULLIF(current_setting('billwright.workshop'::text, true), ''::text))::uuid) AND (current_setting('billwright.dealer'::text, true) = '*'::text)));

CREATE POLICY workshop_rows ON public.catalog_rule USING ((workshop_id = (NULLIF(current_setting('billwright.workshop'::text, true), ''::text))::uuid)) WITH CHECK (((workshop_id = (NULLIF(current_setting('billwright.workshop'::text, true), ''::text))::uuid) AND (current_setting('billwright.dealer'::text, true) = '*'::text)));

CREATE POLICY workshop_rows ON public.catalog_section USING ((workshop_id = (NULLIF(current_setting('billwright.workshop'::text, true), ''::text))::uuid)) WITH CHECK (((workshop_id = (NULLIF(current_setting('billwright.workshop'::text, true), ''::text))::uuid) AND (current_setting('billwright.dealer'::text, true) = '*'::text)));

CREATE POLICY workshop_rows ON public.catalog_species USING ((workshop_id = (NULLIF(current_setting('billwright.workshop'::text, true), ''::text))::uuid)) WITH CHECK (((workshop_id = (NULLIF(current_setting('billwright.workshop'::text, true), ''::text))::uuid) AND (current_setting('billwright.dealer'::text, true) = '*'::text)));

CREATE POLICY workshop_rows ON public.catalog_standard USING ((workshop_id = (NULLIF(current_setting('billwright.workshop'::text, true), ''::text))::uuid)) WITH CHECK (((workshop_id = (NULLIF(current_setting('billwright.workshop'::text, true), ''::text))::uuid) AND (current_setting('billwright.dealer'::text, true) = '*'::text)));

CREATE POLICY workshop_rows ON public.order_import USING (((workshop_id = (NULLIF(current_setting('billwright.workshop'::text, true), ''::text))::uuid) AND (current_setting('billwright.dealer'::text, true) = '*'::text)));

CREATE POLICY workshop_rows ON public.pull USING (((workshop_id = (NULLIF(current_setting('billwright.workshop'::text, true), ''::text))::uuid) AND (current_setting('billwright.dealer'::text, true) = '*'::text)));

CREATE POLICY workshop_rows ON public.pull_plan USING (((workshop_id = (NULLIF(current_setting('billwright.workshop'::text, true), ''::text))::uuid) AND (current_setting('billwright.dealer'::text, true) = '*'::text)));

CREATE POLICY workshop_rows ON public.purchase USING (((workshop_id = (NULLIF(current_setting('billwright.workshop'::text, true), ''::text))::uuid) AND (current_setting('billwright.dealer'::text, true) = '*'::text)));

CREATE POLICY workshop_rows ON public.stock_count USING (((workshop_id = (NULLIF(current_setting('billwright.workshop'::text, true), ''::text))::uuid) AND (current_setting('billwright.dealer'::text, true) = '*'::text)));

CREATE POLICY workshop_rows ON public.substitution USING (((workshop_id = (NULLIF(current_setting('billwright.workshop'::text, true), ''::text))::uuid) AND (current_setting('billwright.dealer'::text, true) = '*'::text)));

CREATE POLICY workshop_rows ON public.workshop USING ((workshop_id = (NULLIF(current_setting('billwright.workshop'::text, true), ''::text))::uuid)) WITH CHECK (((workshop_id = (NULLIF(current_setting('billwright.workshop'::text, true), ''::text))::uuid) AND (current_setting('billwright.dealer'::text, true) = '*'::text)));

GRANT SELECT,INSERT ON TABLE public.api_key TO billwright_app;

GRANT UPDATE(revoked_at) ON TABLE public.api_key TO billwright_app;

GRANT SELECT,INSERT ON TABLE public.audit TO billwright_app;

GRANT SELECT,INSERT ON TABLE public.bill TO billwright_app;
GRANT SELECT ON TABLE public.bill TO billwright_report;

GRANT SELECT,INSERT ON TABLE public.catalog_attribute TO billwright_app;
GRANT SELECT ON TABLE public.catalog_attribute TO billwright_report;

GRANT SELECT,INSERT ON TABLE public.catalog_choice TO billwright_app;
GRANT SELECT ON TABLE public.catalog_choice TO billwright_report;

GRANT SELECT,INSERT ON TABLE public.catalog_fabric TO billwright_app;
GRANT SELECT ON TABLE public.catalog_fabric TO billwright_report;

GRANT SELECT,INSERT ON TABLE public.catalog_file TO billwright_app;
GRANT SELECT ON TABLE public.catalog_file TO billwright_report;

GRANT SELECT,INSERT ON TABLE public.catalog_finish TO billwright_app;
GRANT SELECT ON TABLE public.catalog_finish TO billwright_report;

GRANT SELECT,INSERT ON TABLE public.catalog_finish_species TO billwright_app;
GRANT SELECT ON TABLE public.catalog_finish_species TO billwright_report;

GRANT SELECT,INSERT ON TABLE public.catalog_item TO billwright_app;
GRANT SELECT ON TABLE public.catalog_item TO billwright_report;

GRANT SELECT,INSERT ON TABLE public.catalog_product TO billwright_app;
GRANT SELECT ON TABLE public.catalog_product TO billwright_report;

GRANT SELECT,INSERT ON TABLE public.catalog_revision TO billwright_app;
GRANT SELECT ON TABLE public.catalog_revision TO billwright_report;

GRANT SELECT,INSERT ON TABLE public.catalog_rule TO billwright_app;
GRANT SELECT ON TABLE public.catalog_rule TO billwright_report;

GRANT SELECT,INSERT ON TABLE public.catalog_section TO billwright_app;
GRANT SELECT ON TABLE public.catalog_section TO billwright_report;

GRANT SELECT,INSERT ON TABLE public.catalog_species TO billwright_app;
GRANT SELECT ON TABLE public.catalog_species TO billwright_report;

GRANT SELECT,INSERT ON TABLE public.catalog_standard TO billwright_app;
GRANT SELECT ON TABLE public.catalog_standard TO billwright_report;

GRANT SELECT,INSERT ON TABLE public.change_order TO billwright_app;
GRANT SELECT ON TABLE public.change_order TO billwright_report;

GRANT UPDATE(decision) ON TABLE public.change_order TO billwright_app;

GRANT UPDATE(decided_at) ON TABLE public.change_order TO billwright_app;

GRANT UPDATE(decided_by) ON TABLE public.change_order TO billwright_app;

GRANT SELECT,INSERT ON TABLE public.dealer TO billwright_app;
GRANT SELECT ON TABLE public.dealer TO billwright_report;

GRANT UPDATE(name) ON TABLE public.dealer TO billwright_app;

GRANT SELECT,INSERT ON TABLE public.dealer_order TO billwright_app;
GRANT SELECT ON TABLE public.dealer_order TO billwright_report;

GRANT UPDATE(number) ON TABLE public.dealer_order TO billwright_app;

GRANT UPDATE(version) ON TABLE public.dealer_order TO billwright_app;

GRANT UPDATE(state) ON TABLE public.dealer_order TO billwright_app;

GRANT UPDATE(revision) ON TABLE public.dealer_order TO billwright_app;

GRANT UPDATE(po) ON TABLE public.dealer_order TO billwright_app;

GRANT UPDATE(po_guard) ON TABLE public.dealer_order TO billwright_app;

GRANT UPDATE(sidemark) ON TABLE public.dealer_order TO billwright_app;

GRANT UPDATE(ship_to) ON TABLE public.dealer_order TO billwright_app;

GRANT UPDATE(requested) ON TABLE public.dealer_order TO billwright_app;

GRANT UPDATE(ship_complete) ON TABLE public.dealer_order TO billwright_app;

GRANT UPDATE(promise) ON TABLE public.dealer_order TO billwright_app;

GRANT UPDATE(net_cents) ON TABLE public.dealer_order TO billwright_app;

GRANT UPDATE(received_at) ON TABLE public.dealer_order TO billwright_app;

GRANT UPDATE(search) ON TABLE public.dealer_order TO billwright_app;

GRANT UPDATE(document) ON TABLE public.dealer_order TO billwright_app;

GRANT UPDATE(valid_until) ON TABLE public.dealer_order TO billwright_app;

GRANT UPDATE(products) ON TABLE public.dealer_order TO billwright_app;

GRANT UPDATE(fabrics) ON TABLE public.dealer_order TO billwright_app;

GRANT SELECT,INSERT,DELETE ON TABLE public.department_load TO billwright_app;
GRANT SELECT ON TABLE public.department_load TO billwright_report;

GRANT SELECT,INSERT,DELETE ON TABLE public.first_admin TO billwright_app;

GRANT UPDATE(token_sha256) ON TABLE public.first_admin TO billwright_app;

GRANT UPDATE(expires_at) ON TABLE public.first_admin TO billwright_app;

GRANT SELECT,INSERT ON TABLE public.idempotency TO billwright_app;

GRANT UPDATE(replays) ON TABLE public.idempotency TO billwright_app;

GRANT SELECT,INSERT ON TABLE public.imported_order TO billwright_app;
GRANT SELECT ON TABLE public.imported_order TO billwright_report;

GRANT SELECT,INSERT ON TABLE public.order_attachment TO billwright_app;

GRANT SELECT(workshop_id) ON TABLE public.order_attachment TO billwright_report;

GRANT SELECT(dealer_id) ON TABLE public.order_attachment TO billwright_report;

GRANT SELECT(order_id) ON TABLE public.order_attachment TO billwright_report;

GRANT SELECT(seq) ON TABLE public.order_attachment TO billwright_report;

GRANT SELECT(audience) ON TABLE public.order_attachment TO billwright_report;

GRANT SELECT(line) ON TABLE public.order_attachment TO billwright_report;

GRANT SELECT(name) ON TABLE public.order_attachment TO billwright_report;

GRANT SELECT(media_type) ON TABLE public.order_attachment TO billwright_report;

GRANT SELECT(size) ON TABLE public.order_attachment TO billwright_report;

GRANT SELECT(sha256) ON TABLE public.order_attachment TO billwright_report;

GRANT SELECT(attached_at) ON TABLE public.order_attachment TO billwright_report;

GRANT SELECT(attached_by) ON TABLE public.order_attachment TO billwright_report;

GRANT SELECT(role) ON TABLE public.order_attachment TO billwright_report;

GRANT SELECT,INSERT ON TABLE public.order_hold TO billwright_app;
GRANT SELECT ON TABLE public.order_hold TO billwright_report;

GRANT UPDATE(lifted_at) ON TABLE public.order_hold TO billwright_app;

GRANT UPDATE(lifted_by) ON TABLE public.order_hold TO billwright_app;

GRANT SELECT,INSERT ON TABLE public.order_import TO billwright_app;

GRANT UPDATE(file) ON TABLE public.order_import TO billwright_app;

GRANT UPDATE("position") ON TABLE public.order_import TO billwright_app;

GRANT UPDATE(good) ON TABLE public.order_import TO billwright_app;

GRANT UPDATE(loaded) ON TABLE public.order_import TO billwright_app;

GRANT UPDATE(known) ON TABLE public.order_import TO billwright_app;

GRANT UPDATE(faulty) ON TABLE public.order_import TO billwright_app;

GRANT UPDATE(fault_count) ON TABLE public.order_import TO billwright_app;

GRANT UPDATE(faults) ON TABLE public.order_import TO billwright_app;

GRANT UPDATE(done) ON TABLE public.order_import TO billwright_app;

GRANT UPDATE(leased_until) ON TABLE public.order_import TO billwright_app;

GRANT UPDATE(ended_at) ON TABLE public.order_import TO billwright_app;

GRANT SELECT,INSERT,DELETE ON TABLE public.order_line TO billwright_app;
GRANT SELECT ON TABLE public.order_line TO billwright_report;

GRANT SELECT,INSERT ON TABLE public.order_link TO billwright_app;
GRANT SELECT ON TABLE public.order_link TO billwright_report;

GRANT SELECT,INSERT ON TABLE public.order_news TO billwright_app;
GRANT SELECT ON TABLE public.order_news TO billwright_report;

GRANT SELECT,INSERT ON TABLE public.order_note TO billwright_app;
GRANT SELECT ON TABLE public.order_note TO billwright_report;

GRANT SELECT,INSERT ON TABLE public.order_version TO billwright_app;
GRANT SELECT ON TABLE public.order_version TO billwright_report;

GRANT SELECT,INSERT ON TABLE public.own_receipt TO billwright_app;
GRANT SELECT ON TABLE public.own_receipt TO billwright_report;

GRANT SELECT,INSERT ON TABLE public.person TO billwright_app;

GRANT UPDATE(password) ON TABLE public.person TO billwright_app;

GRANT UPDATE(roles) ON TABLE public.person TO billwright_app;

GRANT UPDATE(disabled_at) ON TABLE public.person TO billwright_app;

GRANT SELECT,INSERT,DELETE ON TABLE public.person_session TO billwright_app;

GRANT UPDATE(seen_at) ON TABLE public.person_session TO billwright_app;

GRANT SELECT,INSERT ON TABLE public.pull TO billwright_app;
GRANT SELECT ON TABLE public.pull TO billwright_report;

GRANT SELECT,INSERT ON TABLE public.pull_plan TO billwright_app;
GRANT SELECT ON TABLE public.pull_plan TO billwright_report;

GRANT SELECT,INSERT ON TABLE public.pull_row TO billwright_app;
GRANT SELECT ON TABLE public.pull_row TO billwright_report;

GRANT SELECT,INSERT ON TABLE public.purchase TO billwright_app;
GRANT SELECT ON TABLE public.purchase TO billwright_report;

GRANT SELECT,INSERT,DELETE ON TABLE public.requirement TO billwright_app;
GRANT SELECT ON TABLE public.requirement TO billwright_report;

GRANT SELECT,INSERT ON TABLE public.shipment TO billwright_app;
GRANT SELECT ON TABLE public.shipment TO billwright_report;

GRANT SELECT,INSERT ON TABLE public.shipped_carton TO billwright_app;
GRANT SELECT ON TABLE public.shipped_carton TO billwright_report;

GRANT SELECT,INSERT ON TABLE public.shop_event TO billwright_app;
GRANT SELECT ON TABLE public.shop_event TO billwright_report;

GRANT SELECT,INSERT,DELETE ON TABLE public.sign_in_try TO billwright_app;

GRANT UPDATE(began_at) ON TABLE public.sign_in_try TO billwright_app;

GRANT UPDATE(tries) ON TABLE public.sign_in_try TO billwright_app;

GRANT SELECT,INSERT,DELETE ON TABLE public.stock_count TO billwright_app;
GRANT SELECT ON TABLE public.stock_count TO billwright_report;

GRANT SELECT,INSERT ON TABLE public.substitution TO billwright_app;
GRANT SELECT ON TABLE public.substitution TO billwright_report;

GRANT UPDATE(ended_at) ON TABLE public.substitution TO billwright_app;

GRANT UPDATE(ended_by) ON TABLE public.substitution TO billwright_app;

GRANT SELECT ON TABLE public.workshop TO billwright_app;

GRANT SELECT(workshop_id) ON TABLE public.workshop TO billwright_report;

GRANT SELECT(code) ON TABLE public.workshop TO billwright_report;

GRANT SELECT(name) ON TABLE public.workshop TO billwright_report;

GRANT SELECT(trial_clock) ON TABLE public.workshop TO billwright_report;
GRANT UPDATE(trial_clock) ON TABLE public.workshop TO billwright_app;

GRANT SELECT(created_at) ON TABLE public.workshop TO billwright_report;

GRANT SELECT(news_epoch) ON TABLE public.workshop TO billwright_report;
