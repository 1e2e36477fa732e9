"""The wrenches that were used on jobs of a sign-off after more cycles than are allowed."""

from collections.abc import Iterable, Iterator
from datetime import date
from typing import TYPE_CHECKING, NamedTuple

from torqueaudit.model.job.facts import Tightening
from torqueaudit.model.sign_off.days import Days
from torqueaudit.model.sign_off.facts import BeyondCycles
from torqueaudit.model.sign_off.of_job import Told
from torqueaudit.model.wrench.wrench import Wrench
from torqueaudit.workshop.door.refusal import why_of
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


class Wrenches:
    """The wrenches of a sign-off, each read once; `unread` says which of them cannot be."""

    def __init__(self, workshop: "Workshop", settings: "Settings") -> None:
        self._workshop = workshop
        self._settings = settings
        self._known: dict[str, Wrench | None] = {}
        self.unread: list[str] = []

    def beyond_cycles(self, told: Iterable[Told], days: Days) -> Iterator[BeyondCycles]:
        """Those beyond, once for a calibration, with the jobs on which they were; the pass that is looked at counts."""
        together: dict[tuple[str, date | None], list[Use]] = {}
        for use in self._uses(told, days):
            together.setdefault((use.wrench.number, use.since), []).append(use)
        for uses in together.values():
            uses.sort(key=lambda use: use.done.noted.order)
            if found := self._beyond(uses):
                yield found

    def _beyond(self, uses: list[Use]) -> BeyondCycles | None:
        """What is told of the uses of one wrench, in their order; where the last is not beyond, none is counted."""
        allowed, last = self._settings.calibration_cycles, uses[-1]
        cycles = self._counted(last)
        if cycles <= allowed:
            return None
        jobs = tuple(use.job for use in uses if use is last or self._counted(use) > allowed)
        return BeyondCycles(wrench=last.wrench.number, cycles=cycles, allowed=allowed, since=last.since, jobs=jobs)

    def _counted(self, use: Use) -> int:
        return cycles_since(self._workshop.book, self._settings, use.wrench, use.since, use.done.noted.happened_at)

    def _uses(self, told: Iterable[Told], days: Days) -> Iterator[Use]:
        for each in told:
            passes = (done for done in each.record.of(Tightening) if done.wrench and days.hold(done.noted.recorded_at))
            for number, done in {done.wrench: done for done in passes}.items():
                if wrench := self._wrench(number):
                    calibration = wrench.calibrated_before(days.local(done.noted.happened_at).date())
                    yield Use(wrench, calibration.on if calibration else None, done, each.record.number)

    def _wrench(self, number: str) -> Wrench | None:
        if number not in self._known:
            try:
                self._known[number] = self._workshop.wrench(number)
            except Exception as error:  # noqa: BLE001  # whatever a damaged entry does, the rest is told and this says so
                self._known[number] = None
                self.unread.append(f"Wrench {number} cannot be read ({why_of(error)}).")
        return self._known[number]
