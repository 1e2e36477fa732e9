"""The tables of a chain in a database, and a site's place among them: how they are made, and who is admitted."""

import re
from collections.abc import Iterator
from contextlib import contextmanager
from importlib.resources import files

from psycopg.errors import InsufficientPrivilege

from torqueaudit.book.address import Server
from torqueaudit.book.errors import BookError
from torqueaudit.book.postgres.connection import OWNER, READER, WRITER, Connection, connect
from torqueaudit.book.postgres.words import in_words
from torqueaudit.model.act import See, Topic

VERSION = 1
OLDEST = 150000  # views that ask with the rights of whoever asks: PostgreSQL 15
_ROLES = """
    do $$ begin
        if not exists (select from pg_roles where rolname = '{role}') then create role {role}; end if;
    end $$
"""
_ADMITTED = """
    select site, moved_to from chain.sites where site = any (chain.own()) and ($1 = '' or site = $1) order by site
"""


@contextmanager
def new(server: Server) -> Iterator[None]:
    """Give a site a place in a database for a block that opens it; when either fails nothing of it is left behind.

    The tables are made where it is the first. The login becomes one that works for the site. Raises BookError.
    """
    if not server.site:
        raise BookError(f"{server} names no site; give one at its end (?site=YARD).")
    with in_words(server), connect(server) as connection:
        try:
            _place(connection, server)
        except InsufficientPrivilege as error:
            raise BookError(
                f"The login of {server} may not make a book there ({error.diag.message_primary}); use one that may "
                "make roles and schemas, as docs/chain.md says."
            ) from None
        try:
            yield
        except BaseException:
            _take_back(connection, server.site)
            raise


def remove(server: Server) -> None:
    """Take a site's place back, of which nothing is recorded yet."""
    with in_words(server), connect(server) as connection:
        _take_back(connection, server.site)


def _place(connection: Connection, server: Server) -> None:
    if connection.info.server_version < OLDEST:
        raise BookError(f"{server} is a PostgreSQL of before 15, which cannot keep the sites of a chain apart.")
    with connection.transaction():
        # Two who begin at once make one chain.
        connection.execute("select pg_advisory_xact_lock(hashtext('torqueaudit'))")
        if not _is_there(connection):
            _make(connection)
        connection.execute(f"set local role {OWNER}")
        site = (server.site,)
        if connection.execute("select from chain.ledger where site = $1 limit 1", site).fetchone() is not None:
            raise BookError(f"{server} has a book of {server.site} already; give another name.")
        # One without an entry is what a run left that was killed.
        connection.execute("insert into chain.sites (site) values ($1) on conflict do nothing", site)
        connection.execute("insert into chain.logins values (session_user, $1) on conflict do nothing", site)


def _make(connection: Connection) -> None:
    for role in (OWNER, WRITER, READER):
        connection.execute(_ROLES.format(role=role))
    if connection.execute("select from pg_roles where rolname = current_user and rolsuper").fetchone() is None:
        connection.execute(f"grant {OWNER}, {WRITER}, {READER} to current_user")
    ((database,),) = connection.execute("select quote_ident(current_database())").fetchall()
    connection.execute(f"grant create on database {database} to {OWNER}")
    connection.execute(f"set local role {OWNER}")
    connection.execute(_schema().encode())  # many statements, none of which has a value
    connection.execute("reset role")


def _take_back(connection: Connection, site: str) -> None:
    with connection.transaction():
        connection.execute(f"set local role {OWNER}")
        if connection.execute("select from chain.ledger where site = $1 limit 1", (site,)).fetchone() is None:
            connection.execute("delete from chain.logins where site = $1", (site,))
            connection.execute("delete from chain.sites where site = $1", (site,))


def admit(server: Server) -> str:
    """The site whose book is opened. Raises BookError where there is none, or it is of a newer program."""
    sites = sites_of(server)
    if len(sites) > 1:
        raise BookError(f"{server} holds the books of {', '.join(sites)}; say which at its end (?site={sites[0]}).")
    return sites[0]


def sites_of(server: Server) -> list[str]:
    """The sites that the login works for, or the one that is named, at least one. Raises BookError as `admit` does."""
    with in_words(server), connect(server) as connection:
        if not _is_there(connection):
            raise BookError(f"There is no book at {server}", See(Topic.NEW_BOOK))
        connection.execute("select set_config('role', $1, false)", (WRITER,))
        ((version,),) = connection.execute("select max(version) from chain.made").fetchall()
        if version > VERSION:
            raise BookError(f"{server} was written by a newer torqueaudit; install that one to open it.")
        known: dict[str, str | None] = dict(connection.execute(_ADMITTED, (server.site,)).fetchall())
    sites = [site for site, moved_to in known.items() if moved_to is None]
    if known and not sites:
        raise BookError(
            f"The book of {', '.join(known)} was moved from {server} to {', '.join(map(str, known.values()))}."
        )
    if not sites:
        raise BookError(
            f"There is no book of {server.site or 'any site'} for this login at {server}", See(Topic.NEW_BOOK)
        )
    return sites


def close(server: Server, to: str) -> None:
    """Say that a site's book was moved elsewhere: nobody opens it here any more, and its ledger takes nothing."""
    with in_words(server), connect(server) as connection, connection.transaction():
        connection.execute(f"set local role {OWNER}")
        connection.execute("update chain.sites set moved_to = $1 where site = $2", (to, server.site))


def _is_there(connection: Connection) -> bool:
    return connection.execute("select from pg_namespace where nspname = 'chain'").fetchone() is not None


def tables_of() -> set[str]:
    """The names of all tables that a chain has."""
    return set(re.findall(r"CREATE TABLE chain\.(\w+)", _schema()))


def _schema() -> str:
    return files("torqueaudit.book.postgres").joinpath("schema.sql").read_text("utf-8")
