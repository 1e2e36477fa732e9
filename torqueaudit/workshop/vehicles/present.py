"""The present truth of a vehicle: what stands on each of its fasteners, worked out over all its jobs."""

from typing import TYPE_CHECKING

from torqueaudit.book import queries, vehicle_queries
from torqueaudit.model.shown.job import JobView
from torqueaudit.model.shown.vehicle import JobOfVehicle, VehicleView
from torqueaudit.model.vehicle.instrument import Instrument
from torqueaudit.workshop.judged.job_view import book_view, look_at, told
from torqueaudit.workshop.judged.past import past_of

if TYPE_CHECKING:
    from collections.abc import Iterable

    from torqueaudit.book.lists.records import JobRow
    from torqueaudit.model.judged.around import VehicleEvent
    from torqueaudit.workshop.door.workshop import Workshop


def show_vehicle(workshop: "Workshop", number: str) -> VehicleView:
    """A vehicle as it stands now, with a head that may be shown. Raises Refused for an unknown one."""
    view = vehicle_view(workshop, number)
    return view._replace(book=told(workshop, view.book))


def vehicle_view(workshop: "Workshop", number: str) -> VehicleView:
    """A vehicle as it stands now, for whoever does not show a head. Raises Refused for an unknown one.

    Jobs of which every fastener was done by later ones since are told in a line, and not judged.
    """
    past, now = past_of(workshop, number), workshop.clock()
    vehicle, rows = past.vehicle, queries.jobs_of_vehicle(workshop.book, number)
    works = tuple(look_at(workshop, str(row.job)).view for row in _live(rows, past.events))
    by_hours = vehicle.instrument is Instrument.HOURS
    newest = None if by_hours else vehicle_queries.newest_odometer(workshop.book, number)
    hours = vehicle_queries.newest_hours(workshop.book, number) if by_hours else None
    shown = {view.number: view for view in works}
    return VehicleView(
        number=number,
        tag=vehicle.tag,
        model=vehicle.model,
        year=vehicle.year,
        presence=vehicle_queries.presence_at(workshop.book, number),
        odometer_m=newest.metres if newest else None,
        works=works,
        jobs=tuple(_line(row, shown.get(str(row.job))) for row in rows),
        book=book_view(workshop, workshop.settings, now),
        instrument=vehicle.instrument,
        run_min=hours.minutes if hours else None,
    )


def live_jobs(workshop: "Workshop", vehicle: str) -> "list[JobRow]":
    """The jobs on a vehicle of which something is left: they did something last, are not over, or turned nothing.

    A job of some fasteners alone leaves the rest of an earlier one, such as what it measured, as it was.
    """
    rows = queries.jobs_of_vehicle(workshop.book, vehicle)
    return _live(rows, vehicle_queries.later_events(workshop.book, vehicle))


def _live(rows: "Iterable[JobRow]", told: "Iterable[VehicleEvent]") -> "list[JobRow]":
    events = [event for event in told if event.job]
    touched = {int(event.job) for event in events}
    holders = {*_last(events), *_last(event for event in events if not event.alone)}
    return [
        row
        for row in rows
        if (row.handed_over_on or not row.withdrawn)
        and (row.job in holders or row.job not in touched or row.handed_over_on is None)
    ]


def _last(events: "Iterable[VehicleEvent]") -> set[int]:
    """The jobs that did something last on some fastener, of events in their order."""
    return set({event.position: int(event.job) for event in events}.values())


def _line(row: "JobRow", view: JobView | None) -> JobOfVehicle:
    return JobOfVehicle(
        job=str(row.job),
        title=row.title or "",
        state=view.state if view else row.state or "",
        opened_on=(row.opened_on or "")[:10],
        recheck=view.recheck.standing.state.value if view and view.recheck else "",
    )
