"""What a rule may know besides the job itself, loaded and frozen before any rule runs."""

from collections.abc import Mapping
from datetime import date, datetime
from decimal import Decimal
from typing import TYPE_CHECKING, NamedTuple

from torqueaudit.model.job.facts import Tightening
from torqueaudit.model.job.record import Job
from torqueaudit.model.register.people import Person
from torqueaudit.model.register.settings import Settings
from torqueaudit.model.vehicle.vehicle import Vehicle
from torqueaudit.model.vehicle.visits import Presence

if TYPE_CHECKING:
    from torqueaudit.model.wrench.overload import Overload
    from torqueaudit.model.wrench.wrench import Wrench


class VehicleEvent(NamedTuple):
    """A fastener of the vehicle tightened or loosened by another job, or loosened by anyone's report (no job).

    It was done `alone` where that job is of some fasteners of its procedure and no more.
    """

    position: str
    happened_at: datetime
    job: str
    entry: int
    kind: str  # "tightened" or "loosened"
    alone: bool = False


class VehicleMeasurement(NamedTuple):
    """A value measured on the vehicle by any of its jobs, this one included; a withdrawn job's values are left out.

    `odometer_m` is what was read in that job nearest in time, as the first odometer of the vehicle would show it, None
    where nothing was. `conditions` are pairs.
    """

    key: str
    kind: str
    value: Decimal
    unit: str
    conditions: tuple[tuple[str, str], ...]
    happened_at: datetime
    odometer_m: int | None
    job: str
    entry: int


class VehiclePart(NamedTuple):
    """A part that any job put on the vehicle, this one included; else as `VehicleMeasurement`."""

    key: str
    part: str
    lot: str
    new: bool
    attributes: tuple[tuple[str, str], ...]
    happened_at: datetime
    odometer_m: int | None
    job: str
    entry: int


class VehicleOdometer(NamedTuple):
    """A distance in metres read off the vehicle, by any of its jobs.

    `run_m` is what its first odometer would show: it does not count down where that was replaced.
    """

    happened_at: datetime
    metres: int
    entry: int
    run_m: int


class VehicleHours(NamedTuple):
    """Running hours in minutes, read off the vehicle by any of its jobs."""

    happened_at: datetime
    minutes: int
    entry: int


class FollowUp(NamedTuple):
    """A job on the same vehicle that follows this one, and since when it is released (None: it is not).

    `work` are the keys of all its work where it is of some fasteners alone, else empty.
    """

    job: str
    released_at: datetime | None
    work: frozenset[str] = frozenset()

    def answers(self, key: str) -> bool:
        """Whether it puts right what was found of this piece of work; a job of a whole procedure does."""
        return not self.work or key in self.work


class Anew(NamedTuple):
    """A pass as it is known since its wrench was put right in an entry; its torque is None where nobody can tell."""

    done: Tightening
    since: int


class PluginTrouble(NamedTuple):
    """A plugin that is expected and absent, blocked, or broken."""

    name: str
    says: str


class Around(NamedTuple):
    """The frozen surroundings of one job at one moment.

    `others` are what other jobs and reports did to fasteners of its vehicle; `measured`, `fitted` and `odometers` are
    of all jobs on it, this one included, each in the order of the work. `before` is the job that this one follows,
    as it stands now.
    """

    now: datetime
    settings: Settings
    vehicle: Vehicle
    people: Mapping[str, Person]
    wrenches: "Mapping[str, Wrench]"
    cycles: Mapping[str, int]  # of each of them since its calibration, at least
    others: tuple[VehicleEvent, ...]
    read_by: str  # who read the procedure against its source, "" nobody yet
    trouble: tuple[PluginTrouble, ...]
    measured: tuple[VehicleMeasurement, ...]
    fitted: tuple[VehiclePart, ...]
    odometers: tuple[VehicleOdometer, ...]
    before: Job | None
    followed_by: tuple[FollowUp, ...]  # the oldest first, withdrawn ones left out
    presence: Presence  # of the vehicle at this moment
    overloads: "Mapping[str, Overload]"  # the pass that overloaded a wrench, of those that nobody has looked at since
    anew: Mapping[int, Anew]  # passes that rest on a fact of their wrench put right since, by entry
    hours: tuple[VehicleHours, ...] = ()  # read off its hour meter, as `odometers`

    @property
    def today(self) -> date:
        """The workshop's date."""
        return self.now.astimezone(self.settings.timezone).date()

    def as_known(self, done: Tightening) -> Tightening:
        """A pass as it is known today: with another torque where the lever of its wrench was put right since."""
        anew = self.anew.get(done.noted.entry)
        return anew.done if anew else done

    def cause_of(self, done: Tightening) -> int:
        """The entry that says what is known of a pass today: its own, or the one that put its wrench right."""
        anew = self.anew.get(done.noted.entry)
        return anew.since if anew else done.noted.entry

    def undone(self, position: str, since: datetime) -> VehicleEvent | None:
        """The last thing another job or a report did to a fastener after a moment."""
        later = [event for event in self.others if event.position == position and event.happened_at > since]
        return later[-1] if later else None
