"""What a night could not audit, and what it says of the workshop itself: plugins, entries, wrenches, the clock."""

from collections.abc import Iterator

from torqueaudit.book import queries, vehicle_queries
from torqueaudit.book.restored import RESTORED, lost_by
from torqueaudit.book.words import ERASED
from torqueaudit.ledger.entry import Entry, stamp
from torqueaudit.model.judged.rule_name import in_words
from torqueaudit.model.judged.sentences import sentence
from torqueaudit.model.register.permits import NIGHT
from torqueaudit.model.register.seal_keys import KEY_NAMED
from torqueaudit.model.shown.night import Line
from torqueaudit.model.vehicle.vehicle import GONE
from torqueaudit.workshop.night.day import DayEntries
from torqueaudit.workshop.night.desk import Desk, first_few
from torqueaudit.workshop.night.reminders import reminder_lines
from torqueaudit.workshop.night.road import expired
from torqueaudit.workshop.night.wrenches import wrench_lines
from torqueaudit.workshop.vehicles.gone import said_gone, stop_of


def _with_stops(desk: Desk, entry: Entry) -> str:
    """The stops that stood when somebody said that a vehicle is gone, as far as they stand still."""
    told = entry.judged.get("stops", ())
    found = desk.jobs([int(number) for number in dict.fromkeys(each["job"] for each in told)])
    says = [
        finding.says.rstrip(".")
        for flagged in found
        for finding in flagged.open_stops()
        if stop_of(flagged.view.number, finding) in told
    ]
    return f" With a stop standing: {first_few(says, '; ')}." if says else ""


def plugin_trouble(desk: Desk) -> Iterator[Line]:
    """Each plugin that is absent, blocked or broken, with the jobs whose procedure needs it."""
    for trouble in desk.trouble:
        jobs = [str(need.job) for need in queries.jobs_needing(desk.book, [trouble.name])]
        needing = f" Needed by job {first_few(jobs)}." if jobs else ""
        yield Line(f"Plugin {trouble.name} {trouble.says}. Mend it and run the night again.{needing}")
    for answer in desk.workshop.plugins.rules_follow_entries():
        if answer.fault:
            says = answer.says("was asked whether its rules follow the entries")
            yield Line(f"Plugin {answer.plugin} {says}. Everything on the road was judged instead.")


def rest(desk: Desk, entries: DayEntries) -> Iterator[Line]:
    """Concessions that have ended, words erased, owners no mail reaches, wrenches to calibrate, a clock set back."""
    for flagged, granted in expired(desk):
        named = f"“{in_words(granted.covers.rule)}” on {granted.covers.subject}"
        says = f"The concession for {named} ended on {granted.expires_on}"
        yield flagged.line(f"{says}. Put it right, or grant it anew with its basis.")
    yield from _gone(desk, entries.of_day(*desk.utc_day))
    yield from _erased(entries.of_day(*desk.utc_day))
    yield from _key_changed(entries.of_day(*desk.utc_day))
    yield from _lost(entries.of_day(*desk.utc_day))
    yield from reminder_lines(desk, entries.of_day(*desk.utc_day))
    yield from wrench_lines(desk, entries.of_day(*desk.utc_day))
    yield from entries.set_back(stamp(desk.workshop.clock()))


def _gone(desk: Desk, entries: list[Entry]) -> Iterator[Line]:
    """The vehicles of which somebody has said on the day that they will not come back, and that are gone still."""
    told = {
        entry.sequence: entry.key for entry in entries if entry.subject.startswith("vehicle/") and entry.what == GONE
    }
    for vehicle in dict.fromkeys(told.values()):
        said = [entry for entry in said_gone(desk.workshop, vehicle) if entry.sequence in told]
        if said and vehicle_queries.presence_at(desk.book, vehicle, stamp(desk.end)).gone:
            why = f"{sentence(said[-1].told('why'))}{_with_stops(desk, said[-1])}"
            says = f"It will not come back, says {said[-1].who}: {why} Nobody is called about it."
            yield desk.of_vehicle(vehicle, says)


def _key_changed(entries: list[Entry]) -> Iterator[Line]:
    """Who had the ledger sealed with another key. Of one that a night made that night itself has told."""
    for entry in entries:
        if entry.kind == KEY_NAMED and entry.who != NIGHT:
            says = f"{entry.who} changed the key that seals the ledger to {entry.said['key_id']}"
            yield Line(f"{says}: {sentence(entry.told('why'))}")


def _lost(entries: list[Entry]) -> Iterator[Line]:
    """What a backup that was put back has not: it was recorded, and is not any more."""
    for entry in entries:
        if entry.kind == RESTORED:
            lost = lost_by(entry)
            says = f"{lost.by} put back a backup: {sentence(entry.told('why'))} {lost.says}."
            again = " What was told there has to be told again." if lost.last >= lost.first else ""
            yield Line(f"{says}{again}")


def _erased(entries: list[Entry]) -> Iterator[Line]:
    """Whose words nobody can read any more, for what stood there may have mattered."""
    for entry in entries:
        if entry.kind == ERASED:
            of = first_few([f"#{each}" for each in entry.said["entries"]])
            yield Line(f"{entry.who} erased the words of {of}: {sentence(entry.told('why'))}")
