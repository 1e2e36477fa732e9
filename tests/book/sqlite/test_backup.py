"""A backup is a whole book, made while others write, and goes over nothing."""

import random
import subprocess
import sys
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import TypeAlias

import pytest

from torqueaudit.book import heads
from torqueaudit.book.book import Book
from torqueaudit.book.errors import BookError
from torqueaudit.book.lists.upkeep import RowsOf
from torqueaudit.book.sqlite.newest import newest_in
from torqueaudit.ledger.entry import Entry, document_of

Say: TypeAlias = Callable[..., list[Entry]]
Tell: TypeAlias = Callable[[Book, str, Mapping[str, str]], None]


def test_a_backup_is_a_whole_book(book: Book, say: Say, tell: Tell, rows_of: RowsOf, tmp_path: Path) -> None:
    """One file without a log beside it, with the same head, lists and photos; the book goes on on its own."""
    say("job/1", times=3)
    tell(book, "person/P-1", {"name": "Edda Muster"})
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


def test_a_backup_is_read_by_nobody_else_than_the_book(book: Book, say: Say, tmp_path: Path) -> None:
    """The rights on the file are the lock on the door."""
    say()
    book.path.chmod(0o600)
    book.backup(tmp_path / "copy.book")

    assert 0o600 == (tmp_path / "copy.book").stat().st_mode & 0o777


def test_a_backup_gives_its_head_which_counts_as_told(book: Book, say: Say, tmp_path: Path) -> None:
    """It was read back from the copy; what is written meanwhile is not in it."""
    say("job/1", times=3)
    head = book.backup(tmp_path / "copy.book")
    say("job/1")

    assert (3, head) == (head.sequence, heads.newest(book.path))
    assert ["YARD/3/"] == [str(each.head)[:7] for each in heads.told(book.path)]


@pytest.mark.parametrize("there", ["copy.book", "copy-photos", "copy.book.papers", "copy.book.part"])
def test_a_backup_goes_over_nothing(book: Book, tmp_path: Path, there: str) -> None:
    """Whatever stands at the target stays, and nothing is left beside it."""
    folder = tmp_path / "backup"
    folder.mkdir()
    (folder / there).write_text("mine")

    with pytest.raises(BookError, match="is there already"):
        book.backup(folder / "copy.book")
    assert [there] == [file.name for file in folder.iterdir()]
    assert "mine" == (folder / there).read_text()


@pytest.mark.parametrize("there", ["copy-photos", "copy.book.papers", "copy.book.part"])
def test_a_backup_follows_no_link_that_leads_to_nothing(book: Book, tmp_path: Path, there: str) -> None:
    """A name that is taken is taken, and nothing is written where the link would lead."""
    folder = tmp_path / "backup"
    folder.mkdir()
    (folder / there).symlink_to(tmp_path / "away")

    with pytest.raises(BookError, match=f"{there} is there already"):
        book.backup(folder / "copy.book")
    assert ([there], False) == ([each.name for each in folder.iterdir()], (tmp_path / "away").exists())


def test_a_backup_over_the_folder_itself_is_refused(book: Book) -> None:
    """The dot is a place that is there."""
    with pytest.raises(BookError, match=r"^\. is there already; nothing was written over it"):
        book.backup(Path())


def test_a_backup_into_no_folder_is_refused(book: Book, tmp_path: Path) -> None:
    """One sentence."""
    with pytest.raises(BookError, match="is not there; make it first"):
        book.backup(tmp_path / "none" / "copy.book")


def test_what_a_killed_backup_left_stands_in_nobodys_way(book: Book, say: Say, rows_of: RowsOf, tmp_path: Path) -> None:
    """Half a file, its journal and half of the photos are taken away, and the backup is made."""
    say()
    copy = tmp_path / "copy.book"
    copy.with_name("copy.book.part").write_bytes(b"SQLite format 3\0 and no more")
    copy.with_name("copy.book.part-journal").write_bytes(b"half")
    copy.with_name("copy-photos").mkdir()
    (tmp_path / "copy-photos" / "half.jpg").write_bytes(b"half")
    book.backup(copy)

    assert ["copy.book"] == sorted(each.name for each in tmp_path.glob("copy*"))
    with Book.open(copy, book.clock, book.chance, rows_of=rows_of) as copied:
        assert [] == copied.verify()


def test_a_backup_that_is_being_made_is_left_alone(book: Book, say: Say, tmp_path: Path) -> None:
    """Another program holds the half-made file."""
    say()
    part = tmp_path / "copy.book.part"
    hold = f"import fcntl; f = open({str(part)!r}, 'wb'); fcntl.flock(f, fcntl.LOCK_EX); print(flush=True); input()"
    with subprocess.Popen([sys.executable, "-c", hold], stdin=subprocess.PIPE, stdout=subprocess.PIPE) as other:
        assert other.stdout is not None
        other.stdout.readline()
        with pytest.raises(BookError, match="is being made just now"):
            book.backup(tmp_path / "copy.book")
        other.communicate(b"\n")

    assert part.exists()
    assert 1 == book.backup(tmp_path / "copy.book").sequence


@pytest.mark.parametrize("large", ["book", "photo"])
def test_a_disk_that_does_not_take_the_backup_is_not_told_as_the_books(
    book: Book, say: Say, tmp_path: Path, large: str
) -> None:
    """The limit of the system on the size of a file stands for a disk that fails in the middle."""
    say()
    book.photos.mkdir()
    (book.photos / "large.jpg").write_bytes(bytes(5_000_000 if large == "photo" else 1))
    limit = 4_000_000 if large == "photo" else 20_000
    program = f"import resource; resource.setrlimit(resource.RLIMIT_FSIZE, ({limit}, {limit}));{BACK_UP}"
    command: list[str | Path] = [sys.executable, "-c", program, book.path, tmp_path / "copy.book"]
    done = subprocess.run(command, capture_output=True, text=True, check=False)

    assert f"The disk that holds {tmp_path / 'copy.book'} does not take it" in done.stdout
    assert "no backup was made, and the book is as it was." in done.stdout
    assert [] == list(tmp_path.glob("copy*"))
    assert [] == book.verify()


def test_a_damaged_book_is_not_backed_up(book: Book, say: Say, tmp_path: Path) -> None:
    """A copy of it would be trusted."""
    say(text="one")
    say(text="two")
    book.close()
    book.path.write_bytes(book.path.read_bytes().replace(b'"text":"one"', b'"text":"two"'))
    with (
        Book.open(book.path, book.clock, book.chance) as damaged,
        pytest.raises(BookError, match="Entry 1 was altered"),
    ):
        damaged.backup(tmp_path / "copy.book")

    assert [] == list(tmp_path.glob("copy*"))


def test_a_book_of_which_a_text_is_nothing_ends_in_a_sentence(book: Book, say: Say, tmp_path: Path) -> None:
    """It counts among its hash on the disk: nobody reads how far such a book goes, and it is not backed up."""
    long = say(text="x" * 300)[0]
    book.close()
    text = document_of(long).encode()
    # A record's header: its own length, the position (nothing: kept elsewhere), then of each text what it is long.
    sound, spoilt = (bytes((6, 0)) + in_record(len(text)) + in_record(64), bytes((6, 0, 0x80, 0)))
    content = book.path.read_bytes()
    assert 1 == content.count(sound + text)
    book.path.write_bytes(content.replace(sound, spoilt + in_record(len(text) + 64)))
    with (
        Book.open(book.path, book.clock, book.chance) as damaged,
        pytest.raises(BookError, match="Entry 1 was altered"),
    ):
        damaged.backup(tmp_path / "copy.book")

    assert None is newest_in(book.path, tmp_path)


def in_record(length: int) -> bytes:
    """What a record says of a text this long (https://www.sqlite.org/fileformat.html, section 2.1; from memory)."""
    number = 2 * length + 13
    return bytes((0x80 | number >> 7, number & 0x7F))


BACK_UP = """
import random, sys
from datetime import UTC, datetime
from pathlib import Path
from torqueaudit.book.book import Book
from torqueaudit.book.errors import BookError
with Book.open(Path(sys.argv[1]), lambda: datetime.now(UTC), random.Random(1)) as book:
    try:
        print(book.backup(Path(sys.argv[2])))
    except BookError as error:
        print(error)
"""
