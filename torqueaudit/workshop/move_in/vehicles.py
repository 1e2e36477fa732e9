"""A vehicle of a workshop's own list: looked at as if it were entered by hand behind the rows above it, then entered.

What names its owner lies in the erasable table alone. So does what the row is known by when it is read again: an id or
the digest of a file that are made of a plate could be found out by trying plates, long after it was erased.
"""

from collections.abc import Mapping
from datetime import date, datetime
from typing import TYPE_CHECKING

from torqueaudit.book import queries
from torqueaudit.book.written import ways_in, ways_of
from torqueaudit.ledger.entry import Draft
from torqueaudit.model.act import Refused, Say
from torqueaudit.model.log.rows import LogRow
from torqueaudit.model.move_in.mapping import VehicleColumns
from torqueaudit.model.move_in.rows import KEY, ListedVehicle
from torqueaudit.model.nearest import letters_of
from torqueaudit.model.register.permits import IMPORT, ActName
from torqueaudit.model.register.settings import begin_of
from torqueaudit.model.vehicle.instrument import run_text, told_as
from torqueaudit.read.vehicle_row import read_vehicle_row
from torqueaudit.workshop.door.attempt import Attempt, record, when
from torqueaudit.workshop.door.numbers import number_new
from torqueaudit.workshop.move_in.rows import Comes, RowLook
from torqueaudit.workshop.vehicles.contact import AGREED, agreed
from torqueaudit.workshop.vehicles.contact import ways_of as ways_agreed
from torqueaudit.workshop.vehicles.known import FRAME, OWN, KnownVehicles, is_same
from torqueaudit.workshop.vehicles.tag import looked_at_of
from torqueaudit.workshop.vehicles.vehicle import require_new, require_told

if TYPE_CHECKING:
    from torqueaudit.workshop.door.workshop import Workshop

MOVED_FROM = "moved_in_from"  # the field of the file and the line from which a vehicle came
READ_OFF = "read_off.1"
_CALLED = {"frame_number": "frame number", "plate": "plate", KEY: "key"}


class VehicleLooks:
    """Looks at row after row of a list, each behind those before it."""

    def __init__(self, workshop: "Workshop", means: VehicleColumns, sign: str) -> None:
        self._workshop = workshop
        self._means = means
        self._sign = sign
        self._known = KnownVehicles.of(workshop, _CALLED)
        self._rows = KnownVehicles()  # of this list, by their lines
        self._told: dict[str, ListedVehicle] = {}
        self._ways: dict[str, int] = {}  # how whatever is known of an owner may be written: the line that tells it
        self._tags = {letters_of(row.tag or ""): row.vehicle for row in queries.vehicles(workshop.book)}

    def look(self, row: LogRow) -> RowLook:
        """What a row would do."""
        try:
            told = read_vehicle_row(row, self._means, self._sign)
            if there := self._again(told):
                return RowLook(row, Comes.THERE, there[1], number=there[0], told=told)
            self._require_enterable(told)
        except (ValueError, Refused) as why:
            return RowLook(row, Comes.WRONG, str(why))
        says = "; ".join((_says(told), *self._remarks(told)))
        self._keep(row.line, told)
        return RowLook(row, Comes.ENTERED, says, told=told)

    def _again(self, told: ListedVehicle) -> tuple[str, str] | None:
        """The vehicle that a row is, with a sentence, where it is there or stands above. Raises Refused for two."""
        if line := _found(self._rows, told.personal, "of this list"):
            if self._told[line] != told:
                fields = _fields_of(self._rows, told.personal)
                raise Refused(f"{line} has this {fields}, and says something else; leave one of them out")
            return "", f"the same as {line}"
        number = _found(self._known, told.personal, "of the book")
        if not number:
            return None
        known = self._workshop.book.personal_of(f"vehicle/{number}")
        others = [field for field in OWN if _differs(field, told.personal, known)]
        if FRAME in others:
            fields = _fields_of(self._known, told.personal)
            raise Refused(f"{number} has this {fields}, and another frame number; look which of them is right")
        called = " and ".join(_CALLED[each] for each in others)
        return number, f"as {number}{f'. Another {called} is known of it, and stays' if others else ''}"

    def _require_enterable(self, told: ListedVehicle) -> None:
        """Refuse whatever would be refused by hand. Raises Refused."""
        attempt = Attempt(self._workshop, Say(IMPORT))
        require_enterable(attempt, told, self._known)
        for text, looked_at, singly in looked_at_of(told.new.tag, told.new.model):
            for way in sorted(ways_in(looked_at, singly=singly) & self._ways.keys()):
                says = f"“{text}” holds a name or number that line {self._ways[way]} tells of an owner"
                raise Refused(f"{says}, and the ledger never forgets; call it by model, colour and number instead")

    def _remarks(self, told: ListedVehicle) -> list[str]:
        alike = self._tags.get(letters_of(told.new.tag))
        return [*told.left_out, *([f"{alike} is called so too"] if alike else ())]

    def _keep(self, line: int, told: ListedVehicle) -> None:
        """Keep what later rows are held against."""
        name = f"line {line}"
        self._rows.add(name, told.personal)
        self._told[name] = told
        self._tags.setdefault(letters_of(told.new.tag), name)
        contact = told.agreement.contact._asdict() if told.agreement else {}
        for way in ways_of({**told.personal, **contact}):
            self._ways.setdefault(way, line)


class VehicleEntering:
    """Enters row after row of a list, whose file is told by its digest and was read for `run_by`."""

    def __init__(self, workshop: "Workshop", file: str, run_by: str, say: Say) -> None:
        self._workshop = workshop
        self._file = file
        self._run_by = run_by
        self._say = say
        self._known, self._head = KnownVehicles(), -1

    def enter(self, line: int, told: ListedVehicle) -> str:
        """Enter a row; returns the number of the vehicle. Raises Refused."""

        def build(attempt: Attempt) -> list[Draft]:
            self._renew()
            if number := _found(self._known, told.personal, "of the book"):
                raise Refused(f"{number} was entered meanwhile, and is the same one; read the list again")
            require_enterable(attempt, told, self._known)
            known = {**told.personal, MOVED_FROM: f"line {line} of the file {self._file}"}
            if told.agreement:
                known |= agreed(self._workshop, told.agreement.contact)
            subject = number_new(attempt, "vehicle", "V", known)
            return _drafts(attempt, subject, told, {"run_by": self._run_by, "line": line})

        entries = record(self._workshop, self._say, ActName.MOVE_VEHICLE_IN, "vehicle", told.new.said, build)
        self._known.add(entries[0].key, told.personal)
        self._head = entries[-1].sequence
        return entries[0].key

    def _renew(self) -> None:
        """Ask anew by what vehicles are known, where somebody else has written since."""
        head = self._workshop.book.head().sequence
        if head != self._head:
            self._known, self._head = KnownVehicles.of(self._workshop, _CALLED), head


def require_enterable(attempt: Attempt, told: ListedVehicle, known: KnownVehicles) -> None:
    """Refuse a vehicle that could not be entered by hand, a day to come, and who heard a yes and is nobody here."""
    require_told(told.new)
    reached_by = told.agreement.contact._asdict() if told.agreement else {}
    require_new(attempt, told.new, {**told.personal, **reached_by}, known)
    if told.read_on:
        when(Say(IMPORT, _begin(attempt, told.read_on)), attempt.workshop)
    if told.agreement:
        attempt.known(told.agreement.heard_by)
        when(Say(IMPORT, _begin(attempt, told.agreement.on)), attempt.workshop)


def _drafts(attempt: Attempt, subject: str, told: ListedVehicle, whence: Mapping[str, object]) -> list[Draft]:
    """The vehicle, what was read off it on its day, and the owner's yes on its day."""
    drafts = [attempt.draft(subject, "entered.1", told.new.said, whence)]
    if told.run is not None and told.read_on:
        then = attempt.at(_begin(attempt, told.read_on))
        drafts.append(then.draft(subject, READ_OFF, told_as(told.run), whence))
    if told.agreement:
        then = attempt.at(_begin(attempt, told.agreement.on))
        said = {"ways": list(ways_agreed(told.agreement.contact)), "heard_by": told.agreement.heard_by}
        drafts.append(then.draft(subject, AGREED, said, whence))
    return drafts


def _begin(attempt: Attempt, day: date) -> datetime:
    """The beginning of a local day: a list tells no hour, and of today no later one has come."""
    return begin_of(day, attempt.workshop.settings.timezone)


def _found(known: KnownVehicles, personal: Mapping[str, str], where: str) -> str:
    """The one vehicle that has this frame number, plate or key; "" where none has. Raises Refused for two."""
    found = {field: known.with_this(field, personal.get(field, "")) for field in _CALLED}
    has = {number: _CALLED[field] for field, number in reversed(found.items()) if number}
    if len(has) > 1:
        says = " and ".join(f"its {field} is that of {number}" for number, field in reversed(has.items()))
        raise Refused(f"{says} {where}; look which one it is")
    return next(iter(has), "")


def _fields_of(known: KnownVehicles, personal: Mapping[str, str]) -> str:
    return " and ".join(called for field, called in _CALLED.items() if known.with_this(field, personal.get(field, "")))


def _differs(field: str, told: Mapping[str, str], known: Mapping[str, str]) -> bool:
    """Whether both are told, and are two."""
    return bool(told.get(field) and known.get(field)) and not is_same(field, told[field], known[field])


def _says(told: ListedVehicle) -> str:
    """What would be entered, in the words of the row."""
    new, personal = told.new, told.personal
    facts = [f"{new.tag}: {new.model}{f' of {new.year}' if new.year else ''}, {new.instrument.says}"]
    facts += [f"{called} {personal[field]}" for field, called in _CALLED.items() if field in personal]
    facts += [f"contact {personal['contact']}"] if "contact" in personal else []
    if told.run is not None:
        facts.append(f"{run_text(told.run, new.instrument)} on {told.read_on}")
    if told.agreement:
        ways = " and ".join(filter(None, told.agreement.contact))
        facts.append(f"to be reminded by {ways}, as {told.agreement.heard_by} heard on {told.agreement.on}")
    return "; ".join(facts)
