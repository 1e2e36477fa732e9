"""A job as a sign-off tells it: who tightened, checked, released and handed over what, and what else was said of it.

People are numbers. Moments are as the workshop's clock showed them.
"""

from collections.abc import Iterable
from datetime import date, datetime, timedelta
from typing import NamedTuple

from torqueaudit.model.job.facts import CheckMethod
from torqueaudit.model.job.record import FastenerState, JobState
from torqueaudit.model.judged.rule_name import in_words
from torqueaudit.model.judged.sentences import sentence, stops_text

NOBODY, NOT_ASKED = "nobody", "not asked for"


class SaidBy(NamedTuple):
    """Who said something, when it happened, and in which entry."""

    by: str
    when: datetime
    entry: int

    @property
    def text(self) -> str:
        """In words: "P-1, 2031-04-02 10:15"."""
        return f"{self.by}, {self.when.date()} {self.when.time():%H:%M}"  # a moment with its zone is slow to format


class SignedCheck(NamedTuple):
    """Who looked a second time, how, and why so where that was told."""

    said: SaidBy
    method: str
    why: str

    @property
    def is_own(self) -> bool:
        """Whether it is a self re-inspection: nobody else looked."""
        return self.method == CheckMethod.SELF

    @property
    def text(self) -> str:
        """In words: "P-3, mark seen, 2031-04-02"."""
        why = f": {self.why}" if self.why else ""
        return f"{self.said.by}, {self.method}, {self.said.when.date()}{why}"


class SignedFastener(NamedTuple):
    """One fastener, or those of a group of which the same is to be said of each, at the end of the days.

    `tightened` and `check` are those of the first of them. `outcome` is said where it did not come to its torque by a
    wrench. `wanted` is whether its procedure asks for an independent check.
    """

    name: str
    positions: tuple[str, ...]
    state: str
    tightened: SaidBy | None
    supervisor: str  # who answers for a trainee's, "" for anybody else's
    helpers: tuple[str, ...]
    wrench: str
    outcome: str
    wanted: bool
    check: SignedCheck | None

    @property
    def unchecked(self) -> bool:
        """Whether somebody should have looked a second time, and nobody has."""
        return self.wanted and self.state == FastenerState.TIGHTENED and self.check is None

    @property
    def tightened_text(self) -> str:
        """Who tightened it, with which wrench and when; else the state it is in."""
        if self.tightened is None:
            return self.state
        beside = [f"supervised by {self.supervisor}"] if self.supervisor else []
        beside += [f"helped by {', '.join(self.helpers)}"] if self.helpers else []
        others = f" ({', '.join(beside)})" if beside else ""
        stage = self.state if self.state != FastenerState.TIGHTENED else ""
        told = (self.wrench, str(self.tightened.when.date()), self.outcome, stage)
        return ", ".join([f"{self.tightened.by}{others}", *filter(None, told)])

    @property
    def checked_text(self) -> str:
        """Who looked a second time; "nobody" where somebody should have."""
        if self.check:
            return self.check.text
        return NOBODY if self.unchecked else "" if self.wanted else NOT_ASKED

    @property
    def says(self) -> str:
        """Who tightened and who checked it, in a sentence: "tightened by P-2, W-1, 2031-04-02; checked by nobody"."""
        if self.tightened is None:
            return self.state
        checked = self.checked_text
        told = f"check {checked}" if checked == NOT_ASKED else f"checked by {checked}" if checked else ""
        return "; ".join(filter(None, (f"tightened by {self.tightened_text}", told)))


class SignedLeaving(NamedTuple):
    """That the vehicle left, with how many stops standing, and why so."""

    said: SaidBy
    stops: int
    why: str

    @property
    def text(self) -> str:
        """In words: "P-1, 2031-04-02 10:20, with 2 stops standing: fetched at once"."""
        if not self.stops:
            return self.said.text
        return f"{self.said.text}, with {stops_text(self.stops)} standing: {self.why}"


class SignedConcession(NamedTuple):
    """A stop that the foreman conceded."""

    said: SaidBy
    rule: str  # its short name
    about: str
    basis: str
    limit: str
    expires_on: date

    @property
    def text(self) -> str:
        """In words, with its basis, its limit and its last day."""
        granted = f"“{in_words(self.rule)}” on {self.about}, by {self.said.text}, until {self.expires_on}"
        return f"{granted}. Basis: {sentence(self.basis)} Limit: {sentence(self.limit)}"


class SignedStrike(NamedTuple):
    """An entry that was struck, and why; `since` is whether that was after the days."""

    said: SaidBy
    entry: int
    what: str
    about: str
    why: str
    since: bool

    @property
    def text(self) -> str:
        """In words: "released, entry 12: by P-1, 2031-04-02 10:30: wrong job"."""
        about = f" {self.about}" if self.about else ""
        since = " (after these days)" if self.since else ""
        return f"{self.what}{about}, entry {self.entry}: by {self.said.text}{since}: {self.why}"


class LateEntry(NamedTuple):
    """What was recorded long after it happened; `said` is when it happened, `entries` are those told at once."""

    said: SaidBy
    what: str
    about: str
    delay: timedelta
    entries: tuple[int, ...]

    @property
    def text(self) -> str:
        """In words: "front axle tightened by P-2, 2031-04-02 10:15: recorded 14 hours later"."""
        about = f"{self.about} " if self.about else ""
        return f"{about}{self.what} by {self.said.text}: recorded {delay_text(self.delay)} later"


class SignedJob(NamedTuple):
    """A job as it stood at the end of the days. `unsigned` says what of it no release signs, "" where all is signed."""

    number: str
    vehicle: str
    tag: str
    title: str
    state: str
    withdrawn: str
    opened: SaidBy
    releases: tuple[SaidBy, ...]
    leavings: tuple[SignedLeaving, ...]
    unsigned: str
    fasteners: tuple[SignedFastener, ...]
    conceded: tuple[SignedConcession, ...]
    struck: tuple[SignedStrike, ...]
    late: tuple[LateEntry, ...]

    @property
    def signed(self) -> tuple[tuple[str, str], ...]:
        """Who opened and released it and who handed it over, each with its name."""
        return (
            ("opened", self.opened.text),
            *(("released", each.text) for each in self.releases),
            *([("not signed", self.unsigned)] if self.unsigned else []),
            *(("handed over", each.text) for each in self.leavings),
        )

    @property
    def hands(self) -> tuple[tuple[str, str], ...]:
        """Who tightened and who checked any of it, and what nobody checked: what the fasteners say, at a glance."""
        methods: dict[str, list[str]] = {}
        for check in filter(None, (each.check for each in self.fasteners)):
            methods.setdefault(check.said.by, []).append(check.method)
        told = (
            ("tightened by", _each_once(done.by for done in (each.tightened for each in self.fasteners) if done)),
            ("checked by", _each_once(f"{by} ({_each_once(how)})" for by, how in methods.items())),
            ("checked by nobody", _each_once(each.name for each in self.fasteners if each.unchecked)),
        )
        return tuple((name, said) for name, said in told if said)

    @property
    def beside(self) -> tuple[tuple[str, str], ...]:
        """What else is to be told of it, each with its name: conceded, struck, late, self re-inspection."""
        return (
            *(("conceded", each.text) for each in self.conceded),
            *(("struck", each.text) for each in self.struck),
            *(("late", each.text) for each in self.late),
            *(("self re-inspection", f"{each.name}: {each.checked_text}") for each in self.own_checks),
        )

    @property
    def left_unsigned(self) -> bool:
        """Whether it left, and not all of it is signed for."""
        return bool(self.unsigned) and self.state in (JobState.HANDED_OVER, JobState.RECHECKED)

    @property
    def own_checks(self) -> tuple[SignedFastener, ...]:
        """What was looked at again by whoever had tightened it, and by nobody else."""
        return tuple(each for each in self.fasteners if each.check and each.check.is_own)


def delay_text(delay: timedelta) -> str:
    """How long something took to be recorded, never more than it was: "90 minutes", "14 hours", "3 days"."""
    minutes = int(delay.total_seconds() // 60)
    if minutes < 120:  # noqa: PLR2004  # two hours
        return f"{minutes} minute{'s' * (minutes != 1)}"
    hours = minutes // 60
    return f"{hours} hours" if hours < 48 else f"{hours // 24} days"  # noqa: PLR2004  # two days


def _each_once(texts: Iterable[str]) -> str:
    return ", ".join(dict.fromkeys(texts))
