"""The recipes of docs/chain.md for a whole server: a base backup played on to a moment, a server that takes over."""

import os
import random
import shutil
import subprocess
import sys
import time
from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path

import pytest

from database import USER, Server, running
from torqueaudit.book.address import place_of
from torqueaudit.book.book import Book
from torqueaudit.ledger.entry import Act, Draft, act_digest

NOON = datetime(2031, 4, 2, 12, tzinfo=UTC)
WRITER = Path(__file__).parents[1] / "writer.py"
pytestmark = [
    pytest.mark.proof,
    pytest.mark.skipif("TORQUEAUDIT_PROOF" not in os.environ, reason="both wait for a server again and again"),
]


@pytest.fixture
def archived() -> Iterator[Server]:
    """A server that flushes and keeps every change since, in a folder beside its files."""
    copies = "archive_command=test ! -f ../wal/%f && cp %p ../wal/%f"
    with running(settings=("archive_mode=on", "wal_level=replica", copies)) as started:
        (started.folder / "wal").mkdir()
        started.own(started.folder / "wal")
        yield started


def opened(server: Server, name: str, folder: Path, *, new: bool = False) -> Book:
    """The book of YARD in a database of a server."""
    place = place_of(f"{server.address(name)}&site=YARD&beside={folder}")
    return (
        Book.new(place, "YARD", lambda: NOON, random.Random(1))
        if new
        else Book.open(place, lambda: NOON, random.Random(1))
    )


def note(book: Book, text: str) -> None:
    """Record one act."""
    act = Act(f"act-{text}", act_digest("note", "P-3", "job/1", {"text": text}))
    book.append(act, [Draft(subject="job/1", kind="noted.1", happened_at=NOON, who="P-3", said={"text": text})], {})


def test_a_base_backup_is_played_on_to_a_moment(archived: Server, tmp_path: Path) -> None:
    """The head of that moment holds; of what was recorded later nothing is there, which a later head tells."""
    server, name = archived, archived.database()
    with opened(server, name, tmp_path, new=True) as book:
        note(book, "before")
        server.run(
            "pg_basebackup",
            "--pgdata",
            str(server.folder / "base"),
            "--checkpoint",
            "fast",
            "--host",
            str(server.folder),
            "--username",
            USER,
        )
        note(book, "behind")
        then = book.head()
        time.sleep(1.1)  # the moment is told to the second
        moment = datetime.now(UTC)
        time.sleep(1.1)
        note(book, "later")
        later = book.head()
    server.say("select pg_switch_wal()")
    server.stop()
    shutil.rmtree(server.folder / "data")
    (server.folder / "base").rename(server.folder / "data")
    with (server.folder / "data" / "postgresql.auto.conf").open("a") as settings:
        settings.write("restore_command = 'cp ../wal/%f %p'\nrecovery_target_action = promote\n")
        settings.write(f"recovery_target_time = '{moment:%Y-%m-%d %H:%M:%S+00}'\n")
    signal = server.folder / "data" / "recovery.signal"
    signal.touch()
    server.own(signal)
    server.start()
    (tmp_path / "YARD.book.heads").unlink(missing_ok=True)
    with opened(server, name, tmp_path) as book:
        assert then == book.head()
        assert [] == book.verify(then)
        assert f"The ledger ends at entry {then.sequence}; the printed head knew entry {later.sequence}" in " ".join(
            book.verify(later)
        )


def test_a_second_server_takes_over_under_writers(tmp_path: Path) -> None:
    """Waited for before anything is acknowledged, it has all of it; the programs go on by themselves."""
    waiting = ("wal_level=replica", "synchronous_standby_names=*", "hot_standby=on")
    with running(settings=()) as first, running(settings=("wal_level=replica", "hot_standby=on")) as second:
        name = first.database()
        opened(first, name, tmp_path, new=True).close()
        second.stop()
        shutil.rmtree(second.folder / "data")
        second.run(
            "pg_basebackup",
            "--pgdata",
            str(second.folder / "data"),
            "--write-recovery-conf",
            "--host",
            str(first.folder),
            "--username",
            USER,
        )
        second.start()
        first.stop()
        first.settings = waiting
        first.start()
        both = f"postgresql://{USER}@/{name}?host={first.folder},{second.folder}&target_session_attrs=read-write"
        address = f"{both}&site=YARD&beside={tmp_path}"
        programs = [
            subprocess.Popen(
                [sys.executable, "-W", "error", WRITER, address, writer, "8"],
                stdout=subprocess.PIPE,
                stderr=subprocess.PIPE,
                text=True,
            )
            for writer in ("2", "3", "4")
        ]
        time.sleep(4)
        first.kill()
        second.run("pg_ctl", "promote", "--pgdata", str(second.folder / "data"))
        ends = [program.communicate(timeout=90) for program in programs]
        said = {
            f"{writer}-{act}{end}"
            for writer, (acts, _) in zip("234", ends, strict=True)
            for act in range(int(acts or 0))
            for end in ("", "~2")
        }

        assert ["", "", ""] == [errors for _, errors in ends]
        with Book.open(place_of(address), lambda: NOON, random.Random(1)) as book:
            assert sorted(said) == sorted(entry.id for entry, _ in book.ledger())
