-- The books of all sites of a chain in one database. What is said in ../sqlite of each table holds here too.
--
-- Schema `chain` holds the tables; each row says of which site it is, and every key begins with that. Schema `site`
-- holds a view of each table that shows the one site a connection has named, so that a question is worded as it is in
-- a book's file. Made by the role torqueaudit_owner.

CREATE EXTENSION IF NOT EXISTS pg_trgm;
CREATE EXTENSION IF NOT EXISTS btree_gin;
CREATE SCHEMA chain;
CREATE SCHEMA site;
GRANT USAGE ON SCHEMA chain, site TO torqueaudit_writer, torqueaudit_reader;

CREATE TABLE chain.made (version INTEGER NOT NULL PRIMARY KEY);
CREATE TABLE chain.sites (
    site TEXT COLLATE "C" NOT NULL PRIMARY KEY,
    moved_to TEXT COLLATE "C" -- where its book is now, once it was moved elsewhere
);
GRANT SELECT ON chain.made, chain.sites TO torqueaudit_writer, torqueaudit_reader;

-- Which login may work for which site.
CREATE TABLE chain.logins (
    login NAME NOT NULL, site TEXT COLLATE "C" NOT NULL REFERENCES chain.sites, PRIMARY KEY (login, site)
);

-- The site that a connection has named, and every site that its login may work for.
CREATE FUNCTION chain.here() RETURNS TEXT LANGUAGE sql STABLE PARALLEL SAFE
    RETURN current_setting('torqueaudit.site', true);
CREATE FUNCTION chain.own() RETURNS TEXT[] LANGUAGE sql STABLE PARALLEL SAFE SECURITY DEFINER
    SET search_path = pg_catalog, pg_temp
    RETURN (SELECT coalesce(array_agg(site), '{}') FROM chain.logins WHERE login = session_user);
CREATE FUNCTION site.instr(whole TEXT, part TEXT) RETURNS INTEGER LANGUAGE sql IMMUTABLE PARALLEL SAFE
    RETURN strpos(whole, part);

CREATE TABLE chain.ledger (
    site TEXT COLLATE "C" NOT NULL GENERATED ALWAYS AS ((document::json) ->> 'site') STORED REFERENCES chain.sites,
    sequence BIGINT NOT NULL GENERATED ALWAYS AS (((document::json) ->> 'sequence')::bigint) STORED,
    document TEXT COLLATE "C" NOT NULL,
    hash TEXT COLLATE "C" NOT NULL,
    id TEXT COLLATE "C" NOT NULL GENERATED ALWAYS AS ((document::json) ->> 'id') STORED,
    subject TEXT COLLATE "C" NOT NULL GENERATED ALWAYS AS ((document::json) ->> 'subject') STORED,
    number BIGINT NOT NULL GENERATED ALWAYS AS (((document::json) ->> 'number')::bigint) STORED,
    PRIMARY KEY (site, sequence)
);
CREATE UNIQUE INDEX ledger_id ON chain.ledger (site, id);
CREATE UNIQUE INDEX ledger_subject ON chain.ledger (site, subject, number);
CREATE INDEX ledger_opened ON chain.ledger (
    site, split_part(subject, '/', 1), (substring(subject FROM '/[A-Z-]*([0-9]{1,15})')::bigint)
) WHERE number = 1;

CREATE FUNCTION chain.refuse() RETURNS TRIGGER LANGUAGE plpgsql AS $$
BEGIN
    RAISE EXCEPTION 'the ledger is never changed, and nothing leaves it';
END $$;
CREATE FUNCTION chain.next_only() RETURNS TRIGGER LANGUAGE plpgsql AS $$
DECLARE
    said json := new.document::json;
BEGIN
    IF EXISTS (SELECT FROM chain.sites WHERE site = said ->> 'site' AND moved_to IS NOT NULL) THEN
        RAISE EXCEPTION 'the book of this site was moved elsewhere';
    END IF;
    IF (said ->> 'sequence')::bigint IS DISTINCT FROM
            (SELECT coalesce(max(sequence), 0) + 1 FROM chain.ledger WHERE site = said ->> 'site')
        OR (said ->> 'number')::bigint IS DISTINCT FROM
            (SELECT coalesce(max(number), 0) + 1 FROM chain.ledger
                WHERE site = said ->> 'site' AND subject = said ->> 'subject')
    THEN
        RAISE EXCEPTION 'the ledger takes only its next entry';
    END IF;
    RETURN new;
END $$;
CREATE TRIGGER ledger_no_change BEFORE UPDATE OR DELETE ON chain.ledger
    FOR EACH ROW EXECUTE FUNCTION chain.refuse();
CREATE TRIGGER ledger_no_truncate BEFORE TRUNCATE ON chain.ledger
    FOR EACH STATEMENT EXECUTE FUNCTION chain.refuse();
CREATE TRIGGER ledger_next_only BEFORE INSERT ON chain.ledger
    FOR EACH ROW EXECUTE FUNCTION chain.next_only();

CREATE TABLE chain.jobs (
    subject TEXT NOT NULL, job BIGINT, vehicle TEXT, procedure TEXT, title TEXT, token TEXT, state TEXT,
    opened_on TEXT, last_recorded TEXT, handed_over_on TEXT, released BIGINT, due_on TEXT, due_distance_m BIGINT,
    odometer_m BIGINT, rechecked_on TEXT, unchecked BIGINT, holds TEXT, withdrawn BIGINT, follows BIGINT,
    arranged TEXT, due_min BIGINT, estimated_on TEXT
);
CREATE TABLE chain.attention (subject TEXT NOT NULL, job BIGINT, reason TEXT, entry BIGINT);
CREATE TABLE chain.needs (subject TEXT NOT NULL, job BIGINT, plugin TEXT);
CREATE TABLE chain.fastener_events (
    subject TEXT NOT NULL, vehicle TEXT, position TEXT, happened_at TEXT, job BIGINT, entry BIGINT, kind TEXT,
    wrench TEXT, shown_mnm BIGINT, alone BIGINT
);
CREATE TABLE chain.odometer (
    subject TEXT NOT NULL, vehicle TEXT, happened_at TEXT, metres BIGINT, entry BIGINT, minutes BIGINT
);
CREATE TABLE chain.visits (
    subject TEXT NOT NULL, vehicle TEXT, happened_at TEXT, here BIGINT, gone BIGINT, job BIGINT, entry BIGINT
);
CREATE TABLE chain.measurements (
    subject TEXT NOT NULL, vehicle TEXT, key TEXT, kind TEXT, value TEXT, unit TEXT, conditions TEXT,
    happened_at TEXT, odometer_m BIGINT, job BIGINT, entry BIGINT
);
CREATE TABLE chain.parts (
    subject TEXT NOT NULL, vehicle TEXT, key TEXT, part TEXT, lot TEXT, new BIGINT, attributes TEXT,
    happened_at TEXT, odometer_m BIGINT, job BIGINT, entry BIGINT
);
CREATE TABLE chain.concessions (
    subject TEXT NOT NULL, job BIGINT, rule TEXT, about TEXT, entry BIGINT, "by" TEXT, granted_on TEXT, expires_on TEXT
);
CREATE TABLE chain.rechecks_done (subject TEXT NOT NULL, job BIGINT, due_on TEXT, done_at TEXT, entry BIGINT);
CREATE TABLE chain.marks_disturbed (
    subject TEXT NOT NULL, position TEXT, happened_at TEXT, job BIGINT, entry BIGINT
);
CREATE TABLE chain.sign_offs (subject TEXT NOT NULL, job BIGINT, recorded_at TEXT);
CREATE TABLE chain.wrenches (subject TEXT NOT NULL, wrench TEXT, state TEXT, due_on TEXT);
CREATE TABLE chain.people (subject TEXT NOT NULL, person TEXT, roles TEXT, supervisor TEXT);
CREATE TABLE chain.vehicles (subject TEXT NOT NULL, vehicle TEXT, tag TEXT, exchanged_on TEXT);
CREATE TABLE chain.procedures (
    subject TEXT NOT NULL, digest TEXT, name TEXT, title TEXT, edition TEXT, read_by TEXT, read_on TEXT
);

CREATE TABLE chain.words (
    entry BIGINT NOT NULL, field TEXT NOT NULL, subject TEXT NOT NULL, salt TEXT, text TEXT, erased_on TEXT,
    erased_by TEXT
);
CREATE TABLE chain.personal (subject TEXT NOT NULL, field TEXT NOT NULL, value TEXT NOT NULL, salt TEXT);
CREATE TABLE chain.personal_written (written TEXT NOT NULL, subject TEXT NOT NULL);
CREATE TABLE chain.pins (person TEXT NOT NULL, phc TEXT NOT NULL, pepper TEXT NOT NULL);
CREATE TABLE chain.device_keys (device TEXT NOT NULL, digest TEXT NOT NULL, seen TEXT NOT NULL);
CREATE TABLE chain.invitations (
    digest TEXT NOT NULL, name TEXT NOT NULL, "by" TEXT NOT NULL, until TEXT NOT NULL, door TEXT NOT NULL,
    proof TEXT NOT NULL
);
CREATE TABLE chain.sessions (
    digest TEXT NOT NULL, device TEXT NOT NULL, person TEXT NOT NULL, started TEXT NOT NULL, seen TEXT NOT NULL,
    chosen TEXT NOT NULL
);
CREATE TABLE chain.wrong_pins (attempt TEXT NOT NULL, person TEXT NOT NULL, device TEXT NOT NULL, at TEXT NOT NULL);
CREATE TABLE chain.locked (subject TEXT NOT NULL, at TEXT NOT NULL);
CREATE TABLE chain.outbox (
    id TEXT NOT NULL, vehicle TEXT NOT NULL, job TEXT NOT NULL, token TEXT NOT NULL, leaving BIGINT NOT NULL,
    target BIGINT NOT NULL, kind TEXT NOT NULL, n BIGINT NOT NULL, state TEXT NOT NULL, tries BIGINT NOT NULL,
    not_before TEXT NOT NULL, why TEXT NOT NULL, changed TEXT NOT NULL, leased_until TEXT NOT NULL DEFAULT '',
    leased_by TEXT NOT NULL DEFAULT ''
);
CREATE TABLE chain.disclosures (
    number BIGINT GENERATED BY DEFAULT AS IDENTITY, at TEXT NOT NULL, "by" TEXT NOT NULL, door TEXT NOT NULL,
    subject TEXT NOT NULL, shown TEXT NOT NULL
);
CREATE TABLE chain.program_keys (program TEXT NOT NULL, digest TEXT NOT NULL, seen TEXT);
CREATE TABLE chain.finds (
    number BIGINT NOT NULL, subject TEXT NOT NULL, about TEXT NOT NULL, field TEXT NOT NULL, words TEXT NOT NULL
);
CREATE TABLE chain.personal_finds (
    number BIGINT NOT NULL, subject TEXT NOT NULL, about TEXT NOT NULL, field TEXT NOT NULL, words TEXT NOT NULL
);

-- What all of these have besides: the site before everything else, texts that compare by their bytes, and in a list a
-- number that counts as rows are written.
DO $$
DECLARE
    own record;
    lists CONSTANT text[] := '{jobs, attention, needs, fastener_events, odometer, visits, measurements, parts,
        concessions, rechecks_done, marks_disturbed, sign_offs, wrenches, people, vehicles, procedures}';
BEGIN
    FOR own IN
        SELECT table_name AS name, column_name AS field FROM information_schema.columns
        WHERE table_schema = 'chain' AND data_type = 'text' AND collation_name IS NULL
    LOOP
        EXECUTE format('ALTER TABLE chain.%I ALTER %I TYPE text COLLATE "C"', own.name, own.field);
    END LOOP;
    FOR own IN
        SELECT table_name AS name FROM information_schema.tables
        WHERE table_schema = 'chain' AND table_name NOT IN ('made', 'sites', 'logins', 'ledger')
    LOOP
        EXECUTE format('ALTER TABLE chain.%I ADD site text COLLATE "C" NOT NULL DEFAULT chain.here()
            REFERENCES chain.sites', own.name);
        IF own.name = ANY (lists) THEN
            EXECUTE format('ALTER TABLE chain.%I ADD rowid bigint GENERATED ALWAYS AS IDENTITY,
                ADD PRIMARY KEY (site, rowid)', own.name);
            EXECUTE format('CREATE INDEX %I ON chain.%I (site, subject)', own.name || '_subject', own.name);
        END IF;
        EXECUTE format('GRANT INSERT, UPDATE, DELETE ON chain.%I TO torqueaudit_writer', own.name);
    END LOOP;
END $$;

CREATE INDEX jobs_job ON chain.jobs (site, job);
CREATE INDEX jobs_vehicle ON chain.jobs (site, vehicle, job);
CREATE UNIQUE INDEX jobs_token ON chain.jobs (site, token);
CREATE INDEX jobs_due ON chain.jobs (site, due_on) WHERE rechecked_on IS NULL AND handed_over_on IS NOT NULL;
CREATE INDEX jobs_untouched ON chain.jobs (site, state, last_recorded) WHERE state = 'open' OR state = 'released';
CREATE INDEX jobs_unchecked ON chain.jobs (site, job) WHERE unchecked > 0;
CREATE INDEX jobs_follows ON chain.jobs (site, follows) WHERE follows IS NOT NULL;
CREATE INDEX jobs_arranged ON chain.jobs (site, arranged, job) WHERE arranged IS NOT NULL;
CREATE INDEX jobs_opened ON chain.jobs (site, opened_on);
CREATE INDEX jobs_left ON chain.jobs (site, handed_over_on) WHERE handed_over_on IS NOT NULL;
CREATE INDEX attention_reason ON chain.attention (site, reason, job);
CREATE INDEX needs_plugin ON chain.needs (site, plugin, job);
CREATE INDEX fastener_events_vehicle ON chain.fastener_events (site, vehicle, position, happened_at);
CREATE INDEX fastener_events_reported ON chain.fastener_events (site, vehicle, position) WHERE job IS NULL;
CREATE INDEX fastener_events_wrench ON chain.fastener_events (site, wrench, happened_at) WHERE wrench IS NOT NULL;
CREATE INDEX fastener_events_shown ON chain.fastener_events (site, wrench, shown_mnm, happened_at)
    WHERE shown_mnm IS NOT NULL;
CREATE INDEX odometer_vehicle ON chain.odometer (site, vehicle, happened_at);
CREATE INDEX visits_vehicle ON chain.visits (site, vehicle, happened_at, entry);
CREATE INDEX visits_left ON chain.visits (site, vehicle, happened_at, entry) WHERE here = 0;
CREATE INDEX visits_arrived ON chain.visits (site, happened_at) WHERE job IS NULL AND here = 1;
CREATE INDEX measurements_vehicle ON chain.measurements (site, vehicle, kind, happened_at);
CREATE INDEX parts_vehicle ON chain.parts (site, vehicle, happened_at);
CREATE INDEX concessions_granted ON chain.concessions (site, granted_on);
CREATE INDEX concessions_expires ON chain.concessions (site, expires_on);
CREATE INDEX rechecks_done_due ON chain.rechecks_done (site, due_on);
CREATE INDEX marks_disturbed_seen ON chain.marks_disturbed (site, happened_at);
CREATE INDEX sign_offs_recorded ON chain.sign_offs (site, recorded_at, job);
CREATE INDEX vehicles_exchanged ON chain.vehicles (site, vehicle) WHERE exchanged_on IS NOT NULL;
CREATE INDEX procedures_name ON chain.procedures (site, name);
ALTER TABLE chain.words ADD PRIMARY KEY (site, entry, field);
CREATE INDEX words_subject ON chain.words (site, subject);
ALTER TABLE chain.personal ADD PRIMARY KEY (site, subject, field);
ALTER TABLE chain.personal_written ADD PRIMARY KEY (site, written, subject);
CREATE INDEX personal_written_subject ON chain.personal_written (site, subject);
ALTER TABLE chain.pins ADD PRIMARY KEY (site, person);
ALTER TABLE chain.device_keys ADD PRIMARY KEY (site, device), ADD UNIQUE (site, digest);
ALTER TABLE chain.invitations ADD PRIMARY KEY (site, digest);
ALTER TABLE chain.sessions ADD PRIMARY KEY (site, digest);
ALTER TABLE chain.wrong_pins ADD PRIMARY KEY (site, attempt);
ALTER TABLE chain.locked ADD PRIMARY KEY (site, subject);
ALTER TABLE chain.outbox ADD PRIMARY KEY (site, id);
CREATE INDEX outbox_state ON chain.outbox (site, state, changed);
CREATE INDEX outbox_leaving ON chain.outbox (site, job, leaving);
CREATE INDEX outbox_vehicle ON chain.outbox (site, vehicle);
ALTER TABLE chain.disclosures ADD PRIMARY KEY (site, number);
CREATE INDEX disclosures_subject ON chain.disclosures (site, subject);
CREATE INDEX disclosures_at ON chain.disclosures (site, at);
ALTER TABLE chain.program_keys ADD PRIMARY KEY (site, program), ADD UNIQUE (site, digest);
ALTER TABLE chain.finds ADD PRIMARY KEY (site, number);
CREATE INDEX finds_about ON chain.finds (site, about);
CREATE INDEX finds_words ON chain.finds USING gin (site, words gin_trgm_ops);
ALTER TABLE chain.personal_finds ADD PRIMARY KEY (site, number);
CREATE INDEX personal_finds_about ON chain.personal_finds (site, about);
CREATE INDEX personal_finds_words ON chain.personal_finds USING gin (site, words gin_trgm_ops);

-- What is found by a part of its words. A comparison by parts may not use an index where rows are hidden from whoever
-- asks, so the owner of the tables asks, and looks first whether the login may work for the site.
CREATE FUNCTION site.found(named TEXT, part TEXT, before BIGINT, most BIGINT) RETURNS SETOF chain.finds
LANGUAGE plpgsql STABLE SECURITY DEFINER SET search_path = pg_catalog, public, pg_temp AS $$
BEGIN
    IF chain.here() <> ALL (chain.own()) THEN
        RAISE insufficient_privilege USING MESSAGE = 'this login does not work for the site';
    END IF;
    RETURN QUERY EXECUTE format(
        'SELECT number, subject, about, field, words, site FROM chain.%I
        WHERE site = $1 AND words LIKE ''%%'' || $2 || ''%%'' AND number < $3 ORDER BY number DESC LIMIT $4',
        CASE named WHEN 'personal_finds' THEN 'personal_finds' ELSE 'finds' END
    ) USING chain.here(), part, before, most;
END $$;
REVOKE EXECUTE ON FUNCTION site.found FROM PUBLIC;
GRANT EXECUTE ON FUNCTION site.found TO torqueaudit_writer;

-- Who may see and write what. The reader sees the facts of every site, and nothing that is personal or erasable.
GRANT INSERT ON chain.ledger TO torqueaudit_writer;
DO $$
DECLARE
    own record;
    shown text;
    erasable CONSTANT text[] := '{words, personal, personal_written, pins, device_keys, invitations, sessions,
        wrong_pins, locked, outbox, disclosures, program_keys, finds, personal_finds}';
BEGIN
    FOR own IN
        SELECT table_name AS name FROM information_schema.tables
        WHERE table_schema = 'chain' AND table_name NOT IN ('made', 'sites', 'logins')
    LOOP
        EXECUTE format('ALTER TABLE chain.%I ENABLE ROW LEVEL SECURITY', own.name);
        EXECUTE format('GRANT SELECT ON chain.%I TO torqueaudit_writer', own.name);
        EXECUTE format('CREATE POLICY own_site ON chain.%I TO torqueaudit_writer
            USING (site = ANY ((SELECT chain.own())::text[]))', own.name);
        IF own.name <> ALL (erasable) THEN
            EXECUTE format('GRANT SELECT ON chain.%I TO torqueaudit_reader', own.name);
            EXECUTE format('CREATE POLICY every_site ON chain.%I FOR SELECT TO torqueaudit_reader USING (true)',
                own.name);
        END IF;
        SELECT string_agg(quote_ident(column_name), ', ' ORDER BY ordinal_position) INTO shown
            FROM information_schema.columns
            WHERE table_schema = 'chain' AND table_name = own.name AND (column_name <> 'site' OR own.name = 'ledger');
        EXECUTE format('CREATE VIEW site.%I WITH (security_invoker = true) AS
            SELECT %s FROM chain.%I WHERE site = chain.here()', own.name, shown, own.name);
        EXECUTE format('GRANT SELECT, INSERT%s ON site.%I TO torqueaudit_writer',
            CASE own.name WHEN 'ledger' THEN '' ELSE ', UPDATE, DELETE' END, own.name);
    END LOOP;
END $$;

INSERT INTO chain.made (version) VALUES (1);
