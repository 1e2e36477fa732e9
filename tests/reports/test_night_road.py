"""What a night tells of vehicles that left: loosened by report, a brake that fails, work of jobs never released."""

from datetime import date
from typing import Any

from torqueaudit.model.act import Say
from torqueaudit.model.job.acts import Opening, Tighten
from torqueaudit.model.job.facts import MarkState, Outcome
from torqueaudit.model.shown.night import Line
from torqueaudit.workshop.jobs.fasteners import see_mark, tighten
from torqueaudit.workshop.jobs.job import open_job
from torqueaudit.workshop.jobs.release import hand_over, release
from torqueaudit.workshop.jobs.steps_and_parts import do_step
from torqueaudit.workshop.night.night import night_of
from torqueaudit.workshop.register.procedures import enter_procedure, read_against_source
from torqueaudit.workshop.vehicles.vehicle import report_loosened

BRAKE_STEP = """
format = 1
name = "pads"
title = "brake pads"
edition = "1"

[[work]]
step = "brake-tried"
name = "brake tried"
says = "Push it and stop it."
proves = "brake"
"""
BOLTS = """
[[work]]
tighten = "disc-bolt"
name = "disc bolt"
count = 4
torque = "100 N·m"
tolerance = "10 %"
mark = true
check = true
holds = "brake"
source = "manual"
page = "1"

[source.manual]
document = "Invented manual"
edition = "1"
model = "Kestrel 500"
years = [2028, 2031]
"""


def on_the_road(yard: Any, day: str = "2031-04-02") -> list[Line]:
    """What the night of a day tells of the vehicles on the road."""
    night = night_of(yard.workshop, date.fromisoformat(day))
    return list(next(section.lines for section in night.sections if section.key == "on-the-road"))


def test_a_reported_loosening_of_a_vehicle_that_left_is_told(yard: Any) -> None:
    """The owner rang: a tyre was changed elsewhere."""
    vehicle = yard.vehicle("tourer")
    job = yard.clean(vehicle)
    yard.day("2031-04-02")
    report_loosened(yard.workshop, vehicle, "front-axle", "tyre changed elsewhere", Say("owner"))
    yard.day("2031-04-03")
    (told,) = on_the_road(yard)

    assert (job, True) == (told.job, "front-axle: undone on 2031-04-02, reported by somebody else." in told.says)


def test_a_reported_loosening_is_told_until_it_is_tight_again(yard: Any) -> None:
    """A later job that was released answers it."""
    vehicle = yard.vehicle("tourer")
    yard.clean(vehicle)
    yard.day("2031-04-02")
    report_loosened(yard.workshop, vehicle, "front-axle", "tyre changed elsewhere", Say("owner"))
    yard.day("2031-04-03")
    before = len(on_the_road(yard, "2031-04-02"))
    yard.clean(vehicle)
    yard.day("2031-04-04")

    assert (1, []) == (before, on_the_road(yard, "2031-04-03"))


def test_a_reported_loosening_of_a_re_checked_vehicle_is_told(yard: Any) -> None:
    """The look after the first ride says nothing of what was undone after it."""
    vehicle = yard.vehicle("tourer")
    job = yard.quiet(vehicle)
    yard.day("2031-04-02")
    report_loosened(yard.workshop, vehicle, "front-axle", "tyre changed elsewhere", Say("owner"))
    yard.day("2031-04-03")

    assert [job] == [line.job for line in on_the_road(yard)]


def brake_job(yard: Any) -> str:
    """A job that proves a brake, released and handed over."""
    file = yard.folder / "pads.toml"
    file.write_text(BRAKE_STEP, encoding="utf-8")
    digest = enter_procedure(yard.workshop, file, Say("P-2"))
    read_against_source(yard.workshop, digest, "", Say("P-3"))
    job = open_job(yard.workshop, Opening(yard.vehicle("courier"), digest), Say("P-2"))
    do_step(yard.workshop, job, "brake-tried", "yes", "", Say("P-2"))
    release(yard.workshop, job, Say("P-1"))
    hand_over(yard.workshop, job, 1_000_000, Say("P-2"))
    return job


def test_a_brake_that_fails_after_the_hand_over_is_told(yard: Any) -> None:
    """Tried again at the roadside, and it did not hold."""
    job = brake_job(yard)
    yard.day("2031-04-02")
    do_step(yard.workshop, job, "brake-tried", "no", "lever soft", Say("P-2", here=True))
    yard.clock.now += yard.minute
    hand_over(yard.workshop, job, 1_000_000, Say("P-2"), "left behind at the roadside")
    yard.day("2031-04-03")
    (told,) = on_the_road(yard)

    assert (job, True) == (told.job, "brake tried: answered no (lever soft)." in told.says)


def test_a_brake_that_holds_after_the_hand_over_is_silent(yard: Any) -> None:
    """Tried once more and well."""
    job = brake_job(yard)
    yard.day("2031-04-02")
    do_step(yard.workshop, job, "brake-tried", "yes", "", Say("P-2", here=True))
    yard.day("2031-04-03")

    assert on_the_road(yard) == []


def test_a_later_job_never_released_is_told_in_its_place(yard: Any) -> None:
    """While it stands here nobody is called; gone without release it is told by the job that turned the nut last."""
    vehicle = yard.vehicle("enduro")
    first = yard.clean(vehicle)
    yard.clock.now += yard.minute
    yard.mark(first, MarkState.DISTURBED)
    yard.day("2031-04-02")
    later = yard.tightened(vehicle)
    yard.day("2031-04-03")
    here = on_the_road(yard)
    yard.left(later, released=False)
    yard.day("2031-04-04")
    away = [line.job for line in on_the_road(yard, "2031-04-03")]
    yard.check(later)
    yard.clock.now += yard.minute
    yard.left(later)
    yard.day("2031-04-05")

    assert ([], [later], []) == (here, away, on_the_road(yard, "2031-04-04"))
    assert first != later


def test_the_bolts_of_a_group_are_told_at_once_and_hide_nothing(yard: Any) -> None:
    """Four of them take one of the few places, so that the brake that nobody tried is told beside them."""
    file = yard.folder / "disc.toml"
    file.write_text(BRAKE_STEP + BOLTS, encoding="utf-8")
    digest = enter_procedure(yard.workshop, file, Say("P-2"))
    read_against_source(yard.workshop, digest, "", Say("P-3"))
    job = open_job(yard.workshop, Opening(yard.vehicle("courier"), digest), Say("P-2"))
    tighten(yard.workshop, job, "disc-bolt", Tighten(Outcome.TURNED_CLICKED, yard.wrench, "100 N·m"), Say("P-2"))
    see_mark(yard.workshop, job, "disc-bolt", MarkState.INTACT, "", Say("P-2"))
    hand_over(yard.workshop, job, 1_000_000, Say("P-2"), "fetched at once")
    (told,) = on_the_road(yard, "2031-04-01")

    assert (
        "Reach the owner today. disc bolt 1, 2, 3, 4: not independently checked. Somebody who had no hand in it has to "
        "look. brake tried: not done. Push it and stop it."
    ) == told.says
