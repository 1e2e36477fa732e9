"""A damaged book is read out into a new one: whatever is sound is in it, and whatever is not is named."""

import json
import os
import re
import shutil
import subprocess
import sys
from collections.abc import Iterator
from contextlib import suppress
from itertools import islice
from pathlib import Path
from random import Random

import pytest

from torqueaudit.book import papers
from torqueaudit.book.book import Book
from torqueaudit.book.copies.repair import Repaired, repair
from torqueaudit.book.errors import BookError
from torqueaudit.book.lists.upkeep import LISTS
from torqueaudit.book.personal import forget
from torqueaudit.book.places import papers_of
from torqueaudit.book.sqlite.connection import sqlite3
from torqueaudit.book.words import rows_after
from torqueaudit.ledger.entry import entry_of
from torqueaudit.model.act import Say
from torqueaudit.plugins import Plugins
from torqueaudit.testing import Clock, play
from torqueaudit.workshop.door.words import erase_words
from torqueaudit.workshop.door.workshop import Workshop
from torqueaudit.workshop.opening import open_workshop
from torqueaudit.workshop.restore import Shorter, restore
from torqueaudit.workshop.vehicles.vehicle import add_vehicle

PAGE = 4096
DAMAGES = 400 if "TORQUEAUDIT_PROOF" in os.environ else 40
CARD = """
2031-04-02 10:00 job 1 opened axle on V-1 at 12000 km by P-2
2031-04-02 10:05 rear-axle-nut 100 N·m with W-1 by P-2
2031-04-02 10:06 rear-axle-nut loosened: “the owner” wanted to see it by P-2
2031-04-02 10:09 rear-axle-nut 100 N·m with W-1 by P-2
2031-04-02 10:10 rear-axle-nut loosened: something fell by P-2
"""
Rows = dict[str, list[tuple[object, ...]]]


class Kept:
    """What a book held before it was damaged."""

    def __init__(self, workshop: Workshop) -> None:
        book = workshop.book
        self.path = book.path
        self.head = book.head()
        self.entries = {entry.sequence for entry, _ in book.ledger()}
        self.words = {(row.entry, row.field): row.text for row in rows_after(book.engine, 0) if row.text}
        self.personal = set(book.rows("select subject, field, value from personal where value != ''"))
        self.rows = rows_of(book)


def rows_of(book: Book) -> Rows:
    """Every row of every list, the words, and what is known of people and vehicles."""
    found: Rows = {name: sorted(book.rows(f"select * from {name}"), key=repr) for name in (*LISTS, "personal")}  # noqa: S608
    return {**found, "words": list(rows_after(book.engine, 0))}


@pytest.fixture
def kept(workshop: Workshop) -> Kept:
    """A closed book with a job, words that stand and words that are erased, a paper and many vehicles."""
    play(workshop, CARD)
    erase_words(workshop, [workshop.book.with_words()[0]], "it named the owner", Say("P-1"))
    source = workshop.book.path.with_name("scan.pdf")
    source.write_bytes(b"%PDF-1.7 invented")
    papers.keep(workshop.book.path, source, papers.weigh(source))
    for number in range(40):
        plate = {"plate": f"Y-ARD {number + 200}"}
        add_vehicle(workshop, f"Kestrel 500, number {number}", "Kestrel 500", 2030, plate, Say("P-1"))
    known = Kept(workshop)
    workshop.book.close()
    return known


def read_out(path: Path, clock: Clock) -> tuple[Repaired, Path]:
    """Repair into a new book beside it."""
    new = path.with_name("new.book")
    for each in path.parent.glob("new*"):
        shutil.rmtree(each) if each.is_dir() else each.unlink()
    return repair(path, new, clock, Random(4)), new


def test_a_sound_book_comes_out_as_it_was(kept: Kept, clock: Clock) -> None:
    """Every entry, list, word, name and paper; the file itself is not touched."""
    before = kept.path.read_bytes()
    done, new = read_out(kept.path, clock)

    assert Repaired(kept.head, (), {}) == done
    assert before == kept.path.read_bytes()
    with Book.open(new, clock, Random(5)) as book:
        assert kept.rows == rows_of(book)
        assert [] == book.verify(kept.head)
    assert [each.name for each in papers_of(kept.path).iterdir()] == [each.name for each in papers_of(new).iterdir()]


@pytest.mark.usefixtures("book_file")
def test_what_lies_in_the_log_of_a_killed_program_comes_out_too(
    kept: Kept, clock: Clock, installed_plugins: Plugins, tmp_path: Path
) -> None:
    """Also where the header is gone, so that no SQLite can use that log; and what was erased stays erased."""
    with open_workshop(kept.path, clock=clock, chance=Random(8), plugins=installed_plugins) as workshop:
        add_vehicle(workshop, "one more", "Kestrel 500", 2030, {"plate": "Y-ARD 999"}, Say("P-1"))
        with workshop.book.engine.writing():
            forget(workshop.book.engine, "person/P-3")  # and killed before the file was written anew
        known = Kept(workshop)
        crashed = tmp_path / "crashed" / "yard.book"
        crashed.parent.mkdir()
        if not kept.path.with_name("yard.book-wal").exists():
            pytest.skip("this SQLite keeps no log")
        for end in ("", "-wal"):
            shutil.copy(kept.path.with_name(f"yard.book{end}"), crashed.with_name(f"yard.book{end}"))
    assert b"Y-ARD 999" not in crashed.read_bytes()
    crashed.write_bytes(bytes(100) + crashed.read_bytes()[100:])
    done, new = read_out(crashed, clock)

    assert (known.head, ()) == done[:2]
    with Book.open(new, clock, Random(5)) as book:
        assert known.rows == rows_of(book)


@pytest.mark.usefixtures("book_file")
def test_pages_that_a_journal_was_to_bring_back_are_read(kept: Kept, clock: Clock) -> None:
    """A power cut in the other way of writing: half of a page is new, and what it held is in the journal."""
    connection = sqlite3.connect(kept.path, isolation_level=None)
    connection.execute("pragma journal_mode = truncate")
    connection.execute("pragma cache_size = 1")
    connection.execute("begin immediate")
    connection.execute("drop trigger ledger_no_update")
    connection.execute("update ledger set hash = 'x' where position < 9")
    connection.execute("pragma cache_spill = on")
    connection.execute("create table filler as select zeroblob(900000) as x")
    shutil.copy(kept.path, kept.path.with_name("torn.book"))
    shutil.copy(kept.path.with_name("yard.book-journal"), kept.path.with_name("torn.book-journal"))
    connection.execute("rollback")
    connection.close()
    assert kept.path.read_bytes() != kept.path.with_name("torn.book").read_bytes()
    done, _ = read_out(kept.path.with_name("torn.book"), clock)

    assert kept.head == done.head


def damages(content: bytes, chance: Random) -> Iterator[bytes]:
    """Files that are cut off, torn, overwritten or spoilt in many places."""
    pages = len(content) // PAGE
    while True:
        spoilt = bytearray(content)
        match chance.randrange(5):
            case 0:
                del spoilt[chance.randrange(len(content)) :]
            case 1:
                at = chance.randrange(pages) * PAGE
                spoilt[at : at + PAGE] = chance.randbytes(PAGE)
            case 2:
                spoilt[: chance.choice((16, 100, PAGE))] = bytes(chance.choice((16, 100, PAGE)))
            case 3:
                for _ in range(chance.randrange(1, 200)):
                    spoilt[chance.randrange(len(spoilt))] = chance.randrange(256)
            case _:
                at, length = chance.randrange(len(content)), chance.randrange(1, 3 * PAGE)
                spoilt[at : at + length] = bytes(len(spoilt[at : at + length]))
        yield bytes(spoilt)


def numbers_in(lost: tuple[str, ...]) -> set[int]:
    """The entries that are named as lost."""
    named: set[int] = set()
    for line in lost:
        if found := re.match(r"Entr(?:y|ies) (\d+)(?: to (\d+))? (?:is|are) lost", line):
            named |= set(range(int(found[1]), int(found[2] or found[1]) + 1))
    return named


def lines_of(file: Path) -> list[str]:
    """The lines of a file that may not be there."""
    return file.read_text(encoding="utf-8").split("\n")[:-1] if file.exists() else []


@pytest.mark.usefixtures("book_file")
@pytest.mark.proof
def test_whatever_was_damaged_nothing_is_dropped_in_silence(kept: Kept, clock: Clock) -> None:
    """Each entry is in the new book, in the file beside it, or named as lost; so are words and names."""
    content = kept.path.read_bytes()
    read, lost_some = 0, 0
    for spoilt in islice(damages(content, Random(11)), DAMAGES):
        kept.path.write_bytes(spoilt)
        with suppress(BookError):  # of some nothing is left
            done, new = read_out(kept.path, clock)
            read += 1
            lost_some += bool(done.lost)
            assert [] == dropped(kept, done, new, clock)
    assert read > DAMAGES // 2
    assert lost_some > DAMAGES // 4


def dropped(kept: Kept, done: Repaired, new: Path, clock: Clock) -> list[object]:
    """Whatever is not in the new book, nor beside it, nor named as lost."""
    beside = {entry_of(text).sequence for text in lines_of(new.with_name("new.book.unchained.jsonl"))}
    unproved = [json.loads(line) for line in lines_of(new.with_name("new.book.unproved.jsonl"))]
    with Book.open(new, clock, Random(5)) as book:
        inside = {entry.sequence for entry, _ in book.ledger()}
        words = {(row.entry, row.field): row.text for row in rows_after(book.engine, 0)}
        personal = set(book.rows("select subject, field, value from personal where value != ''"))
        faults = [fault for fault in book.verify(done.head) if "its words" not in fault and fault not in done.lost]
    named = {key for key in kept.words if f"Entry {key[0]}: its words ({key[1]}) are lost." in done.lost}
    told = {(row["entry"], row["field"]) for row in unproved if "text" in row}
    words_gone = {key for key, text in kept.words.items() if words.get(key) != text and key[0] in inside} - named - told
    gone = kept.entries - inside - beside - numbers_in(done.lost)
    people_gone = {
        row
        for row in kept.personal - personal
        if f"The {str(row[1]).replace('_', ' ')} of {row[0]} is lost; tell it anew." not in done.lost
    }
    if any("cannot be read to the end" in line for line in done.lost):  # a tail, with whatever it told
        gone = {each for each in gone if each < max(inside | beside | numbers_in(done.lost), default=0)}
    if inside != kept.entries:  # the entries that told them are named
        people_gone = set()
    return [*gone, *words_gone, *people_gone, *faults, *(personal - kept.personal)]


@pytest.mark.usefixtures("book_file")
def test_entries_behind_a_gap_lie_beside_the_new_book(kept: Kept, clock: Clock) -> None:
    """One that was altered, too: the file holds each as it was found, and says which number is missing."""
    content = kept.path.read_bytes()
    assert 1 == content.count(b'"kind":"opened.1"')
    kept.path.write_bytes(content.replace(b'"kind":"opened.1"', b'"kind":"spoilt.1"'))
    done, new = read_out(kept.path, clock)
    beside = [entry_of(text) for text in lines_of(new.with_name("new.book.unchained.jsonl"))]
    first = done.head.sequence + 1

    assert [*range(first, kept.head.sequence + 1)] == [each.sequence for each in beside]
    assert "spoilt.1" == beside[0].kind
    assert {new.with_name("new.book.unchained.jsonl"): f"{len(beside)} entries"}.items() <= done.aside.items()
    says = (
        f"The chain goes up to entry {first - 1}; {len(beside)} entries cannot go on with it, or nothing proves them."
    )
    assert says in done.lost


@pytest.mark.usefixtures("book_file")
@pytest.mark.parametrize("spoilt", ['"sequence"!{},', '"sequence":9{},'])
def test_what_is_left_of_an_entry_that_nobody_can_read_is_kept(kept: Kept, clock: Clock, spoilt: str) -> None:
    """The newest one, of which no other entry speaks: it is named by its place in the file."""
    content, last = kept.path.read_bytes(), kept.head.sequence
    mark = f'"sequence":{last},'.encode()
    assert 1 == content.count(mark)
    there = spoilt.format(str(last)[-len(str(last)) + (":9" in spoilt) :])
    kept.path.write_bytes(content.replace(mark, there.encode()))
    done, new = read_out(kept.path, clock)
    beside = map(json.loads, lines_of(new.with_name("new.book.unproved.jsonl")))
    (left,) = (row for row in beside if "document" in row)

    assert (last - 1, last) == (done.head.sequence, left["entry"])
    assert there in left["document"]
    assert [f"Entry {last} is lost."] == [line for line in done.lost if line.startswith("Entr")]


def test_a_tail_that_was_told_and_is_gone_is_named(kept: Kept, clock: Clock, installed_plugins: Plugins) -> None:
    """By the heads beside the book, though no trace of it is in the file."""
    before = kept.path.read_bytes()
    with open_workshop(kept.path, clock=clock, chance=Random(8), plugins=installed_plugins) as workshop:
        add_vehicle(workshop, "one more", "Kestrel 500", 2030, {}, Say("P-1"))
        workshop.book.tell_head()
    kept.path.write_bytes(before)
    done, _ = read_out(kept.path, clock)

    assert (kept.head, (f"Entry {kept.head.sequence + 1} is lost.",)) == done[:2]


def test_a_lost_paper_and_lost_words_are_named_and_the_book_goes_on(
    kept: Kept, clock: Clock, installed_plugins: Plugins
) -> None:
    """A foreman says of the words that they are gone, as of any that were erased; then the book is put in its place."""
    content = kept.path.read_bytes()
    entry = next(iter(kept.words))[0]
    kept.path.write_bytes(content.replace(b"something fell", b"something else"))
    entry = next(number for (number, _), text in kept.words.items() if text == "something fell")
    done, new = read_out(kept.path, clock)

    assert (kept.head, (f"Entry {entry}: its words (why) are lost.",)) == done[:2]
    assert [{"entry": entry, "text": "something else"}] == [
        {key: row[key] for key in ("entry", "text")}
        for row in map(json.loads, lines_of(new.with_name("new.book.unproved.jsonl")))
    ]
    with open_workshop(new, clock=clock, chance=Random(8), plugins=installed_plugins) as workshop:
        assert [f"Entry {entry}: its words (why) are gone, and no entry says that they were erased so."] == (
            workshop.book.verify()
        )
        assert "words lost" == workshop.book.ledger(entry, entry)[0][0].told("why")
        erase_words(workshop, [entry], "the disk broke", Say("P-1"))
        assert [] == workshop.book.verify()
    assert None is restore(kept.path, new, shorter=Shorter("the disk broke", lambda _: Say("P-1")), clock=clock).lost


def test_a_name_that_was_altered_is_left_out_and_told(kept: Kept, clock: Clock) -> None:
    """It does not give the digest in the entry that told it; what stands there lies beside the new book."""
    kept.path.write_bytes(kept.path.read_bytes().replace(b"Barnaby Sample", b"Barnaby Simple"))
    done, new = read_out(kept.path, clock)

    assert ("The name of person/P-2 is lost; tell it anew.",) == done.lost
    assert "Barnaby Simple" in new.with_name("new.book.unproved.jsonl").read_text()
    with Book.open(new, clock, Random(5)) as book:
        assert {} == book.personal_of("person/P-2")
        assert {"name": "Cressida Sample"} == book.personal_of("person/P-3")
        assert [] == book.verify(done.head)


def test_a_disk_that_does_not_take_the_new_book_is_named(kept: Kept) -> None:
    """The limit of the system on the size of a file stands for it; what a killed run left is gone then as well."""
    kept.path.with_name(".new.book.abcd1234.part").mkdir()
    new = kept.path.with_name("new.book")
    program = (
        "import resource, sys; from pathlib import Path; from random import Random\n"
        "from torqueaudit.book.copies.repair import repair; from torqueaudit.book.errors import BookError\n"
        "from torqueaudit.workshop.opening import now\n"
        "resource.setrlimit(resource.RLIMIT_FSIZE, (20_000, 20_000))\n"
        "try: repair(Path(sys.argv[1]), Path(sys.argv[2]), now, Random(4))\n"
        "except BookError as error: print(error.says)\n"
    )
    done = subprocess.run([sys.executable, "-c", program, kept.path, new], capture_output=True, text=True, check=False)

    assert (f"The disk that holds {new} does not", "") == (done.stdout.partition(" read or")[0], done.stderr)
    assert [] == list(kept.path.parent.glob("*new.book*"))


def test_what_cannot_be_repaired_is_refused(kept: Kept, clock: Clock) -> None:
    """No file, nothing in it, or a new book that is there already; and nothing is left then."""
    for name, says in {"none.book": "There is no file", "scan.pdf": "Nothing in .* can be read as a book"}.items():
        with pytest.raises(BookError, match=says):
            repair(kept.path.with_name(name), kept.path.with_name("new.book"), clock, Random(4))
    with pytest.raises(BookError, match=r"^\. is there already"):
        repair(kept.path, Path(), clock, Random(4))
    kept.path.with_name("new.book.unproved.jsonl").write_text("mine")
    with pytest.raises(BookError, match="is there already"):
        repair(kept.path, kept.path.with_name("new.book"), clock, Random(4))
    kept.path.with_name("new.book.unproved.jsonl").unlink()
    kept.path.with_name("new.book.unproved.jsonl").symlink_to("away")  # a link that leads to nothing
    with pytest.raises(BookError, match="is there already"):
        repair(kept.path, kept.path.with_name("new.book"), clock, Random(4))
    assert ["new.book.unproved.jsonl"] == [each.name for each in kept.path.parent.iterdir() if "new" in each.name]
