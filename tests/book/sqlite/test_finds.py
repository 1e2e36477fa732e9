"""The index of words in the file: it finds what a scan finds, and forgets to the last byte."""

import re
from collections.abc import Callable, Mapping
from datetime import UTC, datetime
from pathlib import Path
from random import Random
from typing import TypeAlias

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from torqueaudit.book.book import Book
from torqueaudit.book.engine import ALL, FINDS, PERSONAL_FINDS, Find
from torqueaudit.book.errors import BookError
from torqueaudit.book.finds import ROOM
from torqueaudit.book.sqlite.connection import sqlite3
from torqueaudit.ledger.entry import Act, Draft, Entry, act_digest
from torqueaudit.ledger.words import FreeWords

Say: TypeAlias = Callable[..., list[Entry]]
Tell: TypeAlias = Callable[[Book, str, Mapping[str, str]], None]
LETTERS = "abÄøß é1-"


def remark(book: Book, text: str, subject: str = "job/1") -> int:
    """Record an entry with free words; its number."""
    said = {"remark": FreeWords(text)}
    act = Act(f"act-{book.head().sequence}", act_digest("note", "P-3", subject, {}), {"remark": text})
    draft = Draft(subject=subject, kind="noted.1", happened_at=book.clock(), who="P-3", said=said)
    return book.append(act, [draft], {})[0].sequence


def erase(book: Book, entry: int) -> None:
    """Erase the free words of an entry."""
    said = {"entries": [entry]}
    act = Act(f"erase-{entry}", act_digest("erase", "P-1", "site/YARD", said))
    judged = {"on": "2031-04-02"}
    where, when = "site/YARD", book.clock()
    draft = Draft(subject=where, kind="words_erased.1", happened_at=when, who="P-1", said=said, judged=judged)
    book.append(act, [draft], {})


def held(book: Book) -> bytes:
    """Every byte of the file and of its log."""
    files = [book.path, book.path.with_name(f"{book.path.name}-wal"), book.path.with_name(f"{book.path.name}-journal")]
    return b"".join(file.read_bytes() for file in files if file.exists())


def traces(text: str, held_bytes: bytes) -> list[str]:
    """The text, or any three letters of it one behind the other, as far as they stand in these bytes."""
    parts = {text, *(text[begin : begin + 3] for begin in range(len(text) - 2))}
    return sorted(part for part in parts if part.encode() in held_bytes)


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture], max_examples=25)
@given(
    texts=st.lists(st.text(LETTERS, min_size=1, max_size=12).filter(str.strip), min_size=1, max_size=8),
    gone=st.sets(st.integers(0, 7)),
    part=st.text("abo1 s", min_size=3, max_size=5).filter(lambda part: part == " ".join(part.split())),
)
def test_the_index_finds_what_a_look_at_every_row_finds(
    tmp_path_factory: pytest.TempPathFactory, texts: list[str], gone: set[int], part: str
) -> None:
    """The newest first, also behind an erasure, and the same in a book that was written anew."""
    place = tmp_path_factory.mktemp("finds") / "yard.book"
    with Book.new(place, "YARD", lambda: datetime(2031, 4, 2, tzinfo=UTC), Random(1), rows_of=lambda *_: {}) as book:
        entries = [remark(book, text, f"job/{nth % 3 + 1}") for nth, text in enumerate(texts)]
        for nth in gone & set(range(len(texts))):
            erase(book, entries[nth])
        rows = [Find(*row) for row in book.rows("select * from finds order by number desc")]
        expected = [row for row in rows if part in row.words]

        assert expected == [Find(*row) for row in book.found(FINDS, part, ALL, 99)]
        assert expected[1:] == [
            Find(*row) for row in book.found(FINDS, part, expected[0].number if expected else 0, 99)
        ]
        assert not {row.number // ROOM for row in rows} & {entries[nth] for nth in gone if nth < len(entries)}
        assert [] == book.verify()
        book.rebuild()
        assert rows == [Find(*row) for row in book.rows("select * from finds order by number desc")]
        assert expected == [Find(*row) for row in book.found(FINDS, part, ALL, 99)]


def test_what_is_forgotten_is_gone_from_the_index_and_the_file(book: Book, tell: Tell) -> None:
    """Neither the name nor three letters of it: those of others are left."""
    tell(book, "person/P-7", {"name": "Qwxyz Jvkqp"})
    tell(book, "person/P-8", {"name": "Edda Vorlage"})
    before = traces("qwxyz jvkqp", held(book))
    book.forget("person/P-7")

    assert "qwxyz jvkqp" in before
    assert [] == traces("qwxyz", held(book)) == traces("jvkqp", held(book))
    assert [] == book.found(PERSONAL_FINDS, "qwx", ALL, 9)
    assert 1 == len(book.found(PERSONAL_FINDS, "vorlage", ALL, 9))
    assert [] == book.verify()


def test_words_that_are_erased_are_gone_from_the_index_and_the_file(book: Book) -> None:
    """Of an entry among others, whose words are found as before."""
    for text in ("the nut was stiff", "qwxyz asked for it", "stiff once more"):
        remark(book, text)
    erase(book, 2)

    assert [] == traces("qwxyz", held(book))
    assert [] == book.found(FINDS, "qwxyz", ALL, 9)
    assert [3, 1] == [row[0] // ROOM for row in book.found(FINDS, "stiff", ALL, 9)]


def test_another_plate_leaves_nothing_of_the_one_before(book: Book, tell: Tell) -> None:
    """Once the file is overwritten, as an act does that tells another one of the owner."""
    tell(book, "vehicle/V-1", {"plate": "QWX-ZJ 7"})
    tell(book, "vehicle/V-1", {"plate": "YARD 12"})
    book.overwrite_personal()

    assert [] == traces("qwxzj7", held(book))
    assert [] == book.found(PERSONAL_FINDS, "qwx", ALL, 9)
    assert 1 == len(book.found(PERSONAL_FINDS, "yard12", ALL, 9))


def test_rows_that_differ_from_the_entries_are_told(book: Book) -> None:
    """Whichever row was altered, lost or put there; a rebuild mends it."""
    for text in ("the nut was stiff", "all well"):
        remark(book, text)
    for altered in (
        "update finds set words = 'all is well' where number = 160",
        "delete from finds",
        "insert into finds values (192, 'job/1', 'job/1', 'remark', 'more')",
    ):
        book.engine.run(altered)
        found = book.verify()
        book.rebuild()

        assert ["What is found by words differs from the ledger on job/1; rebuild the lists."] == found
        assert [] == book.verify()


def test_what_is_known_is_held_against_what_it_is_found_by(book: Book, tell: Tell) -> None:
    """A row of somebody who is forgotten would still find them."""
    tell(book, "person/P-7", {"name": "Edda Vorlage"})
    book.engine.run("update personal_finds set words = 'somebody else'")

    assert ["By what person/P-7 is found differs from what is known; rebuild the lists."] == book.verify()
    book.rebuild()
    assert [] == book.verify()


def test_an_index_that_is_damaged_is_told_and_mended(book: Book) -> None:
    """It is worked out of what lies beside it: nothing that was recorded is lost, and no backup is needed."""
    remark(book, "the nut was stiff")
    book.engine.run("delete from finds_index_data where id > 10")
    with pytest.raises(BookError, match="the index by which words are found is damaged; rebuild the lists"):
        book.found(FINDS, "stiff", ALL, 9)
    if sqlite3.sqlite_version_info >= (3, 44):  # from which on its check of pages looks at the index as well
        assert ["The index by which words are found is damaged; rebuild the lists."] == book.verify()
    book.rebuild()

    assert 1 == len(book.found(FINDS, "stiff", ALL, 9))
    assert [] == book.verify()


def test_the_look_up_goes_through_the_index(book: Book) -> None:
    """However much was written."""
    asked: list[str] = []
    connection = book.engine.connection  # type: ignore[attr-defined]  # SQLite's own
    connection.set_trace_callback(asked.append)
    book.found(FINDS, "stiff", ALL, 9)
    connection.set_trace_callback(None)
    own = next(text for text in asked if " like " in text)
    plan = " ".join(step[3] for step in book.rows(f"explain query plan {own}"))

    assert re.search(r"SCAN finds_index VIRTUAL TABLE INDEX \d+:.*L0", plan), plan
    assert "SEARCH found USING INTEGER PRIMARY KEY" in plan
    assert "TEMP B-TREE" not in plan


def test_both_libraries_of_sqlite_know_the_index(book: Book, tmp_path: Path) -> None:
    """Debian's own, 3.40, finds and forgets what another one wrote."""
    import sqlite3 as own

    remark(book, "the nut was stiff")
    copy = tmp_path / "copy.book"
    book.backup(copy)
    connection = own.connect(copy)
    asked = "select rowid from finds_index where words like '%stiff%'"
    found = connection.execute(asked).fetchall()
    connection.execute(
        "insert into finds_index (finds_index, rowid, words) values ('delete', ?, ?)", (96, "the nut was stiff")
    )
    left = connection.execute(asked).fetchall()
    connection.close()

    assert ([(ROOM + 32,)], []) == (found, left)
    assert sqlite3.sqlite_version_info >= (3, 40)
