"""Whether the sources of a job hold for its vehicle: judged when it is opened, and when the vehicle is put right.

See decision 0072.
"""

from typing import TYPE_CHECKING

from torqueaudit.model.vehicle.vehicle import Holding, Vehicle

if TYPE_CHECKING:
    from torqueaudit.model.job.record import JobRecord
    from torqueaudit.model.procedure.procedure import Procedure


def why_outside(procedure: "Procedure", vehicle: Vehicle, frame: str | None) -> str:
    """Why the sources do not hold for a vehicle, "" when they do. The frame number itself is not told.

    It is "" where nobody ever told it, and None where it is not looked at.
    """
    for source in procedure.sources:
        if source.model.casefold() != vehicle.model.casefold():
            return f"{source.document} holds for the {source.model}, and this is a {vehicle.model}."
        first, last = source.years
        if vehicle.year is None or not first <= vehicle.year <= last:
            return (
                f"{source.document} holds for the years {first} to {last}, and this is of "
                f"{vehicle.year or 'no known year'}."
            )
        if source.frames and frame is not None and not _between(source.frames, frame):
            return (
                f"{source.document} holds for a range of frame numbers, and this one is "
                f"{'outside' if frame else 'not known'}."
            )
    return ""


def holding_of(record: "JobRecord", vehicle: Vehicle) -> Holding:
    """Whether the sources of a job hold for its vehicle as it is known today, and the entry that says so."""
    return vehicle.judged_anew.get(record.number) or Holding(record.validity, record.opened.entry)


def _between(frames: tuple[str, str], frame: str) -> bool:
    first, last = (each.replace("-", "").upper() for each in frames)
    own = frame.replace("-", "").replace(" ", "").upper()
    return len(own) == len(first) == len(last) and first <= own <= last
