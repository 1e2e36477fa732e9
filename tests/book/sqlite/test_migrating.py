"""A book that an earlier program made opens, and has what it lacked."""

import json
import lzma
import re
import shutil
from collections.abc import Callable, Sequence
from contextlib import closing
from decimal import Decimal
from pathlib import Path
from random import Random
from tempfile import TemporaryDirectory

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from torqueaudit.book import vehicle_queries
from torqueaudit.book.book import Book
from torqueaudit.book.errors import BookError
from torqueaudit.book.lists.upkeep import LISTS, Rows
from torqueaudit.book.sqlite.connection import SCHEMA_VERSION, sqlite3
from torqueaudit.ledger.entry import Act, Draft, Entry, act_digest, hash_of
from torqueaudit.testing import Clock, play
from torqueaudit.workshop.opening import open_workshop

KEPT = sorted(folder.parent for folder in Path(__file__).parents[2].glob("ledgers/*/entries.jsonl.xz"))
CARD = """
2031-04-02 10:00 job 1 opened final-drive on V-1 by P-2
2031-04-02 10:05 sprocket-bolt stage 1 15 N·m with W-1 by P-2
2031-04-02 10:10 disc-bolt 22 N·m with W-1 by P-2
2031-04-02 10:11 disc-bolt loosened: wrong washer by P-2
2031-04-02 10:12 disc-bolt 22 N·m with W-2 by P-2
2031-04-02 11:00 job 2 opened axle on V-2 by P-2
2031-04-02 11:05 rear-axle-nut 108 N·m with W-1 by P-2
2031-04-02 11:06 line 6 struck: wrong vehicle by P-2
"""


def as_the_fifth_made_it(path: Path) -> None:
    """Take back what the sixth migration added: a column, its row, the version."""
    connection = sqlite3.connect(path, isolation_level=None)
    connection.execute("alter table fastener_events drop column alone")
    connection.execute("delete from _sqlite_migrations where name = 'm006_jobs_of_some_fasteners'")
    connection.execute("pragma user_version = 5")
    connection.close()


def as_the_third_made_it(path: Path) -> None:
    """Take back what the fourth migration added too: a list, a column with its index, its row, the version."""
    as_the_fifth_made_it(path)
    connection = sqlite3.connect(path, isolation_level=None)
    connection.execute("drop table visits")
    connection.execute("drop index fastener_events_shown")
    connection.execute("alter table fastener_events drop column shown_mnm")
    connection.execute("delete from _sqlite_migrations where name = 'm004_visits'")
    connection.execute("pragma user_version = 3")
    connection.close()


def as_the_second_made_it(path: Path) -> None:
    """Take back what the third migration added too: two lists, a column with its index, its row, the version."""
    as_the_third_made_it(path)
    connection = sqlite3.connect(path, isolation_level=None)
    for table in ("measurements", "parts"):
        connection.execute(f"drop table {table}")
    connection.execute("drop index jobs_follows")
    connection.execute("alter table jobs drop column follows")
    connection.execute("delete from _sqlite_migrations where name = 'm003_measurements_and_parts'")
    connection.execute("pragma user_version = 2")
    connection.close()


def as_the_first_made_it(path: Path) -> None:
    """Take back what the second migration added too: column, index, its row, the version."""
    as_the_second_made_it(path)
    connection = sqlite3.connect(path, isolation_level=None)
    connection.execute("drop index fastener_events_wrench")
    connection.execute("alter table fastener_events drop column wrench")
    connection.execute("delete from _sqlite_migrations where name = 'm002_wrench_uses'")
    connection.execute("pragma user_version = 1")
    connection.close()


def test_a_book_of_the_first_schema_opens_sound_and_counts_its_cycles(book_file: Path, tmp_path: Path) -> None:
    """Each pass counts, also those of a stage; a withdrawn job's do not, and undoing is none."""
    clock = Clock()
    with open_workshop(book_file, clock=clock, chance=Random(9)) as workshop:
        play(workshop, CARD)
        expected = [vehicle_queries.wrench_uses(workshop.book, number) for number in ("W-1", "W-2", "W-3")]
        above = vehicle_queries.wrench_uses_above(workshop.book, "W-1", Decimal(21))
    older = Path(shutil.copy(book_file, tmp_path / "older.book"))
    as_the_first_made_it(older)

    with open_workshop(older, clock=clock, chance=Random(9)) as workshop:
        actual = [vehicle_queries.wrench_uses(workshop.book, number) for number in ("W-1", "W-2", "W-3")]
        above_now = vehicle_queries.wrench_uses_above(workshop.book, "W-1", Decimal(21))
        counted = [vehicle_queries.wrench_cycles(workshop.book, number) for number in ("W-1", "W-2", "W-3")]
        version = workshop.book.rows("pragma user_version")[0][0]

        assert [] == workshop.book.verify()
    assert expected == actual
    assert [6, 1, 0] == counted
    assert above == above_now
    assert [use for use in expected[0] if use in above] == above != []
    assert version == SCHEMA_VERSION


MEASURED = """
2031-04-02 09:00 job 1 opened final-drive on V-1 at 12000 km by P-2
2031-04-02 10:05 slack measured 37 mm at mid-span by P-2
2031-04-02 10:06 wear measured 320 mm by P-2
2031-04-02 10:07 line 3 struck: misread by P-2
2031-04-02 09:30 wear measured 319 mm by P-2
2031-04-02 10:09 tab-washer fitted used washer "18 mm" lot L-7 with size=18 mm, coating=blank über zinc by P-2
2031-04-02 10:10 tab-washer fitted washer 18 mm by P-2
2031-04-02 12:00 handed over at 12010 km with stops: fetched at once by P-1
2031-04-09 10:00 slack measured 38 mm by P-2
2031-04-09 10:10 ridden to 12500 km by owner
2031-04-10 10:00 job 2 opened axle on V-1 after job 1 by P-2
2031-04-10 11:00 job 3 opened final-drive on V-1 after job 2 by P-2
2031-04-10 11:05 slack measured 39 mm by P-2
2031-04-10 11:06 line 12 struck: twice by P-2
2031-04-10 12:00 job 4 opened final-drive on V-2 by P-2
2031-04-10 12:05 slack measured 40 mm by P-2
2031-04-10 12:06 handed over at 700 km with stops: fetched at once by P-1
"""


def test_a_book_of_the_second_schema_opens_sound_with_what_was_measured_and_fitted(
    book_file: Path, tmp_path: Path
) -> None:
    """What was struck and what a withdrawn job said is left out, and the nearest odometer is found."""
    clock = Clock()

    def asked(path: Path) -> list[object]:
        with open_workshop(path, clock=clock, chance=Random(9)) as workshop:
            assert [] == workshop.book.verify()
            vehicles = [
                (vehicle_queries.measured_on(workshop.book, each), vehicle_queries.fitted_to(workshop.book, each))
                for each in ("V-1", "V-2")
            ]
            return [*vehicles, *(vehicle_queries.jobs_following(workshop.book, job, "V-1") for job in (1, 2, 3))]

    with open_workshop(book_file, clock=clock, chance=Random(9)) as workshop:
        play(workshop, MEASURED)
    expected = asked(book_file)
    older = Path(shutil.copy(book_file, tmp_path / "older.book"))
    as_the_second_made_it(older)

    assert expected == asked(older)
    assert [[2], [], []] == expected[2:]


def test_a_book_of_the_fifth_schema_knows_what_was_done_alone(book_file: Path, tmp_path: Path) -> None:
    """On a job of some fasteners of its procedure, which makes history of nothing else."""
    clock = Clock()
    card = """
    2031-04-02 13:00 job 3 opened final-drive on V-1 after job 1 only disc-bolt by P-2
    2031-04-02 13:05 disc-bolt 22 N·m with W-1 by P-2
    """
    with open_workshop(book_file, clock=clock, chance=Random(9)) as workshop:
        play(workshop, CARD, card)
        expected = vehicle_queries.later_events(workshop.book, "V-1")
    older = Path(shutil.copy(book_file, tmp_path / "older.book"))
    as_the_fifth_made_it(older)

    with open_workshop(older, clock=clock, chance=Random(9)) as workshop:
        assert expected == vehicle_queries.later_events(workshop.book, "V-1")
        assert [] == workshop.book.verify()
    assert [("disc-bolt", "3")] == [(each.position, each.job) for each in expected if each.alone]


NOT_KEPT = "paper|The photo|The picture|its words|is lost; tell it anew"  # beside the entries of a kept ledger


@pytest.mark.parametrize("kept", KEPT, ids=lambda kept: kept.name)
@pytest.mark.parametrize("older", [as_the_first_made_it, as_the_second_made_it, as_the_third_made_it])
def test_whatever_an_earlier_program_wrote_is_listed_in_a_book_brought_up_to_date(
    book_of: Callable[[Path], Path], kept: Path, older: Callable[[Path], None]
) -> None:
    """Every kept ledger without what lies beside it: nothing in it stops the opening, and the lists are right."""
    path = book_of(kept)
    older(path)

    with Book.open(path, Clock(), Random(1)) as book:
        listed = contents(book)
        book.rebuild()

        assert listed == contents(book)
        assert [] == [fault for fault in book.verify() if not re.search(NOT_KEPT, fault)]
    assert [] != listed[0]


@pytest.fixture
def book_of(tmp_path: Path) -> Callable[[Path], Path]:
    """A book's file with the entries that are kept in a folder, and with empty lists."""

    def make(kept: Path) -> Path:
        path = tmp_path / "kept.book"
        head = json.loads((kept / "head.json").read_text(encoding="utf-8"))
        texts = lzma.decompress((kept / "entries.jsonl.xz").read_bytes()).decode().splitlines()
        with Book.new(path, head["site"], Clock(), Random(1)) as book, book.engine.writing():
            for sequence, text in enumerate(texts, start=1):
                book.engine.insert(sequence, text, hash_of(text))
        return path

    return make


def contents(book: Book) -> list[list[str]]:
    """Every list, in an order of its own."""
    return [sorted(map(repr, book.rows(f"select * from {table}"))) for table in LISTS]  # noqa: S608 of LISTS


def any_rows(subject: str, entries: Sequence[Entry]) -> Rows:
    """Rows in the columns that the steps brought; a struck last entry takes its row away."""
    del subject
    struck = sum(entry.kind == "struck.1" for entry in entries)
    said = [entry for entry in entries if entry.kind == "noted.1"][: len(entries) - 2 * struck]
    rows = [{"vehicle": "V-1", "key": entry.said["text"], "entry": entry.sequence} for entry in said]
    events = [{"entry": entry.sequence, "wrench": entry.said["text"] or None} for entry in said]
    return {
        "jobs": [{"job": len(said), "follows": len(entries)}],
        "fastener_events": events,
        "measurements": rows,
        "parts": rows[1:],
    }


@settings(max_examples=15, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(
    acts=st.lists(
        st.tuples(st.sampled_from("123"), st.sampled_from(["noted.1", "struck.1"]), st.text("ab")), max_size=9
    ),
    older=st.sampled_from([as_the_first_made_it, as_the_second_made_it, as_the_third_made_it]),
)
def test_lists_brought_up_to_date_equal_lists_kept(
    acts: list[tuple[str, str, str]], older: Callable[[Path], None]
) -> None:
    """After any acts, from any older schema."""
    with TemporaryDirectory() as folder:
        path = Path(folder) / "any.book"
        with Book.new(path, "YARD", Clock(), Random(1), rows_of=any_rows) as book:
            for number, (job, kind, text) in enumerate(acts):
                draft = Draft(subject=f"job/{job}", kind=kind, happened_at=book.clock(), who="P-3", said={"text": text})
                book.append(Act(f"A{number}", act_digest(kind, "P-3", job, {"number": number})), [draft], {})
            kept = contents(book)
        older(path)
        with Book.open(path, Clock(), Random(1), rows_of=any_rows) as book:
            listed = contents(book)

            assert [] == book.verify()
    assert kept == listed


def test_a_book_that_cannot_be_brought_up_to_date_stays_as_it_was(book_of: Callable[[Path], Path]) -> None:
    """Steps and lists are one transaction, and the next opening begins anew. No disk has so large a reserve."""
    path = book_of(KEPT[0])
    as_the_first_made_it(path)

    with pytest.raises(ValueError, match="there is no list typos"):
        Book.open(path, Clock(), Random(1), rows_of=lambda _subject, _entries: {"typos": []})
    with pytest.raises(BookError, match="must stay free; nothing was recorded"):
        Book.open(path, Clock(), Random(1), reserve=2**62)
    with closing(sqlite3.connect(path)) as connection:
        assert (1,) == connection.execute("pragma user_version").fetchone()
        assert [] == connection.execute("select name from sqlite_schema where name = 'parts'").fetchall()
    with Book.open(path, Clock(), Random(1)) as book:
        assert [] != contents(book)[0]


@pytest.mark.parametrize(
    ("asked", "index"),
    [
        ("select * from measurements where vehicle = ?", "measurements_vehicle"),
        ("select * from parts where vehicle = ?", "parts_vehicle"),
        ("select * from jobs where follows = ?", "jobs_follows"),
    ],
)
def test_a_vehicles_measurements_parts_and_follow_ups_are_found_through_an_index(
    book_file: Path, asked: str, index: str
) -> None:
    """However many jobs there are."""
    with open_workshop(book_file, clock=Clock(), chance=Random(9)) as workshop:
        plan = workshop.book.rows(f"explain query plan {asked}", "1")

    assert [index in row[3] for row in plan] == [True]


def test_cycles_are_counted_through_the_index(book_file: Path) -> None:
    """However many jobs there are."""
    with open_workshop(book_file, clock=Clock(), chance=Random(9)) as workshop:
        asked = "explain query plan select count(*) from fastener_events where wrench = ? and happened_at >= ?"
        plan = workshop.book.rows(asked, "W-1", "")

    assert ["fastener_events_wrench" in row[3] for row in plan] == [True]
