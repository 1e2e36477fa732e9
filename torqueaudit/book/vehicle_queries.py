"""Questions of what lies behind a job, each answered through an index: the past of its vehicle, and of a wrench.

They lie apart from the questions across jobs because every job asks them, and a job is shown at once (decision 0001).
The SQL is what every engine understands: decision 0059.
"""

from datetime import datetime
from decimal import Decimal
from typing import NamedTuple

from torqueaudit.book.book import Book
from torqueaudit.book.lists.pairs import pairs_of
from torqueaudit.book.lists.torque import listed_above_mnm
from torqueaudit.model.judged.around import VehicleEvent, VehicleHours, VehicleMeasurement, VehicleOdometer, VehiclePart
from torqueaudit.model.vehicle.visits import Presence

_moment = datetime.fromisoformat


class WrenchUseRow(NamedTuple):
    """One pass of a wrench over one fastener of a vehicle."""

    happened_at: str
    job: int
    vehicle: str
    position: str
    entry: int


def later_events(book: Book, vehicle: str, since: str = "") -> list[VehicleEvent]:
    """What happened to a vehicle's fasteners at or after `since` (UTC), by position and then time."""
    asked = (
        "select position, happened_at, job, entry, kind, alone from fastener_events"
        " where vehicle = ? and happened_at >= ? order by position, happened_at, entry"
    )
    return [
        VehicleEvent(
            position=position,
            happened_at=_moment(at),
            job="" if job is None else str(job),
            entry=entry,
            kind=kind,
            alone=bool(alone),
        )
        for position, at, job, entry, kind, alone in book.rows(asked, vehicle, since)
    ]


def newest_odometer(book: Book, vehicle: str) -> VehicleOdometer | None:
    """The last distance read off a vehicle."""
    return next(iter(_odometers(book, vehicle, _NEWEST.format("metres"))), None)


def newest_hours(book: Book, vehicle: str) -> VehicleHours | None:
    """The last running hours read off a vehicle."""
    return next(iter(_hours(book, vehicle, _NEWEST.format("minutes"))), None)


def odometers_of(book: Book, vehicle: str) -> list[VehicleOdometer]:
    """Every distance read off a vehicle, in the order it was read."""
    return _odometers(book, vehicle, _EACH.format("metres"))


def hours_of(book: Book, vehicle: str) -> list[VehicleHours]:
    """All running hours read off a vehicle, in the order they were read."""
    return _hours(book, vehicle, _EACH.format("minutes"))


_EACH = "select happened_at, {0}, entry from odometer where vehicle = ? and {0} is not null order by happened_at, entry"
_NEWEST = f"{_EACH.replace('at, entry', 'at desc, entry desc')} limit 1"


def _odometers(book: Book, vehicle: str, asked: str) -> list[VehicleOdometer]:
    return [
        VehicleOdometer(_moment(at), metres, entry, run_m=metres) for at, metres, entry in book.rows(asked, vehicle)
    ]


def _hours(book: Book, vehicle: str, asked: str) -> list[VehicleHours]:
    return [VehicleHours(_moment(at), minutes, entry) for at, minutes, entry in book.rows(asked, vehicle)]


def exchanged(book: Book) -> list[str]:
    """The vehicles whose instrument was replaced."""
    asked = "select vehicle from vehicles where exchanged_on is not null order by vehicle"
    return [vehicle for (vehicle,) in book.rows(asked)]


def measured_on(book: Book, vehicle: str) -> list[VehicleMeasurement]:
    """Every value measured on a vehicle, in the order of the work."""
    asked = (
        "select key, kind, value, unit, conditions, happened_at, odometer_m, job, entry from measurements"
        " where vehicle = ? order by happened_at, entry"
    )
    return [
        VehicleMeasurement(
            key=key,
            kind=kind,
            value=Decimal(value),
            unit=unit,
            conditions=pairs_of(conditions),
            happened_at=_moment(at),
            odometer_m=metres,
            job=str(job),
            entry=entry,
        )
        for key, kind, value, unit, conditions, at, metres, job, entry in book.rows(asked, vehicle)
    ]


def fitted_to(book: Book, vehicle: str) -> list[VehiclePart]:
    """Every part fitted to a vehicle, in the order of the work."""
    asked = (
        "select key, part, lot, new, attributes, happened_at, odometer_m, job, entry from parts"
        " where vehicle = ? order by happened_at, entry"
    )
    return [
        VehiclePart(
            key=key,
            part=part,
            lot=lot,
            new=bool(new),
            attributes=pairs_of(attributes),
            happened_at=_moment(at),
            odometer_m=metres,
            job=str(job),
            entry=entry,
        )
        for key, part, lot, new, attributes, at, metres, job, entry in book.rows(asked, vehicle)
    ]


def presence_at(book: Book, vehicle: str, moment: str = "~") -> Presence:
    """Whether a vehicle stood in the workshop at a moment (UTC), or stands there now; here since the visit began."""
    asked = (
        "select here, happened_at, gone from visits where vehicle = ? and happened_at <= ?"
        " order by happened_at desc, entry desc"
    )
    now = Presence(here=False)
    for here, at, gone in book.rows(asked, vehicle, moment):
        if now.since and not (now.here and here):
            break
        now = Presence(bool(here), _moment(at), bool(gone))
    return now


class Move(NamedTuple):
    """A vehicle came, or left; `gone` for good. The entry is that of an arrival, an opening, or a leaving."""

    here: bool
    happened_at: datetime
    gone: bool
    entry: int


def moves_of(book: Book, vehicle: str) -> list[Move]:
    """Every coming and leaving of a vehicle, in order."""
    asked = "select here, happened_at, gone, entry from visits where vehicle = ? order by happened_at, entry"
    return [Move(bool(here), _moment(at), bool(gone), entry) for here, at, gone, entry in book.rows(asked, vehicle)]


def vehicles_away(book: Book, moment: str) -> list[str]:
    """The vehicles that had left the workshop at a moment (UTC) and had not come back; those gone for good left out."""
    asked = """
        select last.vehicle from visits last
        where last.here = 0 and last.gone = 0 and last.happened_at <= ? and not exists (
            select 1 from visits later
            where later.vehicle = last.vehicle and later.happened_at <= ?
            and (later.happened_at, later.entry) > (last.happened_at, last.entry)
        )
        order by last.vehicle
    """
    return [vehicle for (vehicle,) in book.rows(asked, moment, moment)]


def arrived_before(book: Book, moment: str) -> list[str]:
    """The vehicles that arrived before a moment (UTC) and are here since, the first one first."""
    asked = """
        select came.vehicle from visits came
        where came.job is null and came.here = 1 and came.happened_at < ? and not exists (
            select 1 from visits later
            where later.vehicle = came.vehicle and (later.happened_at, later.entry) > (came.happened_at, came.entry)
        )
        order by came.happened_at
    """
    return [vehicle for (vehicle,) in book.rows(asked, moment)]


def jobs_following(book: Book, job: int, vehicle: str) -> list[int]:
    """The jobs on the same vehicle that follow one, the oldest first; withdrawn ones are left out."""
    asked = "select job from jobs where follows = ? and vehicle = ? and withdrawn = 0 order by job"
    return [number for (number,) in book.rows(asked, job, vehicle)]


def wrench_uses(book: Book, wrench: str, since: str = "", until: str = "~") -> list[WrenchUseRow]:
    """Every pass of a wrench at or after `since` and before `until` (UTC), in order, withdrawn jobs left out."""
    asked = (
        "select happened_at, job, vehicle, position, entry from fastener_events"
        " where wrench = ? and happened_at >= ? and happened_at < ? order by happened_at, entry"
    )
    return [WrenchUseRow(*row) for row in book.rows(asked, wrench, since, until)]


def wrench_uses_above(
    book: Book, wrench: str, shown_nm: Decimal, since: str = "", until: str = "~"
) -> list[WrenchUseRow]:
    """The passes of `wrench_uses` at which the wrench was set to or showed more than a torque.

    The list is kept in whole mN·m, so one less than 1 mN·m below it may be among them.
    """
    # The moments are joined to nothing so that the index of torques is taken: few passes lie above a wrench's highest
    # value, and thousands after its last calibration.
    asked = (
        "select happened_at, job, vehicle, position, entry from fastener_events where wrench = ? and shown_mnm > ?"
        " and happened_at || '' >= ? and happened_at || '' < ? order by happened_at, entry"
    )
    return [WrenchUseRow(*row) for row in book.rows(asked, wrench, listed_above_mnm(shown_nm), since, until)]


def wrench_cycles(book: Book, wrench: str, since: str = "", until: str = "~") -> int:
    """How many passes `wrench_uses` would list, counted through the index."""
    asked = "select count(*) from fastener_events where wrench = ? and happened_at >= ? and happened_at < ?"
    return int(book.rows(asked, wrench, since, until)[0][0])
