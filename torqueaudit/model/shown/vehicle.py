"""What every door shows of a vehicle: what stands on each of its fasteners now, over all its jobs."""

from enum import StrEnum
from typing import NamedTuple

from torqueaudit.model.judged.finding import Finding
from torqueaudit.model.shown.job import BookView, FastenerView, JobView
from torqueaudit.model.vehicle.instrument import Hours, Instrument, run_text
from torqueaudit.model.vehicle.visits import Presence


class Riding(StrEnum):
    """Whether a vehicle may be ridden, as far as its record knows."""

    IN_THE_WORKSHOP = "in the workshop"
    STOPPED = "do not ride"
    NOT_SIGNED = "not signed"
    NO_STOP = "no stop stands"


class PresentFastener(NamedTuple):
    """What stands on one fastener now: the job that turned or undid it last, and whether a release has signed that."""

    job: str
    signed: bool
    fastener: FastenerView


class StandingStop(NamedTuple):
    """A stop that stands on a vehicle now, and the job that says so."""

    job: str
    finding: Finding


class JobOfVehicle(NamedTuple):
    """One of a vehicle's jobs in a line; `recheck` is the state of its re-check, "" where it is not worked out."""

    job: str
    title: str
    state: str
    opened_on: str
    recheck: str


class VehicleView(NamedTuple):
    """A vehicle at a glance. `works` are its jobs of which something is left, as they stand; `jobs` are all.

    What was read last off its instrument is in metres, or in minutes of running hours.
    """

    number: str
    tag: str
    model: str
    year: int | None
    presence: Presence
    odometer_m: int | None
    works: tuple[JobView, ...]
    jobs: tuple[JobOfVehicle, ...]
    book: BookView
    instrument: Instrument = Instrument.KM
    run_min: int | None = None

    @property
    def read(self) -> str:
        """What was read last, in words; "" where nothing was."""
        return run_text(self.odometer_m if self.run_min is None else Hours(self.run_min), self.instrument)

    @property
    def fasteners(self) -> tuple[PresentFastener, ...]:
        """Each fastener once, as it stands now, in the order of the jobs; what a withdrawn job told stands nowhere."""
        found: dict[str, PresentFastener] = {}
        for view in (each for each in self.works if not each.withdrawn):
            for fastener in view.fasteners:
                before = found.get(fastener.position)
                if not fastener.overtaken_by and (before is None or fastener.entry is not None):
                    found[fastener.position] = PresentFastener(view.number, is_signed(view, fastener), fastener)
        return tuple(found.values())

    @property
    def stops(self) -> tuple[StandingStop, ...]:
        """Whatever forbids a ride."""
        return tuple(StandingStop(view.number, finding) for view in self.works for finding in view.stops)

    @property
    def riding(self) -> Riding:
        """Nobody rides on a stop, whichever job says it; what nobody has signed is no better."""
        if self.presence.here:
            return Riding.IN_THE_WORKSHOP
        if self.stops:
            return Riding.STOPPED
        return Riding.NOT_SIGNED if self.unsigned else Riding.NO_STOP

    @property
    def unsigned(self) -> tuple[str, ...]:
        """The jobs with work on it that no release signs."""
        return tuple(view.number for view in self.works if not view.release or view.unsigned)


def is_signed(view: JobView, fastener: FastenerView) -> bool:
    """Whether a release signs what was done last on a fastener."""
    return view.release is not None and fastener.entry is not None and fastener.subject not in view.unsigned
