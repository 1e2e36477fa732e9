"""What the database itself keeps from whoever has the rights of a writer: the ledger, and what is another site's."""

from collections.abc import Callable
from typing import TYPE_CHECKING, Any, TypeAlias

import psycopg
import pytest

from torqueaudit.book.book import Book

if TYPE_CHECKING:
    from database import Server

Note: TypeAlias = Callable[[Book, str], None]
Connection: TypeAlias = psycopg.Connection[Any]

# Whatever may be tried on a table by SQL (PostgreSQL's documentation, part VI, "SQL Commands"), with each table's
# name and with that of its view.
ON_LEDGER = (
    "update {} set hash = 'x'",
    "update {} set hash = hash where false",
    "delete from {}",
    "delete from {} where false",
    "truncate {}",
    "truncate {} cascade",
    "copy {} to program 'cat'",
    "copy {} from program 'echo'",
    "merge into {} kept using (select 1) told on false when not matched then do nothing when matched then delete",
    "insert into {} (document, hash) values ('x', 'x') on conflict (site, sequence) do update set hash = 'x'",
    "drop table {}",
    "drop view {}",
    "alter table {} add column more text",
    "alter table {} disable trigger all",
    "alter table {} disable trigger ledger_no_change",
    "alter table {} disable row level security",
    "alter table {} no force row level security",
    "alter table {} rename to other",
    "alter table {} owner to torqueaudit_writer",
    "alter table {} set schema public",
    "alter table {} drop constraint ledger_pkey",
    "alter table {} alter column document type text",
    "create trigger mine before insert on {} for each row execute function chain.refuse()",
    "create or replace trigger ledger_no_change before update on {} for each row execute function chain.refuse()",
    "drop trigger ledger_no_change on {}",
    "create rule mine as on insert to {} do instead nothing",
    "create policy mine on {} using (true)",
    "drop policy own_site on {}",
    "create index mine on {} (hash)",
    "lock table {} in access exclusive mode",
    "grant update on {} to torqueaudit_writer; update {} set hash = 'x'",
    "create unlogged table chain.ledger2 as select * from {}",
    "refresh materialized view {}",
    "comment on table {} is 'mine'",
    "cluster {} using ledger_pkey",
    "vacuum full {}",
    "reindex table {}",
    "select * from {} for update",
)
BESIDES = (
    "set session_replication_role = replica",
    "set role torqueaudit_owner",
    "set session authorization keeper",
    "create or replace function chain.refuse() returns trigger language plpgsql as 'begin return new; end'",
    "create or replace function chain.own() returns text[] language sql as $$ select array['QUAY'] $$",
    "drop function chain.refuse() cascade",
    "drop schema chain cascade",
    "alter schema chain rename to other",
    "create table chain.mine (x text)",
    "create table site.mine (x text)",
    "alter role torqueaudit_writer bypassrls",
    "drop index chain.ledger_pkey",
    "insert into chain.logins values (session_user, 'QUAY')",
    "delete from chain.logins",
    "select * from chain.logins",
    "update chain.sites set site = 'MINE'",
    "insert into chain.made values (2)",
    "update chain.made set version = 0",
    "update pg_catalog.pg_trigger set tgenabled = 'D'",
    "select pg_read_file('PG_VERSION')",
    "select lo_import('/etc/hostname')",
    "copy (select 1) to '/tmp/mine'",
    "do $$ begin execute 'delete from chain.ledger'; end $$",
    "with gone as (delete from chain.ledger returning *) select count(*) from gone",
    "alter system set fsync = off",
    "create extension dblink",
)
# What shows rows of the sites that a login works for, whatever site is named, and of the one that is named.
IN_CHAIN = (
    "select value from chain.personal",
    "select words from chain.personal_finds",
    "select written from chain.personal_written",
    "select document from chain.ledger",
    "select value from chain.personal tablesample system (100)",
    "select value from chain.personal a where true or exists (select from chain.personal b where b.site <> a.site)",
)
AT_SITE = (
    "select value from site.personal",
    "select words from site.personal_finds",
    "select document from site.ledger",
)


def refused(connection: Connection, statement: str) -> bool:
    """Whether the database refuses a statement; what it did is taken back."""
    try:
        with connection.transaction(force_rollback=True):
            connection.execute(statement.encode())
    except psycopg.Error:
        return True
    return False


@pytest.mark.parametrize("name", ["chain.ledger", "site.ledger"])
def test_the_ledger_is_appended_to_and_nothing_else(
    two: tuple[Book, Book], note: Note, writer: Connection, name: str
) -> None:
    """Every statement that would change it, its guards, or how it is kept is refused to a writer."""
    note(two[0], "kept")
    head = two[0].head()
    passed = [each for each in ON_LEDGER if not refused(writer, each.replace("{}", name))]

    assert [] == passed
    assert (head, []) == (two[0].head(), two[0].verify())


def test_nobody_takes_more_rights_or_puts_a_guard_aside(two: tuple[Book, Book], note: Note, writer: Connection) -> None:
    """Nor are functions replaced, sites entered, files read."""
    note(two[0], "kept")
    outside_a_block = ("create extension dblink", "alter system set fsync = off")
    passed = [each for each in BESIDES if each not in outside_a_block and not refused(writer, each)]
    for each in outside_a_block:
        with pytest.raises(psycopg.Error):
            writer.execute(each.encode())

    assert [] == passed
    assert [] == two[0].verify()


def test_the_owner_too_meets_the_guards(two: tuple[Book, Book], note: Note, server: "Server", database: str) -> None:
    """Whoever owns the tables has to put a trigger aside first, which a verification tells."""
    yard, _ = two
    note(yard, "kept")
    for each in ("update chain.ledger set hash = 'x'", "delete from chain.ledger", "truncate chain.ledger"):
        with pytest.raises(psycopg.errors.RaiseException):
            server.say(each, database)
    server.say("alter table chain.ledger disable trigger ledger_no_change", database)

    assert ["The guard ledger_no_change of the ledger is missing, or put aside."] == yard.verify()


@pytest.mark.parametrize("look", [*IN_CHAIN, *AT_SITE])
@pytest.mark.parametrize("named", ["YARD", "QUAY"])
def test_nothing_of_another_site_is_shown(
    two: tuple[Book, Book], note: Note, writer: Connection, look: str, named: str
) -> None:
    """Whatever site a connection names: its login works for one."""
    yard, quay = two
    note(yard, "Yardley")
    note(quay, "Quayle")
    writer.execute(f"set torqueaudit.site = '{named}'".encode())
    shown = " ".join(str(row) for row in writer.execute(look.encode())).casefold()

    assert "quay" not in shown
    if (
        named == "YARD"
        and "pg_stats" not in look
        and "QUAY" not in look
        and "finds" not in look.partition("personal")[0]
    ):
        assert "yard" in shown


def test_nothing_is_found_for_a_login_that_does_not_work_there(
    two: tuple[Book, Book], note: Note, writer: Connection
) -> None:
    """The one function that asks with more rights looks first for whom."""
    note(two[0], "Yardley")
    note(two[1], "Quayle")
    asked = b"select words from found('personal_finds', 'owner', 1000, 9)"
    own = writer.execute(asked).fetchall()
    writer.execute("set torqueaudit.site = 'QUAY'")

    assert ["owner yardley", "owneryardley"] == own[0][0].split("\n")
    with pytest.raises(psycopg.errors.InsufficientPrivilege):
        writer.execute(asked)


def test_nothing_is_written_for_another_site(two: tuple[Book, Book], writer: Connection) -> None:
    """Neither into its lists nor into its ledger."""
    quay = two[1]
    writer.execute("set torqueaudit.site = 'QUAY'")
    for each in (
        "insert into personal (subject, field, value) values ('vehicle/V-1', 'owner', 'x')",
        "insert into jobs (subject) values ('job/1')",
        "insert into chain.jobs (subject, site) values ('job/1', 'QUAY')",
        """insert into ledger (document, hash)
            values ('{"site":"QUAY","sequence":1,"id":"a","subject":"job/1","number":1}', 'x')""",
    ):
        with pytest.raises(psycopg.errors.InsufficientPrivilege):
            writer.execute(each.encode())

    assert [] == quay.verify()


def test_the_reader_sees_the_facts_of_all_sites_and_nothing_personal(
    two: tuple[Book, Book], note: Note, server: "Server", database: str
) -> None:
    """And writes nothing."""
    note(two[0], "Yardley")
    note(two[1], "Quayle")
    with psycopg.connect(server.address(database), autocommit=True) as reader:
        reader.execute("set role torqueaudit_reader")
        facts = reader.execute("select site, subject from chain.ledger order by site").fetchall()
        hidden = ("personal", "personal_finds", "personal_written", "words", "finds", "pins", "outbox", "sessions")
        for name in hidden:
            with pytest.raises(psycopg.errors.InsufficientPrivilege):
                reader.execute(f"table chain.{name}".encode())
        with pytest.raises(psycopg.errors.InsufficientPrivilege):
            reader.execute("insert into chain.jobs (subject, site) values ('job/1', 'YARD')")

    assert [("QUAY", "vehicle/V-1"), ("YARD", "vehicle/V-1")] == facts
