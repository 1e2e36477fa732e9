"""One file under two names: a symbolic link is followed, and what would give each name its own log is refused."""

import subprocess
import sys
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import TypeAlias

import pytest

from torqueaudit.book import heads
from torqueaudit.book.book import Book
from torqueaudit.book.errors import BookError
from torqueaudit.book.lists.upkeep import RowsOf
from torqueaudit.ledger.entry import Entry

Say: TypeAlias = Callable[..., list[Entry]]
OpenedAs: TypeAlias = Callable[[Path], Book]
WRITER = Path(__file__).parents[1] / "writer.py"
OPENS = Path(__file__).with_name("opens.py")


@pytest.fixture
def opened_as(book: Book, rows_of: RowsOf) -> Iterator[OpenedAs]:
    """Open the book under another name."""
    opened: list[Book] = []

    def open_(path: Path) -> Book:
        opened.append(Book.open(path, book.clock, book.chance, rows_of=rows_of))
        return opened[-1]

    yield open_
    for each in opened:
        each.close()


def test_a_symbolic_link_leads_to_the_book_and_all_that_lies_beside_it(
    book: Book, say: Say, opened_as: OpenedAs, tmp_path: Path
) -> None:
    """Log, line of writers, heads, photos and papers are those of the file itself; nothing is made beside the link."""
    say()
    (tmp_path / "elsewhere").mkdir()
    (tmp_path / "elsewhere" / "twice.book").symlink_to("yard.link")
    (tmp_path / "elsewhere" / "yard.link").symlink_to(book.path)
    other = opened_as(tmp_path / "elsewhere" / "twice.book")
    say()

    assert (book.path, book.photos) == (other.path, other.photos)
    assert book.head() == other.tell_head() == heads.newest(book.path)
    assert ["twice.book", "yard.link"] == sorted(each.name for each in (tmp_path / "elsewhere").iterdir())


def test_two_writers_of_whom_one_has_a_link_lose_nothing(book: Book, tmp_path: Path) -> None:
    """Two programs for a second: every act that either counts as recorded is there, and the book is sound."""
    (tmp_path / "away").mkdir()
    link = tmp_path / "away" / "yard.book"
    link.symlink_to(book.path)
    book.close()
    writers = [
        subprocess.Popen([sys.executable, WRITER, path, name, "1"], stdout=subprocess.PIPE)
        for path, name in ((book.path, "A"), (link, "B"))
    ]
    acts = [int(each.communicate()[0]) for each in writers]

    with Book.open(link, book.clock, book.chance, rows_of=lambda _subject, _entries: {}) as after:
        assert [] == after.verify()
        assert 2 * sum(acts) == after.head().sequence
        assert min(acts) > 1


def test_a_hard_link_is_refused_under_both_names(book: Book, opened_as: OpenedAs, tmp_path: Path) -> None:
    """Until one of the names is gone."""
    book.close()
    other = tmp_path / "other.book"
    other.hardlink_to(book.path)

    for path in (book.path, other):
        with pytest.raises(BookError, match="one file under several names"):
            opened_as(path)
    other.unlink()
    assert [] == opened_as(book.path).verify()


def test_a_book_whose_making_was_killed_between_two_names_opens(book: Book, opened_as: OpenedAs) -> None:
    """The name that it had while it was made is taken away."""
    book.close()
    half = book.path.with_name(f"{book.path.name}.new-7-1")
    half.hardlink_to(book.path)

    assert [] == opened_as(book.path).verify()
    assert not half.exists()


def test_a_folder_that_is_bound_elsewhere_is_fine_and_a_bound_file_is_not(book: Book, tmp_path: Path) -> None:
    """A file that is mounted alone has its log beside the mount point, where nobody else looks for it."""
    book.close()
    (tmp_path / "folder").mkdir()
    (tmp_path / "single").mkdir()
    (tmp_path / "single" / "yard.book").touch()

    assert "sound" == opened_behind(f"mount --bind {tmp_path} folder", tmp_path, "folder/yard.book")
    says = opened_behind("mount --bind yard.book single/yard.book", tmp_path, "single/yard.book")
    assert "(mounted alone)" in says


def test_a_link_into_a_share_is_known_for_one(book: Book, tmp_path: Path) -> None:
    """What counts is where the file lies, and not where its link does."""
    book.close()
    share = tmp_path / "share"
    share.mkdir()
    (tmp_path / "yard.link").symlink_to(share / "yard.book")
    book.path.rename(share / "yard.book")
    (tmp_path / "mounts").write_text(f"27 1 254:0 / / rw - ext4 /dev/vda rw\n28 27 0:9 / {share} rw - cifs //h/s rw\n")

    assert "sound" == opened_behind("true", tmp_path, "yard.link")
    says = opened_behind("mount --bind mounts /proc/$$/mountinfo", tmp_path, "yard.link")
    assert f"{share} is a network share (cifs)" in says


def opened_behind(mount: str, folder: Path, book: str) -> str:
    """What a program says of a book behind a mount that is gone with it."""
    program = f"{mount} && exec {sys.executable} {OPENS} {book}"
    done = subprocess.run(["unshare", "--mount", "sh", "-c", program], cwd=folder, capture_output=True, check=False)
    if done.returncode:
        pytest.skip(f"nothing can be mounted here: {done.stderr.decode()}")
    return done.stdout.decode().strip()
