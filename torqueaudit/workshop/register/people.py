"""People: who records and checks here, in which roles, since when, and until when."""

from collections.abc import Iterator, Mapping
from datetime import UTC, date, datetime, time
from typing import Any, NamedTuple

from torqueaudit.ledger.entry import Draft, stamp
from torqueaudit.ledger.words import FreeWords
from torqueaudit.model.act import Refused, Say, See, Topic
from torqueaudit.model.register.acts import PersonChange
from torqueaudit.model.register.people import ENDED, Person, fold_person
from torqueaudit.model.register.permits import FOREMAN, MECHANIC, ROLES, TRAINEE, ActName
from torqueaudit.workshop.door.attempt import Attempt, record
from torqueaudit.workshop.door.ledger import recorded_since
from torqueaudit.workshop.door.lists import people
from torqueaudit.workshop.door.numbers import enter, require_free_name
from torqueaudit.workshop.door.refusal import nobody
from torqueaudit.workshop.door.workshop import Workshop

FORGOTTEN = "the name was erased"  # nobody's words, so they stay in the entry


class Ended(NamedTuple):
    """What follows where somebody has left: trainees whom nobody answers for, and entries told of days after it."""

    person: str
    on: date
    trainees: tuple[str, ...]
    entries: tuple[int, ...]


def add_person(
    workshop: Workshop, name: str, roles: tuple[str, ...], supervisor: str, say: Say, start: date | None = None
) -> str:
    """Enter somebody who works here; returns their number. The name stays outside the ledger.

    Raises Refused for an unknown role, or a trainee without a supervisor.
    """
    _require_roles(workshop, roles, supervisor)
    said: dict[str, Any] = {"roles": list(roles), **({"supervisor": supervisor} if supervisor else {})}
    if start:
        said["start"] = start.isoformat()
    return enter(workshop, "person", "P", said, {"name": name}, say)


def change_person(workshop: Workshop, number: str, change: PersonChange, say: Say) -> Person:
    """Record other roles, another supervisor or start, and that a name was changed; returns who they are then.

    The name itself stays outside the ledger. Raises Refused where nothing is new, where no foreman would be left, where
    a trainee would answer for others, and for another role of who has left.
    """
    subject = f"person/{number}"

    def build(attempt: Attempt) -> list[Draft]:
        person = attempt.known(number)
        if change.name:
            require_free_name(workshop, change.name, own=number)
        _require_sound(attempt, person, change.said)
        said = _news(workshop, person, change)
        return [attempt.draft(subject, "changed.1", said)]

    personal = {subject: {"name": change.name}} if change.name else None
    record(workshop, say, ActName.CHANGE_PERSON, subject, change.said, build, personal)
    return fold_person(workshop.book.entries(subject))


def end_person(workshop: Workshop, number: str, on: date | None, why: str, say: Say) -> Ended:
    """Record that somebody left, today or on a day before; from then on they record and sign nothing.

    Raises Refused for a day to come, for who has left already, and for the last foreman.
    """
    return _end(workshop, number, on, {"why": FreeWords(why)} if why.strip() else {}, say)


def _end(workshop: Workshop, number: str, on: date | None, why: Mapping[str, Any], say: Say) -> Ended:
    subject = f"person/{number}"
    told = {**({"on": on.isoformat()} if on else {}), **why}

    def build(attempt: Attempt) -> list[Draft]:
        person, day = attempt.known(number), on or workshop.local_day(attempt.happened_at)
        if person.left:
            raise Refused(f"{number} left on {person.left.on} already (#{person.left.entry})")
        if day > workshop.today():
            raise Refused(f"{day} has not come yet, and until then {number} works here; say it on that day")
        _require_another_foreman(attempt, person)
        attempt.beside = lambda signing, _: signing.end_sessions_of(number)
        return [attempt.draft(subject, ENDED, {**told, "on": day.isoformat()})]

    record(workshop, say, ActName.END_PERSON, subject, told, build)
    return what_follows(workshop, number)


def forget_person(workshop: Workshop, number: str, say: Say) -> None:
    """Erase a name and a PIN, and record that their bearer has left where that was not told; what they recorded stays.

    Raises Refused for the last foreman, whose name is erased once there is another one.
    """
    person = workshop.person(number)
    if person is None:
        raise nobody(number)
    if person.left is None:
        _end(workshop, number, None, {"why": FORGOTTEN}, say)
    workshop.book.forget(f"person/{number}")
    workshop.book.signing.take_pins(number)


def _news(workshop: Workshop, person: Person, change: PersonChange) -> dict[str, Any]:
    """Of what is told what is new, as the entry holds it. Refused where nothing is."""
    is_so: dict[str, Any] = {"roles": list(person.roles), "supervisor": person.supervisor}
    if person.starts_on and not person.left:
        is_so["start"] = person.starts_on.isoformat()
    if change.name == workshop.book.personal_of(f"person/{person.number}").get("name"):
        is_so["renamed"] = True
    said = {key: value for key, value in change.said.items() if is_so.get(key) != value}
    if not said:
        raise Refused(f"{person.number}: nothing of this is new, so nothing is recorded")
    return said


def _require_sound(attempt: Attempt, person: Person, said: dict[str, Any]) -> None:
    """Refuse what cannot be of somebody after a change."""
    if not said.keys() & {"roles", "supervisor", "start"}:
        return
    if person.left and "start" not in said:
        raise Refused(f"{person.number} left on {person.left.on}; only a new start brings them back")
    workshop = attempt.workshop
    after = person._replace(
        roles=tuple(said.get("roles", person.roles)), supervisor=said.get("supervisor", person.supervisor)
    )
    _require_roles(workshop, after.roles, after.supervisor, own=person.number)
    if FOREMAN not in after.roles or said.get("start", "") > workshop.today().isoformat():
        _require_another_foreman(attempt, person)
    answered = [each.number for each in _trainees_of(workshop, person.number)]
    if after.only_trainee and answered:
        says = f"{person.number} answers for {', '.join(answered)}, and a trainee cannot; name another supervisor first"
        raise Refused(says)


def _require_roles(workshop: Workshop, roles: tuple[str, ...], supervisor: str, own: str = "") -> None:
    """Refuse an unknown role, a trainee without a supervisor, and a supervisor who cannot answer for anybody."""
    unknown = [role for role in roles if role not in ROLES]
    if unknown or not roles:
        raise Refused(f"{', '.join(unknown) or 'no role'}: a role is mechanic, trainee or foreman")
    if TRAINEE in roles and not supervisor:
        raise Refused("a trainee has a supervisor who answers for the work", See(Topic.SUPERVISOR))
    answers = workshop.person(supervisor) if supervisor else None
    if supervisor and answers is None:
        raise nobody(supervisor)
    if supervisor and supervisor == own:
        raise Refused(f"{supervisor} cannot answer for their own work; name a mechanic or foreman")
    if answers and answers.only_trainee:
        raise Refused(f"{supervisor} is a trainee and cannot answer for another; name a mechanic or foreman")
    if answers and answers.left:
        raise Refused(f"{supervisor} left on {answers.left.on} and answers for nobody; name a mechanic or foreman")


def _require_another_foreman(attempt: Attempt, person: Person) -> None:
    """Refuse to lose the only foreman who works here today."""
    workshop = attempt.workshop
    today = workshop.today()
    if FOREMAN not in person.roles or not person.works_on(today):
        return
    here = [each for each in _others(workshop, person.number) if each.works_on(today)]
    for each in here:
        attempt.entries(f"person/{each.number}")  # so that two who are the last two cannot leave at once
    if not any(FOREMAN in each.roles for each in here):
        mechanics = [each.number for each in here if MECHANIC in each.roles]
        says = f"{person.number} is the only foreman, and somebody has to release and keep the wrenches"
        raise Refused(says, See(Topic.ANOTHER_FOREMAN, next(iter(mechanics), "P-…")))


def _others(workshop: Workshop, number: str) -> list[Person]:
    return [person for person, _ in people(workshop) if person.number != number]


def _trainees_of(workshop: Workshop, supervisor: str) -> Iterator[Person]:
    """Who works here, or will, and is answered for by somebody."""
    for each in _others(workshop, supervisor):
        if each.supervisor == supervisor and each.left is None and TRAINEE in each.roles:
            yield each


def what_follows(workshop: Workshop, number: str) -> Ended:
    """What follows for others where somebody has left, and what was told of the days after that."""
    person = workshop.person(number)
    if person is None or person.left is None:
        raise nobody(number)
    last_day = datetime.combine(person.left.on, time.max, workshop.settings.timezone)
    since = stamp(last_day.astimezone(UTC))
    later = [each for each in recorded_since(workshop, since) if each.who == number and each.happened_at > since]
    return Ended(
        person=number,
        on=person.left.on,
        trainees=tuple(each.number for each in _trainees_of(workshop, number)),
        entries=tuple(each.sequence for each in later),
    )
