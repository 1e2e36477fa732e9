"""The other programs that were let in: each by number, with what it may be given and until when."""

from collections.abc import Sequence
from datetime import date
from enum import StrEnum
from typing import TYPE_CHECKING, NamedTuple

from torqueaudit.model.register.withdrawal import Withdrawal, withdrawal_in
from torqueaudit.model.unread import Unread, told_of

if TYPE_CHECKING:
    from torqueaudit.ledger.entry import Entry

PROGRAM = "program"  # the noun of the subject that each is kept under
ADMITTED, WITHDRAWN = "program_admitted.1", "program_withdrawn.1"
KINDS = frozenset({ADMITTED, WITHDRAWN, "struck.2"})


class ProgramRole(StrEnum):
    """What a program may be given; each is given what those before it are."""

    READS = "reads"
    READS_NAMES = "reads names"

    @property
    def says(self) -> str:
        """It in a sentence."""
        return _SAYS[self]

    def reaches(self, least: "ProgramRole") -> bool:
        """Whether what asks for at least a role is given to this one."""
        roles = tuple(ProgramRole)
        return roles.index(self) >= roles.index(least)


_SAYS = {
    ProgramRole.READS: "reads what staff see, without names, plates and contacts",
    ProgramRole.READS_NAMES: "also reads names, plates and contacts, and each time is noted",
}


class Program(NamedTuple):
    """Another program that a foreman let in, up to and with a last day, and may have withdrawn since."""

    number: str
    name: str
    role: ProgramRole
    last_day: date
    admitted_on: date
    admitted_by: str
    withdrawn: Withdrawal | None = None
    unread: tuple[Unread, ...] = ()  # entries of it that cannot be read and were not struck

    def is_let_in(self, today: date) -> bool:
        """Whether its key opens anything on a day."""
        return self.withdrawn is None and today <= self.last_day


def fold_program(entries: Sequence["Entry"]) -> Program:
    """A program as it was let in and, where it was, withdrawn; nothing brings it back. Raises NothingKnown."""
    program: Program
    program, unread = told_of(entries, _folded, KINDS)
    return program._replace(unread=unread) if unread else program


def _folded(entries: Sequence["Entry"]) -> Program:
    first, *later = entries
    return Program(
        number=first.key,
        name=first.told("name"),
        role=ProgramRole(first.said["role"]),
        last_day=date.fromisoformat(first.said["last_day"]),
        admitted_on=date.fromisoformat(first.judged["on"]),
        admitted_by=first.who,
        withdrawn=withdrawal_in(later, WITHDRAWN),
    )
