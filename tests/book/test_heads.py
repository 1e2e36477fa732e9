"""A head that was told lies beside the book, so that a copy or a backup that ends too early is known for one."""

import random
import shutil
import threading
from collections.abc import Callable
from pathlib import Path
from typing import Any, TypeAlias
from zlib import crc32

import pytest

from torqueaudit.book import heads
from torqueaudit.book.book import Book
from torqueaudit.book.errors import BookError
from torqueaudit.book.lists.upkeep import RowsOf
from torqueaudit.book.places import heads_of
from torqueaudit.ledger.chain import Head
from torqueaudit.ledger.entry import Act, Draft, Entry, act_digest

Say: TypeAlias = Callable[..., list[Entry]]


def test_a_head_is_written_down_before_it_is_told(book: Book, say: Say, clock: Any) -> None:
    """Once for each head, with its moment, and a check that zlib makes anew."""
    say(times=2)
    first = book.tell_head()
    clock.pass_by(60)
    book.tell_head()
    say()
    second = book.tell_head()
    texts = [f"{first} 2031-04-02T09:00:00Z", f"{second} 2031-04-02T09:01:00Z"]

    assert "".join(f"{text} {crc32(text.encode()):08x}\n" for text in texts) == heads_of(book.path).read_text()
    assert second == heads.newest(book.path) == book.head()
    assert [] == book.verify()


def test_a_plain_copy_made_while_somebody_writes_is_known(book: Book, say: Say, rows_of: RowsOf) -> None:
    """The newest entries lie in the log beside the file, and a copy of the file alone is a sound book without them."""
    say(times=2)
    book.close()
    with Book.open(book.path, book.clock, book.chance, rows_of=rows_of) as writer:
        copied = book.path.read_bytes()
        writer_say(writer)
        told = writer.tell_head()
    book.path.write_bytes(copied)
    for log in book.path.parent.glob("yard.book-*"):
        log.unlink()

    with Book.open(book.path, book.clock, book.chance, rows_of=rows_of) as short:
        says = "The ledger ends at entry 2; the head told on 2031-04-02 knew entry 3: its tail is lost."
        assert 3 == told.sequence
        assert [says] == short.verify()
        heads_of(book.path).unlink()
        assert [] == short.verify()


def test_a_ledger_written_anew_is_known(book: Book, say: Say, tmp_path: Path, rows_of: RowsOf) -> None:
    """As long as before, and another: the first told head that it does not have says so, and so does a foreign one."""
    say(times=3)
    book.tell_head()
    say(times=2)
    book.tell_head()
    with Book.new(tmp_path / "other.book", "YARD", book.clock, random.Random(2), rows_of=rows_of) as other:
        writer_say(other, "another", times=6)
        shutil.copy(heads_of(book.path), heads_of(other.path))
        other.tell_head()
        heads.keep(other.path, Head("BARN", 1, "0" * 64), other.clock())

        assert [
            "The head told on 2031-04-02 is of site BARN; this book is of site YARD.",
        ] == other.verify()[:1]
        assert len(other.verify()) == 1


@pytest.mark.parametrize("at", range(5))
def test_a_line_that_was_altered_is_told(book: Book, say: Say, at: int) -> None:
    """Its site, number, hash, moment or check, and the end of the last line."""
    say()
    head = book.tell_head()
    place = heads_of(book.path)
    line = place.read_text()
    spot = (0, len("YARD/"), len("YARD/1/"), line.index("2031") + 3, len(line) - 1)[at]
    place.write_text(line[:spot] + ("0" if line[spot] != "0" else "1") + line[spot + 1 :])

    assert [f"Line 1 of {place} was altered: it is no head that this program wrote down."] == book.verify()
    place.write_text(line)
    assert [] == book.verify(head)


def test_a_line_that_a_power_cut_tore_is_no_damage(book: Book, say: Say) -> None:
    """Wherever it was torn; and the next head is written in its place."""
    say()
    book.tell_head()
    say()
    book.tell_head()
    place = heads_of(book.path)
    whole = place.read_bytes()
    start = whole.index(b"\n") + 1
    for length in range(start, len(whole)):
        place.write_bytes(whole[:length])
        assert [] == book.verify()
        assert (1 if length < len(whole) - 1 else 2) == len(heads.told(book.path))
        heads.keep(book.path, Head("YARD", 3, "f" * 64), book.clock())
        assert (
            [1, 3] if length < len(whole) - 1 else [1, 2, 3] == [each.head.sequence for each in heads.told(book.path)]
        )


def test_a_long_file_keeps_the_newest_and_what_the_ledger_has_not(book: Book, say: Say) -> None:
    """What the ledger still has is proved by the newest head, so the file stays short for ever."""
    lost = Head("YARD", 9, "f" * 64)
    heads.keep(book.path, lost, book.clock())
    for _ in range(heads.LONGEST // 100 + 2):
        say()
        book.tell_head()

    kept = [each.head for each in heads.told(book.path)]
    assert heads_of(book.path).stat().st_size < heads.LONGEST // 4
    assert (lost, book.head()) == (kept[0], kept[-1])
    assert ["Entry 9 is not the one the head told on 2031-04-02 knew: the ledger was written anew."] == book.verify()


def test_many_who_tell_at_once_lose_no_line(book: Book) -> None:
    """Each waits for the other, also where the file is written anew meanwhile."""

    def tell(teller: int) -> None:
        for number in range(60):
            heads.keep(book.path, Head("YARD", teller * 1000 + number, "a" * 64), book.clock())

    tellers = [threading.Thread(target=tell, args=(number,)) for number in range(1, 5)]
    for each in tellers:
        each.start()
    for each in tellers:
        each.join()

    assert 240 == len({each.head.sequence for each in heads.told(book.path)})


def test_a_head_is_told_where_it_cannot_be_kept(book: Book, say: Say) -> None:
    """Something else stands in the place of the file; a verification says so."""
    say()
    place = heads_of(book.path)
    place.mkdir()

    assert book.head() == book.tell_head()
    assert [
        f"{place} cannot be read (Is a directory), so the ledger is held against no head that was told before."
    ] == book.verify()


def test_a_new_book_does_not_take_over_the_heads_of_another(book: Book, say: Say) -> None:
    """Somebody took the file away and left what lies beside it."""
    say()
    book.tell_head()
    book.close()
    book.path.unlink()

    with pytest.raises(BookError, match=r"yard\.book\.heads is left from another book; move it away"):
        Book.new(book.path, "YARD", book.clock, book.chance)
    assert not book.path.exists()


def writer_say(book: Book, text: str = "x", times: int = 1) -> None:
    """Record one act."""
    said = {"text": text}
    act = Act(f"{text}-{book.head().sequence}", act_digest("noted.1", "P-3", "job/1", said))
    draft = Draft(subject="job/1", kind="noted.1", happened_at=book.clock(), who="P-3", said=said)
    book.append(act, [draft] * times, {})
