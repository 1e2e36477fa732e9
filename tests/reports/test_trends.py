"""How the last months went: what counts in which month, and the pictures of it."""

import re
from datetime import date
from typing import Any
from xml.etree import ElementTree as ET

import pytest

from torqueaudit.model.act import Say
from torqueaudit.model.job.acts import Postponement, RecheckResult, Tighten
from torqueaudit.model.job.facts import MarkState, Outcome
from torqueaudit.model.shown.trends import DisturbedMarks, MonthOfRechecks, Trends
from torqueaudit.reports.trends import trend_pictures
from torqueaudit.workshop.jobs.fasteners import tighten
from torqueaudit.workshop.jobs.release import hand_over
from torqueaudit.workshop.jobs.strikes import strike
from torqueaudit.workshop.night.night import night_of
from torqueaudit.workshop.recheck.arranging import answer_recheck, postpone_recheck, refer_recheck, refuse_recheck
from torqueaudit.workshop.recheck.road import recheck
from torqueaudit.workshop.vehicles.gone import gone
from torqueaudit.workshop.vehicles.visits import arrive

SVG = {"svg": "http://www.w3.org/2000/svg"}
CORNERS = 4
MONTHS = (
    MonthOfRechecks(date(2031, 3, 1), 9, 2, 1),
    MonthOfRechecks(date(2031, 4, 1), 0, 0, 0),
    MonthOfRechecks(date(2031, 5, 1), 4, 0, 0),
)
MARKS = (DisturbedMarks("rear-axle-nut", 3), DisturbedMarks("sprocket-bolt", 1))


def trends(yard: Any, day: str) -> Trends:
    return night_of(yard.workshop, date.fromisoformat(day)).trends


def looked_at(yard: Any, job: str, day: str) -> None:
    """Back on a day, in order, and away again."""
    yard.day(day)
    yard.see_at_the_bench(job)
    recheck(yard.workshop, job, 1_080_000, "", Say("P-2"))
    yard.clock.now += yard.minute
    hand_over(yard.workshop, job, 1_080_000, Say("P-2"))


def test_each_re_check_counts_in_the_month_of_its_day(yard: Any) -> None:
    """Left on 1 April, due on the 15th: done by then, done later, and missed once its grace is over; 7 days of it."""
    soon, late, never = (yard.clean(yard.vehicle(tag)) for tag in ("red tourer", "blue tourer", "courier"))
    looked_at(yard, soon, "2031-04-15")
    in_grace = trends(yard, "2031-04-15")
    looked_at(yard, late, "2031-05-02")

    assert (MonthOfRechecks(date(2031, 4, 1), 1, 0, 0),) == in_grace.months
    assert (MonthOfRechecks(date(2031, 4, 1), 1, 1, 1), MonthOfRechecks(date(2031, 5, 1), 0, 0, 0)) == (
        trends(yard, "2031-05-02").months
    )
    assert yard.workshop.record(never).recheck is None


def test_a_month_stays_what_it_was_once_the_motorcycle_leaves_again(yard: Any) -> None:
    """Put off from April to May, and done by then; or found in order elsewhere. Then it is worked on, and leaves."""
    here, elsewhere = (yard.clean(yard.vehicle(tag)) for tag in ("red tourer", "courier"))
    postpone_recheck(yard.workshop, here, Postponement(date(2031, 5, 10), None, "abroad"), Say("P-1"))
    refer_recheck(yard.workshop, elsewhere, "the yard in the hills", "moved away", Say("P-1"))
    yard.day("2031-04-14")
    answer_recheck(yard.workshop, elsewhere, RecheckResult(in_order=True), Say("P-1"))
    looked_at(yard, here, "2031-05-08")
    yard.day("2031-05-16")
    before = trends(yard, "2031-05-15").months
    for job in (here, elsewhere):
        arrive(yard.workshop, yard.workshop.record(job).vehicle, 1_090_000, Say("P-2"))
        yard.loosen(job)
        again = Tighten(Outcome.TURNED_CLICKED, yard.wrench, "100 N·m")
        tighten(yard.workshop, job, yard.fastener(job), again, Say("P-2"))
        yard.see_at_the_bench(job)
        yard.check(job)
        yard.left(job, 1090)

    assert (MonthOfRechecks(date(2031, 4, 1), 1, 0, 0), MonthOfRechecks(date(2031, 5, 1), 1, 0, 0)) == before
    assert before == trends(yard, "2031-05-15").months


def test_what_nobody_waits_for_counts_nowhere(yard: Any) -> None:
    """Refused by its owner, sold, withdrawn, or overtaken by later work."""
    refused, sold, withdrawn, again = (yard.vehicle(tag) for tag in ("a", "b", "c", "d"))
    refuse_recheck(yard.workshop, yard.clean(refused), "no time", Say("P-2"))
    yard.clean(sold)
    gone(yard.workshop, sold, "sold", Say("P-1"))
    job = yard.clean(withdrawn)
    strike(yard.workshop, job, yard.workshop.record(job).opened.entry, "another motorcycle", Say("P-1"))
    yard.clean(again)
    yard.day("2031-04-20")
    yard.clean(again)
    yard.day("2031-05-02")

    assert () == trends(yard, "2031-05-01").months


def test_a_year_is_told_and_nothing_before(yard: Any) -> None:
    looked_at(yard, yard.clean(yard.vehicle("red tourer")), "2031-04-10")
    yard.day("2032-04-01")

    assert date(2031, 4, 1) == trends(yard, "2032-03-31").months[0].month
    assert () == trends(yard, "2032-04-01").months


def test_marks_found_disturbed_are_counted_by_fastener(yard: Any) -> None:
    """Most often first; one that was struck is none."""
    for tag, holds in (("a", "wheel"), ("b", "brake"), ("c", "brake")):
        yard.mark(yard.clean(yard.vehicle(tag), holds), MarkState.DISTURBED)
    job = yard.clean(yard.vehicle("d"))
    yard.mark(job, MarkState.DISTURBED)
    strike(yard.workshop, job, yard.workshop.record(job).last.entry, "the other motorcycle", Say("P-1"))

    assert (DisturbedMarks("caliper-bolt", 2), DisturbedMarks("front-axle", 1)) == trends(yard, "2031-04-01").marks


def test_the_words_hold_every_number_of_the_pictures() -> None:
    told = Trends(MONTHS, MARKS)

    assert (
        "March 2031: 12 re-checks due, 9 done by the day, 2 later, 1 not (8 %).",
        "May 2031: 4 re-checks due, 4 done by the day, 0 later, 0 not (0 %).",
    ) == told.of_months
    assert "Marks found disturbed: rear axle nut 3, sprocket bolt 1." == told.of_marks


def test_the_bars_are_as_high_as_their_numbers() -> None:
    """Read from the picture as another program reads it: what is done by the day is black, 9 to 4."""
    picture, marks = trend_pictures(Trends(MONTHS, MARKS))
    heights = [height for height in bars(picture.svg, vertical=True) if height > 1]
    widths = bars(marks.svg, vertical=False)

    assert pytest.approx(9 / 4, rel=0.02) == heights[0] / heights[1]
    assert pytest.approx(3, rel=0.02) == max(widths) / min(widths)
    assert ("months", "marks") == (picture.name, marks.name)


def bars(svg: bytes, *, vertical: bool) -> list[float]:
    """The lengths of the black bars in a picture, in its own units."""
    lengths = []
    for path in ET.fromstring(svg).iterfind(".//svg:g[@id]/svg:path", SVG):  # noqa: S314  # made by ourselves
        points = [tuple(map(float, pair)) for pair in re.findall(r"[ML] (\S+) (\S+)", path.get("d", ""))]
        if (
            "fill: #ffffff" in path.get("style", "")
            or "fill: none" in path.get("style", "")
            or len(points) != len("bar!")
        ):
            continue
        along = [point[vertical] for point in points]
        lengths.append(max(along) - min(along))
    return lengths


def test_the_same_months_give_the_same_bytes() -> None:
    told = Trends(MONTHS, MARKS)
    first = trend_pictures(told)
    trend_pictures.cache_clear()

    assert first == trend_pictures(told)


def test_what_has_no_numbers_has_no_picture() -> None:
    """One month is a number, and no trend."""
    assert () == trend_pictures(Trends(MONTHS[:2], ()))
