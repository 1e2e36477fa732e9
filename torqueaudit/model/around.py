"""What a rule may know besides the job itself, loaded and frozen before any rule runs."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime
from typing import NamedTuple

from torqueaudit.model.subjects import Person, Settings, Vehicle, Wrench


class VehicleEvent(NamedTuple):
    """A fastener of the vehicle tightened or loosened by another job, or loosened by anyone's report (no job)."""

    position: str
    happened_at: datetime
    job: str
    entry: int
    kind: str  # "tightened" or "loosened"


class PluginTrouble(NamedTuple):
    """A plugin that is expected and absent, blocked, or broken."""

    name: str
    says: str


@dataclass(frozen=True, slots=True)
class Around:
    """The frozen surroundings of one job at one moment."""

    now: datetime
    settings: Settings
    vehicle: Vehicle
    people: Mapping[str, Person]
    wrenches: Mapping[str, Wrench]
    others: tuple[VehicleEvent, ...]  # of other jobs on the same vehicle
    read_by: str  # who read the procedure against its source, "" nobody yet
    trouble: tuple[PluginTrouble, ...]

    @property
    def today(self) -> date:
        """The workshop's date."""
        return self.now.astimezone(self.settings.timezone).date()

    def undone(self, position: str, since: datetime) -> VehicleEvent | None:
        """The last thing another job or a report did to a fastener after a moment."""
        later = [event for event in self.others if event.position == position and event.happened_at > since]
        return later[-1] if later else None
