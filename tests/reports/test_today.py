"""What is to be decided today: by this hour what a night says, each motorcycle once, and nothing recorded by asking."""

import json
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

from click.testing import CliRunner, Result

from torqueaudit.book import last_night
from torqueaudit.cli.main import cli
from torqueaudit.model.act import Say
from torqueaudit.model.job.facts import MarkState
from torqueaudit.workshop.door.kept import Works
from torqueaudit.workshop.night.night import keep_in_full, night_of
from torqueaudit.workshop.night.today import NEVER, today_of
from torqueaudit.workshop.register.settings import settle
from torqueaudit.workshop.vehicles.visits import arrive

from .conftest import ZONE


def told(yard: Any, key: str) -> list[tuple[str, str]]:
    """The lines of a section as (vehicle, sentence)."""
    (section,) = (each for each in today_of(yard.workshop).sections if each.key == key)
    return [(line.vehicle, line.in_words) for line in section.lines]


def today(path: Path, *words: str) -> Result:
    return CliRunner().invoke(cli, ["--book", str(path), "today", *words])


def test_a_job_of_which_everything_is_done_waits_for_the_foreman(yard: Any) -> None:
    """Until it is released; one that a second person still has to look at waits for that."""
    job = yard.tightened(yard.vehicle("red tourer"))
    unchecked = told(yard, "for-the-foreman")
    yard.check(job)
    checked = told(yard, "for-the-foreman")
    yard.release(job)

    assert [] == unchecked
    assert [("V-1", "Everything is done. Look at it, and release it.")] == checked
    assert [] == told(yard, "for-the-foreman")


def test_a_stop_that_may_be_permitted_is_the_foremans_to_decide(yard: Any) -> None:
    """A value below its range, with all else done."""
    job = yard.tightened(yard.vehicle("red tourer"), shown="85 N·m")
    yard.check(job)
    ((vehicle, says),) = told(yard, "for-the-foreman")

    assert "V-1" == vehicle
    assert says.startswith("Everything else is done. Have it put right, or permit it with its basis: front-axle: ")


def test_what_came_in_and_is_not_begun_is_told_until_it_is(yard: Any) -> None:
    """Also of a motorcycle that never had a job, however long it stands there."""
    new, known = yard.vehicle("red tourer"), yard.vehicle("blue tourer")
    yard.clean(known)
    yard.clock.now += timedelta(days=1)
    for vehicle in (new, known):
        arrive(yard.workshop, vehicle, 1_100_000, Say("P-2"))
    first = told(yard, "arrived")
    yard.clock.now += timedelta(days=9)
    later = told(yard, "arrived")
    yard.open(new)

    assert [
        (new, "Here since 2031-04-02, and nothing is begun. Open a job."),
        (known, "Here since 2031-04-02, and nothing is begun. Go on with its re-check, or open a job."),
    ] == first
    assert first[:1] == later  # the other is told as untouched
    assert [] == told(yard, "arrived")


def test_a_re_check_that_is_begun_is_not_told_as_nothing(yard: Any) -> None:
    """From the first look on, and once it is done."""
    job = yard.clean(yard.vehicle("red tourer"))
    yard.clock.now += timedelta(days=5)
    arrive(yard.workshop, "V-1", 1_100_000, Say("P-2"))
    came = told(yard, "arrived")
    yard.clock.now += yard.minute
    yard.see_at_the_bench(job)

    assert ["V-1"] == [vehicle for vehicle, _ in came]
    assert [] == told(yard, "arrived")


def test_what_came_in_with_its_re_check_done_has_none_to_go_on_with(yard: Any) -> None:
    """It came for something else, which has no job yet."""
    yard.quiet(yard.vehicle("red tourer"))
    yard.clock.now += timedelta(days=30)
    arrive(yard.workshop, "V-1", 2_000_000, Say("P-2"))

    assert [("V-1", "Here since 2031-05-01, and nothing is begun. Open a job.")] == told(yard, "arrived")


def test_a_mark_that_turned_is_told_within_the_hour(yard: Any) -> None:
    """A night that judged everything has not seen it; and by asking nothing is recorded."""
    job = yard.clean(yard.vehicle("red tourer"))
    yard.clock.now += timedelta(days=1)
    keep_in_full(yard.workshop, night_of(yard.workshop), Say("night"))
    before = told(yard, "on-the-road")
    yard.mark(job, MarkState.DISTURBED)
    head = yard.workshop.book.head()
    after = told(yard, "on-the-road")

    assert [] == before
    assert ["V-1"] == [vehicle for vehicle, _ in after]
    assert head == yard.workshop.book.head()


def test_a_server_judges_today_anew_only_where_something_changed(yard: Any) -> None:
    """Opened again it is what was judged, with the hour of then; a mark that turned is told at once, and a night is."""
    job = yard.clean(yard.vehicle("red tourer"))
    yard.clock.now += timedelta(days=1)
    yard.workshop.kept = Works(yard.workshop.book, yard.clock)
    first = today_of(yard.workshop)
    yard.clock.now += timedelta(seconds=30)
    second = today_of(yard.workshop)
    yard.mark(job, MarkState.DISTURBED)
    third = today_of(yard.workshop)
    last_night.keep(yard.path, yard.workshop.today(), yard.clock.now)

    assert (first, first.asked_at) == (second, second.asked_at)
    assert ["V-1"] == [line.vehicle for each in third.sections for line in each.lines if each.key == "on-the-road"]
    assert {"nights-missed"} == {each.key for each in third.sections} - {
        each.key for each in today_of(yard.workshop).sections
    }


def test_a_large_book_that_no_night_has_judged_says_so(yard: Any) -> None:
    """What the lists know of is told all the same; after one full night nothing is missing."""
    job = yard.clean(yard.vehicle("red tourer"))
    yard.mark(job, MarkState.DISTURBED)
    first, known = today_of(yard.workshop, small=0).sections[:2]
    yard.clock.now += timedelta(days=1)
    keep_in_full(yard.workshop, night_of(yard.workshop), Say("night"))

    assert [f"{NEVER} Look why, and audit them."] == [line.in_words for line in first.lines]
    assert ["V-1"] == [line.vehicle for line in known.lines]
    assert () == today_of(yard.workshop, small=0).sections[0].lines


def test_today_says_where_tonight_is_judged_anew(yard: Any) -> None:
    """A setting that any judgement may rest on was changed since the last full night."""
    yard.clean(yard.vehicle("red tourer"))
    yard.clock.now += timedelta(days=1)
    keep_in_full(yard.workshop, night_of(yard.workshop), Say("night"))
    before = today_of(yard.workshop)
    settle(yard.workshop, {"own_tolerance_percent": "8"}, Say("P-1"))
    after = today_of(yard.workshop)

    assert [False, True] == [each.full_tonight for each in (before, after)]
    assert after.judged.endswith("2031-04-01. Tonight everything is judged anew, which may find more.")


def test_the_command_shows_what_has_lines_alone_and_ends_with_0(yard_of_late: Any) -> None:
    """Whatever was missed: it is a question, and the night is what fails."""
    yard_of_late.clean(yard_of_late.vehicle("red tourer"))
    shown, data = today(yard_of_late.path), json.loads(today(yard_of_late.path, "--json").stdout)
    (row,) = data["motorcycles"]

    assert (0, "") == (shown.exit_code, shown.stderr)
    assert "Re-checks missed: 1\n  red tourer, V-1: call the owner (no number and no address is kept)\n" in shown.stdout
    assert "none" not in shown.stdout
    assert ("V-1", ["re-checks-missed"]) == (row["vehicle"], [each["section"] for each in row["reasons"]])


def test_a_day_with_nothing_to_decide_says_so_in_one_line(yard_of_late: Any) -> None:
    """Of a book whose nights were audited."""
    last_night.keep(yard_of_late.path, datetime.now(ZONE).date() - timedelta(days=1), yard_of_late.clock.now)
    _, *lines = today(yard_of_late.path).stdout.splitlines()

    assert "Nothing is to be decided." == lines[0]


def test_whether_an_owner_is_reached_is_told_where_one_is_called(yard_of_late: Any) -> None:
    """Of others nobody has looked."""
    yard_of_late.clean(yard_of_late.vehicle("red tourer"))
    yard_of_late.clock.now = datetime.now(UTC)
    arrive(yard_of_late.workshop, yard_of_late.vehicle("courier"), 1_000_000, Say("P-2"))
    rows = json.loads(today(yard_of_late.path, "--json").stdout)["motorcycles"]

    assert [("V-1", False), ("V-2", None)] == [(row["vehicle"], row["reached"]) for row in rows]
