"""What an auditor would ask about, as facts with their jobs: none of them says that anybody did wrong.

"P-3 entered 2 checks less than 5 seconds after the one before."
"""

from collections.abc import Iterable, Iterator
from datetime import date
from itertools import pairwise
from typing import NamedTuple

from torqueaudit.model.act import form_of
from torqueaudit.model.job.facts import Check, CheckMethod, Release, Tightening
from torqueaudit.model.job.noted import Noted
from torqueaudit.model.job.road import HandOver
from torqueaudit.model.judged.sentences import names_together
from torqueaudit.model.shown.sign_off import Fact
from torqueaudit.model.shown.signed_job import SignedJob
from torqueaudit.model.sign_off.days import Days
from torqueaudit.model.sign_off.of_job import Told
from torqueaudit.model.wrench.words import cycles_text

LEAST_JOBS = 2  # on which the same two met, before it is told; common practice, no source
NO_SOURCE = "common practice, no source; a setting"


class Look(NamedTuple):
    """One form that told a check, or several: how far it was entered from the one before."""

    noted: Noted
    job: str


class BeyondCycles(NamedTuple):
    """A wrench that was used on these jobs after more cycles than are allowed; `since` is None without calibration."""

    wrench: str
    cycles: int
    allowed: int
    since: date | None
    jobs: tuple[str, ...]

    @property
    def fact(self) -> Fact:
        """What is said of it."""
        since = f" since its calibration of {self.since}" if self.since else ", and no calibration is recorded"
        says = f"{self.wrench} had done {cycles_text(self.cycles)}{since}; {self.allowed} are allowed."
        return Fact("wrench-beyond-cycles", says, self.jobs)


def not_checked(signed: Iterable[tuple[Told, SignedJob]], days: Days) -> Iterator[Fact]:
    """What was released or handed over in the days, and nobody checked."""
    for told, job in signed:
        noted = [fact.noted for fact in told.record.facts if isinstance(fact, Release | HandOver)]
        names = "; ".join(fastener.name for fastener in job.fasteners if fastener.unchecked)
        if names and any(days.hold(each.recorded_at) for each in noted):
            yield Fact("checked-by-nobody", f"Nobody checked {names}.", (job.number,))


def own_releases(told: Iterable[Told], days: Days) -> Iterator[Fact]:
    """Who released in the days what they had tightened, or helped with, by then."""
    found: dict[str, dict[str, str]] = {}
    for each in told:
        for release in each.record.of(Release):
            own = _own(each, release) if days.hold(release.noted.recorded_at) else ""
            if own:
                found.setdefault(release.noted.by, {})[each.record.number] = own
    for person, jobs in found.items():
        names = "; ".join(dict.fromkeys(jobs.values()))
        yield Fact(
            "own-release", f"{person} released what {person} had tightened or helped with: {names}.", tuple(jobs)
        )


def _own(told: Told, release: Release) -> str:
    """What stood by the hands of whoever released, when they did."""
    by, before = release.noted.by, release.noted.entry
    if not any(by in (done.noted.by, *done.helpers) for done in told.record.of(Tightening)):
        return ""  # most foremen turn nothing themselves
    then = told.record._replace(facts=tuple(each for each in told.record.facts if each.noted.entry < before))
    standing = [then.current(position).tightening for position in then.by_position]
    own = [done.position for done in standing if done and by in (done.noted.by, *done.helpers)]
    return names_together(told.subject(position) for position in own)


def checks_in_seconds(told: Iterable[Told], days: Days, seconds: int) -> Iterator[Fact]:
    """Whose checks were entered closer to each other than so many seconds. What one form tells is one look.

    They are close where they are so both as they were recorded and by when they happened: a phone that was offline
    sends all at once what it kept for an hour, and whoever types times types whole minutes.
    """
    for person, looks in _looks(told, days).items():
        close = [(_apart(before, after), after) for before, after in pairwise(looks)]
        close = [(apart, look) for apart, look in close if apart < seconds]
        if close:
            many, shortest = len(close), min(apart for apart, _ in close)
            says = (
                f"{person} entered {many} check{'s' * (many > 1)} less than {seconds} seconds after the one before "
                f"({NO_SOURCE}), the shortest after {shortest}."
            )
            yield Fact("checks-in-seconds", says, tuple(dict.fromkeys(look.job for _, look in close)))


def _looks(told: Iterable[Told], days: Days) -> dict[str, list[Look]]:
    """The looks of each person in the order in which they were recorded."""
    forms: dict[str, Look] = {}
    for each in told:
        for check in each.record.of(Check):
            if days.hold(check.noted.recorded_at):
                form = form_of(each.entries[check.noted.entry].act)
                forms.setdefault(form, Look(check.noted, each.record.number))
    found: dict[str, list[Look]] = {}
    for look in sorted(forms.values(), key=lambda look: look.noted.entry):
        found.setdefault(look.noted.by, []).append(look)
    return found


def _apart(before: Look, after: Look) -> int:
    recorded = after.noted.recorded_at - before.noted.recorded_at
    happened = after.noted.happened_at - before.noted.happened_at
    return int(max(abs(recorded), abs(happened)).total_seconds())


def same_pairs(told: Iterable[Told], days: Days) -> Iterator[Fact]:
    """Whose work was checked in the days, on two jobs at least, by one and the same person."""
    checkers: dict[str, dict[str, dict[str, None]]] = {}
    for each in told:
        done = {one.noted.entry: one.noted.by for one in each.record.of(Tightening)}
        for check in each.record.of(Check):
            if check.method is not CheckMethod.SELF and days.hold(check.noted.recorded_at) and check.of in done:
                of_person = checkers.setdefault(done[check.of], {})
                of_person.setdefault(check.noted.by, {})[each.record.number] = None
    for person, by in checkers.items():
        (checker, jobs), *others = by.items()
        if not others and len(jobs) >= LEAST_JOBS:
            says = f"Whatever {person} had tightened and somebody checked in these days, {checker} checked."
            yield Fact("same-pair", says, tuple(jobs))
