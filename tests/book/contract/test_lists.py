"""The lists: kept by every act, and equal to what a rebuild makes of the ledger."""

from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Protocol, TypeAlias

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from torqueaudit.book.book import Book
from torqueaudit.book.lists.upkeep import LISTS, RowsOf
from torqueaudit.ledger.entry import Act, Draft, Entry, act_digest

Say: TypeAlias = Callable[..., list[Entry]]


class Place(Protocol):
    """Where a book lies."""

    def new(self, clock: Callable[[], datetime], rows_of: RowsOf) -> Book: ...

    def open(self, clock: Callable[[], datetime], rows_of: RowsOf) -> Book: ...

    def run(self, sql: str) -> None: ...


PlaceIn: TypeAlias = Callable[[Path], Place]

NOW = datetime(2031, 4, 2, 9, tzinfo=UTC)


def contents(book: Book) -> list[list[str]]:
    """Every list as an act lays it out, in an order of its own."""
    told = []
    for table in LISTS:
        columns = ", ".join(f'"{column}"' for column in book.engine.columns(table))
        told.append(sorted(map(repr, book.rows(f"select {columns} from {table}"))))  # noqa: S608 of LISTS
    return told


SUBJECTS = ["job/1", "job/2", "wrench/W-1"]
acts = st.lists(
    st.lists(
        st.tuples(st.sampled_from(SUBJECTS), st.sampled_from(["noted.1", "struck.1"]), st.text("ab")),
        min_size=1,
        max_size=4,
    ),
    max_size=12,
)


@settings(max_examples=25, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(said=acts)
def test_lists_kept_equal_lists_rebuilt(
    place_in: PlaceIn, rows_of: RowsOf, said: list[list[tuple[str, str, str]]]
) -> None:
    """After any acts in any order: the check finds nothing, and a rebuild changes nothing."""
    with (
        TemporaryDirectory() as folder,
        place_in(Path(folder)).new(lambda: NOW, rows_of) as book,
    ):
        for number, drafts in enumerate(said):
            act = Act(f"A{number}", act_digest("say", "P-3", str(number), {}))
            book.append(
                act,
                [
                    Draft(subject=subject, kind=kind, happened_at=NOW, who="P-3", said={"text": text})
                    for subject, kind, text in drafts
                ],
                {},
            )
        kept = contents(book)

        assert [] == book.verify()
        book.rebuild()
        assert kept == contents(book)


@pytest.mark.parametrize(
    ("meddle", "says"),
    [
        ("update jobs set state = 'closed' where job = 1", "The list jobs differs from the ledger on job/1"),
        ("delete from fastener_events where job = 2", "The list fastener_events differs from the ledger on job/2"),
        ("insert into needs values ('job/1', 1, 'x')", "The list needs differs from the ledger on job/1"),
        ("insert into jobs (subject) values ('job/7')", "The list jobs holds job/7, which the ledger does not know"),
    ],
)
def test_a_list_that_was_meddled_with_is_noticed_and_rebuilt(
    book: Book, place: Place, say: Say, meddle: str, says: str
) -> None:
    """Lists are no proof; the ledger is."""
    say("job/1", times=3)
    say("job/2")
    kept = contents(book)
    place.run(meddle)

    assert [f"{says}; rebuild the lists."] == book.verify()
    book.rebuild()
    assert [] == book.verify()
    assert kept == contents(book)


def test_a_list_without_such_a_column_is_refused(book: Book, place: Place) -> None:
    """A misspelt column would be empty in silence."""
    wrong = place.open(book.clock, lambda _subject, _entries: {"jobs": [{"jop": 1}]})
    with wrong, pytest.raises(ValueError, match="the list jobs has no column jop"):
        wrong.append(
            Act("A", "ab" * 32), [Draft(subject="job/1", kind="noted.1", happened_at=NOW, who="P-3", said={})], {}
        )
