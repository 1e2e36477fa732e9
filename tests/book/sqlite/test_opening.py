"""Making and opening a book, and every file and disk it is refused on: one sentence, and nothing lost."""

import os
import random
import signal
import subprocess
import sys
from datetime import UTC, datetime
from pathlib import Path

import pytest

from torqueaudit.book.book import Book
from torqueaudit.book.errors import BookError
from torqueaudit.book.sqlite.connection import journal_mode, sqlite3, survives_wal_reset
from torqueaudit.ledger.entry import Act, Draft, act_digest

NOW = datetime(2031, 4, 2, 9, tzinfo=UTC)


def opened(path: Path, reserve: int = 0) -> Book:
    """The book at this path."""
    return Book.open(path, lambda: NOW, random.Random(1), reserve=reserve, rows_of=lambda _subject, _entries: {})


def note(book: Book) -> None:
    """Append one entry."""
    said = {"text": "x" * 1000}
    act = Act(f"A{book.head().sequence}", act_digest("note", "P-3", "job/1", said))
    book.append(act, [Draft(subject="job/1", kind="noted.1", happened_at=NOW, who="P-3", said=said)], {})


def note_often(book: Book) -> None:
    """Append until it is refused, at most a hundred times."""
    for _ in range(100):
        note(book)


def test_a_book_is_set_up_as_designed(book: Book) -> None:
    """Every pragma as a connection has it."""
    names = ["foreign_keys", "recursive_triggers", "secure_delete", "synchronous", "cache_size", "busy_timeout"]
    actual = [book.rows(f"pragma {name}")[0][0] for name in [*names, "soft_heap_limit"]]

    assert [1, 1, 1, 2, -65536, 30_000, 96 * 2**20] == actual
    assert "YARD" == book.site
    assert book.path.with_name("yard-photos") == book.photos
    assert journal_mode(sqlite3.sqlite_version_info[:3]) == book.rows("pragma journal_mode")[0][0]


@pytest.mark.parametrize(
    ("version", "fixed"),
    [
        ((3, 40, 1), False),
        ((3, 44, 5), False),
        ((3, 44, 6), True),
        ((3, 45, 0), False),
        ((3, 50, 6), False),
        ((3, 50, 7), True),
        ((3, 51, 2), False),
        ((3, 51, 3), True),
        ((3, 53, 0), True),
    ],
)
def test_the_write_ahead_log_is_used_only_where_it_is_safe(version: tuple[int, int, int], fixed: bool) -> None:  # noqa: FBT001
    """Outside check: the WAL-reset bug is fixed in SQLite 3.51.3, 3.50.7 and 3.44.6 (sqlite.org/wal.html)."""
    assert fixed == survives_wal_reset(version)
    assert ("wal" if fixed else "truncate") == journal_mode(version)


def test_opening_a_present_book_does_not_load_sqlite_utils(book: Book) -> None:
    """It costs more than all the rest of a short command."""
    program = (
        "import sys, random, pathlib; from datetime import UTC, datetime; from torqueaudit.book.book import Book\n"
        "Book.open(pathlib.Path(sys.argv[1]), lambda: datetime.now(UTC), random.Random()).close()\n"
        "sys.exit('sqlite_utils' in sys.modules)"
    )
    subprocess.run([sys.executable, "-W", "error", "-c", program, str(book.path)], check=True)


def test_a_missing_file_a_folder_and_no_file_are_told_apart(tmp_path: Path) -> None:
    """Three mistakes, three sentences."""
    os.mkfifo(tmp_path / "pipe")
    for name, says in [(".", "is a folder, not a book"), ("none", "There is no book at"), ("pipe", "is not a file")]:
        with pytest.raises(BookError, match=says):
            opened(tmp_path / name)


@pytest.mark.parametrize("content", [b"", b"plain text, and quite a lot of it " * 100])
def test_a_file_that_is_no_book_is_left_as_it_is(tmp_path: Path, content: bytes) -> None:
    """Empty or something else."""
    file = tmp_path / "other"
    file.write_bytes(content)

    with pytest.raises(BookError, match="is not a book"):
        opened(file)
    assert content == file.read_bytes()


@pytest.mark.parametrize("beside", ["yard.book.heads", "yard.book.seals", "yard.book.papers"])
def test_a_book_without_its_header_may_be_a_damaged_one(book: Book, beside: str) -> None:
    """What lies beside it tells, and so nobody throws away what can be read out of it."""
    note(book)
    book.close()
    book.path.write_bytes(bytes(4096) + book.path.read_bytes()[4096:])
    with pytest.raises(BookError, match="is not a book; give the file of a book"):
        opened(book.path)
    book.path.with_name(beside).mkdir()

    with pytest.raises(BookError, match=f"or one that is damaged, for {beside} lies beside it; keep it as it is"):
        opened(book.path)


def test_somebody_elses_sqlite_file_is_left_as_it_is(tmp_path: Path) -> None:
    """Not even its journal mode is changed."""
    file = tmp_path / "other.db"
    other = sqlite3.connect(file)
    other.execute("create table t (a)")
    other.close()
    before = file.read_bytes()

    with pytest.raises(BookError, match="is not a book"):
        opened(file)
    assert before == file.read_bytes()


def test_a_read_only_book_is_refused(book: Book) -> None:
    """Also for whoever could write it all the same, such as root."""
    book.close()
    book.path.chmod(0o444)

    with pytest.raises(BookError, match="may only be read"):
        opened(book.path)


def test_a_book_of_a_newer_program_is_refused(book: Book) -> None:
    """Its lists may hold what this program does not know."""
    book.engine.run("pragma user_version = 99")

    with pytest.raises(BookError, match="newer torqueaudit"):
        opened(book.path)


def test_a_damaged_book_is_told_and_not_made_worse(book: Book) -> None:
    """Zeros over its second half."""
    book.close()
    content = book.path.read_bytes()
    book.path.write_bytes(content[:4096] + b"\x55" * (len(content) - 4096))

    with pytest.raises(BookError, match="is damaged; keep it as it is"), opened(book.path) as damaged:
        list(damaged.subjects())


def test_a_new_book_goes_over_nothing(book: Book, tmp_path: Path) -> None:
    """Neither over a book nor into a folder that is not there; a wrong site leaves no file."""
    for path, site, says in [
        (book.path, "YARD", "is there already"),
        (tmp_path / "no" / "b.book", "YARD", "is not there"),
        (tmp_path / "b.book", "my yard", "cannot be a site's name"),
    ]:
        with pytest.raises(BookError, match=says):
            Book.new(path, site, book.clock, book.chance)
    assert not (tmp_path / "b.book").exists()


def test_a_program_killed_while_it_makes_a_book_blocks_no_other(tmp_path: Path) -> None:
    """The system ends it as soon as its file grows beyond a few pages; the next one makes the book."""
    path = tmp_path / "fresh.book"
    program = (
        "import random, resource, signal, sys; from datetime import UTC, datetime; from pathlib import Path\n"
        "from torqueaudit.book.book import Book\n"
        "signal.signal(signal.SIGXFSZ, signal.SIG_DFL); resource.setrlimit(resource.RLIMIT_FSIZE, (60000, 60000))\n"
        "Book.new(Path(sys.argv[1]), 'YARD', lambda: datetime.now(UTC), random.Random())\n"
    )
    died = subprocess.run([sys.executable, "-c", program, path], capture_output=True, check=False)
    begun = [each.name for each in tmp_path.iterdir()]

    with Book.new(path, "YARD", lambda: NOW, random.Random(1)) as book:
        assert [] == book.verify()
    assert -signal.SIGXFSZ == died.returncode
    assert begun
    assert path.name not in begun


def test_nothing_is_written_below_the_reserve(book: Book) -> None:
    """A reserve larger than any disk stands for a full one."""
    with opened(book.path, reserve=2**62) as full:
        with pytest.raises(BookError, match="must stay free; nothing was recorded"):
            note(full)
        with pytest.raises(BookError, match="must stay free"):
            full.rebuild()
        assert 0 == full.head().sequence


def test_a_full_disk_loses_nothing(book: Book) -> None:
    """SQLite's own limit on pages stands for a disk that fills while an act is written."""
    with opened(book.path) as full:
        pages = full.rows("pragma page_count")[0][0]
        full.engine.run(f"pragma max_page_count = {pages + 2}")
        with pytest.raises(BookError, match="is full; nothing was recorded"):
            note_often(full)
        full.engine.run("pragma max_page_count = 1000000")
        reached = full.head().sequence
        assert [] == full.verify()
        note(full)
        assert reached + 1 == full.head().sequence


def test_a_full_disk_is_read_all_the_same(book: Book, path: Path) -> None:
    """A limit on the size of files stands for it: nothing grows. What is told then is refused."""
    note(book)
    book.close()
    program = (
        "import random, resource, sys; from datetime import UTC, datetime; from pathlib import Path\n"
        "from torqueaudit.book.book import Book; from torqueaudit.book.errors import BookError\n"
        "from torqueaudit.ledger.entry import Act, Draft\n"
        "resource.setrlimit(resource.RLIMIT_FSIZE, (1000, 1000))\n"
        "with Book.open(Path(sys.argv[1]), lambda: datetime.now(UTC), random.Random()) as book:\n"
        "    print(book.head().sequence, len(book.entries('job/1')))\n"
        "    told = Draft('person/P-1', 'told.1', book.clock(), 'P-3', {})\n"
        "    try: book.append(Act('A', 'ab' * 32), [told], {}, personal={'person/P-1': {'name': 'x'}})\n"
        "    except BookError as error: print('nothing was recorded' in str(error))\n"
    )
    read = subprocess.run([sys.executable, "-c", program, path], capture_output=True, text=True, check=False)

    assert ("1 1\nTrue\n", "") == (read.stdout, read.stderr)
    with opened(path) as after:
        assert (1, {}) == (after.head().sequence, after.personal_of("person/P-1"))


def test_a_book_in_use_is_told(book: Book) -> None:
    """After the wait, one sentence."""
    book.engine.run("begin immediate")
    other = Book.open(book.path, book.clock, book.chance, wait=0.05, rows_of=lambda _subject, _entries: {})
    with other, pytest.raises(BookError, match="is in use by another program"):
        note(other)
    book.engine.run("rollback")
