"""An open workshop: its book, its plugins, its clock, and what they say of people, vehicles and wrenches."""

from collections.abc import Callable, Sequence
from datetime import date, datetime
from decimal import Decimal
from random import Random
from typing import TYPE_CHECKING, TypeVar

from torqueaudit.book.book import Book
from torqueaudit.ledger.entry import subject_of_site
from torqueaudit.model.act import Refused, See, Topic
from torqueaudit.model.job.record import Job, JobRecord, fold_record
from torqueaudit.model.procedure.in_book import ProcedureInBook, fold_procedure
from torqueaudit.model.procedure.procedure import Procedure
from torqueaudit.model.register.people import Person, fold_person
from torqueaudit.model.register.settings import Settings, told_settings
from torqueaudit.model.vehicle.vehicle import Vehicle, fold_vehicle
from torqueaudit.model.wrench.entries import fold_wrench
from torqueaudit.plugins import Plugins
from torqueaudit.workshop.door.folded import Folds

if TYPE_CHECKING:
    from torqueaudit.ledger.entry import Entry
    from torqueaudit.model.wrench.wrench import Wrench
    from torqueaudit.workshop.door.kept import Works

SHORTEST_DIGEST = 8

T = TypeVar("T")


def settings_of(book: Book) -> Settings:
    """What the workshop of a book has chosen, as it stands now."""
    return _settings(book.entries(subject_of_site(book.site)))


def _settings(entries: "Sequence[Entry]") -> Settings:
    return told_settings(entries)[0]


class Workshop:
    """The door itself. `clock` gives aware UTC moments, `chance` the tokens and ids.

    `kept` is what a server has judged, as long as that holds; None where every question is worked out anew.
    """

    kept: "Works | None" = None

    def __init__(
        self,
        book: Book,
        plugins: Plugins,
        clock: Callable[[], datetime],
        chance: Random,
        folds: Folds | None = None,
    ) -> None:
        self.book = book
        self.plugins = plugins
        self.clock = clock
        self.chance = chance
        self.folds = folds or Folds()
        self.recorded = ""  # the id of the last act that was recorded, so that it is found again

    def at(self, moment: datetime) -> "Workshop":
        """The same workshop by a clock that stands at a moment; nothing that was judged before is kept."""
        return Workshop(self.book, self.plugins, lambda: moment, self.chance, folds=self.folds)

    @property
    def settings(self) -> Settings:
        """What the workshop has chosen, as it stands now."""
        subject = subject_of_site(self.book.site)
        return self.folds.of(subject, self.book.entries(subject), _settings)

    @property
    def own_tolerance(self) -> Decimal:
        """The workshop's own default tolerance in percent."""
        return self.settings.own_tolerance_percent

    def asks_outside(self) -> None:
        """Say that something outside the book is asked, where nobody sees it change: nothing made of it is kept."""
        self.book.engine.notes.spoil()

    def today(self) -> date:
        """The workshop's date."""
        return self.local_day(self.clock())

    def local_day(self, moment: datetime) -> date:
        """The workshop's date at a moment."""
        return moment.astimezone(self.settings.timezone).date()

    def full_digest(self, start: str) -> str:
        """The digest of the procedure whose digest starts so, or the latest of that name. Refused otherwise."""
        from torqueaudit.book import queries  # a job that is only shown knows its procedure

        rows = queries.procedures(self.book)
        found = [row.digest for row in rows if row.digest.startswith(start)] if len(start) >= SHORTEST_DIGEST else []
        found = found or [row.digest for row in rows if row.name == start][-1:]
        if len(found) == 1:
            return found[0]
        names = {row.name for row in rows if row.name}
        from torqueaudit.model.nearest import did_you_mean, near  # few names are mistyped

        if not found and near(start, names):
            raise Refused(f"{start}: no such procedure; {did_you_mean(start, names)}")
        raise Refused(f"{start}: {'more than one' if found else 'no'} such procedure", See(Topic.PROCEDURES))

    def new_id(self) -> str:
        """An id for an act that brought none."""
        return f"{self.chance.getrandbits(128):032x}"

    def person(self, number: str) -> Person | None:
        """A person by number."""
        return self._folded(f"person/{number}", fold_person)

    def wrench(self, number: str) -> "Wrench | None":
        """A wrench by number."""
        return self._folded(f"wrench/{number}", fold_wrench)

    def vehicle(self, number: str) -> Vehicle:
        """A vehicle by number. Refused when unknown."""
        vehicle = self._folded(f"vehicle/{number}", fold_vehicle)
        if vehicle is None:
            raise Refused(f"{number}: no such vehicle", See(Topic.VEHICLES))
        return vehicle

    def procedure(self, digest: str) -> ProcedureInBook:
        """A procedure by its digest. Refused when unknown."""
        procedure = self._folded(f"procedure/{digest}", fold_procedure)
        if procedure is None:
            raise Refused(f"{digest[:12]}: no such procedure", See(Topic.PROCEDURES))
        return procedure

    def job(self, number: str) -> Job:
        """A job by number. Refused when unknown."""
        record = self.record(number)
        return Job(record, self.procedure_of(record))

    def procedure_of(self, record: JobRecord) -> Procedure:
        """The procedure that a job follows; of a job of some fasteners alone no more than belongs to them."""
        procedure = self.procedure(record.digest).procedure
        if not record.only:
            return procedure
        from torqueaudit.model.procedure.only import reduced  # few jobs are of some fasteners alone

        return reduced(procedure, record.only)

    def record(self, number: str) -> JobRecord:
        """What a job's entries say. Refused when there is no such job."""
        record = self._folded(f"job/{number}", fold_record) if number.isalnum() else None
        if record is None:
            raise Refused(f"job {number}: no such job", See(Topic.JOBS))
        return record

    def _folded(self, subject: str, fold: "Callable[[Sequence[Entry]], T]") -> T | None:
        """What a subject's entries are folded to; None where it has none."""
        entries = self.book.entries(subject)
        return self.folds.of(subject, entries, fold) if entries else None
