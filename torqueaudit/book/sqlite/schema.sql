-- The book of one workshop. The ledger is the truth; every other table but `personal` is worked out from it.

-- Which site this book belongs to: one row, written when the book is made.
CREATE TABLE book (
    one INTEGER PRIMARY KEY CHECK (one = 1),
    site TEXT NOT NULL
) STRICT;

-- Facts, never changed and never erased. `document` is the canonical text that is hashed; the other columns are read
-- out of it, so they cannot say anything else.
CREATE TABLE ledger (
    position INTEGER PRIMARY KEY,
    document TEXT NOT NULL,
    hash TEXT NOT NULL,
    site TEXT NOT NULL GENERATED ALWAYS AS (json_extract(document, '$.site')) VIRTUAL,
    sequence INTEGER NOT NULL GENERATED ALWAYS AS (json_extract(document, '$.sequence')) VIRTUAL,
    id TEXT NOT NULL GENERATED ALWAYS AS (json_extract(document, '$.id')) VIRTUAL,
    subject TEXT NOT NULL GENERATED ALWAYS AS (json_extract(document, '$.subject')) VIRTUAL,
    number INTEGER NOT NULL GENERATED ALWAYS AS (json_extract(document, '$.number')) VIRTUAL,
    kind TEXT NOT NULL GENERATED ALWAYS AS (json_extract(document, '$.kind')) VIRTUAL,
    recorded_at TEXT NOT NULL GENERATED ALWAYS AS (json_extract(document, '$.recorded_at')) VIRTUAL
) STRICT;
CREATE UNIQUE INDEX ledger_sequence ON ledger (site, sequence);
CREATE UNIQUE INDEX ledger_id ON ledger (id);
CREATE UNIQUE INDEX ledger_subject ON ledger (site, subject, number);

-- Finds the highest "12" of "job/12" or "W-12" of "wrench/W-12" among the first entries of a noun's subjects.
CREATE INDEX ledger_opened ON ledger (
    substr(subject, 1, instr(subject, '/') - 1),
    cast(ltrim(substr(subject, instr(subject, '/') + 1), 'ABCDEFGHIJKLMNOPQRSTUVWXYZ-') AS INTEGER)
) WHERE number = 1;

CREATE TRIGGER ledger_no_update BEFORE UPDATE ON ledger BEGIN
    SELECT raise(ABORT, 'the ledger is never changed');
END;

CREATE TRIGGER ledger_no_delete BEFORE DELETE ON ledger BEGIN
    SELECT raise(ABORT, 'nothing leaves the ledger');
END;

-- Without this one, INSERT OR REPLACE would pass the two above on a connection with recursive triggers off.
CREATE TRIGGER ledger_next_only BEFORE INSERT ON ledger WHEN
    new.position IS NOT (SELECT coalesce(max(position), 0) + 1 FROM ledger)
    OR new.sequence IS NOT (SELECT coalesce(max(sequence), 0) + 1 FROM ledger WHERE site = new.site)
    OR new.number IS NOT (
        SELECT coalesce(max(number), 0) + 1 FROM ledger WHERE site = new.site AND subject = new.subject
    )
    OR EXISTS (SELECT 1 FROM ledger WHERE id = new.id)
BEGIN
    SELECT raise(ABORT, 'the ledger takes only its next entry');
END;

-- The lists: one subject's rows are worked out from that subject's entries alone, and nothing here depends on today,
-- on settings or on plugins. `book rebuild` writes them anew.

CREATE TABLE jobs (
    subject TEXT NOT NULL, job INTEGER, vehicle TEXT, procedure TEXT, title TEXT, token TEXT, state TEXT,
    opened_on TEXT, last_recorded TEXT, handed_over_on TEXT, released INTEGER, due_on TEXT,
    due_distance_m INTEGER, odometer_m INTEGER, rechecked_on TEXT, unchecked INTEGER, holds TEXT,
    withdrawn INTEGER
) STRICT;
CREATE INDEX jobs_subject ON jobs (subject);
CREATE INDEX jobs_job ON jobs (job);
CREATE INDEX jobs_vehicle ON jobs (vehicle, job);
CREATE UNIQUE INDEX jobs_token ON jobs (token);
CREATE INDEX jobs_due ON jobs (due_on) WHERE rechecked_on IS NULL AND handed_over_on IS NOT NULL;
CREATE INDEX jobs_untouched ON jobs (state, last_recorded) WHERE state = 'open' OR state = 'released';
CREATE INDEX jobs_unchecked ON jobs (job) WHERE unchecked > 0;

CREATE TABLE attention (subject TEXT NOT NULL, job INTEGER, reason TEXT, entry INTEGER) STRICT;
CREATE INDEX attention_subject ON attention (subject);
CREATE INDEX attention_reason ON attention (reason, job);

CREATE TABLE needs (subject TEXT NOT NULL, job INTEGER, plugin TEXT) STRICT;
CREATE INDEX needs_subject ON needs (subject);
CREATE INDEX needs_plugin ON needs (plugin, job);

CREATE TABLE fastener_events (
    subject TEXT NOT NULL, vehicle TEXT, position TEXT, happened_at TEXT, job INTEGER, entry INTEGER, kind TEXT
) STRICT;
CREATE INDEX fastener_events_subject ON fastener_events (subject);
CREATE INDEX fastener_events_vehicle ON fastener_events (vehicle, position, happened_at);
CREATE INDEX fastener_events_reported ON fastener_events (vehicle, position) WHERE job IS NULL;

CREATE TABLE odometer (
    subject TEXT NOT NULL, vehicle TEXT, happened_at TEXT, metres INTEGER, entry INTEGER
) STRICT;
CREATE INDEX odometer_subject ON odometer (subject);
CREATE INDEX odometer_vehicle ON odometer (vehicle, happened_at);

CREATE TABLE concessions (
    subject TEXT NOT NULL, job INTEGER, rule TEXT, about TEXT, entry INTEGER, "by" TEXT, granted_on TEXT,
    expires_on TEXT
) STRICT;
CREATE INDEX concessions_subject ON concessions (subject);
CREATE INDEX concessions_granted ON concessions (granted_on);
CREATE INDEX concessions_expires ON concessions (expires_on);

CREATE TABLE wrenches (subject TEXT NOT NULL, wrench TEXT, state TEXT, due_on TEXT) STRICT;
CREATE INDEX wrenches_subject ON wrenches (subject);

CREATE TABLE people (subject TEXT NOT NULL, person TEXT, roles TEXT, supervisor TEXT) STRICT;
CREATE INDEX people_subject ON people (subject);

CREATE TABLE vehicles (subject TEXT NOT NULL, vehicle TEXT, tag TEXT) STRICT;
CREATE INDEX vehicles_subject ON vehicles (subject);

CREATE TABLE procedures (
    subject TEXT NOT NULL, digest TEXT, name TEXT, title TEXT, edition TEXT, read_by TEXT, read_on TEXT
) STRICT;
CREATE INDEX procedures_subject ON procedures (subject);
CREATE INDEX procedures_name ON procedures (name);

-- Personal data: erasable, never in an entry, so no trigger here.
CREATE TABLE personal (
    subject TEXT NOT NULL, field TEXT NOT NULL, value TEXT NOT NULL, PRIMARY KEY (subject, field)
) STRICT, WITHOUT ROWID;

-- How a name, plate or number would stand in free text ("annaexample", or "=Anna" for one part of a name).
CREATE TABLE personal_written (
    written TEXT NOT NULL, subject TEXT NOT NULL, PRIMARY KEY (written, subject)
) STRICT, WITHOUT ROWID;
CREATE INDEX personal_written_subject ON personal_written (subject);
