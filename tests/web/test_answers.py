"""What every answer carries, and the pages for faults."""

import base64
import shutil
from collections.abc import Callable
from contextlib import ExitStack
from datetime import datetime
from hashlib import sha256
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from torqueaudit.model.register.token import new_token
from torqueaudit.web.app import create_app
from torqueaudit.workshop.register.labels import BookError, job_of_token

if TYPE_CHECKING:
    from tests.web.conftest import Answer, Yard

Get = Callable[..., "Answer"]


def test_every_answer_is_guarded(live: str, get: Get, yard: "Yard", procedures: Path) -> None:
    """Also redirects and refusals: nothing is loaded, run, framed, kept or indexed."""
    token = yard.token(yard.open(procedures / "front-wheel.toml"))
    for path in ("", f"r/{token}", f"r/{token}/record", "r/wrong", "nothing"):
        headers = get(live + path).headers
        assert headers["Content-Security-Policy"].startswith("default-src 'none'; style-src 'sha256-")
        assert "unsafe" not in headers["Content-Security-Policy"]
        assert "same-origin" == headers["Referrer-Policy"]
        assert "nosniff" == headers["X-Content-Type-Options"]
        assert "no-store" == headers["Cache-Control"]
        assert "Server" not in headers


def test_the_style_allowed_is_the_style_sent(live: str, get: Get) -> None:
    """By the hash of CSP Level 3 (W3C), 2.3.1: SHA-256 of the element's text, in base64."""
    answer = get(live)
    style = answer.text.partition("<style>")[2].partition("</style>")[0]

    assert style
    assert base64.b64encode(sha256(style.encode()).digest()).decode() in answer.headers["Content-Security-Policy"]


def test_a_fault_of_the_program_shows_nothing_of_its_inside(
    book: Path, yard: "Yard", get: Get, listen: Callable[..., str], procedures: Path
) -> None:
    """500 in words; here the clock has stopped working."""
    token = yard.token(yard.open(procedures / "front-wheel.toml"))

    def clock() -> datetime:
        raise RuntimeError("the quartz fell out")

    with ExitStack() as until:
        answer = get(listen(until, book, clock) + f"r/{token}")

    assert (500, True) == (answer.status, "A fault of the program" in answer.text)
    assert [] == [word for word in ("Traceback", "quartz", "RuntimeError", ".py", str(book)) if word in answer.text]
    assert "default-src 'none'" in answer.headers["Content-Security-Policy"]


def test_a_book_that_cannot_be_read_is_told(
    book: Path, yard: "Yard", get: Get, listen: Callable[..., str], procedures: Path
) -> None:
    """503 with the book's own sentence, but not where it lies."""
    token = yard.token(yard.open(procedures / "front-wheel.toml"))
    copy = book.with_name("copy.book")
    yard.workshop.book.backup(copy)
    with ExitStack() as until:
        address = listen(until, copy, yard.workshop.clock)
        copy.write_bytes(b"spilled oil " * 4096)
        answer = get(f"{address}r/{token}")

    assert (503, True) == (answer.status, "The book cannot be read now" in answer.text)
    assert "The book is not a book; give the file of a book." in answer.text
    assert str(book.parent) not in answer.text


def test_an_application_needs_a_book(tmp_path: Path) -> None:
    """A missing file is told at the start, not at the first label."""
    with pytest.raises(BookError, match="nothing-here"):
        create_app(tmp_path / "nothing-here.book")


def test_a_closed_application_leaves_nothing_open(book: Path, yard: "Yard") -> None:
    """Its connections end with it; an unclosed one would be a warning, and a warning fails a test."""
    with create_app(book, yard.workshop.clock) as app:
        assert 200 == app.test_client().get("/").status_code
    with pytest.raises(ValueError, match="is closed"):
        app.workshop.book.head()
    shutil.rmtree(book.parent)


def test_job_of_token(yard: "Yard", procedures: Path) -> None:
    """The number of the job, None where there is none."""
    job = yard.open(procedures / "front-wheel.toml")

    assert job == job_of_token(yard.workshop, yard.token(job))
    assert job_of_token(yard.workshop, new_token(yard.workshop.chance)) is None
