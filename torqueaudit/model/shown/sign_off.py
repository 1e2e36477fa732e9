"""A sign-off of some days: which work was signed for in them, by whom, and what an auditor would ask about."""

from collections.abc import Callable, Iterable
from datetime import date, datetime
from typing import NamedTuple

from torqueaudit.model.shown.signed_job import SignedJob

NOT_A_SCORE = "These are facts to ask about. They are no score of a person, and each may have a good reason."
NOTHING = "Nothing was checked, released or handed over in these days."
NO_FACTS = "There is nothing of this kind."
NOT_OVER = "These days are not over yet: what is told here is not all of them."
ALL_SIGNED = "All of it is signed for; nothing was conceded, struck or late."


class Fact(NamedTuple):
    """Something an auditor would ask about, in one sentence, with the jobs it is seen on."""

    key: str
    says: str
    jobs: tuple[str, ...]

    @property
    def text(self) -> str:
        """The sentence with its jobs."""
        return f"{self.says} {jobs_text(self.jobs)}."


class SignOff(NamedTuple):
    """The sign-off of some days, both included; `unread` says what of them cannot be read.

    `head` is that of the ledger, "" where whoever asked shows none.
    """

    first: date
    last: date
    site: str
    demo: bool
    asked_at: datetime
    unread: tuple[str, ...]
    jobs: tuple[SignedJob, ...]
    facts: tuple[Fact, ...]
    head: str = ""

    @property
    def days(self) -> str:
        """The days in words: "2031-04-01 to 2031-04-07"."""
        return str(self.first) if self.first == self.last else f"{self.first} to {self.last}"

    @property
    def remarks(self) -> tuple[str, ...]:
        """What keeps it from being the whole of the days, in sentences: they are not over, or something is not read."""
        return (*([NOT_OVER] if self.last >= self.asked_at.date() else []), *self.unread)

    @property
    def nothing(self) -> str:
        """The sentence of days without any job; "" where there is one, though it cannot be read."""
        return "" if self.jobs or self.unread else NOTHING

    @property
    def all_signed(self) -> str:
        """The sentence of jobs of which nothing stands out; "" where something does, or one cannot be read."""
        return ALL_SIGNED if self.jobs and not self.unread and not self.summary else ""

    @property
    def before_facts(self) -> str:
        """What is said of the facts before they are told, or that there is none."""
        return NOT_A_SCORE if self.facts else NO_FACTS

    @property
    def left_unsigned(self) -> bool:
        """Whether one of its jobs left, and not all of it is signed for."""
        return any(job.left_unsigned for job in self.jobs)

    @property
    def summary(self) -> tuple[tuple[str, tuple[str, ...]], ...]:
        """What stands out, each with the jobs on which it does: that they left unsigned first."""
        asked: tuple[tuple[str, Callable[[SignedJob], object]], ...] = (
            ("Left, and not all signed for", lambda job: job.left_unsigned),
            ("Not signed for yet", lambda job: job.unsigned and not job.left_unsigned),
            ("Withdrawn", lambda job: job.withdrawn),
            ("Left with stops standing", lambda job: any(each.stops for each in job.leavings)),
            ("Stops conceded", lambda job: job.conceded),
            ("Entries struck", lambda job: job.struck),
            ("Entries that came late", lambda job: job.late),
            ("Self re-inspections", lambda job: job.own_checks),
        )
        found = ((says, tuple(job.number for job in self.jobs if wanted(job))) for says, wanted in asked)
        return tuple((says, jobs) for says, jobs in found if jobs)


def jobs_text(jobs: Iterable[str]) -> str:
    """Some jobs by number: "Job 7", "Jobs 7, 9"."""
    numbers = tuple(jobs)
    return f"Job{'s' * (len(numbers) != 1)} {', '.join(numbers)}"
