"""What a night says of jobs: on the road with a stop, gone without release, untouched, not checked, conceded."""

from collections.abc import Iterable, Iterator
from typing import NamedTuple

from torqueaudit.book import queries, vehicle_queries
from torqueaudit.book.lists.records import DAY_ASKED, WRONG_SOURCE
from torqueaudit.ledger.entry import stamp
from torqueaudit.model.job.facts import Concession
from torqueaudit.model.job.record import FastenerState, JobState
from torqueaudit.model.job.road import HandOver
from torqueaudit.model.judged.finding import Finding
from torqueaudit.model.judged.rule_name import in_words, key_today
from torqueaudit.model.judged.sentences import sentence, stops_text, together
from torqueaudit.model.register.permits import ActName
from torqueaudit.model.shown.night import Call, Line
from torqueaudit.workshop.night.candidates import candidates
from torqueaudit.workshop.night.day import DayEntries
from torqueaudit.workshop.night.desk import HELD_RANK, TOLD, Desk, Flagged, first_few
from torqueaudit.workshop.night.wrenches import doubted_jobs, has_left
from torqueaudit.workshop.vehicles.gone import said_with, stop_of


class Expired(NamedTuple):
    """A concession that no longer covers a stop on a vehicle on the road."""

    flagged: Flagged
    concession: Concession


def on_the_road(desk: Desk) -> Iterator[Line]:
    """Vehicles that left and have a stop standing that no later job has undone; a disturbed mark comes first."""
    found = [stopped for number in dict.fromkeys(_candidates(desk)) if (stopped := _stopped(desk, number))]
    found.sort(key=lambda each: HELD_RANK[each[0].row.holds or ""])
    for flagged, stops in sorted(found, key=lambda each: not each[0].is_disturbed(each[1][0])):
        says = first_few([sentence(each.says) for each in together(stops)], " ")
        yield flagged.line(f"Reach the owner today. {sentence(says)}", Call.OWNER)


def _candidates(desk: Desk) -> Iterator[int]:
    """The jobs that may have a stop standing, as the lists and what was judged in full say."""
    rows = [each for each in queries.attention(desk.book) if each.reason != DAY_ASKED]
    yield from (each.job for each in rows if each.reason != WRONG_SOURCE or has_left(desk, each.job))
    yield from queries.reported_loose(desk.book)
    yield from doubted_jobs(desk)
    yield from (int(each.flagged.view.number) for each in expired(desk))
    yield from candidates(desk)


def _stopped(desk: Desk, number: int) -> tuple[Flagged, list[Finding]] | None:
    """A job on a vehicle that is away, with the stops that stand; it alone is kept, for a full night looks at many."""
    flagged = desk.glance(number) if desk.is_away(number) else None
    stops = _standing(desk, flagged) if flagged else []
    if flagged is None or not stops:
        return None
    desk.keep(flagged)
    return flagged, stops


def _standing(desk: Desk, flagged: Flagged) -> list[Finding]:
    """The stops that stand on the road; of a vehicle that is gone, those that nobody was sure of."""
    view = flagged.view
    if view.presence.here:
        return []
    told = said_with(desk.workshop, view.vehicle) if view.presence.gone else []
    return [finding for finding in flagged.open_stops() if stop_of(view.number, finding) not in told]


def gone_or_untouched(desk: Desk, entries: DayEntries) -> Iterator[Line]:
    """Vehicles that left with stops that day or without release, then jobs and vehicles nobody has touched for days."""
    with_stops = _left_with_stops(desk, entries)
    for flagged in _gone(desk):
        if not flagged.superseded():
            left = flagged.view.hand_over
            yield flagged.line(
                f"{with_stops.pop(flagged.row.job, '')}Left on {left and left.on} without release. Call it in, look at "
                "it, and release it or put it right.",
                Call.OWNER,
            )
    for flagged in desk.jobs(list(with_stops)):
        yield flagged.line(with_stops[flagged.row.job].rstrip())
    before = stamp(desk.untouched_since)
    for row in queries.open_untouched(desk.book, before):
        if idle := desk.job(row.job):
            yield idle.line(_untouched(idle, desk.days_since(row.last_recorded or "")))
    yield from _forgotten(desk, before)


def _left_with_stops(desk: Desk, entries: DayEntries) -> dict[int, str]:
    """What is said of each hand-over of the day with stops standing, also where they were put right since."""
    told: dict[int, str] = {}
    for entry in entries.of_day(*desk.utc_day):
        with_stops = entry.kind.startswith("handed_over.") and entry.judged.get("stops")
        flagged = desk.job(int(entry.key)) if with_stops else None
        for left in flagged.job.record.of(HandOver) if flagged else ():
            if left.with_stops and left.noted.entry == entry.sequence:
                stood, why = stops_text(len(left.stops)), sentence(left.with_stops)
                told[int(entry.key)] = f"Handed over by {left.noted.by} with {stood} standing: {why} "
    return told


def _forgotten(desk: Desk, before: str) -> Iterator[Line]:
    """Vehicles that came back and of which nothing is told since: one that left unseen is on no list of calls."""
    for vehicle in vehicle_queries.arrived_before(desk.book, before):
        rows = queries.jobs_of_vehicle(desk.book, vehicle)
        newest = max(rows, key=lambda row: row.last_recorded or "", default=None)
        idle = desk.job(newest.job) if newest and (newest.last_recorded or "") < before else None
        if idle and idle.view.state not in (JobState.OPEN, JobState.RELEASED):
            days = desk.days_since(idle.row.last_recorded or "")
            yield idle.line(f"Here again, and nothing recorded for {days} days. Hand it over, or say where it is.")


def _gone(desk: Desk) -> list[Flagged]:
    rows = queries.attention(desk.book, "gone without release")
    found = desk.jobs([row.job for row in rows])
    away = [each for each in found if each.view.presence.with_owner]
    return [each for each in away if each.view.unsigned or not each.view.release]


def _untouched(flagged: Flagged, days: int) -> str:
    view = flagged.view
    if view.state == JobState.RELEASED:
        return f"Released, not handed over, and nothing recorded for {days} days. Hand it over, or say where it is."
    following = f"next: {view.next[0]}" if view.next else "it waits for release"
    return (
        f"Open, and nothing recorded for {days} days. Go on with it ({following}), or strike its opening and say why."
    )


def superseded(desk: Desk, waiting: Iterable[Flagged]) -> Iterator[Line]:
    """Jobs that count neither as missed nor as gone without release, because later jobs undid all their fasteners."""
    numbers = [each.row.job for each in (*waiting, *_gone(desk))]
    for flagged in desk.jobs(numbers):
        if jobs := flagged.superseded():
            by = f"job{'s' * (len(jobs) > 1)} {' and '.join(jobs)}"
            yield flagged.line(
                f"Every fastener of this job was undone since, see {by}. Nothing of it is left to look at."
            )


def waiting_for_check(desk: Desk, road: Iterable[Line]) -> Iterator[Line]:
    """Fasteners tightened that no second person has looked at; nobody can while a line of the `road` calls it in."""
    called_in = {line.job for line in road}
    for flagged in desk.jobs([row.job for row in queries.waiting_for_check(desk.book)]):
        if flagged.view.number in called_in and _tells_of_check(flagged):
            continue
        names = [
            fastener.name
            for fastener in flagged.view.fasteners
            if fastener.check.wanted and not fastener.check.by
            if fastener.state == FastenerState.TIGHTENED and not fastener.overtaken_by
        ]
        if names:
            yield flagged.line(
                f"Not independently checked: {first_few(names)}. Somebody who had no hand in it looks today."
            )


def _tells_of_check(flagged: Flagged) -> bool:
    """Whether the stops that are told of a job on the road say that nobody has looked a second time."""
    return any(each.answer and each.answer.act is ActName.CHECK for each in flagged.open_stops()[:TOLD])


def concessions_of_day(desk: Desk) -> Iterator[Line]:
    """Every permission granted on the day."""
    for row in queries.concessions_of_day(desk.book, *desk.utc_day):
        flagged = desk.job(row.job)
        granted = _concession(flagged, row.entry) if flagged else None
        if flagged and granted:
            yield flagged.line(
                f"{row.by} permitted “{in_words(row.rule)}” on {row.about} until {granted.expires_on}. "
                f"Basis: {sentence(granted.basis)} Limit: {sentence(granted.limit)} See that the limit is kept."
            )


def expired(desk: Desk) -> list[Expired]:
    """The concessions that have ended on jobs on the road while the stop they covered still stands."""
    found = []
    for row in queries.concessions_expiring(desk.book, desk.day.isoformat()):
        job = queries.job_row(desk.book, row.job)
        flagged = desk.job(row.job) if job and job.handed_over_on and not job.withdrawn else None
        granted = _concession(flagged, row.entry) if flagged else None
        keys = {finding.key for finding in _standing(desk, flagged)} if flagged else set()
        if flagged and granted and key_today(granted.covers, keys) in keys:
            found.append(Expired(flagged, granted))
    return found


def _concession(flagged: Flagged, entry: int) -> Concession | None:
    return next((each for each in flagged.job.record.concessions() if each.noted.entry == entry), None)
