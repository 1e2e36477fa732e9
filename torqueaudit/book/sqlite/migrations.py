"""How an older book becomes a present one: numbered steps that are never edited once released.

A step changes tables and indexes alone. What stands in the lists is written anew once, behind the last step, by the
code that an append uses: decision 0060. `transform()`, `add_foreign_key()` and `add_column(fk=…)` rebuild a table and
drop its triggers without a word: never use them on the ledger.

Imported only when a book is behind, because sqlite_utils is slow to load.
"""

from collections.abc import Callable, Iterator
from importlib.resources import files

from sqlite_utils import Database, Migrations

from torqueaudit.book.lists.upkeep import LISTS
from torqueaudit.book.sqlite.connection import SCHEMA_VERSION, Connection, Writing, sqlite3

migrations = Migrations("torqueaudit")


@migrations()
def m001_book(db: Database) -> None:
    """Everything in schema.sql."""
    for statement in statements_of(files("torqueaudit.book.sqlite").joinpath("schema.sql").read_text("utf-8")):
        db.conn.execute(statement)


@migrations()
def m002_wrench_uses(db: Database) -> None:
    """What each wrench was used on, so that its cycles are counted without reading any job."""
    db.conn.execute("alter table fastener_events add column wrench TEXT")
    db.conn.execute(
        "create index fastener_events_wrench on fastener_events (wrench, happened_at) where wrench is not null"
    )


@migrations()
def m003_measurements_and_parts(db: Database) -> None:
    """What was measured on each vehicle and fitted to it, over all its jobs, and which job follows which."""
    for statement in statements_of(_M003):
        db.conn.execute(statement)


_M003 = """
alter table jobs add column follows INTEGER;
create index jobs_follows on jobs (follows) where follows is not null;

create table measurements (
    subject TEXT NOT NULL, vehicle TEXT, key TEXT, kind TEXT, value TEXT, unit TEXT, conditions TEXT,
    happened_at TEXT, odometer_m INTEGER, job INTEGER, entry INTEGER
) strict;
create index measurements_subject on measurements (subject);
create index measurements_vehicle on measurements (vehicle, kind, happened_at);

create table parts (
    subject TEXT NOT NULL, vehicle TEXT, key TEXT, part TEXT, lot TEXT, new INTEGER, attributes TEXT,
    happened_at TEXT, odometer_m INTEGER, job INTEGER, entry INTEGER
) strict;
create index parts_subject on parts (subject);
create index parts_vehicle on parts (vehicle, happened_at);
"""


@migrations()
def m004_visits(db: Database) -> None:
    """When each vehicle came to the workshop and left it, and what a wrench was set to or showed in each pass."""
    for statement in statements_of(_M004):
        db.conn.execute(statement)


_M004 = """
create table visits (
    subject TEXT NOT NULL, vehicle TEXT, happened_at TEXT, here INTEGER, gone INTEGER, job INTEGER, entry INTEGER
) strict;
create index visits_subject on visits (subject);
create index visits_vehicle on visits (vehicle, happened_at, entry);
create index visits_left on visits (vehicle, happened_at, entry) where here = 0;
create index visits_arrived on visits (happened_at) where job is null and here = 1;

alter table fastener_events add column shown_mnm INTEGER;
create index fastener_events_shown on fastener_events (wrench, shown_mnm, happened_at) where shown_mnm is not null;
"""


@migrations()
def m005_words(db: Database) -> None:
    """Free words of entries, beside the ledger and erasable: no list, and so never written anew."""
    for statement in statements_of(_M005):
        db.conn.execute(statement)


_M005 = """
create table words (
    entry INTEGER NOT NULL, field TEXT NOT NULL, subject TEXT NOT NULL, salt TEXT, text TEXT,
    erased_on TEXT, erased_by TEXT, primary key (entry, field)
) strict, without rowid;
create index words_subject on words (subject);
"""


@migrations()
def m006_jobs_of_some_fasteners(db: Database) -> None:
    """Which work was done on a job of some fasteners alone, which makes history of nothing but these."""
    db.conn.execute("alter table fastener_events add column alone INTEGER")


@migrations()
def m007_salt_of_personal_data(db: Database) -> None:
    """The salt of each digest that an entry holds of personal data; what was told before has none."""
    db.conn.execute("alter table personal add column salt TEXT")


@migrations()
def m008_signing(db: Database) -> None:
    """Who may sign, by which device and PIN, and who is signed in: no list, no entry, and erasable."""
    for statement in statements_of(_M008):
        db.conn.execute(statement)


_M008 = """
create table pins (person TEXT NOT NULL PRIMARY KEY, phc TEXT NOT NULL, pepper TEXT NOT NULL) strict, without rowid;

create table device_keys (
    device TEXT NOT NULL PRIMARY KEY, digest TEXT NOT NULL, seen TEXT NOT NULL
) strict, without rowid;
create unique index device_keys_digest on device_keys (digest);

create table invitations (
    digest TEXT NOT NULL PRIMARY KEY, name TEXT NOT NULL, "by" TEXT NOT NULL, until TEXT NOT NULL,
    door TEXT NOT NULL, proof TEXT NOT NULL
) strict, without rowid;

create table sessions (
    digest TEXT NOT NULL PRIMARY KEY, device TEXT NOT NULL, person TEXT NOT NULL, started TEXT NOT NULL,
    seen TEXT NOT NULL, chosen TEXT NOT NULL
) strict, without rowid;

create table wrong_pins (
    attempt TEXT NOT NULL PRIMARY KEY, person TEXT NOT NULL, device TEXT NOT NULL, at TEXT NOT NULL
) strict;

create table locked (subject TEXT NOT NULL PRIMARY KEY, at TEXT NOT NULL) strict, without rowid;
"""


@migrations()
def m009_arranged_rechecks(db: Database) -> None:
    """What was agreed about each re-check that is not done, so that a night finds those without reading any job."""
    db.conn.execute("alter table jobs add column arranged TEXT")
    db.conn.execute("create index jobs_arranged on jobs (arranged, job) where arranged is not null")


@migrations()
def m010_outbox(db: Database) -> None:
    """Reminders that are to be sent, and what became of them: no list, no entry, and without any address."""
    for statement in statements_of(_M010):
        db.conn.execute(statement)


_M010 = """
create table outbox (
    id TEXT NOT NULL PRIMARY KEY, vehicle TEXT NOT NULL, job TEXT NOT NULL, token TEXT NOT NULL,
    leaving INTEGER NOT NULL, target INTEGER NOT NULL, kind TEXT NOT NULL, n INTEGER NOT NULL, state TEXT NOT NULL,
    tries INTEGER NOT NULL, not_before TEXT NOT NULL, why TEXT NOT NULL, changed TEXT NOT NULL,
    leased_until TEXT NOT NULL default '', leased_by TEXT NOT NULL default ''
) strict, without rowid;
create index outbox_state on outbox (state, changed);
create index outbox_leaving on outbox (job, leaving);
create index outbox_vehicle on outbox (vehicle);
"""


@migrations()
def m011_running_hours(db: Database) -> None:
    """What an hour meter showed beside what an odometer did, and which of it a re-check is due at."""
    db.conn.execute("alter table odometer add column minutes INTEGER")
    db.conn.execute("alter table jobs add column due_min INTEGER")


@migrations()
def m012_trends(db: Database) -> None:
    """Each re-check that was done with the day it was due, and each mark that was found disturbed."""
    for statement in statements_of(_M012):
        db.conn.execute(statement)


_M012 = """
create table rechecks_done (subject TEXT NOT NULL, job INTEGER, due_on TEXT, done_at TEXT, entry INTEGER) strict;
create index rechecks_done_subject on rechecks_done (subject);
create index rechecks_done_due on rechecks_done (due_on);

create table marks_disturbed (
    subject TEXT NOT NULL, position TEXT, happened_at TEXT, job INTEGER, entry INTEGER
) strict;
create index marks_disturbed_subject on marks_disturbed (subject);
create index marks_disturbed_seen on marks_disturbed (happened_at);
"""


@migrations()
def m013_exchanged_instruments(db: Database) -> None:
    """Whose instrument was replaced, and when last, so that a night need not ask every vehicle."""
    db.conn.execute("alter table vehicles add column exchanged_on TEXT")
    db.conn.execute("create index vehicles_exchanged on vehicles (vehicle) where exchanged_on is not null")


@migrations()
def m014_estimated_rechecks(db: Database) -> None:
    """From which day on the history of a vehicle makes its re-check due, while nobody reads it."""
    db.conn.execute("alter table jobs add column estimated_on TEXT")


@migrations()
def m015_disclosures(db: Database) -> None:
    """Who was shown what is known of whom, field by field: no list, no entry, and erasable."""
    for statement in statements_of(_M015):
        db.conn.execute(statement)


_M015 = """
create table disclosures (
    number INTEGER NOT NULL PRIMARY KEY, at TEXT NOT NULL, "by" TEXT NOT NULL, door TEXT NOT NULL,
    subject TEXT NOT NULL, shown TEXT NOT NULL
) strict;
create index disclosures_subject on disclosures (subject);
create index disclosures_at on disclosures (at);
"""


@migrations()
def m016_sign_offs(db: Database) -> None:
    """When each job was checked, released or handed over, as recorded, so that a week of any year is found at once."""
    for statement in statements_of(_M016):
        db.conn.execute(statement)


_M016 = """
create table sign_offs (subject TEXT NOT NULL, job INTEGER, recorded_at TEXT) strict;
create index sign_offs_subject on sign_offs (subject);
create index sign_offs_recorded on sign_offs (recorded_at, job);
"""


@migrations()
def m017_finds(db: Database) -> None:
    """What is found by words: of entries, and of what is known of people and vehicles; and jobs by their days."""
    for statement in statements_of(_M017):
        db.conn.execute(statement)


# FTS5 merges its index by itself at each insert, which makes an act that tells words ten times as slow as `automerge`
# switched off: then it merges sixteen parts at once, when there are so many.
_M017 = """
create table finds (
    number INTEGER NOT NULL PRIMARY KEY, subject TEXT NOT NULL, about TEXT NOT NULL, field TEXT NOT NULL,
    words TEXT NOT NULL
) strict;
create index finds_about on finds (about);
create virtual table finds_index using fts5(
    words, content='finds', content_rowid='number', tokenize='trigram', detail='none', columnsize=0
);
insert into finds_index (finds_index, rank) values ('automerge', 0);

create table personal_finds (
    number INTEGER NOT NULL PRIMARY KEY, subject TEXT NOT NULL, about TEXT NOT NULL, field TEXT NOT NULL,
    words TEXT NOT NULL
) strict;
create index personal_finds_about on personal_finds (about);
create virtual table personal_finds_index using fts5(
    words, content='personal_finds', content_rowid='number', tokenize='trigram', detail='none', columnsize=0
);
insert into personal_finds_index (personal_finds_index, rank) values ('automerge', 0);

create index jobs_opened on jobs (opened_on);
create index jobs_left on jobs (handed_over_on) where handed_over_on is not null;
"""


@migrations()
def m018_held_twice(db: Database) -> None:
    """Each row that no entry proves, also in an index: SQLite's check of the pages holds one against the other.

    A page of another table, written in the place of one of these by a failing disk, was not noticed before.
    """
    for statement in statements_of(_M018):
        db.conn.execute(statement)


_M018 = """
create index pins_twice on pins (phc, pepper);
create index device_keys_twice on device_keys (digest, seen);
create index invitations_twice on invitations (name, "by", until, door, proof);
create index sessions_twice on sessions (device, person, started, seen, chosen);
create index wrong_pins_twice on wrong_pins (attempt, person, device, at);
create index locked_twice on locked (at);
create index outbox_twice on outbox (
    vehicle, job, token, leaving, target, kind, n, state, tries, not_before, why, changed, leased_until, leased_by
);
create index disclosures_twice on disclosures (at, "by", door, subject, shown);
"""


@migrations()
def m019_program_keys(db: Database) -> None:
    """By what another program is known that was let in: beside the ledger, as its SHA-256, held twice as the rest."""
    for statement in statements_of(_M019):
        db.conn.execute(statement)


_M019 = """
create table program_keys (
    program TEXT NOT NULL PRIMARY KEY, digest TEXT NOT NULL, seen TEXT
) strict, without rowid;
create unique index program_keys_digest on program_keys (digest);
create index program_keys_twice on program_keys (digest, seen);
"""


def statements_of(text: str) -> Iterator[str]:
    """The single statements of an SQL text in which each ends at the end of a line."""
    statement = ""
    for line in text.splitlines(keepends=True):
        statement += line
        if sqlite3.complete_statement(statement):
            yield statement
            statement = ""


def migrate(connection: Connection, rebuild: Callable[[], None]) -> None:
    """Apply what is pending, looked at again under the lock: another process may have been quicker.

    `rebuild` writes the lists anew through the same connection, so all of it is one transaction. They are laid out anew
    before: some books were made while a step was still edited, and lack a column or an index that it has since.
    """
    with Writing(connection, "exclusive"):
        db = Database(connection)
        if migrations.pending(db):
            migrations.apply(db)
            _lay_lists_anew(connection)
            rebuild()
            connection.execute(f"pragma user_version = {SCHEMA_VERSION}")


def wanted_schema() -> list[tuple[str, str, str]]:
    """Each table, index and trigger of a present book: its name, its table and its SQL; tables first."""
    fresh = sqlite3.connect(":memory:", isolation_level=None)
    try:
        migrations.apply(Database(fresh))
        return fresh.execute(_MADE).fetchall()
    finally:
        fresh.close()


_MADE = """
    select name, tbl_name, sql from sqlite_schema where sql is not null
    and name not in (select name from pragma_table_list where type = 'shadow')
    order by type = 'table' desc, rowid
"""


def _lay_lists_anew(connection: Connection) -> None:
    for table in LISTS:
        connection.execute(f"drop table if exists {table}")
    for _, table, sql in wanted_schema():
        if table in LISTS:
            connection.execute(sql)
