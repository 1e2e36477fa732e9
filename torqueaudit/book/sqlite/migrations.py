"""How an older book becomes a present one: numbered steps that are never edited once released.

Imported only when a book is behind, because sqlite_utils is slow to load. `transform()`, `add_foreign_key()` and
`add_column(fk=…)` rebuild a table and drop its triggers without a word: never use them on the ledger.
"""

from collections.abc import Callable, Iterator
from importlib.resources import files

from sqlite_utils import Database, Migrations

from torqueaudit.book.sqlite.connection import SCHEMA_VERSION, Connection, sqlite3, writing

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
    db.conn.execute("""
        update fastener_events set wrench = (
            select json_extract(document, '$.payload.said.wrench') from ledger
            where site = (select site from book) and sequence = fastener_events.entry
        ) where kind = 'tightened'
    """)


@migrations()
def m003_measurements_and_parts(db: Database) -> None:
    """What was measured on each vehicle and fitted to it, over all its jobs, and which job follows which."""
    for statement in statements_of(_M003):
        db.conn.execute(statement)


# The rows are those that an append writes: what was struck, and what a withdrawn job says, is left out, and the
# odometer is the one that was read in the same job nearest in time. Values were told and not derived before.
_M003 = """
alter table jobs add column follows INTEGER;
create index jobs_follows on jobs (follows) where follows is not null;
update jobs set follows = (
    select cast(json_extract(document, '$.payload.said.follows') as integer) from ledger
    where site = (select site from book) and ledger.subject = jobs.subject and number = 1
);

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

create temporary table told as
select ledger.subject, jobs.vehicle, kind, json_extract(document, '$.payload.said') as said,
    json_extract(document, '$.happened_at') as happened_at, number, jobs.job, sequence as entry,
    (
        select metres from odometer where odometer.subject = ledger.subject
        order by abs(
            strftime('%s', odometer.happened_at) - strftime('%s', json_extract(document, '$.happened_at'))
        ), odometer.happened_at, odometer.entry limit 1
    ) as odometer_m
from ledger join jobs on jobs.subject = ledger.subject
where site = (select site from book) and kind in ('measured.1', 'fitted.1') and not jobs.withdrawn
    and sequence not in (
        select json_extract(document, '$.payload.said.entry') from ledger
        where site = (select site from book) and kind = 'struck.1'
    );

insert into measurements
select subject, vehicle, json_extract(said, '$.key'), 'dimension', json_extract(said, '$.value'),
    json_extract(said, '$.unit'), '[]', happened_at, odometer_m, job, entry
from told where kind = 'measured.1' order by subject, happened_at, number;

insert into parts
select subject, vehicle, json_extract(said, '$.key'), json_extract(said, '$.part'),
    coalesce(json_extract(said, '$.lot'), ''), json_extract(said, '$.new'),
    coalesce(json_extract(said, '$.attributes'), '[]'), happened_at, odometer_m, job, entry
from told where kind = 'fitted.1' order by subject, happened_at, number;

drop table told;
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

    `rebuild` writes the lists anew through the same connection, so all of it is one transaction.
    """
    with writing(connection, "exclusive"):
        db = Database(connection)
        if migrations.pending(db):
            migrations.apply(db)
            rebuild()
            connection.execute(f"pragma user_version = {SCHEMA_VERSION}")
