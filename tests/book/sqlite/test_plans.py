"""Every question across jobs is served by an index."""

from collections.abc import Callable
from typing import TypeAlias

import pytest

from torqueaudit.book import queries, vehicle_queries
from torqueaudit.book.book import Book
from torqueaudit.book.sqlite.connection import Connection
from torqueaudit.ledger.entry import Entry

Say: TypeAlias = Callable[..., list[Entry]]

ASKS: list[tuple[Callable[..., object], tuple[object, ...]]] = [
    (queries.job_by_token, ("A",)),
    (queries.job_row, (1,)),
    (queries.jobs_of_vehicle, ("V-1",)),
    (queries.open_untouched, ("2031",)),
    (queries.due_between, ("2031", "2032")),
    (queries.due_by_instrument, ()),
    (queries.waiting_for_check, ()),
    (queries.attention, ("open stop",)),
    (queries.jobs_needing, (["chain"],)),
    (vehicle_queries.later_events, ("V-1",)),
    (vehicle_queries.wrench_uses, ("W-1",)),
    (vehicle_queries.wrench_cycles, ("W-1",)),
    (queries.reported_loose, ()),
    (vehicle_queries.newest_odometer, ("V-1",)),
    (vehicle_queries.odometers_of, ("V-1",)),
    (vehicle_queries.measured_on, ("V-1",)),
    (vehicle_queries.fitted_to, ("V-1",)),
    (vehicle_queries.jobs_following, (1, "V-1")),
    (queries.concessions_of_day, ("2031", "2032")),
    (queries.concessions_expiring, ("2031",)),
]


def test_the_next_number_is_found_as_quickly_in_a_large_book(book: Book, say: Say, connection: Connection) -> None:
    """Counted in steps of SQLite's own machine: forty jobs take no more than two."""

    def steps() -> int:
        counted: list[None] = []
        connection.set_progress_handler(lambda: counted.append(None), 1)
        book.next_number("job")
        connection.set_progress_handler(None, 1)
        return len(counted)

    say("job/1")
    say("job/2")
    few = steps()
    for number in range(3, 41):
        say(f"job/{number}")

    assert 41 == book.next_number("job")
    assert steps() < 2 * few


@pytest.mark.parametrize(("ask", "values"), ASKS, ids=lambda value: getattr(value, "__name__", ""))
def test_a_question_is_served_by_an_index(
    book: Book, connection: Connection, ask: Callable[..., object], values: tuple[object, ...]
) -> None:
    """Its cost follows what it finds, not the number of jobs: no plan scans a table."""
    asked: list[str] = []
    connection.set_trace_callback(asked.append)
    ask(book, *values)
    connection.set_trace_callback(None)
    plans = [step[3] for text in asked for step in book.rows(f"explain query plan {text}")]

    assert plans
    assert [] == [step for step in plans if step.startswith("SCAN") and "INDEX" not in step]
