"""Questions of what lies behind a job, each answered through an index: the past of its vehicle, and of a wrench.

They lie apart from the questions across jobs because every job asks them, and a job is shown at once (decision 0001).
The SQL is what every engine understands: decision 0059.
"""

from typing import NamedTuple, TypeVar

from torqueaudit.book.book import Book
from torqueaudit.book.lists.vehicle_records import FastenerEvent, MeasurementRow, Odometer, PartRow, WrenchUseRow

_Row = TypeVar("_Row", bound=NamedTuple)


def later_events(book: Book, vehicle: str, since: str = "") -> list[FastenerEvent]:
    """What happened to a vehicle's fasteners at or after `since` (UTC), by position and then time."""
    where = "vehicle = ? and happened_at >= ? order by position, happened_at, entry"
    return rows_of(book, FastenerEvent, "fastener_events", where, vehicle, since)


def newest_odometer(book: Book, vehicle: str) -> Odometer | None:
    """The last distance read off a vehicle."""
    where = "vehicle = ? order by happened_at desc, entry desc limit 1"
    return next(iter(rows_of(book, Odometer, "odometer", where, vehicle)), None)


def odometers_of(book: Book, vehicle: str) -> list[Odometer]:
    """Every distance read off a vehicle, in the order it was read."""
    return rows_of(book, Odometer, "odometer", "vehicle = ? order by happened_at, entry", vehicle)


def measured_on(book: Book, vehicle: str) -> list[MeasurementRow]:
    """Every value measured on a vehicle, in the order of the work."""
    return rows_of(book, MeasurementRow, "measurements", "vehicle = ? order by happened_at, entry", vehicle)


def fitted_to(book: Book, vehicle: str) -> list[PartRow]:
    """Every part fitted to a vehicle, in the order of the work."""
    return rows_of(book, PartRow, "parts", "vehicle = ? order by happened_at, entry", vehicle)


def jobs_following(book: Book, job: int, vehicle: str) -> list[int]:
    """The jobs on the same vehicle that follow one, the oldest first; withdrawn ones are left out."""
    asked = "select job from jobs where follows = ? and vehicle = ? and withdrawn = 0 order by job"
    return [number for (number,) in book.rows(asked, job, vehicle)]


def wrench_uses(book: Book, wrench: str, since: str = "", until: str = "~") -> list[WrenchUseRow]:
    """Every pass of a wrench at or after `since` and before `until` (UTC), in order, withdrawn jobs left out."""
    where = "wrench = ? and happened_at >= ? and happened_at < ? order by happened_at, entry"
    return rows_of(book, WrenchUseRow, "fastener_events", where, wrench, since, until)


def wrench_cycles(book: Book, wrench: str, since: str = "", until: str = "~") -> int:
    """How many passes `wrench_uses` would list, counted through the index."""
    asked = "select count(*) from fastener_events where wrench = ? and happened_at >= ? and happened_at < ?"
    return int(book.rows(asked, wrench, since, until)[0][0])


def rows_of(book: Book, kind: type[_Row], table: str, where: str, *values: str | int) -> list[_Row]:
    """The rows of a list as records; the record's fields are the columns asked for."""
    columns = ", ".join(f'"{column}"' for column in kind._fields)
    asked = f"select {columns} from {table} where {where}"
    return [kind(*row) for row in book.rows(asked, *values)]
