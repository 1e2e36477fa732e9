"""What tells how far a motorcycle has run: an odometer in kilometres or miles, an hour meter, or nothing."""

from collections.abc import Mapping
from enum import StrEnum
from typing import Any, NamedTuple, TypeAlias

from torqueaudit.model.register.distance import METRES, distance_text


class Instrument(StrEnum):
    """What a motorcycle has to be read off; the word is what people choose it by."""

    KM = "km"
    MILES = "mi"
    HOURS = "hours"
    NONE = "none"

    @property
    def unit(self) -> str:
        """What stands behind its figure; "" where there is no instrument."""
        return {Instrument.HOURS: "h", Instrument.NONE: ""}.get(self, self.value)

    @property
    def called(self) -> str:
        """What people call it."""
        return "hour meter" if self is Instrument.HOURS else "odometer"

    @property
    def figures(self) -> str:
        """What it counts, in words; "" where there is no instrument."""
        return {Instrument.KM: "kilometres", Instrument.MILES: "miles", Instrument.HOURS: "hours"}.get(self, "")

    @property
    def says(self) -> str:
        """It in words."""
        return self.called if self is Instrument.HOURS else f"odometer in {self}" if self.unit else "no odometer"

    @property
    def counts_distance(self) -> bool:
        """Whether it shows a distance."""
        return self in (Instrument.KM, Instrument.MILES)


class Hours(NamedTuple):
    """What an hour meter shows, in whole minutes."""

    minutes: int


Run: TypeAlias = int | Hours  # what an instrument shows: a distance in whole metres, or running hours


def told_as(run: Run | None) -> dict[str, int]:
    """What was read as an entry holds it; nothing where nothing was."""
    if run is None:
        return {}
    return {"run_min": run.minutes} if isinstance(run, Hours) else {"odometer_m": run}


def run_in(said: Mapping[str, Any]) -> Run | None:
    """What was read as an entry says it, None where nothing was. Raises ValueError for what is no whole number."""
    told = [said[key] for key in ("odometer_m", "run_min") if key in said]
    if any(type(each) is not int for each in told):
        raise ValueError("odometer")
    return Hours(said["run_min"]) if "run_min" in said else said.get("odometer_m")


def hours_text(minutes: int) -> str:
    """Running hours to a tenth, as an hour meter shows them: "12.5 h"."""
    return f"{minutes / 60:.1f}".removesuffix(".0") + " h"


def run_text(run: Run | None, instrument: Instrument) -> str:
    """What was read in whole kilometres or miles, or in hours, as the instrument shows it; "" for nothing."""
    if run is None:
        return ""
    if isinstance(run, Hours):
        return hours_text(run.minutes)
    return distance_text(run, instrument.unit if instrument.counts_distance else "km")


def has_run(before: Run | None, now: Run | None) -> bool:
    """Whether it has run between two readings; also where nobody can tell, as one was not read, or by another kind."""
    if isinstance(before, Hours) and isinstance(now, Hours):
        return now.minutes > before.minutes
    return not isinstance(before, int) or not isinstance(now, int) or now > before


def whole_figure(metres: int, instrument: Instrument) -> int:
    """The last whole kilometre or mile of a distance, as it is kept where somebody reads that figure."""
    unit = METRES[instrument.unit if instrument.counts_distance else "km"]
    return int((metres + 1) // unit * unit)  # a whole mile is kept without its part of a metre
