"""Verification: a file that is damaged or was changed is told."""

from collections.abc import Callable
from typing import TypeAlias

import pytest

from torqueaudit.book.book import Book
from torqueaudit.book.disclosures import DISCLOSURES
from torqueaudit.book.errors import BookError
from torqueaudit.book.lists.upkeep import RowsOf
from torqueaudit.book.outbox import OUTBOX
from torqueaudit.book.signing import SIGNING
from torqueaudit.book.sqlite.connection import sqlite3
from torqueaudit.ledger.entry import Entry, document_of

Say: TypeAlias = Callable[..., list[Entry]]


@pytest.fixture
def five(book: Book, say: Say) -> Book:
    """A book of five entries."""
    for number in range(1, 6):
        say(f"job/{number % 2 + 1}", "N·m"[: number % 3])
    return book


@pytest.mark.parametrize("bytes_", [b"X", b"\x00", b"["])
def test_a_destroyed_text_ends_in_sentences(five: Book, rows_of: RowsOf, bytes_: bytes) -> None:
    """One byte on the disk goes bad: the columns read out of the text are gone with it, and yet it is told."""
    start = document_of(five.ledger(2, 2)[0][0]).encode()
    five.close()
    content = five.path.read_bytes()
    assert 1 == content.count(start)
    five.path.write_bytes(content.replace(start, bytes_ + start[1:]))

    with Book.open(five.path, five.clock, five.chance, rows_of=rows_of) as damaged:
        assert "Entry 2 was altered: its text no longer gives its hash." in damaged.verify()
        assert any("Entry 2 cannot be read" in sentence for sentence in damaged.verify())
        with pytest.raises(BookError, match="is damaged"):
            damaged.entry(2)


@pytest.mark.parametrize(
    ("meddle", "says"),
    [
        ("drop trigger ledger_next_only", "ledger_next_only is missing from the file."),
        ("drop index ledger_id", "ledger_id is missing from the file."),
        ("create table mine (a)", "mine in the file was not made by this program."),
        ("create view mine as select 1", "mine in the file was not made by this program."),
        ("create trigger t after insert on jobs begin select 1; end", "t in the file was not made by this program."),
        ("pragma application_id = 7", "The file's application id is not a book's."),
    ],
)
def test_a_changed_file_is_noticed(five: Book, meddle: str, says: str) -> None:
    """Triggers, indexes, tables and the mark."""
    five.engine.run(meddle)

    assert [says] == five.verify()


@pytest.mark.parametrize("table", ["words", "personal", "personal_written", "attention", "jobs", "ledger"])
def test_a_table_that_is_missing_is_named_and_what_rests_on_it_left_out(five: Book, table: str) -> None:
    """Nothing breaks off, and whoever reads it elsewhere hears of the file and the table."""
    five.engine.run(f"drop table {table}")
    found = [fault for fault in five.verify() if not fault.startswith(f"{table}_")]  # its indexes and triggers
    rest = ["Nothing was compared, because the ledger itself is missing."] if table == "ledger" else []

    assert [f"{table} is missing from the file.", *rest] == found
    with pytest.raises(
        BookError, match=rf"yard\.book is damaged \({table} is missing from the file\); keep it as it is"
    ):
        five.rows(f"select * from {table}")  # noqa: S608


def test_a_page_of_the_ledger_that_is_spoilt_ends_no_verification(five: Book, rows_of: RowsOf) -> None:
    """What can be told is told, where it was one sentence for all before."""
    ((page,),) = five.rows("select rootpage from sqlite_schema where name = 'ledger'")
    five.close()
    content = bytearray(five.path.read_bytes())
    content[4096 * (page - 1) : 4096 * page] = b"\x55" * 4096
    five.path.write_bytes(content)

    with Book.open(five.path, five.clock, five.chance, rows_of=rows_of) as damaged:
        found = damaged.verify()
        assert f"{five.path} is damaged: some of it cannot be read." in found
        assert "Words and lists were not compared, because the ledger itself is damaged." in found
        assert len(set(found)) == len(found)
        (pages,) = [fault for fault in found if fault.startswith("The file is damaged: SQLite's check of its pages ")]
        assert (True, False) == (pages.isprintable(), "***" in pages)


def test_a_statement_that_fails_in_a_sound_book_is_a_fault_of_the_program(five: Book) -> None:
    """The file is not blamed for it."""
    with pytest.raises(sqlite3.OperationalError, match="no such table: none_such"):
        five.rows("select * from none_such")


def test_a_weakened_trigger_is_noticed(five: Book) -> None:
    """Same name, other words."""
    five.engine.run("drop trigger ledger_no_delete")
    five.engine.run("create trigger ledger_no_delete before delete on ledger begin select 1; end")

    assert ["ledger_no_delete in the file was changed."] == five.verify()


def test_entries_at_other_places_are_noticed(five: Book) -> None:
    """Moved as a whole, they stand in the same order and their chain is right."""
    (trigger,) = five.rows("select sql from sqlite_schema where name = 'ledger_no_update'")
    five.engine.run("drop trigger ledger_no_update")
    five.engine.run("update ledger set position = position + 10")
    five.engine.run(*trigger)

    assert "Entries lie in the file at other places than their numbers." in five.verify()


@pytest.mark.parametrize("table", [*SIGNING, OUTBOX, DISCLOSURES])
def test_what_no_entry_proves_is_held_twice(five: Book, table: str) -> None:
    """In the table and in an index over all columns, which SQLite's check of the pages holds against each other."""
    asked = "select name from pragma_table_info(?) where name <> 'number'"
    held = "select name from pragma_index_xinfo(?) where name is not null"
    columns = {name for (name,) in five.engine.rows(asked, (table,))}
    twice = {name for (name,) in five.engine.rows(held, (f"{table}_twice",))}

    assert columns == twice
