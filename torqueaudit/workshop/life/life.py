"""The life of one motorcycle, from its own entries and those of its jobs, each read once through an index."""

from typing import TYPE_CHECKING

from torqueaudit.book import queries, vehicle_queries
from torqueaudit.model.shown.life import LifeView
from torqueaudit.model.vehicle.instrument import Hours
from torqueaudit.workshop.door.then import as_it_stood
from torqueaudit.workshop.judged.around import around_of
from torqueaudit.workshop.life.course import course_of
from torqueaudit.workshop.life.stretches import Reading, stretches_of
from torqueaudit.workshop.life.values import Lived, parts_of, series_of
from torqueaudit.workshop.life.vehicle_course import course_of_vehicle
from torqueaudit.workshop.vehicles.present import vehicle_view

if TYPE_CHECKING:
    from torqueaudit.ledger.chain import Head
    from torqueaudit.model.job.record import Job
    from torqueaudit.model.shown.course import Happening
    from torqueaudit.workshop.door.workshop import Workshop


def show_life(workshop: "Workshop", number: str, entry: int | None = None) -> LifeView:
    """The life of a motorcycle up to now, or up to an entry of the record, with a head that may be shown.

    Raises Refused for an unknown motorcycle, and where the record has no such entry.
    """
    head = workshop.book.tell_head()
    if entry is None:
        return _headed(life_of(workshop, number), head)
    with as_it_stood(workshop, number, entry) as then:
        return _headed(life_of(then, number, since=workshop), then.book.head())


def _headed(view: LifeView, head: "Head") -> LifeView:
    book = view.vehicle.book._replace(head=str(head))
    return view._replace(vehicle=view.vehicle._replace(book=book), entry=head.sequence)


def life_of(workshop: "Workshop", number: str, since: "Workshop | None" = None) -> LifeView:
    """The life of a motorcycle up to now, for whoever does not show a head. Raises Refused for an unknown one.

    Of a workshop of the past, `since` is the one of today, which knows what was struck later.
    """
    vehicle, settings = workshop.vehicle(number), workshop.settings
    jobs = [workshop.job(str(row.job)) for row in queries.jobs_of_vehicle(workshop.book, number)]
    own = workshop.book.entries(f"vehicle/{number}")
    later = since.book.entries(f"vehicle/{number}")[len(own) :] if since else ()
    course = list(course_of_vehicle(vehicle, own, settings, later))
    course += (each for job in jobs for each in _course(workshop, job, since))
    course.sort(key=lambda each: each.order)
    readings, moves = _readings(workshop, number), vehicle_queries.moves_of(workshop.book, number)
    lived = Lived(
        vehicle=vehicle,
        jobs=[job for job in jobs if not job.record.withdrawn],
        newest=readings[-1] if readings else None,
        zone=settings.timezone,
        late_minutes=settings.late_minutes,
    )
    return LifeView(
        vehicle=vehicle_view(workshop, number),
        entry=None,
        stretches=stretches_of(vehicle, moves, readings, course, settings.timezone),
        series=series_of(lived),
        parts=parts_of(lived),
    )


def _course(workshop: "Workshop", job: "Job", since: "Workshop | None") -> "tuple[Happening, ...]":
    strikes = since.record(job.number).strikes if since else ()
    return course_of(job, around_of(workshop, job), workshop.book.entries(f"job/{job.number}"), strikes)


def _readings(workshop: "Workshop", number: str) -> list[Reading]:
    """Whatever was read off it, in order."""
    odometers = vehicle_queries.odometers_of(workshop.book, number)
    metres = (Reading(each.happened_at, each.entry, each.metres) for each in odometers)
    hours = vehicle_queries.hours_of(workshop.book, number)
    minutes = (Reading(each.happened_at, each.entry, Hours(each.minutes)) for each in hours)
    return sorted([*metres, *minutes], key=lambda each: (each.happened_at, each.entry))
