"""Writers stand in line before a book: whoever comes first writes first, and nobody leaves a place behind."""

import signal
import subprocess
import sys
import time
from _thread import interrupt_main
from collections.abc import Callable, Iterator
from contextlib import ExitStack
from pathlib import Path
from threading import Thread

import pytest

from torqueaudit.book.book import Book
from torqueaudit.book.errors import BookError
from torqueaudit.book.sqlite.connection import Connection
from torqueaudit.book.sqlite.turns import Turns
from torqueaudit.ledger.entry import Act, Draft, act_digest

WRITER = Path(__file__).parents[1] / "writer.py"


def line_of(path: Path) -> Path:
    """The file whose bytes are the places."""
    return path.with_name(path.name + "-turns")


def standing(path: Path) -> int:
    """How many stand in line, by the kernel's own table of locks (proc(5)): each has locked bytes of its own.

    Counted by their bytes, because the table names a lock twice when others come and go while it is read.
    """
    if not line_of(path).exists():
        return 0
    inode = line_of(path).stat().st_ino
    locks = [line.split() for line in Path("/proc/locks").read_text().splitlines()]
    return len({tuple(lock[6:]) for lock in locks if lock[1] == "OFDLCK" and lock[5].endswith(f":{inode}")})


def until_they_stand(path: Path, count: int) -> None:
    """Wait for so many in line."""
    end = time.monotonic() + 60
    while standing(path) != count:
        assert time.monotonic() < end
        time.sleep(0.005)


def program(path: Path, name: str) -> "subprocess.Popen[str]":
    """A program that writes one act."""
    command = [sys.executable, "-W", "error", str(WRITER), str(path), name, "0"]
    return subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True)


def note(book: Book, name: str) -> None:
    """One act."""
    act = Act(f"{name}-0", act_digest("note", "P-3", f"job/{name}", {}))
    book.append(act, [Draft(subject=f"job/{name}", kind="noted.1", happened_at=book.clock(), who="P-3", said={})], {})


def opened(book: Book, wait: float) -> Book:
    """The same book once more."""
    return Book.open(book.path, book.clock, book.chance, wait=wait, rows_of=lambda _subject, _entries: {})


def written(book: Book) -> list[str]:
    """Who wrote, in the ledger's order."""
    return [entry.id.partition("-")[0] for entry, _ in book.ledger() if "~" not in entry.id]


@pytest.fixture
def first(book: Book) -> Iterator[Turns]:
    """A place at the head of the line."""
    turns = Turns(book.path)
    assert 9 == turns.come(9)
    yield turns
    turns.close()


def test_whoever_comes_first_writes_first(book: Book, first: Turns) -> None:
    """Programs and threads alike, each in line before the next one comes."""
    names = ["5", "3", "6", "2", "4"]
    threads, programs = [], []
    for count, name in enumerate(names, start=2):
        if count % 2:
            threads.append(Thread(target=note, args=(book, name)))
            threads[-1].start()
        else:
            programs.append(program(book.path, name))
        until_they_stand(book.path, count)
    first.leave()
    for thread in threads:
        thread.join()
    ends = [each.communicate() for each in programs]

    assert [("1\n", "")] * 3 == ends
    assert names == written(book)


def test_a_killed_program_leaves_no_place_behind(book: Book) -> None:
    """Neither the first, who waits for SQLite's lock, nor one behind it; the third then writes."""
    book.engine.run("begin immediate")
    line_of(book.path).touch()
    with ExitStack() as ending:
        programs = []
        for count in (1, 2, 3):
            programs.append(ending.enter_context(program(book.path, str(count + 1))))
            until_they_stand(book.path, count)
        for killed in programs[:2]:
            killed.kill()
            killed.wait()
        until_they_stand(book.path, 1)
        book.engine.run("rollback")

        assert ("1\n", "") == programs[2].communicate()
    assert ["4"] == written(book)


def bring_up_to_date(book: Book) -> None:
    """Open it as an older one."""
    book.engine.run("pragma user_version = 0")
    opened(book, wait=30).close()


@pytest.mark.parametrize(
    "write",
    [
        lambda book: note(book, "2"),
        lambda book: book.forget("person/P-1"),
        Book.rebuild,
        bring_up_to_date,
    ],
    ids=["append", "forget", "rebuild", "migrate"],
)
def test_every_write_stands_in_line(book: Book, first: Turns, write: Callable[[Book], None]) -> None:
    """Though SQLite's lock is free."""
    thread = Thread(target=write, args=(book,))
    thread.start()
    until_they_stand(book.path, 2)
    first.leave()
    thread.join()

    assert 0 == standing(book.path)


@pytest.mark.usefixtures("first")
def test_one_that_was_stopped_in_line_holds_nobody_up_for_ever(book: Book) -> None:
    """After the wait the act goes on, and SQLite's lock alone decides."""
    with opened(book, wait=0.05) as other:
        note(other, "2")
        book.engine.run("begin immediate")
        with pytest.raises(BookError, match="is in use by another program; nothing was recorded"):
            note(other, "3")
        book.engine.run("rollback")

    assert ["2"] == written(book)


@pytest.fixture
def keyboard() -> Iterator[None]:
    """Ctrl-C interrupts, also where the tests were begun in the background, which ignores it."""
    before = signal.signal(signal.SIGINT, signal.default_int_handler)
    yield
    signal.signal(signal.SIGINT, before)


@pytest.mark.usefixtures("first", "keyboard")
def test_one_that_is_interrupted_leaves_the_line(book: Book) -> None:
    """As by the keyboard."""

    def interrupt() -> None:
        until_they_stand(book.path, 2)
        interrupt_main()

    thread = Thread(target=interrupt)
    thread.start()
    with pytest.raises(KeyboardInterrupt):
        note(book, "2")
    thread.join()

    until_they_stand(book.path, 1)


@pytest.mark.usefixtures("first")
def test_the_wait_in_line_is_a_part_of_the_wait(book: Book, connection_of: Callable[[Book], Connection]) -> None:
    """By what SQLite is told: whoever stood in line to the end of the wait tries once, and waits again next time."""
    told: list[str] = []
    with opened(book, wait=0.05) as other:
        connection_of(other).set_trace_callback(told.append)
        note(other, "2")

    assert ["pragma busy_timeout = 0", "begin immediate", "pragma busy_timeout = 50"] == told[:3]


def test_where_no_line_can_be_kept_the_book_is_written(book: Book) -> None:
    """A folder with the name of its file stands for all that may hinder it."""
    line_of(book.path).mkdir()
    with opened(book, wait=0.05) as other:
        note(other, "2")
        book.engine.run("begin immediate")
        with pytest.raises(BookError, match="is in use by another program; nothing was recorded"):
            note(other, "3")
        book.engine.run("rollback")

    assert ["2"] == written(book)


def test_the_last_to_close_removes_the_line(book: Book, first: Turns) -> None:
    """Not while somebody stands in it."""
    note_and_close = opened(book, wait=0.05)
    note(note_and_close, "2")
    note_and_close.close()
    kept = line_of(book.path).exists()
    first.close()

    assert kept
    assert not line_of(book.path).exists()


def test_a_line_that_was_removed_is_made_anew_for_all(book: Book, connection: Connection) -> None:
    """A program that keeps the book open notices, and both stand in one line."""
    with opened(book, wait=0.05) as other:
        note(book, "2")
        note(other, "3")
    gone = not line_of(book.path).exists()
    connection.turns.come(0)
    last = Turns(book.path)

    assert gone
    assert 0 == last.come(0.01)
    last.close()


@pytest.mark.usefixtures("first")
def test_whoever_opens_the_book_by_a_link_stands_in_the_same_line(book: Book, tmp_path: Path) -> None:
    """There is one file beside the book, and none beside the link."""
    link = tmp_path / "link" / "yard.book"
    link.parent.mkdir()
    link.symlink_to(book.path)
    other = Turns(link)

    assert 0 == other.come(0.01)
    assert [link] == list(link.parent.iterdir())
    other.close()


def test_whoever_may_write_the_book_may_stand_in_line(book: Book) -> None:
    """The file has the book's permissions."""
    book.path.chmod(0o664)
    note(book, "2")

    assert 0o664 == line_of(book.path).stat().st_mode & 0o777
