"""The questions across jobs: what they answer."""

import inspect
from collections.abc import Callable, Iterator, Mapping, Sequence
from datetime import UTC, datetime
from typing import Any, Protocol

import pytest

from torqueaudit.book import queries, vehicle_queries
from torqueaudit.book.book import Book
from torqueaudit.book.lists.records import Attention, Counts, JobRow
from torqueaudit.book.lists.upkeep import RowsOf
from torqueaudit.ledger.entry import Act, Draft, Entry
from torqueaudit.model.judged.around import VehicleOdometer


class Place(Protocol):
    """Where the book lies, for another program."""

    def open(self, clock: Callable[[], datetime], rows_of: RowsOf) -> Book: ...


NOW = datetime(2031, 4, 2, 9, tzinfo=UTC)


def told_rows(subject: str, entries: Sequence[Entry]) -> Mapping[str, Sequence[Mapping[str, str | int | None]]]:
    """Rows exactly as the last entry says them: table to list of rows."""
    del subject
    rows: Mapping[str, Sequence[Mapping[str, str | int | None]]] = entries[-1].said["rows"]
    return rows


@pytest.fixture
def yard(book: Book, place: Place) -> Iterator[Book]:
    """Three jobs: one on the road and due, one open, one re-checked; a vehicle with events of two jobs."""
    jobs: list[dict[str, Any]] = [
        {"job": 1, "token": "AAA", "vehicle": "V-1", "state": "handed over", "last_recorded": "2031-03-01T09:00:00Z"}
        | {"handed_over_on": "2031-03-01T09:00:00Z", "due_on": "2031-03-15", "due_distance_m": 500_000},
        {
            "job": 2,
            "token": "BBB",
            "vehicle": "V-1",
            "state": "open",
            "last_recorded": "2031-03-20T09:00:00Z",
            "unchecked": 2,
        },
        {"job": 3, "token": "CCC", "vehicle": "V-2", "state": "handed over", "last_recorded": "2031-03-21T09:00:00Z"}
        | {"handed_over_on": "2031-03-01T09:00:00Z", "due_on": "2031-03-15", "rechecked_on": "2031-03-14T09:00:00Z"},
    ]
    event: dict[str, Any] = {"vehicle": "V-1", "position": "axle-nut", "kind": "tightened"}
    concession: dict[str, Any] = {"rule": "late-entry", "about": "axle-nut", "by": "P-1"}
    extra: list[dict[str, Any]] = [
        {
            "attention": [{"job": 1, "reason": "open stop", "entry": 1}],
            "needs": [{"job": 1, "plugin": "chain"}, {"job": 1, "plugin": "units"}],
            "fastener_events": [event | {"happened_at": "2031-03-01T08:00:00Z", "job": 1, "entry": 1}],
            "odometer": [{"vehicle": "V-1", "happened_at": "2031-03-01T08:00:00Z", "metres": 9_000_000, "entry": 1}],
            "concessions": [
                concession | {"job": 1, "entry": 1, "granted_on": "2031-03-01T22:30:00Z", "expires_on": "2031-03-08"}
            ],
        },
        {
            "fastener_events": [
                event | {"happened_at": "2031-03-20T08:00:00Z", "job": 2, "entry": 2, "kind": "loosened"}
            ],
            "odometer": [{"vehicle": "V-1", "happened_at": "2031-03-20T08:00:00Z", "metres": 9_400_000, "entry": 2}],
        },
        {"needs": [{"job": 3, "plugin": "chain"}]},
    ]
    with place.open(book.clock, told_rows) as opened:
        for job, more in zip(jobs, extra, strict=True):
            number = job["job"]
            draft = Draft(
                subject=f"job/{number}",
                kind="told.1",
                happened_at=NOW,
                who="P-1",
                said={"rows": {"jobs": [job], **more}},
            )
            opened.append(Act(f"A{number}", "ab" * 32), [draft], {})
        assert [] == opened.verify()
        yield opened


def test_one_job(yard: Book) -> None:
    """By the token on its label, or by number."""
    found = queries.job_by_token(yard, "BBB")

    assert found is not None
    assert (2, "V-1", 2, None) == (found.job, found.vehicle, found.unchecked, found.due_on)
    assert found == queries.job_row(yard, 2)
    assert queries.job_by_token(yard, "ZZZ") is None
    assert queries.job_row(yard, 9) is None


def test_many_jobs(yard: Book) -> None:
    """By state, by what is due, by vehicle."""

    def numbers(rows: Sequence[JobRow]) -> list[int]:
        return [row.job for row in rows]

    assert [3, 2, 1] == numbers(queries.jobs_list(yard))
    assert [3, 2] == numbers(queries.jobs_list(yard, limit=2))
    assert [1, 2] == numbers(queries.jobs_of_vehicle(yard, "V-1"))
    assert [1] == numbers(queries.due_between(yard, "2031-03-15", "2031-03-15"))
    assert [] == numbers(queries.due_between(yard, "2031-03-16", "2031-12-31"))
    assert [1] == numbers(queries.due_by_instrument(yard))
    assert [2] == numbers(queries.open_untouched(yard, "2031-03-20T09:00:01Z"))
    assert [] == numbers(queries.open_untouched(yard, "2031-03-20T09:00:00Z"))
    assert [2] == numbers(queries.waiting_for_check(yard))


def test_the_other_lists(yard: Book) -> None:
    """Attention, plugins, fasteners, distances, concessions."""
    assert [Attention(1, "open stop", 1)] == queries.attention(yard) == queries.attention(yard, "open stop")
    assert [] == queries.attention(yard, "mark disturbed")
    assert [(1, "chain"), (3, "chain"), (1, "units")] == queries.jobs_needing(yard, ["units", "chain", "chain"])
    assert ["chain", "units"] == queries.needed_plugins(yard)
    assert ["1", "2"] == [event.job for event in vehicle_queries.later_events(yard, "V-1")]
    assert ["loosened"] == [event.kind for event in vehicle_queries.later_events(yard, "V-1", "2031-03-02")]
    read = VehicleOdometer(datetime(2031, 3, 20, 8, tzinfo=UTC), 9_400_000, 2, run_m=9_400_000)
    assert read == vehicle_queries.newest_odometer(yard, "V-1")
    assert vehicle_queries.newest_odometer(yard, "V-2") is None
    assert [1] == [row.job for row in queries.concessions_of_day(yard, "2031-03-01T22:00:00Z", "2031-03-02T22:00:00Z")]
    assert [] == queries.concessions_of_day(yard, "2031-02-28T22:00:00Z", "2031-03-01T22:00:00Z")
    assert [1] == [row.job for row in queries.concessions_expiring(yard, "2031-03-09")]
    assert [] == queries.concessions_expiring(yard, "2031-03-08")


def test_counts_begin_at_nothing(book: Book, say: Callable[..., list[Entry]]) -> None:
    """Entries and jobs, and no vehicle where none was entered."""
    before = queries.counts(book)
    say("job/1")
    say("job/2")

    assert Counts(0, 0, 0) == before
    assert Counts(2, 2, 0) == queries.counts(book)


def test_every_question_takes_the_book_first() -> None:
    """So that they read alike."""
    public = [
        each for name, each in inspect.getmembers(queries, inspect.isfunction) if each.__module__ == queries.__name__
    ]

    assert {"book"} == {next(iter(inspect.signature(each).parameters)) for each in public}
