"""A book of every shape that the file ever had on the way here opens; a step that was released is never edited."""

import lzma
from hashlib import sha256
from pathlib import Path
from random import Random

import pytest
from sqlite_utils import Database

from torqueaudit.book.sqlite.connection import SCHEMA_VERSION, sqlite3
from torqueaudit.book.sqlite.migrations import migrations
from torqueaudit.ledger.entry import hash_of
from torqueaudit.model.act import Say
from torqueaudit.testing import Clock
from torqueaudit.workshop.jobs.steps_and_parts import do_step
from torqueaudit.workshop.judged.job_view import show_job
from torqueaudit.workshop.opening import open_workshop

BY_SQLITE_ITSELF = "--"  # begins what it runs inside of a statement, which differs between its versions
BOOKS = sorted((Path(__file__).parents[2] / "ledgers" / "books").glob("*.sql.xz"))
# SHA-256 over the SQL that each step runs on an empty file. A new step gets its line; none of these ever changes.
RELEASED = {
    "m001_book": "2eec84f2d5c12a5e",
    "m002_wrench_uses": "b65b81e84d2a8a20",
    "m003_measurements_and_parts": "18d8800a6c528e65",
    "m004_visits": "fff899d7c5fd603e",
    "m005_words": "268b7fd205be3d34",
    "m006_jobs_of_some_fasteners": "90bf0d41ed376359",
    "m007_salt_of_personal_data": "6f94c998d37e8d35",
    "m008_signing": "bc4d4559ad31c22f",
    "m009_arranged_rechecks": "d83fe10078207b17",
    "m010_outbox": "38cbce5cc1c3c6a8",
    "m011_running_hours": "e01348993d57af36",
    "m012_trends": "cc432deaa819b65c",
    "m013_exchanged_instruments": "66bf8ba860d6c3ab",
    "m014_estimated_rechecks": "22ad89d03e268447",
    "m015_disclosures": "ce81b1f6bc021183",
    "m016_sign_offs": "1e79fadd1ac43ac1",
    "m017_finds": "60e02f7649fee533",
    "m018_held_twice": "0a5ab4f665c0f822",
    "m019_program_keys": "5f3723ceb9d56039",
}


def made_again(kept: Path, path: Path) -> Path:
    """The file as that version of the program had made it."""
    connection = sqlite3.connect(path, isolation_level=None)
    connection.executescript(lzma.decompress(kept.read_bytes()).decode())
    connection.close()
    return path


@pytest.mark.parametrize("kept", BOOKS, ids=lambda kept: kept.name.partition(".")[0])
def test_a_book_of_every_shape_opens_and_goes_on(kept: Path, tmp_path: Path) -> None:
    """Its entries are those that were written, it is sound, its job is shown, and work on it is recorded."""
    path = made_again(kept, tmp_path / "yard.book")
    connection = sqlite3.connect(path, isolation_level=None)
    before = connection.execute("select document, hash from ledger order by position").fetchall()
    connection.close()

    with open_workshop(path, clock=Clock("2031-04-02 08:00"), chance=Random(3)) as workshop:
        assert workshop.book.verify() == []
        texts = list(workshop.book.engine.texts("YARD", 1, len(before)))
        assert before == texts == [(text, hash_of(text)) for text, _ in texts]
        assert (len(before), "open") == (workshop.book.head().sequence, show_job(workshop, "1").state)
        do_step(workshop, "1", "bike-secured", "yes", "", Say("P-2"))
        assert workshop.book.verify() == []


def test_there_is_a_book_of_each_version_of_the_file() -> None:
    """Whoever adds a step keeps a book of before it: `python tests/ledgers/keep_book.py BOOK NAME`."""
    versions = {int(kept.name.partition(".")[0].partition("-")[0]) for kept in BOOKS}

    assert {1, *range(3, 7)} <= versions  # no program ever wrote the second alone
    assert max(versions) >= SCHEMA_VERSION - 1


def test_no_step_that_was_released_is_edited() -> None:
    """Books were made by it: who needs something else adds a step."""
    connection = sqlite3.connect(":memory:", isolation_level=None)
    run: list[str] = []
    db, digests = Database(connection), {}
    connection.set_trace_callback(run.append)
    for step in migrations.pending(db):
        run.clear()
        step.fn(db)
        own = [text for text in run if not text.startswith(BY_SQLITE_ITSELF)]
        digests[step.name] = sha256("\n".join(own).encode()).hexdigest()[:16]
    connection.close()

    assert RELEASED == digests
    assert SCHEMA_VERSION == len(digests)
