"""A year with a missing digit is asked back; where an earlier version took one, it is told and struck."""

import re
from datetime import UTC, datetime, timedelta, timezone

import pytest

from torqueaudit.ledger.entry import Entry, document_of, hash_of
from torqueaudit.model.act import Refused, Say
from torqueaudit.model.job.facts import Tightening
from torqueaudit.testing import Clock, play
from torqueaudit.workshop.door.workshop import Workshop
from torqueaudit.workshop.jobs.strikes import strike
from torqueaudit.workshop.judged.job_view import show_job
from torqueaudit.workshop.register.people import add_person


@pytest.mark.parametrize(
    ("say", "says"),
    [
        (Say("P-1", at=datetime(226, 4, 2, 9, tzinfo=UTC)), "0226-04-02: a year lies between 2000 and 2200"),
        (Say("P-1", at=datetime(1, 1, 1, tzinfo=timezone(timedelta(hours=2)))), "0001-01-01: a year lies between"),
        (Say("P-1", at=datetime(1999, 12, 31, tzinfo=UTC)), "1999-12-31: a year lies between"),
        (Say("P-1", at=datetime(2201, 1, 1, tzinfo=UTC)), "2201-01-01: a year lies between"),
        (Say("P-1", minutes_ago=9_999_999), "9999999 minutes ago was on 2012-03-27, more than a year before; look at"),
        (Say("P-1", minutes_ago=366 * 24 * 60 + 1), "527041 minutes ago was on 2030-04-01, more than a year before"),
        (Say("P-1", minutes_ago=10**9), "0129-12-04: a year lies between"),
        (Say("P-1", minutes_ago=10**12), "1000000000000 minutes ago lies before the year 2000"),
        (Say("P-1", minutes_ago=10**40), "minutes ago lies before the year 2000"),
    ],
)
def test_a_moment_of_another_age_is_asked_back(workshop: Workshop, say: Say, says: str) -> None:
    """Whoever calls the act: a command, a job card or a plugin. Nothing is recorded."""
    before = workshop.book.head()

    with pytest.raises(Refused, match=re.escape(says)):
        add_person(workshop, "Ida Invented", ("mechanic",), "", say)
    assert before == workshop.book.head()


def test_a_clock_gone_wrong_records_nothing(workshop: Workshop, clock: Clock) -> None:
    """A machine whose clock has lost its time begins in 1970."""
    clock.moment = datetime(1970, 1, 1, 0, 5, tzinfo=UTC)

    with pytest.raises(Refused, match="1970-01-01: a year lies between 2000 and 2200; look at the date"):
        add_person(workshop, "Ida Invented", ("mechanic",), "", Say("P-1"))


def test_a_year_that_an_earlier_version_took_is_told_shown_and_struck(played: Workshop) -> None:
    """
    It wrote 226 without its zero, and whatever read the job failed from then on.

    2031-04-02 10:00 job 1 opened final-drive on V-1 at 12000 km by P-2
    2031-04-02 10:05 disc-bolt 22 N·m with W-1 by P-2
    """
    taken = _as_it_was_taken(played, "226-04-02T10:06:00Z")
    told = f"Entry {taken} (job/1) says that it happened on 0226-04-02: strike it, and say it again with its date."

    assert ([told], []) == (played.book.remarks(), played.book.verify())
    assert {226, 2031} == {each.noted.happened_at.year for each in played.record("1").of(Tightening)}
    assert show_job(played, "1").stops
    play(played, "2031-04-02 10:10 disc-bolt 22 N·m with W-1, again by P-2")
    strike(played, "1", taken, "wrong year", Say("P-2"))
    assert ([], []) == (played.book.remarks(), played.book.verify())
    assert {2031} == {each.noted.happened_at.year for each in played.record("1").of(Tightening)}


def _as_it_was_taken(workshop: Workshop, happened_at: str) -> int:
    """The job's last entry once more, as version 0.1 wrote it of such a moment; its number."""
    book, last = workshop.book, workshop.book.entries("job/1")[-1]
    entry = last._replace(
        sequence=book.head().sequence + 1,
        id="typed-1",
        number=last.number + 1,
        happened_at=happened_at,
        previous=book.head().hash,
    )
    _insert(workshop, entry)
    return entry.sequence


def _insert(workshop: Workshop, entry: Entry) -> None:
    text = document_of(entry)
    with workshop.book.engine.writing():
        workshop.book.engine.insert(entry.sequence, text, hash_of(text))
    workshop.book.rebuild()
