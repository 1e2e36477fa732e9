"""What a workshop keeps: its settings, its people, the vehicles it sees, its wrenches."""

from collections.abc import Mapping
from datetime import date
from decimal import Decimal
from typing import Any, NamedTuple
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from torqueaudit.book import queries
from torqueaudit.ledger.chain import head_of
from torqueaudit.ledger.entry import Draft, Entry
from torqueaudit.workshop.acting import Reading, Refused, Say, record
from torqueaudit.workshop.listing import people
from torqueaudit.workshop.workshop import Workshop

ROLES = ("mechanic", "trainee", "foreman")
WHOLE = 100  # per cent
KINDS = ("setting", "indicating")


class NewWrench(NamedTuple):
    """A wrench as it is entered; range as written with unit, lever (drive centre to hand mark) in mm."""

    kind: str
    tag: str
    lowest: str = ""
    highest: str = ""
    lever_mm: Decimal | None = None
    due_on: date | None = None


def settle(workshop: Workshop, chosen: Mapping[str, Any], say: Say) -> None:
    """Record choices of the workshop (see `Settings`). Raises Refused for a time zone or address that is none."""
    zone = chosen.get("zone")
    if zone is not None:
        try:
            ZoneInfo(zone)
        except (ZoneInfoNotFoundError, ValueError, OSError):
            raise Refused(f"{zone}: no such time zone; write it as Europe/Vienna") from None
    address = chosen.get("base_address")
    if address is not None and not address.startswith(("http://", "https://")):
        raise Refused(f"{address}: an address begins with http:// or https://")
    tolerance = chosen.get("own_tolerance_percent")
    if tolerance is not None and not 0 < Decimal(tolerance) < WHOLE:
        raise Refused(f"{tolerance} %: the workshop's own tolerance lies between 0 and 100 %")

    unknown = set(chosen.get("blocked_plugins", ())) - set(workshop.plugins.states)
    if unknown:
        raise Refused(f"{', '.join(sorted(unknown))}: no such plugin is installed; `torqueaudit plugins` lists them")

    def build(reading: Reading) -> list[Draft]:
        reading.person("foreman", "setup")
        return [reading.draft(f"site/{workshop.book.site}", "settled.1", dict(chosen))]

    record(workshop, say, "settle", "site", dict(chosen), build)


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
    return _enter(workshop, "person", "P", said, {"name": name}, say)


def add_vehicle(
    workshop: Workshop, tag: str, model: str, year: int | None, personal: Mapping[str, str], say: Say
) -> str:
    """Enter a vehicle; returns its number. Plate, frame number and owner's contact stay outside the ledger."""
    if not tag.strip() or not model.strip():
        raise Refused("a vehicle has a tag (what people call it) and a model")
    said: dict[str, Any] = {"tag": tag, "model": model, **({"year": year} if year is not None else {})}
    _require_nameless(f"{tag} {model}", personal)
    return _enter(workshop, "vehicle", "V", said, personal, say)


def _require_nameless(written: str, personal: Mapping[str, str]) -> None:
    """A tag stays in the ledger for good, and what names somebody must not; the book does not know it yet."""
    tag = _letters(written)
    for field, value in personal.items():
        if _letters(value) and _letters(value) in tag:
            what = field.replace("_", " ")
            raise Refused(f"{written}: this holds the {what}, and the ledger never forgets; choose another tag")


def _letters(text: str) -> str:
    return "".join(filter(str.isalnum, text)).casefold()


def add_wrench(workshop: Workshop, wrench: NewWrench, say: Say) -> str:
    """Enter a torque wrench; returns its number. Raises Refused for an unknown kind or a range that is none."""
    if wrench.kind not in KINDS:
        raise Refused(f"{wrench.kind}: a wrench is setting (it clicks) or indicating (it shows)")
    said: dict[str, Any] = {"kind": wrench.kind, "tag": wrench.tag}
    try:
        ends = [workshop.plugins.units.parse(text).nm for text in (wrench.lowest, wrench.highest) if text]
    except ValueError as error:
        raise Refused(str(error)) from None
    if len(ends) == 1 or (ends and ends[0] >= ends[1]):
        raise Refused("a wrench's range goes from its lowest to its highest value; give both, the lower first")
    if ends:
        said.update(min_nm=str(ends[0]), max_nm=str(ends[1]))
    if wrench.lever_mm is not None:
        said["lever_mm"] = str(wrench.lever_mm)
    if wrench.due_on is not None:
        said["due_on"] = wrench.due_on.isoformat()
    return _enter(workshop, "wrench", "W", said, {}, say)


def withdraw_wrench(workshop: Workshop, number: str, why: str, say: Say) -> None:
    """Take a wrench out of use, with the reason."""
    if not why.strip():
        raise Refused(f"{number}: say why it is withdrawn")

    def build(reading: Reading) -> list[Draft]:
        reading.person("foreman", "mechanic")
        if not reading.entries(f"wrench/{number}"):
            raise Refused(f"{number}: no such wrench; `torqueaudit wrench list` shows them")
        return [reading.draft(f"wrench/{number}", "withdrawn.1", {"why": why})]

    record(workshop, say, "withdraw", f"wrench/{number}", {"why": why}, build)


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


def _enter(
    workshop: Workshop, noun: str, letter: str, said: Mapping[str, Any], personal: Mapping[str, str], say: Say
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
        return [reading.draft(subject, "entered.1", said)]

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
