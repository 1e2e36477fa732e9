"""Once a week everything on the road is judged; the nights between judge whatever may have changed since."""

from collections.abc import Iterator
from contextlib import contextmanager
from datetime import date
from typing import TYPE_CHECKING, Any

import pytest

from torqueaudit.model.act import Say
from torqueaudit.plugin import Around, Finding, Job, Subject, Weight, hookimpl
from torqueaudit.workshop.jobs.fasteners import loosen
from torqueaudit.workshop.jobs.release import hand_over
from torqueaudit.workshop.night.night import keep_in_full, night_of
from torqueaudit.workshop.register.settings import settle

if TYPE_CHECKING:
    from torqueaudit.plugins import Plugins


def road(yard: Any, day: str) -> list[str]:
    """The jobs that a night calls in."""
    night = night_of(yard.workshop, date.fromisoformat(day))
    return [line.job for section in night.sections if section.key == "on-the-road" for line in section.lines]


def in_full(yard: Any, day: str) -> date | None:
    """The day that a night says everything was judged for; kept where it was its own."""
    night = night_of(yard.workshop, date.fromisoformat(day))
    keep_in_full(yard.workshop, night, Say("night"))
    return night.judged_in_full


def test_everything_is_judged_in_full_once_a_week(yard: Any) -> None:
    """The first night, and each that lies a week behind the last one."""
    yard.clean(yard.vehicle("tourer"))
    days = ["2031-04-01", "2031-04-02", "2031-04-07", "2031-04-08", "2031-04-09"]
    yard.day("2031-04-20")

    assert ["2031-04-01", "2031-04-01", "2031-04-01", "2031-04-08", "2031-04-08"] == [
        str(in_full(yard, day)) for day in days
    ]


def test_what_is_told_late_of_the_time_before_it_left_is_seen(yard: Any) -> None:
    """Handed over at 10:20; two hours later somebody tells that the nut was loosened at 10:08."""
    job = yard.clean(yard.vehicle("tourer"))
    left = yard.workshop.record(job).hand_over.noted.happened_at
    yard.day("2031-04-02")
    quiet = road(yard, "2031-04-01")
    in_full(yard, "2031-04-01")
    loosen(yard.workshop, job, yard.fastener(job), "washer forgotten", Say("P-2", at=left - yard.minute / 2))

    assert ([], [job]) == (quiet, road(yard, "2031-04-01"))


def test_a_full_night_is_due_when_what_the_workshop_chose_changes(yard: Any) -> None:
    """A setting may make any job stop."""
    yard.clean(yard.vehicle("tourer"))
    yard.day("2031-04-03")
    first = in_full(yard, "2031-04-01")
    settle(yard.workshop, {"single_handed": True}, Say("P-1"))

    assert ("2031-04-01", "2031-04-02") == (str(first), str(in_full(yard, "2031-04-02")))


class Recall:
    """An outside plugin: from a day on it stops every job, whatever was recorded."""

    @hookimpl
    def review_job(self, job: Job, around: Around) -> list[Finding] | None:
        if around.today < date(2031, 4, 3):
            return None
        says = "its bolts were called back. Look at their heads."
        entry = job.record.opened.entry
        return [Finding(rule="recall/bolts", weight=Weight.STOP, about=Subject("bolts"), words=says, entry=entry)]


class Judged:
    """An outside plugin that writes down which jobs it was asked about."""

    def __init__(self) -> None:
        self.jobs: list[str] = []

    @hookimpl
    def review_job(self, job: Job, around: Around) -> list[Finding] | None:  # noqa: ARG002 -- as its hook asks
        self.jobs.append(job.number)
        return None


@contextmanager
def with_plugin(yard: Any, name: str, plugin: object) -> Iterator[None]:
    """A yard whose plugins have one more, which does not say that its rules follow the entries."""
    plugins: Plugins = yard.workshop.plugins
    plugins.manager.register(plugin, name)
    plugins.states[name] = plugins.states["workshop_rules"]._replace(name=name, hooks=("review_job",))
    yield
    plugins.manager.unregister(name=name)
    del plugins.states[name]


@pytest.fixture
def with_recall(yard: Any) -> Iterator[Any]:
    with with_plugin(yard, "recall", Recall()):
        yield yard


def test_a_full_night_judges_each_job_once(yard: Any) -> None:
    """Also one whose re-check was missed, and one of which nothing is told."""
    missed, quiet = yard.clean(yard.vehicle("tourer")), yard.quiet(yard.vehicle("cruiser"))
    yard.day("2031-05-12")
    judged = Judged()
    with with_plugin(yard, "judged", judged):
        night = night_of(yard.workshop, date(2031, 5, 11))
    told = [line.job for section in night.sections for line in section.lines]

    assert [missed] == told
    assert [missed, quiet] == sorted(judged.jobs)


def test_a_stop_of_an_outside_rule_is_seen_on_its_first_night(with_recall: Any) -> None:
    """Nothing was recorded, and it is no week since everything was judged."""
    yard = with_recall
    job = yard.clean(yard.vehicle("tourer"))
    yard.day("2031-04-04")
    in_full(yard, "2031-04-01")

    assert ([], [job]) == (road(yard, "2031-04-02"), road(yard, "2031-04-03"))


def test_a_vehicle_that_came_back_and_was_forgotten_is_told(yard: Any) -> None:
    """Nobody said that it left again, so nobody would be called whatever happens to it."""
    job = yard.clean(yard.vehicle("tourer"))
    yard.day("2031-04-05")
    yard.see_at_the_bench(job)
    yard.day("2031-04-20")
    night = night_of(yard.workshop, date(2031, 4, 19))
    says = [line.says for section in night.sections if section.key == "gone-or-untouched" for line in section.lines]

    assert ["Here again, and nothing recorded for 14 days. Hand it over, or say where it is."] == says


def test_a_hand_over_with_stops_is_told_that_night(yard: Any) -> None:
    """Who let it go, and why, also where it was put right on the same day."""
    job = yard.tightened(yard.vehicle("tourer"))
    hand_over(yard.workshop, job, 1_000_000, Say("P-2"), "its owner towed it away")
    yard.day("2031-04-02")
    night = night_of(yard.workshop, date(2031, 4, 1))
    says = [line.says for section in night.sections if section.key == "gone-or-untouched" for line in section.lines]

    assert says[0].startswith("Handed over by P-2 with 1 stop standing: its owner towed it away. Left on 2031-04-01")
