"""A backup is a whole book, made while others write, and goes over nothing."""

import random
from collections.abc import Callable
from pathlib import Path
from typing import TypeAlias

import pytest

from torqueaudit.book.book import Book
from torqueaudit.book.errors import BookError
from torqueaudit.book.lists.upkeep import RowsOf
from torqueaudit.ledger.entry import Entry

Say: TypeAlias = Callable[..., list[Entry]]


def test_a_backup_is_a_whole_book(book: Book, say: Say, rows_of: RowsOf, tmp_path: Path) -> None:
    """One file without a log beside it, with the same head, lists and photos; the book goes on on its own."""
    say("job/1", times=3)
    book.set_personal("person/P-1", {"name": "Edda Muster"})
    book.photos.mkdir()
    (book.photos / "ab.jpg").write_bytes(b"picture")
    folder = tmp_path / "backup"
    folder.mkdir()
    book.backup(folder / "copy.book")
    names = sorted(file.name for file in folder.rglob("*"))
    head = book.head()
    say("job/1")

    assert ["ab.jpg", "copy-photos", "copy.book"] == names
    with Book.open(folder / "copy.book", book.clock, random.Random(1), rows_of=rows_of) as copy:
        assert head == copy.head()
        assert "YARD" == copy.site
        assert {"name": "Edda Muster"} == copy.personal_of("person/P-1")
        assert [] == copy.verify(head)
        assert b"picture" == (copy.photos / "ab.jpg").read_bytes()


@pytest.mark.parametrize("there", ["copy.book", "copy-photos", "copy.book.part"])
def test_a_backup_goes_over_nothing(book: Book, tmp_path: Path, there: str) -> None:
    """Whatever stands at the target stays, and nothing is left beside it."""
    folder = tmp_path / "backup"
    folder.mkdir()
    (folder / there).write_text("mine")

    with pytest.raises(BookError, match=r"is there already|is left from a backup"):
        book.backup(folder / "copy.book")
    assert [there] == [file.name for file in folder.iterdir()]
    assert "mine" == (folder / there).read_text()


def test_a_backup_into_no_folder_is_refused(book: Book, tmp_path: Path) -> None:
    """One sentence."""
    with pytest.raises(BookError, match="is not there; make it first"):
        book.backup(tmp_path / "none" / "copy.book")
