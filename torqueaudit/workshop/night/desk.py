"""The flagged jobs of one night, each loaded and judged once, as of the end of the day the report is about."""

from datetime import date, datetime, timedelta
from functools import cached_property
from typing import TYPE_CHECKING, NamedTuple

from torqueaudit.book import queries, vehicle_queries
from torqueaudit.ledger.entry import stamp
from torqueaudit.model.act import See, Topic
from torqueaudit.model.job.facts import MarkSeen, MarkState
from torqueaudit.model.job.record import Job
from torqueaudit.model.judged.around import Around
from torqueaudit.model.judged.finding import Finding
from torqueaudit.model.judged.overtaken import later_jobs
from torqueaudit.model.recheck.state import RecheckState, Standing
from torqueaudit.model.register.settings import begin_of
from torqueaudit.model.shown.job import JobView
from torqueaudit.model.shown.night import Call, Line, NightJob, NightSection
from torqueaudit.workshop.door.refusal import why_of
from torqueaudit.workshop.judged.around import around_of
from torqueaudit.workshop.judged.job_view import Look, look_at, picture
from torqueaudit.workshop.judged.review import PLUGIN_BROKEN
from torqueaudit.workshop.night.in_full import entries_since, is_due
from torqueaudit.workshop.vehicles.contact import is_reached
from torqueaudit.workshop.wrenches.wrench import wrenches

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

    from torqueaudit.book.lists.records import JobRow
    from torqueaudit.model.register.nights import InFull
    from torqueaudit.model.wrench.wrench import Wrench
    from torqueaudit.workshop.door.workshop import Workshop

HELD_RANK = {"wheel": 0, "brake": 0, "sprocket": 1, "": 2}
KEEP = "Keep the book as it is"
VERIFYING = See(Topic.VERIFYING)
TOLD = 3  # how many of a list one line tells before it refers to the job


class Flagged(NamedTuple):
    """One flagged job: its row, what it is, what was around it, and its picture."""

    row: "JobRow"
    job: Job
    around: Around
    view: JobView

    def line(self, says: str, call: Call = Call.NOBODY, late: Standing | None = None, *, unnamed: str = "") -> Line:
        """What to do about this job, and whom to call; how late, where its re-check is.

        `unnamed` says the same without anybody's own words, where some stand in it.
        """
        view = self.view
        return Line(
            says=says,
            job=view.number,
            vehicle=view.vehicle,
            tag=view.vehicle_tag,
            title=view.procedure.title,
            holds=self.row.holds or "",
            days_late=(late and late.late_days) or None,
            metres_late=(late and late.late_m) or None,
            minutes_late=(late and late.late_min) or None,
            instrument=self.around.vehicle.instrument,
            call=call,
            unnamed=unnamed,
        )

    @property
    def standing(self) -> Standing:
        """How the re-check stands."""
        return self.view.recheck.standing if self.view.recheck else Standing(RecheckState.NONE_PLANNED)

    def superseded(self) -> tuple[str, ...]:
        """The later jobs that between them undid every fastener of this one, empty where one still stands."""
        return later_jobs(self.job, self.around).whole

    def open_stops(self) -> list[Finding]:
        """The stops that stand today, a disturbed mark first. A broken plugin is told elsewhere."""
        standing = [f for f in self.view.stops if f.rule != PLUGIN_BROKEN]
        return sorted(standing, key=lambda finding: not self.is_disturbed(finding))

    def is_disturbed(self, finding: Finding) -> bool:
        """Whether what somebody saw of a mark caused a stop: that it is disturbed."""
        seen = (fact for fact in self.job.record.of(MarkSeen) if fact.state is MarkState.DISTURBED)
        return any(fact.noted.entry == finding.entry for fact in seen)


class Desk:
    """Where the flagged jobs of one night lie. `before` is the last night that judged everything on the road.

    `now` judges by this hour what a night judges at the end of the day. `full` is whether everything on the road is
    judged, None where that is as a night has it.
    """

    def __init__(
        self, workshop: "Workshop", day: date, before: "InFull | None", *, now: bool = False, full: bool | None = None
    ) -> None:
        self.workshop = workshop
        self.book = workshop.book
        self.settings = workshop.settings
        self.day = day
        self.start = self._midnight(day)
        self.now = now
        self.end = workshop.clock() if now else self._midnight(day + timedelta(days=1)) - timedelta(seconds=1)
        needed = {*self.settings.expects, *queries.needed_plugins(self.book)}
        self.trouble = workshop.plugins.asked_through().trouble(sorted(needed))
        self.before = before
        self.since = entries_since(self.book, before)
        self.full = is_due(before, self.since, day, workshop.plugins) if full is None else full
        self._jobs: dict[int, Flagged | None] = {}
        self._faults: dict[int, list[Line]] = {}
        self._exchanged = frozenset(vehicle_queries.exchanged(self.book))
        self._runs: dict[str, tuple[int | None, int | None]] = {}

    def job(self, number: int) -> Flagged | None:
        """A flagged job, loaded and judged at the first asking; None where its entries cannot be read."""
        if number not in self._jobs:
            self._jobs[number] = self._load(number)
        return self._jobs[number]

    def glance(self, number: int) -> Flagged | None:
        """A job that is here already, or loaded and judged for one look; nothing of it stays unless it is kept."""
        return self._jobs[number] if number in self._jobs else self._load(number)

    def keep(self, flagged: Flagged) -> None:
        """Keep a job that was glanced at, because the report tells of it."""
        self._jobs[flagged.row.job] = flagged

    def jobs(self, numbers: "Sequence[int]") -> list[Flagged]:
        """Those of several flagged jobs that can be read, wheel and brake first."""
        found = [flagged for number in dict.fromkeys(numbers) if (flagged := self.job(number))]
        return sorted(found, key=lambda each: HELD_RANK[each.row.holds or ""])

    @cached_property
    def wrenches(self) -> "list[Wrench]":
        """Every wrench, by its number: what is on the road by them is asked first, and what is to be done last."""
        return wrenches(self.workshop)

    def told_of(self) -> tuple[NightJob, ...]:
        """Every job that was asked for or kept, by number: the report may tell of each."""
        loaded = [flagged for flagged in self._jobs.values() if flagged]
        return tuple(NightJob(each.job, each.around) for each in sorted(loaded, key=lambda each: each.row.job))

    def of_vehicle(self, vehicle: str, says: str, call: Call = Call.NOBODY, see: See | None = None) -> Line:
        """What to do about a vehicle, whatever its jobs are."""
        return Line(says, vehicle=vehicle, tag=self.workshop.vehicle(vehicle).tag, see=see, call=call)

    def unreached(self, sections: "Iterable[NightSection]") -> frozenset[str]:
        """The vehicles whose owner is to be called, and of whom no number and no address is kept."""
        called = {line.vehicle for section in sections for line in section.lines if line.call is Call.OWNER}
        return frozenset(each for each in called if not is_reached(self.workshop, each))

    def faults(self) -> "Iterator[Line]":
        """The jobs, among all that were loaded so far, that could not be read, or judged whole."""
        for lines in self._faults.values():
            yield from lines

    def may_be_far(self, row: "JobRow") -> bool:
        """Whether a vehicle may have run the distance, or the hours, of its re-check; its job says whether it has.

        The list holds what the instrument of then shows, and nobody can tell by it where that was replaced; an estimate
        holds only until somebody reads it.
        """
        vehicle = row.vehicle or ""
        if vehicle in self._exchanged or (row.estimated_on or "~") <= self.day.isoformat():
            return True
        if vehicle not in self._runs:
            self._runs[vehicle] = self._run(vehicle)
        due = (row.due_distance_m, row.due_min)
        return any(
            run is not None and at is not None and run >= at for run, at in zip(self._runs[vehicle], due, strict=True)
        )

    def _run(self, vehicle: str) -> tuple[int | None, int | None]:
        """What was read last off a vehicle, in metres and in minutes of running hours."""
        far = vehicle_queries.newest_odometer(self.book, vehicle)
        hours = vehicle_queries.newest_hours(self.book, vehicle)
        return far.metres if far else None, hours.minutes if hours else None

    def days_since(self, moment: str) -> int:
        """The local days from an entry's stamp to the day of the report."""
        return (self.day - self.local_day(datetime.fromisoformat(moment))).days

    def local_day(self, moment: datetime) -> date:
        """The workshop's date at a moment, by the settings that were read once: a night asks of each re-check."""
        return moment.astimezone(self.settings.timezone).date()

    def _load(self, number: int) -> Flagged | None:
        row = queries.job_row(self.book, number)
        try:
            if row is None:
                raise LookupError("one list has it and another has not")  # noqa: TRY301  # told like any other damage
            look = look_at(self.workshop, str(number)) if self.now else self._at_the_end(number)
        except Exception as error:  # noqa: BLE001  # whatever a damaged entry does, the night goes on and says so
            says = f"Job {number} cannot be read ({why_of(error)}). {KEEP}"
            self._faults[number] = [
                Line(
                    says=says,
                    job=str(number),
                    vehicle=(row and row.vehicle) or "",
                    title=(row and row.title) or "",
                    see=VERIFYING,
                )
            ]
            return None
        flagged = Flagged(row, *look)
        known = {f"plugin {trouble.name}" for trouble in self.trouble}
        broken = [each.finding for each in look.view.findings if each.finding.rule == PLUGIN_BROKEN]
        self._faults[number] = [flagged.line(finding.says) for finding in broken if finding.subject not in known]
        return flagged

    def _at_the_end(self, number: int) -> Look:
        job = self.workshop.job(str(number))
        around = around_of(self.workshop, job, self.end)
        return Look(job, around, picture(self.workshop, job, around))

    def _midnight(self, day: date) -> datetime:
        return begin_of(day, self.settings.timezone)

    def is_away(self, number: int) -> bool:
        """Whether the vehicle of a job was away at the end of the day."""
        row = queries.job_row(self.book, number)
        presence = vehicle_queries.presence_at(self.book, (row and row.vehicle) or "", stamp(self.end))
        return not presence.here

    @property
    def untouched_since(self) -> datetime:
        """The moment (UTC) before which whatever was recorded last is too long ago."""
        return self.end - timedelta(days=self.settings.untouched_days)

    @property
    def utc_day(self) -> tuple[str, str]:
        """The stamps between which the local day lies: its first second, and the first one after it."""
        return stamp(self.start), stamp(self.end + timedelta(seconds=1))


def first_few(texts: "Sequence[str]", between: str = ", ") -> str:
    """The first few of some texts, and how many more there are."""
    more = len(texts) - TOLD
    return between.join(texts[:TOLD]) + (f"{between}and {more} more" if more > 0 else "")
