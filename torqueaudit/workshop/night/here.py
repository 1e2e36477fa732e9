"""What a night says of vehicles that are here: what a foreman does, what logs say, and where nothing is begun."""

from collections.abc import Iterator

from torqueaudit.book import queries, vehicle_queries
from torqueaudit.book.lists.records import JobRow
from torqueaudit.ledger.entry import stamp
from torqueaudit.model.job.record import JobState
from torqueaudit.model.judged.sentences import names_together, sentence
from torqueaudit.model.judged.subject import subject_at
from torqueaudit.model.register.permits import ActName
from torqueaudit.model.shown.night import Line
from torqueaudit.workshop.judged.next import TO_CONCLUDE
from torqueaudit.workshop.night.desk import Desk, first_few


def for_the_foreman(desk: Desk) -> Iterator[Line]:
    """Jobs of which everything is done that others can do: ready for release, or held by stops that may be conceded."""
    for flagged in desk.jobs([row.job for row in queries.open_jobs(desk.book) if row.state == JobState.OPEN]):
        view, stops = flagged.view, flagged.open_stops()
        if not view.presence.here:
            continue
        if any(each.answer and each.answer.act is ActName.RELEASE for each in view.to_do):
            yield flagged.line("Everything is done. Look at it, and release it.")
        elif stops and all(finding.concedable and not finding.due for finding in stops):
            says = first_few([sentence(finding.says) for finding in stops], " ")
            yield flagged.line(f"Everything else is done. Have it put right, or permit it with its basis: {says}")


def to_confirm(desk: Desk) -> Iterator[Line]:
    """Jobs at work on which a wrench's log tells of passes that nobody has confirmed."""
    for flagged in desk.jobs([row.job for row in queries.open_jobs(desk.book)]):
        procedure = flagged.job.procedure
        rows = flagged.job.record.to_confirm
        told = [subject_at(on, row.position) for row in rows if (on := procedure.fastener_at(row.position))]
        if told:
            says = f"A log tells of passes that nobody has confirmed: {names_together(told)}"
            yield flagged.line(f"{says}. Whoever tightened it confirms each, or strikes it.")


def arrived(desk: Desk) -> Iterator[Line]:
    """Vehicles that came in and on which nothing is begun, the first first; after days they are told as untouched."""
    forgotten = vehicle_queries.arrived_before(desk.book, stamp(desk.untouched_since))
    for vehicle in vehicle_queries.arrived_before(desk.book, desk.utc_day[1]):
        jobs = queries.jobs_of_vehicle(desk.book, vehicle)
        since = vehicle_queries.presence_at(desk.book, vehicle, stamp(desk.end)).since
        came_at = stamp(since) if since else "~"  # behind every stamp
        begun = any((row.last_recorded or "") >= came_at for row in jobs)
        if begun or (vehicle in forgotten and jobs):
            continue
        act = "Go on with its re-check, or open a job" if _has_recheck(desk, jobs) else "Open a job"
        came = f" since {desk.local_day(since)}" if since else ""
        yield desk.of_vehicle(vehicle, f"Here{came}, and nothing is begun. {act}.")


def _has_recheck(desk: Desk, jobs: list[JobRow]) -> bool:
    """Whether a re-check can be concluded while the vehicle of these jobs is here."""
    left = [row.job for row in jobs if row.handed_over_on and not (row.rechecked_on or row.withdrawn)]
    return any(found.standing.state in TO_CONCLUDE for job in left if (found := desk.glance(job)))
