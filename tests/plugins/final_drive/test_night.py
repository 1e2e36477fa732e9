"""What the nightly report says of chains that will be at their limit before long."""

from collections.abc import Callable
from datetime import date

from torqueaudit.testing import Clock, play
from torqueaudit.workshop.door.workshop import Workshop
from torqueaudit.workshop.night.night import night_of

Enter = Callable[..., None]
WORK = """
[[work]]
fit = "chain"
name = "chain"
part = "chain"

[[work]]
measure = "wear"
name = "chain wear"
kind = "chain wear"
max = "0.8 %"
source = "manual"
page = "1"

[x.final_drive]
chain = "525"
"""
NEAR = ((12_000, "286.5"), (15_000, "287.0"), (18_000, "287.55"), (20_000, "287.9"))
FAR = ((12_000, "286.3"), (15_000, "286.5"), (18_000, "286.7"), (20_000, "286.85"))
PAST = ((12_000, "286.5"), (15_000, "287.0"), (18_000, "287.6"), (20_000, "288.2"))


def left_open(workshop: Workshop, points: tuple[tuple[int, str], ...]) -> None:
    """A job every second day at each of these distances, with this length over 19 pins; all of them stay open."""
    for number, (km, length) in enumerate(points, start=1):
        day = f"2031-04-{2 * number - 1:02}"
        play(workshop, f"{day} 10:00 job {number} opened drive on V-1 at {km} km by P-2")
        play(workshop, f"{day} 10:05 job {number} wear measured pins 19, length {length} mm by P-2")


def told(workshop: Workshop, clock: Clock, number: str = "20") -> list[tuple[str, ...]]:
    """The rows of the section, some days later, when nobody has touched the jobs since."""
    clock.set(f"2031-04-{number} 06:00")
    added = night_of(workshop, date(2031, 4, int(number) - 1)).extra
    return [row for section in added if section.title == "Chains near their limit" for row in section.rows]


def test_report_sections_tell_a_chain_near_its_limit_once(workshop: Workshop, clock: Clock, enter: Enter) -> None:
    """Of the last job on the vehicle; 0.8 % is reached soon after the newest distance."""
    enter(WORK)
    left_open(workshop, NEAR)
    ((vehicle, job, limit, reached, newest),) = told(workshop, clock)

    assert ("V-1 bike-1", "4", "0.8 %", "20000 km") == (vehicle, job, limit, newest)
    assert 20_000 < int(reached.split(" km")[0]) < 22_000


def test_a_chain_far_from_its_limit_is_not_told(workshop: Workshop, clock: Clock, enter: Enter) -> None:
    """The report is no longer for it."""
    enter(WORK)
    left_open(workshop, FAR)

    assert [] == told(workshop, clock)


def test_a_chain_past_its_limit_is_not_told_again(workshop: Workshop, clock: Clock, enter: Enter) -> None:
    """It is a stop on its job already."""
    enter(WORK)
    left_open(workshop, PAST)

    assert [] == told(workshop, clock)


def test_a_chain_that_came_off_is_not_told(workshop: Workshop, clock: Clock, enter: Enter) -> None:
    """What matters is the one that is on."""
    enter(WORK)
    left_open(workshop, NEAR)
    play(workshop, "2031-04-08 10:00 job 4 chain fitted chain by P-2")

    assert [] == told(workshop, clock)


def test_a_night_without_such_a_chain_has_no_section(workshop: Workshop, clock: Clock, enter: Enter) -> None:
    """Nothing is added where nothing is to be said: too few distances for a line."""
    enter(WORK)
    left_open(workshop, NEAR[:2])

    assert [] == told(workshop, clock)
