"""What a workshop keeps: its settings, its people, the vehicles it sees."""

from collections.abc import Callable, Mapping
from decimal import Decimal
from typing import Any, NamedTuple
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from torqueaudit.book import queries
from torqueaudit.ledger.chain import head_of
from torqueaudit.ledger.entry import Draft, Entry
from torqueaudit.model.act import Refused, Say
from torqueaudit.model.register.settings import Settings, fold_settings
from torqueaudit.model.shown.label import allows_capitals
from torqueaudit.model.torque.units import read_decimal
from torqueaudit.workshop.acting import Reading, record
from torqueaudit.workshop.listing import people
from torqueaudit.workshop.workshop import Workshop

ROLES = ("mechanic", "trainee", "foreman")


class Bounds(NamedTuple):
    """What a number among the settings may be, both ends included, and what is said of one that may not."""

    lowest: Decimal
    highest: Decimal
    says: str


NUMBERS = {
    "own_tolerance_percent": Bounds(
        Decimal("0.1"), Decimal(99), "the workshop's own tolerance lies between 0.1 and 99 %"
    ),
    "guard_factor": Bounds(Decimal(0), Decimal(3), "a guard factor is 0 (simple acceptance) to 3; 1 is usual"),
    "calibration_months": Bounds(Decimal(1), Decimal(24), "a calibration holds 1 to 24 months; ISO 6789 says 12"),
    "calibration_cycles": Bounds(
        Decimal(1), Decimal(20_000), "a calibration holds 1 to 20000 cycles; ISO 6789 says 5000"
    ),
    "wrench_due_soon_days": Bounds(Decimal(0), Decimal(180), "a calibration is due soon 0 to 180 days before it ends"),
}


def settle(workshop: Workshop, chosen: Mapping[str, Any], say: Say) -> None:
    """Record choices of the workshop (see `Settings`). Raises Refused for a choice that is none."""
    zone = chosen.get("zone")
    if zone is not None:
        try:
            ZoneInfo(zone)
        except (ZoneInfoNotFoundError, ValueError, OSError):
            raise Refused(f"{zone}: no such time zone; write it as Europe/Vienna") from None
    address = chosen.get("base_address")
    if address is not None and not address.startswith(("http://", "https://")):
        raise Refused(f"{address}: an address begins with http:// or https://")
    numbers = {name: _number(name, chosen[name]) for name in NUMBERS if name in chosen}
    said = {**chosen, **{name: number for name, number in numbers.items() if isinstance(chosen[name], str)}}
    unknown = set(chosen.get("blocked_plugins", ())) - set(workshop.plugins.states)
    if unknown:
        raise Refused(f"{', '.join(sorted(unknown))}: no such plugin is installed; `torqueaudit plugins` lists them")

    def build(reading: Reading) -> list[Draft]:
        reading.person("foreman", "setup")
        site = f"site/{workshop.book.site}"
        _require_path_for_labels(fold_settings(reading.entries(site)), chosen)
        return [reading.draft(site, "settled.1", said)]

    record(workshop, say, "settle", "site", said, build)


def add_person(workshop: Workshop, name: str, roles: tuple[str, ...], supervisor: str, say: Say) -> str:
    """Enter somebody who works here; returns their number. The name stays outside the ledger.

    Raises Refused for an unknown role, or a trainee without a supervisor.
    """
    unknown = [role for role in roles if role not in ROLES]
    if unknown or not roles:
        raise Refused(f"{', '.join(unknown) or 'no role'}: a role is mechanic, trainee or foreman")
    if "trainee" in roles and not supervisor:
        raise Refused("a trainee has a supervisor who answers for the work; give --supervisor")
    answers = workshop.person(supervisor) if supervisor else None
    if supervisor and answers is None:
        raise Refused(f"{supervisor}: nobody of that number works here")
    if answers and answers.roles == ("trainee",):
        raise Refused(f"{supervisor} is a trainee and cannot answer for another; name a mechanic or foreman")
    said: dict[str, Any] = {"roles": list(roles), **({"supervisor": supervisor} if supervisor else {})}
    return enter(workshop, "person", "P", said, {"name": name}, say)


def add_vehicle(
    workshop: Workshop, tag: str, model: str, year: int | None, personal: Mapping[str, str], say: Say
) -> str:
    """Enter a vehicle; returns its number. Plate, frame number and owner's contact stay outside the ledger."""
    if not tag.strip() or not model.strip():
        raise Refused("a vehicle has a tag (what people call it) and a model")
    said: dict[str, Any] = {"tag": tag, "model": model, **({"year": year} if year is not None else {})}
    _require_nameless(f"{tag} {model}", personal)
    return enter(workshop, "vehicle", "V", said, personal, say)


def _number(name: str, value: str | int) -> str:
    """A number among the settings as the ledger holds it. Raises Refused for one out of its bounds."""
    try:
        number = read_decimal(str(value), name.replace("_", " "))
    except ValueError as error:
        raise Refused(str(error)) from None
    if not NUMBERS[name].lowest <= number <= NUMBERS[name].highest:
        raise Refused(f"{value}: {NUMBERS[name].says}")
    return f"{number:f}"


def _require_path_for_labels(now: Settings, chosen: Mapping[str, Any]) -> None:
    """Refuse labels in capitals where these would change the path of the base address."""
    if chosen.keys().isdisjoint({"base_address", "upper_case_labels"}):
        return
    address = str(chosen.get("base_address", now.base_address))
    if chosen.get("upper_case_labels", now.upper_case_labels) and not allows_capitals(address):
        raise Refused(
            f"{address}: labels in capitals would write its path in capitals too, which a server may not know; choose "
            "--lower-case-labels, or an address whose path is in capitals or that has none"
        )


def _require_nameless(written: str, personal: Mapping[str, str]) -> None:
    """A tag stays in the ledger for good, and what names somebody must not; the book does not know it yet."""
    tag = _letters(written)
    for field, value in personal.items():
        if _letters(value) and _letters(value) in tag:
            what = field.replace("_", " ")
            raise Refused(f"{written}: this holds the {what}, and the ledger never forgets; choose another tag")


def _letters(text: str) -> str:
    return "".join(filter(str.isalnum, text)).casefold()


def report_loosened(workshop: Workshop, vehicle: str, position: str, why: str, say: Say) -> None:
    """Record anyone's report that a fastener of a vehicle was undone outside a job."""
    if not why.strip():
        raise Refused(f"{position}: say who reported it by number or trade, and why it was loosened")

    def build(reading: Reading) -> list[Draft]:
        reading.person()
        if not reading.entries(f"vehicle/{vehicle}"):
            raise Refused(f"{vehicle}: no such vehicle; `torqueaudit vehicle list` shows them")
        known = {event.position for event in queries.later_events(workshop.book, vehicle)}
        if position not in known:
            raise Refused(
                f"{position}: no job of {vehicle} knows it; it has {', '.join(sorted(known)) or 'no fasteners yet'}"
            )
        return [reading.draft(f"vehicle/{vehicle}", "loosened.1", {"position": position, "why": why})]

    record(workshop, say, "report loosened", f"vehicle/{vehicle}", {"position": position, "why": why}, build)


def enter(
    workshop: Workshop,
    noun: str,
    letter: str,
    said: Mapping[str, Any],
    personal: Mapping[str, str],
    say: Say,
    judged: Callable[[Reading], Mapping[str, Any]] | None = None,
) -> str:
    """The first entry of a new person, vehicle or wrench, under the next free number."""
    number = workshop.book.next_number(noun)
    subject = f"{noun}/{letter}-{number}"

    def build(reading: Reading) -> list[Draft]:
        if noun != "vehicle":
            reading.person("foreman", "setup")
        reading.expect[subject] = 0
        if personal.get("name", "").strip().casefold() in {name.casefold() for _, name in people(workshop) if name}:
            raise Refused(f"{personal['name']}: somebody of that name is entered already; nobody has two numbers")
        return [reading.draft(subject, "entered.1", said, judged(reading) if judged else None)]

    known = {field: value for field, value in personal.items() if value}
    entries = record(workshop, say, f"enter {noun}", noun, said, build, personal={subject: known} if known else None)
    return entries[0].key


def forget(workshop: Workshop, subject: str) -> None:
    """Erase what names somebody ("person/P-3", "vehicle/V-1"); their number and what was recorded stay."""
    if not workshop.book.entries(subject):
        raise Refused(f"{subject.partition('/')[2]}: nothing of that number is in the book")
    workshop.book.forget(subject)


def faults(workshop: Workshop, printed: str | None = None) -> list[str]:
    """What is wrong with the ledger, in sentences, also against a head that was printed earlier."""
    try:
        head = head_of(printed) if printed else None
    except ValueError as error:
        raise Refused(str(error)) from None
    return workshop.book.verify(head)


def ledger_entries(workshop: Workshop, first: int, last: int | None) -> list[Entry]:
    """Entries from one sequence to another."""
    return [entry for entry, _ in workshop.book.ledger(first, last)]
