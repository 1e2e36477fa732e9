"""The wrenches that were used on jobs of a sign-off after more cycles than are allowed."""

from collections.abc import Iterable, Iterator
from datetime import date
from typing import TYPE_CHECKING, NamedTuple

from torqueaudit.model.job.facts import Tightening
from torqueaudit.model.sign_off.days import Days
from torqueaudit.model.sign_off.facts import BeyondCycles
from torqueaudit.model.sign_off.of_job import Told
from torqueaudit.model.wrench.wrench import Wrench
from torqueaudit.workshop.wrenches.in_hand import cycles_since

if TYPE_CHECKING:
    from torqueaudit.model.register.settings import Settings
    from torqueaudit.workshop.door.workshop import Workshop


class Use(NamedTuple):
    """The last pass of a wrench on a job in the days, and the day of the calibration that it rests on."""

    wrench: Wrench
    since: date | None
    done: Tightening
    job: str


def beyond_cycles(
    workshop: "Workshop", told: Iterable[Told], days: Days, settings: "Settings"
) -> Iterator[BeyondCycles]:
    """Each of them, once for a calibration, with the jobs on which it was beyond; the pass that is looked at counts."""
    together: dict[tuple[str, date | None], list[Use]] = {}
    for use in _uses(workshop, told, days):
        together.setdefault((use.wrench.number, use.since), []).append(use)
    for uses in together.values():
        uses.sort(key=lambda use: use.done.noted.order)
        if found := _beyond(workshop, uses, settings):
            yield found


def _beyond(workshop: "Workshop", uses: list[Use], settings: "Settings") -> BeyondCycles | None:
    """What is told of the uses of one wrench, in their order; where the last is not beyond, none is counted."""
    allowed, last = settings.calibration_cycles, uses[-1]
    cycles = _counted(workshop, last, settings)
    if cycles <= allowed:
        return None
    jobs = [use.job for use in uses if use is last or _counted(workshop, use, settings) > allowed]
    return BeyondCycles(wrench=last.wrench.number, cycles=cycles, allowed=allowed, since=last.since, jobs=tuple(jobs))


def _counted(workshop: "Workshop", use: Use, settings: "Settings") -> int:
    return cycles_since(workshop.book, settings, use.wrench, use.since, use.done.noted.happened_at)


def _uses(workshop: "Workshop", told: Iterable[Told], days: Days) -> Iterator[Use]:
    wrenches: dict[str, Wrench | None] = {}
    for each in told:
        passes = (done for done in each.record.of(Tightening) if done.wrench and days.hold(done.noted.recorded_at))
        for number, done in {done.wrench: done for done in passes}.items():
            if number not in wrenches:
                wrenches[number] = workshop.wrench(number)
            if wrench := wrenches[number]:
                calibration = wrench.calibrated_before(days.local(done.noted.happened_at).date())
                yield Use(wrench, calibration.on if calibration else None, done, each.record.number)
