"""The server is killed while several programs write: nothing acknowledged is lost or doubled, and all go on."""

import os
import random
import subprocess
import sys
import time
from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path

import pytest

from database import Server, running
from torqueaudit.book.address import place_of
from torqueaudit.book.book import Book

WRITER = Path(__file__).parents[1] / "writer.py"
KILLS = 50 if "TORQUEAUDIT_PROOF" in os.environ else 3
WRITERS = ("2", "3", "4", "5")


@pytest.fixture
def flushing() -> Iterator[Server]:
    """A server that flushes what it says is written, as every one does that somebody relies on."""
    with running(settings=()) as started:
        yield started


@pytest.mark.proof
def test_the_server_is_killed_under_four_writers(flushing: Server, tmp_path: Path) -> None:
    """Three times, and 50 times in proof, at moments drawn by lot."""
    address = f"{flushing.address(flushing.database())}&site=YARD&beside={tmp_path}"
    Book.new(place_of(address), "YARD", lambda: datetime.now(UTC), random.Random(1)).close()
    chance = random.Random(7)
    seconds = KILLS * 2.0
    programs = [
        subprocess.Popen(
            [sys.executable, "-W", "error", WRITER, address, name, str(seconds)],
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
            text=True,
        )
        for name in WRITERS
    ]
    with Book.open(place_of(address), lambda: datetime.now(UTC), random.Random(1)) as book:
        while not all(book.first_entry(f"job/{name}") for name in WRITERS):  # until each of them has begun
            time.sleep(0.1)
    for _ in range(KILLS):
        time.sleep(chance.uniform(0.4, 1.4))
        flushing.kill()
        flushing.start()
    ends = [program.communicate(timeout=seconds + 60) for program in programs]
    said = {
        f"{name}-{act}{end}"
        for name, (acts, _) in zip(WRITERS, ends, strict=True)
        for act in range(int(acts or 0))
        for end in ("", "~2")
    }

    assert ["", "", "", ""] == [errors for _, errors in ends]
    with Book.open(place_of(address), lambda: datetime.now(UTC), random.Random(1)) as book:
        ids = [entry.id for entry, _ in book.ledger()]
        assert sorted(said) == sorted(ids)
        assert [] == [fault for fault in book.verify() if "list" not in fault]
