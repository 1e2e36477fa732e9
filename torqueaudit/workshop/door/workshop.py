"""An open workshop: its book, its plugins, its clock, and what they say of people, vehicles and wrenches."""

from collections.abc import Callable
from datetime import date, datetime
from decimal import Decimal
from random import Random
from typing import TYPE_CHECKING

from torqueaudit.book import queries
from torqueaudit.book.book import Book
from torqueaudit.book.pairs import pairs_of
from torqueaudit.model.act import Refused
from torqueaudit.model.job.facts import Tightening
from torqueaudit.model.job.record import Job, JobRecord, fold_record
from torqueaudit.model.judged.around import (
    Around,
    FollowUp,
    VehicleEvent,
    VehicleMeasurement,
    VehicleOdometer,
    VehiclePart,
)
from torqueaudit.model.procedure.in_book import ProcedureInBook, fold_procedure
from torqueaudit.model.register.people import Person, fold_person
from torqueaudit.model.register.settings import Settings, fold_settings
from torqueaudit.model.register.vehicles import Vehicle, fold_vehicle
from torqueaudit.plugins import Plugins

if TYPE_CHECKING:
    from torqueaudit.model.wrench.wrench import Wrench

SHORTEST_DIGEST = 8


def settings_of(book: Book) -> Settings:
    """What the workshop of a book has chosen, as it stands now."""
    return fold_settings(book.entries(f"site/{book.site}"))


class Workshop:
    """The door itself. `clock` gives aware UTC moments, `chance` the tokens and ids."""

    def __init__(self, book: Book, plugins: Plugins, clock: Callable[[], datetime], chance: Random) -> None:
        self.book = book
        self.plugins = plugins
        self.clock = clock
        self.chance = chance

    @property
    def settings(self) -> Settings:
        """What the workshop has chosen, as it stands now."""
        return settings_of(self.book)

    @property
    def own_tolerance(self) -> Decimal:
        """The workshop's own default tolerance in percent."""
        return self.settings.own_tolerance_percent

    def today(self) -> date:
        """The workshop's date."""
        return self.local_day(self.clock())

    def local_day(self, moment: datetime) -> date:
        """The workshop's date at a moment."""
        return moment.astimezone(self.settings.timezone).date()

    def full_digest(self, start: str) -> str:
        """The digest of the procedure whose digest starts so, or the latest of that name. Refused otherwise."""
        rows = queries.procedures(self.book)
        found = [row.digest for row in rows if row.digest.startswith(start)] if len(start) >= SHORTEST_DIGEST else []
        found = found or [row.digest for row in rows if row.name == start][-1:]
        if len(found) != 1:
            raise Refused(
                f"{start}: {'more than one' if found else 'no'} such procedure; `torqueaudit procedure list` shows them"
            )
        return found[0]

    def new_id(self) -> str:
        """An id for an act that brought none."""
        return f"{self.chance.getrandbits(128):032x}"

    def person(self, number: str) -> Person | None:
        """A person by number."""
        entries = self.book.entries(f"person/{number}")
        return fold_person(entries) if entries else None

    def wrench(self, number: str) -> "Wrench | None":
        """A wrench by number."""
        from torqueaudit.model.wrench.entries import fold_wrench  # not for a job on which no wrench was used yet

        entries = self.book.entries(f"wrench/{number}")
        return fold_wrench(entries) if entries else None

    def vehicle(self, number: str) -> Vehicle:
        """A vehicle by number. Refused when unknown."""
        entries = self.book.entries(f"vehicle/{number}")
        if not entries:
            raise Refused(f"{number}: no such vehicle; `torqueaudit vehicle list` shows them")
        return fold_vehicle(entries)

    def procedure(self, digest: str) -> ProcedureInBook:
        """A procedure by its digest. Refused when unknown."""
        entries = self.book.entries(f"procedure/{digest}")
        if not entries:
            raise Refused(f"{digest[:12]}: no such procedure; `torqueaudit procedure list` shows them")
        return fold_procedure(entries)

    def job(self, number: str) -> Job:
        """A job by number. Refused when unknown."""
        record = self.record(number)
        return Job(record, self.procedure(record.digest).procedure)

    def record(self, number: str) -> JobRecord:
        """What a job's entries say. Refused when there is no such job."""
        entries = self.book.entries(f"job/{number}") if number.isalnum() else []
        if not entries:
            raise Refused(f"job {number}: no such job; `torqueaudit job list` shows them")
        return fold_record(entries)

    def around(self, job: Job, now: datetime | None = None) -> Around:
        """The surroundings of a job, loaded and frozen, at this moment or the given one."""
        settings, at = self.settings, now or self.clock()
        used = {t.wrench for t in job.record.of(Tightening) if t.wrench}
        wrenches = {number: wrench for number in used if (wrench := self.wrench(number))}
        people = {fact.noted.by for fact in job.record.facts}
        return Around(
            now=at,
            settings=settings,
            vehicle=self.vehicle(job.record.vehicle),
            people={number: person for number in people if (person := self.person(number))},
            wrenches=wrenches,
            cycles=self._cycles(wrenches, settings, at),
            others=self.other_events(job.record),
            read_by=self.procedure(job.record.digest).read_by,
            trouble=self.plugins.trouble(settings.expects, job.procedure.needs),
            measured=self._measured(job.record.vehicle),
            fitted=self._fitted(job.record.vehicle),
            odometers=self._odometers(job.record.vehicle),
            before=self._before(job.record),
            followed_by=self._followed_by(job.record),
        )

    def _cycles(self, wrenches: "dict[str, Wrench]", settings: Settings, at: datetime) -> dict[str, int]:
        if not wrenches:
            return {}
        from torqueaudit.workshop.wrenches.in_hand import take

        return {number: take(self.book, settings, wrench, at).cycles for number, wrench in wrenches.items()}

    def _measured(self, vehicle: str) -> tuple[VehicleMeasurement, ...]:
        return tuple(
            VehicleMeasurement(
                row.key,
                row.kind,
                Decimal(row.value),
                row.unit,
                pairs_of(row.conditions),
                datetime.fromisoformat(row.happened_at),
                row.odometer_m,
                str(row.job),
                row.entry,
            )
            for row in queries.measured_on(self.book, vehicle)
        )

    def _fitted(self, vehicle: str) -> tuple[VehiclePart, ...]:
        return tuple(
            VehiclePart(
                row.key,
                row.part,
                row.lot,
                bool(row.new),
                pairs_of(row.attributes),
                datetime.fromisoformat(row.happened_at),
                row.odometer_m,
                str(row.job),
                row.entry,
            )
            for row in queries.fitted_to(self.book, vehicle)
        )

    def _odometers(self, vehicle: str) -> tuple[VehicleOdometer, ...]:
        rows = queries.odometers_of(self.book, vehicle)
        return tuple(VehicleOdometer(datetime.fromisoformat(row.happened_at), row.metres, row.entry) for row in rows)

    def _before(self, record: JobRecord) -> Job | None:
        before = self.job(record.follows) if record.follows else None
        return before if before and before.record.vehicle == record.vehicle else None

    def _followed_by(self, record: JobRecord) -> tuple[FollowUp, ...]:
        numbers = map(str, queries.jobs_following(self.book, int(record.number), record.vehicle))
        releases = [(number, self.record(number).release) for number in numbers]
        return tuple(FollowUp(number, done.noted.happened_at if done else None) for number, done in releases)

    def other_events(self, record: JobRecord) -> tuple[VehicleEvent, ...]:
        """What other jobs and reports did to the fasteners of the same vehicle, in order."""
        rows = queries.later_events(self.book, record.vehicle)
        return tuple(
            VehicleEvent(
                row.position,
                datetime.fromisoformat(row.happened_at),
                "" if row.job is None else str(row.job),
                row.entry,
                row.kind,
            )
            for row in rows
            if str(row.job) != record.number
        )
