"""The page of a book that is damaged says so, and calls it no fault of the program."""

import os
import re
from datetime import datetime
from pathlib import Path
from random import Random
from typing import TYPE_CHECKING

import pytest

from torqueaudit.web.app import RecordServer, create_app
from torqueaudit.workshop.register.labels import BookError

if TYPE_CHECKING:
    from tests.web.conftest import Yard

TRIES = 1000 if "TORQUEAUDIT_PROOF" in os.environ else 60
FAULT = "A fault of the program"


@pytest.fixture
def token(yard: "Yard", procedures: Path) -> str:
    """The token of a job with something done on it, in a book that is whole in its file."""
    job = yard.open(procedures / "front-wheel.toml")
    yard.work(job)
    token = yard.token(job)
    yard.workshop.book.backup(yard.workshop.book.path.with_name("whole.book"))
    return token


def page(app: RecordServer, path: str) -> tuple[int, str]:
    """Status and text of a page."""
    answer = app.test_client().get(path)
    return answer.status_code, answer.text


def damaged(whole: Path, what: bytes, to: bytes) -> None:
    """Change bytes of the file wherever they match."""
    data = whole.read_bytes()
    changed = re.sub(what, to, data)
    assert data != changed
    whole.write_bytes(changed)


@pytest.mark.usefixtures("book_file")
def test_a_list_that_was_altered_is_damage_of_the_book(yard: "Yard", token: str, clock: list[datetime]) -> None:
    """A day that is none stands in a list: nobody foresaw that, and looking through it tells."""
    del token
    whole = yard.workshop.book.path.with_name("whole.book")
    damaged(whole, rb'(?<!")2031-04-02T07', rb"2031-44-02T07")
    with create_app(whole, lambda: clock[0]) as app:
        status, text = page(app, f"/w/{yard.wrench}")

    assert (503, True) == (status, "The book is damaged" in text)
    assert "ask what is due" in text
    assert FAULT not in text


def test_an_entry_that_was_altered_is_named_on_the_record(book: Path, token: str, clock: list[datetime]) -> None:
    """What it said is not known, so the record says no to riding."""
    whole = book.with_name("whole.book")
    damaged(whole, rb'"happened_at":"2031-04-02T07:1', rb'"happened_at":"2031-44-02T07:1')
    with create_app(whole, lambda: clock[0]) as app:
        status, text = page(app, f"/r/{token}/record")

    assert (200, True) == (status, "it cannot be read" in text)


@pytest.mark.proof
def test_damage_anywhere_is_never_called_a_fault_of_the_program(
    book: Path, token: str, clock: list[datetime], caplog: pytest.LogCaptureFixture
) -> None:
    """Bytes changed by chance in a copy of the book; the record opens, or the page names the book.

    The log is told words: whoever keeps its records would keep the file open with an error, and others waiting.
    """
    whole, chance = book.with_name("whole.book"), Random(8)
    data, named = whole.read_bytes(), 0
    for _ in range(TRIES):
        damaged = bytearray(data)
        for _ in range(chance.choice((1, 3, 30))):
            at, new = chance.randrange(len(damaged) - 200), chance.randbytes(chance.choice((1, 8, 200)))
            damaged[at : at + len(new)] = new
        whole.write_bytes(damaged)
        try:
            with create_app(whole, lambda: clock[0]) as app:
                pages = [page(app, path) for path in ("/", f"/r/{token}", f"/r/{token}/record", "/w/W-1")]
        except BookError:
            named += 1
            continue
        assert [] == [text for _, text in pages if FAULT in text]
        assert [] == [each for record in caplog.records for each in record.args or () if not isinstance(each, str)]
        named += any(status == 503 for status, _ in pages)

    assert named > TRIES / 10
