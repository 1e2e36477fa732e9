"""What is the same of everything that a foreman lets in by a name and may withdraw: devices, and other programs."""

from collections.abc import Callable, Iterator, Sequence
from contextlib import suppress
from typing import Generic, NamedTuple, Protocol, TypeVar

from torqueaudit.book.signing import Signing
from torqueaudit.ledger.entry import Draft, Entry
from torqueaudit.ledger.words import FreeWords
from torqueaudit.model.act import Refused, Say, See, Topic
from torqueaudit.model.register.permits import ActName
from torqueaudit.model.register.withdrawal import Withdrawal
from torqueaudit.model.unread import NothingKnown
from torqueaudit.workshop.door.attempt import Attempt, record
from torqueaudit.workshop.door.names import refuse_personal
from torqueaudit.workshop.door.refusal import refuse_unseen
from torqueaudit.workshop.door.workshop import Workshop

KEY = 256  # bits of chance
LONGEST_NAME = 60


class MayBeWithdrawn(Protocol):
    """Something that was let in, and may have been withdrawn since."""

    @property
    def withdrawn(self) -> Withdrawal | None:
        """By whom it was, when and why."""


In = TypeVar("In", bound=MayBeWithdrawn)


class Admissions(NamedTuple, Generic[In]):
    """One kind of what is let in: its noun, how its numbers begin, an example of a name, and how it is withdrawn.

    `fold` makes one of its own entries; `take` takes its key away.
    """

    noun: str
    begins: str
    such_as: str
    topic: Topic
    fold: Callable[[Sequence[Entry]], In]
    act: ActName
    withdrawn: str
    take: Callable[[Signing, str], None]

    def next_number(self, workshop: Workshop) -> str:
        """The number of the one that is let in next."""
        return f"{self.begins}{workshop.book.next_number(self.noun)}"

    def none(self, number: str) -> Refused:
        """The refusal of a number that none has."""
        return Refused(f"{number}: no {self.noun} of that number was let in", See(self.topic))

    def name_of(self, workshop: Workshop, typed: str) -> str:
        """The name by which one is let in, as it was typed. Raises Refused, also where it names somebody."""
        name = " ".join(typed.split())
        if not name or len(name) > LONGEST_NAME:
            raise Refused(f"give the {self.noun} a name of 1 to {LONGEST_NAME} characters, such as “{self.such_as}”")
        refuse_unseen(name, "name")
        refuse_personal(workshop, FreeWords(name))
        return name

    def all_of(self, workshop: Workshop) -> Iterator[In]:
        """Every one that was ever let in, by number; `ledger verify` tells of one of which nothing is known."""
        for number in range(1, workshop.book.next_number(self.noun)):
            if entries := workshop.book.entries(f"{self.noun}/{self.begins}{number}"):
                with suppress(NothingKnown):
                    yield self.fold(entries)

    def withdraw(self, workshop: Workshop, say: Say, number: str, why: str) -> None:
        """Let one in no more, as a foreman: its key opens nothing from now on. Raises Refused."""
        if not why.strip():
            raise Refused(f"{number}: say why it is withdrawn")
        subject, said = f"{self.noun}/{number}", {"why": FreeWords(why)}

        def build(attempt: Attempt) -> list[Draft]:
            entries = attempt.entries(subject)
            if not entries:
                raise self.none(number)
            if before := self.fold(entries).withdrawn:
                raise Refused(f"{number} was withdrawn on {before.on} already")
            attempt.beside = lambda signing, _: self.take(signing, number)
            on = workshop.local_day(attempt.happened_at).isoformat()
            return [attempt.draft(subject, self.withdrawn, said, {"on": on})]

        record(workshop, say, self.act, subject, said, build)


def new_key(workshop: Workshop) -> str:
    """A key that nobody guesses, for a device, a program or a session."""
    return f"{workshop.chance.getrandbits(KEY):0{KEY // 4}x}"
