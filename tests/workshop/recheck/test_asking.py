"""A day that an owner asks for: what it may be, how long it is kept in mind, and that it moves nothing."""

from datetime import date

import pytest

from torqueaudit.book import queries
from torqueaudit.book.lists.records import DAY_ASKED
from torqueaudit.cli.job_sheet import lines_of
from torqueaudit.model.act import Refused, Say
from torqueaudit.model.job.road import Half
from torqueaudit.model.shown.recheck import AskedDay
from torqueaudit.testing import play
from torqueaudit.workshop.door.workshop import Workshop
from torqueaudit.workshop.jobs.strikes import strike
from torqueaudit.workshop.judged.job_view import show_job
from torqueaudit.workshop.recheck.asking import ask_day, last_day

LEFT = """
2031-04-02 10:00 job 1 opened axle on V-1 at 12000 km by P-2
2031-04-02 10:05 rear-axle-nut 108 N·m with W-1 by P-2
2031-04-02 10:06 rear-axle-nut mark intact by P-2
2031-04-02 10:09 rear-axle-nut checked mark seen by P-3
2031-04-02 10:15 released by P-1
2031-04-02 10:20 handed over at 12010 km by P-1
"""


def asked(workshop: Workshop) -> AskedDay | None:
    """The day that job 1 is asked for."""
    recheck = show_job(workshop, "1").recheck
    assert recheck
    return recheck.asked


def test_a_day_is_kept_in_mind_until_another_one_is_asked_for(workshop: Workshop) -> None:
    """The last one counts; a strike brings the one before back. On the sheet it stands with its entry."""
    play(workshop, LEFT)
    (first,) = ask_day(workshop, "1", date(2031, 4, 14), Half.MORNING, Say("owner"))
    (second,) = ask_day(workshop, "1", date(2031, 4, 15), Half.AFTERNOON, Say("P-1"))
    line = f"  the owner asked to come on 2031-04-15 in the afternoon, told by P-1  #{second.sequence}"

    assert AskedDay(date(2031, 4, 15), Half.AFTERNOON, second.sequence, "P-1") == asked(workshop)
    assert line in lines_of(show_job(workshop, "1"))
    strike(workshop, "1", second.sequence, "it was another motorcycle", Say("P-1"))
    assert AskedDay(date(2031, 4, 14), Half.MORNING, first.sequence, "owner") == asked(workshop)


@pytest.mark.parametrize("by", ["owner", "P-1"])
def test_a_label_puts_no_day_off_that_is_noted(workshop: Workshop, by: str) -> None:
    """Whoever has seen it may ask for an earlier one, and staff alone for a later one."""
    play(workshop, LEFT)
    ask_day(workshop, "1", date(2031, 4, 14), Half.MORNING, Say(by))
    before = workshop.book.head()

    with pytest.raises(Refused, match="another day is noted already; to change it call us"):
        ask_day(workshop, "1", date(2031, 4, 15), Half.MORNING, Say("owner"))
    assert before == workshop.book.head()
    (earlier,) = ask_day(workshop, "1", date(2031, 4, 10), Half.MORNING, Say("owner"))
    assert AskedDay(date(2031, 4, 10), Half.MORNING, earlier.sequence, "owner") == asked(workshop)
    (later,) = ask_day(workshop, "1", date(2031, 4, 15), Half.MORNING, Say("P-1"))
    assert AskedDay(date(2031, 4, 15), Half.MORNING, later.sequence, "P-1") == asked(workshop)


@pytest.mark.parametrize(
    "then",
    [
        "2031-04-14 09:00 V-1 arrived at 12080 km by P-2",
        "2031-04-10 09:00 job 1 re-check refused: no time by P-2",
        "2031-04-14 09:00 rear-axle-nut mark intact by P-2\n2031-04-14 09:10 job 1 re-checked at 12080 km by P-2",
    ],
)
def test_nobody_is_called_about_a_day_once_it_is_not_waited_for(workshop: Workshop, then: str) -> None:
    """Here, refused, or done."""
    play(workshop, LEFT)
    ask_day(workshop, "1", date(2031, 4, 14), Half.MORNING, Say("owner"))
    assert [1] == [row.job for row in queries.attention(workshop.book, DAY_ASKED)]

    play(workshop, then)

    assert asked(workshop) is None


def test_no_day_is_asked_for_where_nothing_is_waited_for(workshop: Workshop) -> None:
    """Before it left there is no re-check to come for."""
    play(workshop, LEFT.partition("2031-04-02 10:20")[0])

    with pytest.raises(Refused, match="job 1 waits for no re-check, so no day is asked for; call the workshop"):
        ask_day(workshop, "1", date(2031, 4, 14), Half.MORNING, Say("owner"))


@pytest.mark.parametrize(
    ("by", "says"), [("owner", "if no such day suits, call the workshop"), ("P-1", "a foreman may")]
)
def test_the_workshop_is_told_to_call_nobody_but_the_owner_is(workshop: Workshop, by: str, says: str) -> None:
    """A day after the re-check's own: whoever works here hears what may be done instead."""
    play(workshop, LEFT)

    with pytest.raises(Refused, match=f"2031-06-14 is too late, ask for 2031-04-16 or earlier; {says}"):
        ask_day(workshop, "1", date(2031, 6, 14), Half.MORNING, Say(by))


@pytest.mark.parametrize(
    ("due_on", "today", "expected"),
    [
        (date(2031, 4, 16), date(2031, 4, 2), date(2031, 4, 16)),
        (date(2031, 4, 16), date(2031, 4, 16), date(2031, 4, 23)),
        (date(2031, 4, 16), date(2031, 6, 1), date(2031, 6, 8)),
        (None, date(2031, 4, 2), date(2031, 5, 2)),
    ],
)
def test_the_last_day_that_may_be_asked_for(due_on: date | None, today: date, expected: date) -> None:
    """That of the re-check; a week where it is here or past; a month where a distance alone is told."""
    assert expected == last_day(due_on, today)
