"""A verification that is shared out: what a process says is believed where it found its share sound, and else not."""

import os
import signal
import subprocess
import sys
from contextlib import suppress
from pathlib import Path

import pytest

from torqueaudit.book.shares import MOST, SHARED_FROM, Share, processes_for, shared_out
from torqueaudit.ledger.chain import Head
from torqueaudit.model.act import Say
from torqueaudit.testing import play
from torqueaudit.workshop.door.workshop import Workshop
from torqueaudit.workshop.vehicles.vehicle import add_vehicle

ALLOWED = len(os.sched_getaffinity(0)) if sys.platform == "linux" else os.cpu_count() or 1
CARD = """
2031-04-02 10:00 job 1 opened axle on V-1 at 12000 km by P-2
2031-04-02 10:05 rear-axle-nut 100 N·m with W-1 by P-2
2031-04-02 10:06 rear-axle-nut loosened: somebody wanted to see it by P-2
"""
MADE = {"jobs": "state", "wrenches": "state", "people": "roles", "vehicles": "tag"}


@pytest.fixture
def played(workshop: Workshop) -> Workshop:
    """A book with a job and some vehicles."""
    play(workshop, CARD)
    for number in range(9):
        add_vehicle(workshop, f"Kestrel 500, number {number}", "Kestrel 500", 2030, {}, Say("P-1"))
    return workshop


def sound(workshop: Workshop, of: int) -> list[bool]:
    """What each share of so many says, in this process."""
    return [workshop.book.is_sound_in(Share(nth, of, workshop.book.head())) for nth in range(of)]


def change(workshop: Workshop, sql: str, *values: str) -> None:
    """Change the lists behind the program's back."""
    with workshop.book.engine.writing():
        workshop.book.engine.run(sql, values)


@pytest.mark.parametrize("of", [1, 2, 3, 7, 100])
def test_each_subject_is_in_one_share(played: Workshop, of: int) -> None:
    """However many there are: where the list differs on it, one of them is not sound, and else all are."""
    before = sound(played, of)
    for table, column in MADE.items():
        for subject, value in played.book.rows(f"select subject, {column} from {table}"):  # noqa: S608
            told = f"update {table} set {column} = ? where subject = ?"  # noqa: S608
            change(played, told, "else", subject)
            assert 1 == sound(played, of).count(False), subject
            change(played, told, value, subject)

    assert [True] * of == before == sound(played, of)


@pytest.mark.parametrize("of", [1, 2, 3, 7])
def test_each_entry_is_in_one_share(played: Workshop, of: int) -> None:
    """An entry whose text was changed is found by the share that has it, or by the share of its subject."""
    rows = played.book.rows("select position, document from ledger")
    guards = played.book.rows("select name, sql from sqlite_schema where type = 'trigger' and tbl_name = 'ledger'")
    for name, _ in guards:
        change(played, f"drop trigger {name}")
    for position, document in rows:
        told = "update ledger set document = ? where position = cast(? as integer)"
        change(played, told, document.replace("2031", "2032"), str(position))
        found = sound(played, of)
        change(played, told, document, str(position))
        assert not found[next(nth for nth in range(of) if position <= len(rows) * (nth + 1) // of)], position

    assert all(sound(played, of))


def test_processes_find_a_sound_book_sound(played: Workshop) -> None:
    """Each its share; so the whole is found sound with them."""
    with shared_out(played.book.path, played.book.head(), 3) as all_sound:
        assert all_sound()
    assert [] == played.book.verify(processes=3)


def test_where_a_process_finds_something_it_is_told_as_if_there_were_none(played: Workshop) -> None:
    """In the same words; here of a row that no share has, and of one that is in a share."""
    change(played, "insert into vehicles (subject, tag) values ('vehicle/V-99', 'forged')")
    stray = played.book.verify(processes=3)
    change(played, "update jobs set state = 'else'")
    with shared_out(played.book.path, played.book.head(), 3) as all_sound:
        assert not all_sound()

    assert ["The list vehicles holds vehicle/V-99, which the ledger does not know; rebuild the lists."] == stray
    assert played.book.verify(processes=1) == played.book.verify(processes=3)
    assert 2 == len(played.book.verify(processes=3))


@pytest.mark.skipif(sys.platform != "linux", reason="children are found as Linux tells them")
def test_a_process_that_is_killed_has_found_nothing_sound(played: Workshop) -> None:
    """This program looks at everything itself then."""
    with shared_out(played.book.path, played.book.head(), 2) as all_sound:
        children = Path(f"/proc/self/task/{os.getpid()}/children").read_text().split()
        for child in children:
            with suppress(ProcessLookupError):
                os.kill(int(child), signal.SIGKILL)
        assert not all_sound()


def test_a_book_that_moved_on_is_not_found_sound(played: Workshop) -> None:
    """Nor one that is not there."""
    head = played.book.head()
    add_vehicle(played, "Kestrel 500, one more", "Kestrel 500", 2030, {}, Say("P-1"))

    for place, known in ((played.book.path, head), (played.book.path.with_name("none.book"), played.book.head())):
        with shared_out(place, known, 2) as all_sound:
            assert not all_sound()


def test_a_process_says_nothing_but_that_its_share_is_sound(played: Workshop) -> None:
    """And which: an answer of another process is none of its own."""
    head = played.book.head()
    command = [sys.executable, "-m", "torqueaudit.book.share", str(played.book.path), "0", "2", str(head)]
    whole = subprocess.run(command, capture_output=True, text=True, check=True)
    change(played, "update jobs set state = 'else'")
    change(played, "update vehicles set tag = 'else'")
    changed = subprocess.run(command, capture_output=True, text=True, check=True)

    assert (f"sound: share 0 of 2 up to {head}\n", "") == (whole.stdout, changed.stdout)


@pytest.mark.parametrize(("entries", "many"), [(0, 1), (SHARED_FROM - 1, 1), (SHARED_FROM, min(ALLOWED, MOST))])
def test_a_small_book_is_looked_at_by_one_process(entries: int, many: int) -> None:
    """Another one would begin no sooner than all is done."""
    assert many == processes_for(entries)


def test_a_head_is_handed_over_as_it_is(played: Workshop) -> None:
    """A share without the book's own head is sound nowhere."""
    head = played.book.head()
    other = Head(head.site, head.sequence, "0" * 64)

    assert (True, False) == tuple(played.book.is_sound_in(Share(0, 1, each)) for each in (head, other))
