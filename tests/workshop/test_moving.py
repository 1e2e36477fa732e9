"""A book is moved from its file into a database, and back: the same entries and answers, and one of them is open."""

import os
import subprocess
import sys
from collections.abc import Callable, Iterator
from contextlib import suppress
from datetime import UTC, datetime
from pathlib import Path
from random import Random
from typing import TYPE_CHECKING, Any, NamedTuple

import pytest

from torqueaudit.book.address import Place, place_of
from torqueaudit.book.book import Book
from torqueaudit.book.copies.moving import copied, move
from torqueaudit.book.engine import ALL, FINDS, PERSONAL_FINDS
from torqueaudit.book.errors import BookError
from torqueaudit.book.lists.upkeep import LISTS
from torqueaudit.book.personal import every_row
from torqueaudit.book.signing import SIGNING
from torqueaudit.book.sqlite.connection import sqlite3
from torqueaudit.book.words import rows_after
from torqueaudit.ledger.chain import Head
from torqueaudit.model.act import Say
from torqueaudit.testing import Clock, play
from torqueaudit.workshop.door.words import erase_words
from torqueaudit.workshop.opening import open_workshop
from torqueaudit.workshop.register.settings import settle
from torqueaudit.workshop.signing.devices import admit, invite
from torqueaudit.workshop.signing.pins import set_pin

if TYPE_CHECKING:
    from database import Server

KILLED = Path(__file__).with_name("killed_move.py")
EVERY = 1 if "TORQUEAUDIT_PROOF" in os.environ else 17  # of so many calls the program dies at one
CARD = """
2031-04-02 10:00 job 1 opened axle on V-1 at 12000 km by P-2
2031-04-02 10:05 rear-axle-nut 100 N·m with W-1 by P-2
2031-04-02 10:06 rear-axle-nut loosened: “the owner” wanted to see it by P-2
2031-04-02 10:09 rear-axle-nut 100 N·m with W-1 by P-2
2031-04-02 10:10 rear-axle-nut loosened: a line and half of it by P-2
"""
NOW = datetime(2031, 4, 3, 9, tzinfo=UTC)


class Chain(NamedTuple):
    """The address of a chain's database, and of the site's book in it."""

    address: str
    site: Place


@pytest.fixture
def chain(server: "Server", tmp_path: Path) -> Chain:
    """A new database."""
    address = f"{server.address(server.database())}&beside={tmp_path / 'beside'}"
    return Chain(address, place_of(f"{address}&site=YARD"))


@pytest.fixture
def written(book_file: Path, clock: Clock) -> Path:
    """A book with a job, words that stand and words that are erased, a photo, a PIN, a device."""
    with open_workshop(book_file, clock=clock, chance=Random(11)) as workshop:
        play(workshop, CARD)
        erase_words(workshop, [workshop.book.with_words()[0]], "it named the owner", Say("P-1"))
        set_pin(workshop, Say("setup"), "P-1", "314159")
        admit(workshop, invite(workshop, Say("P-1"), "tablet").code)
        workshop.book.photos.mkdir()
        (workshop.book.photos / "a.jpg").write_bytes(b"picture")
    return book_file


def means() -> tuple[Callable[[], datetime], Random]:
    """The clock and the chance of whoever moves it."""
    return lambda: NOW, Random(1)


def content(place: Place) -> dict[str, Any]:
    """Everything that a book holds and answers."""
    with Book.open(place, *means()) as book:
        tables = {}
        for table in (*LISTS, *SIGNING, "outbox", "disclosures"):
            columns = ", ".join(f'"{column}"' for column in book.engine.columns(table))
            tables[table] = sorted(map(repr, book.rows(f"select {columns} from {table}")))  # noqa: S608 of our own
        return {
            "head": book.head(),
            "documents": list(book.documents()),
            "words": list(rows_after(book.engine, 0)),
            "personal": list(every_row(book.engine)),
            "tables": tables,
            "found": [book.found(table, "yard", ALL, 9) for table in (FINDS, PERSONAL_FINDS)],
            "photo": (book.photos / "a.jpg").read_bytes(),
            "verified": [each for each in book.verify() if "photo" not in each],
        }


def test_there_and_back(written: Path, chain: Chain) -> None:
    """Nothing of it is another one; the place that was left is closed each time."""
    before = content(written)
    there = move(written, place_of(chain.address), *means())
    in_database = content(chain.site)
    with pytest.raises(BookError, match="There is no book at"):
        content(written)
    back = move(chain.site, written, *means())

    assert before == in_database == content(written)
    assert before["head"] == there.head == back.head
    assert there.aside is not None
    assert (there.aside / written.name).is_file()
    with pytest.raises(BookError, match=f"was moved from .* to {written}"):
        content(chain.site)


def test_work_goes_on_where_it_is(written: Path, chain: Chain, clock: Clock) -> None:
    """An act in the database stands on what came from the file, and comes along when it is moved back."""
    move(written, place_of(chain.address), *means())
    with open_workshop(chain.site, clock=clock, chance=Random(12)) as workshop:
        play(workshop, "2031-04-02 10:20 rear-axle-nut 100 N·m with W-1 by P-2")
        head = workshop.book.head()
    move(chain.site, written, *means())
    with open_workshop(written, clock=clock, chance=Random(13)) as workshop:
        assert head == workshop.book.head()
        assert [] == [each for each in workshop.book.verify() if "photo" not in each]


def test_whoever_has_it_open_is_not_left_behind(written: Path, chain: Chain) -> None:
    """As a server of the pages has, whose acts would be lost."""
    holds = subprocess.Popen(
        [sys.executable, "-c", f"import time; opened = open({str(written)!r}); print(1, flush=True); time.sleep(60)"],
        stdout=subprocess.PIPE,
    )
    with holds:
        assert holds.stdout is not None
        holds.stdout.readline()
        with pytest.raises(BookError, match="is open in another program; stop that one first"):
            move(written, place_of(chain.address), *means())
        holds.kill()

    with pytest.raises(BookError, match="There is no book"):
        content(chain.site)


def test_another_book_is_not_written_over(written: Path, chain: Chain, tmp_path: Path) -> None:
    """Neither in a database nor in a file; nor does a book move to where it cannot."""
    Book.new(chain.site, "YARD", *means()).close()
    with open_workshop(chain.site) as workshop:
        settle(workshop, {"zone": "UTC"}, Say("setup"))
    with pytest.raises(BookError, match="There is another book of YARD at"):
        move(written, place_of(chain.address), *means())
    with pytest.raises(BookError, match="There is another book of YARD at"):
        move(chain.site, written, *means())
    with pytest.raises(BookError, match="of the same kind"):
        move(written, tmp_path / "other.book", *means())
    with pytest.raises(BookError, match="There is no book at"):
        move(tmp_path / "none.book", place_of(chain.address), *means())

    assert content(written)["head"].sequence


def test_a_damaged_book_stays_where_it_is(written: Path, chain: Chain) -> None:
    """What is wrong with it is said, and nothing of it is in the database."""
    connection = sqlite3.connect(written, isolation_level=None)
    connection.execute("update words set text = 'altered' where text is not null")
    connection.close()
    with pytest.raises(BookError, match="makes no sound book"):
        move(written, place_of(chain.address), *means())
    with pytest.raises(BookError, match="There is no book of YARD"):
        content(chain.site)

    assert written.is_file()


def test_a_copy_in_a_file_is_made_while_others_write(written: Path, chain: Chain, tmp_path: Path) -> None:
    """A whole book, which can be opened as it is."""
    move(written, place_of(chain.address), *means())
    expected = content(chain.site)
    with Book.open(chain.site, *means()) as book:
        head = copied(book, tmp_path / "copy.book", *means())

    assert expected["head"] == head
    assert expected == content(tmp_path / "copy.book")


def heads(*places: Place) -> Iterator[Head]:
    """The head of each of these books that can be opened and in which anything is recorded."""
    for place in places:
        with suppress(BookError), Book.open(place, *means()) as book:
            if (head := book.head()).sequence:
                yield head


@pytest.mark.proof
@pytest.mark.parametrize("back", [False, True], ids=["there", "back"])
def test_killed_anywhere_it_is_done_again(written: Path, chain: Chain, back: bool) -> None:  # noqa: FBT001 a parameter
    """At one of seventeen of the calls that write a file, at each in proof: the next run moves a whole book."""
    head = next(heads(written))
    if back:
        move(written, place_of(chain.address), *means())
    place, to = (chain.site, written) if back else (written, chain.site)
    named = [str(each) if isinstance(each, Path) else each.named for each in (place, to)]
    call = 1
    while True:
        died = subprocess.run([sys.executable, KILLED, *named, str(call)], capture_output=True, check=False, text=True)
        assert died.returncode in (0, 9), died.stderr
        assert {head} == set(heads(place, to))
        if died.returncode == 0 or not list(heads(place)):
            break
        call += EVERY
    if list(heads(place)):
        move(place, to, *means())

    assert [] == list(heads(place))
    assert [head] == list(heads(to))
    assert call > EVERY
