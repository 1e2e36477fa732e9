"""Other programs: a foreman lets one in by name, for what it may be given, up to a last day.

Its key is shown once and kept nowhere: the book has its SHA-256. A program records nothing; who let it in, and who
withdrew it, are entries.
"""

from collections.abc import Sequence
from contextlib import suppress
from datetime import date, datetime, timedelta
from typing import NamedTuple

from torqueaudit.book.errors import BookError
from torqueaudit.book.signing import Signing
from torqueaudit.ledger.entry import Draft, Entry, moment_of, stamp
from torqueaudit.ledger.words import FreeWords
from torqueaudit.model.act import Refused, Say, Topic
from torqueaudit.model.register.permits import ActName
from torqueaudit.model.register.programs import ADMITTED, PROGRAM, WITHDRAWN, Program, ProgramRole, fold_program
from torqueaudit.workshop.door.attempt import Attempt, record
from torqueaudit.workshop.door.workshop import Workshop
from torqueaudit.workshop.signing.admissions import Admissions, new_key
from torqueaudit.workshop.signing.hashes import digest_of

MOST_DAYS = 2 * 366  # a key that is looked at by nobody for longer is forgotten: common practice, no source
SEEN = timedelta(minutes=1)
PROGRAMS: Admissions[Program] = Admissions(
    noun=PROGRAM,
    begins="A-",
    such_as="accounts",
    topic=Topic.PROGRAMS,
    fold=fold_program,
    act=ActName.WITHDRAW_PROGRAM,
    withdrawn=WITHDRAWN,
    take=lambda signing, number: signing.programs.take(number),
)


class LetIn(NamedTuple):
    """A program that was let in: its number, and the key that it shows from now on, which is kept nowhere else."""

    program: str
    key: str


class ProgramView(NamedTuple):
    """A program as lists show it; `has_key` is false where this book does not know its key, as after an import."""

    program: Program
    is_let_in: bool
    last_seen: datetime | None
    has_key: bool


def let_in(workshop: Workshop, say: Say, name: str, role: ProgramRole, last_day: date) -> LetIn:
    """Let a program in, as a foreman. Raises Refused, also for a form that was sent before: its key was shown then."""
    name, key, made = PROGRAMS.name_of(workshop, name), new_key(workshop), list[str]()
    _require_near(workshop, last_day)
    said = {"name": FreeWords(name), "role": role.value, "last_day": last_day.isoformat()}

    def keep(signing: Signing, entries: Sequence[Entry]) -> None:
        signing.programs.keep(entries[0].key, digest_of(key))

    def build(attempt: Attempt) -> list[Draft]:
        number = PROGRAMS.next_number(workshop)
        subject = f"{PROGRAM}/{number}"
        attempt.expect[subject], attempt.beside = 0, keep
        made.append(number)
        on = workshop.local_day(attempt.happened_at).isoformat()
        return [attempt.draft(subject, ADMITTED, said, {"on": on})]

    (entry,) = record(workshop, say, ActName.LET_PROGRAM_IN, PROGRAM, said, build)
    if not made:
        again = "its key was shown then, and is kept nowhere; withdraw it, and let the program in anew"
        raise Refused(f"{entry.key} was let in by this before: {again}")
    return LetIn(entry.key, key)


def withdraw_program(workshop: Workshop, say: Say, number: str, why: str) -> None:
    """Let a program in no more, as a foreman: its key opens nothing from now on. Raises Refused."""
    PROGRAMS.withdraw(workshop, say, number, why)


def show_programs(workshop: Workshop) -> tuple[ProgramView, ...]:
    """Every program that was ever let in, in the order of their numbers."""
    seen, today = workshop.book.signing.programs.seen(), workshop.today()
    return tuple(
        ProgramView(
            program=program,
            is_let_in=program.is_let_in(today) and program.number in seen,
            last_seen=moment_of(told) if (told := seen.get(program.number)) else None,
            has_key=program.number in seen,
        )
        for program in PROGRAMS.all_of(workshop)
    )


def program_of_key(workshop: Workshop, key: str) -> Program:
    """The program that shows a key. Raises Refused where none has it, or its last day is over."""
    number = workshop.book.signing.programs.of(digest_of(key))
    if number is None:
        raise Refused("this key is no program's, or it was withdrawn; ask a foreman for a new one")
    program = _known(workshop, number)
    if not program.is_let_in(workshop.today()):
        raise Refused(f"the key of {program.number} ended on {program.last_day}; ask a foreman for a new one")
    return program


def see_program(workshop: Workshop, number: str) -> None:
    """Note that a program asked for something, once a minute; a disk that takes nothing keeps none from reading."""
    now = workshop.clock()
    last = workshop.book.signing.programs.seen().get(number)
    if last is None or (last and abs(now - moment_of(last)) < SEEN):
        return
    with suppress(BookError):
        workshop.book.signing.programs.see(number, stamp(now))


def is_program(number: str) -> bool:
    """Whether a number is that of a program."""
    return number.startswith(PROGRAMS.begins)


def require_reads_names(workshop: Workshop, number: str) -> None:
    """Refuse a program that was not let in to read names, or is let in no more. Raises Refused."""
    program = _known(workshop, number)
    if not (program.is_let_in(workshop.today()) and program.role.reaches(ProgramRole.READS_NAMES)):
        raise Refused(f"{number} is a program that reads no names; a foreman lets one in that does")


def _require_near(workshop: Workshop, last_day: date) -> None:
    today = workshop.today()
    if last_day < today:
        raise Refused(f"{last_day} is over; name the last day on which the key holds")
    if last_day > today + timedelta(days=MOST_DAYS):
        raise Refused(f"{last_day} is further than two years ahead; let the program in anew then")


def _known(workshop: Workshop, number: str) -> Program:
    return fold_program(workshop.book.entries(f"{PROGRAM}/{number}"))
