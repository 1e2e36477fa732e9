"""Entries of a wrench withdrawn: nothing is erased, a strike says why an earlier entry no longer counts.

Nothing of a wrench is replaced: decision 0015.
"""

from typing import NamedTuple

from torqueaudit.ledger.entry import Draft, Entry
from torqueaudit.ledger.words import FreeWords
from torqueaudit.model.act import Refused, Say, See, Topic
from torqueaudit.model.register.permits import ActName
from torqueaudit.model.wrench.entries import STRUCK
from torqueaudit.workshop.door.attempt import Attempt, record
from torqueaudit.workshop.door.workshop import Workshop
from torqueaudit.workshop.wrenches.wrench import require_wrench

_WHAT = {
    "calibrated": "calibration",
    "interim_checked": "interim check",
    "mishandled": "mishap",
    "withdrawn": "withdrawal",
    "use_estimated": "estimate",
    "changed": "correction",
    "look_timed": "hour of a look",
}


def what_of(kind: str) -> str:
    """What an entry of a wrench is called, by its kind of whatever version; "entry" for a kind that is not known."""
    return _WHAT.get(kind.partition(".")[0], "entry")


class StruckOff(NamedTuple):
    """What a strike took away, and why the wrench may not be used now, "" where it may."""

    wrench: str
    entry: int
    what: str
    withdrawn: str


def strike_of_wrench(workshop: Workshop, number: str, entry: int, why: str, say: Say) -> StruckOff:
    """Withdraw a mistyped calibration, check, mishap or estimate of a wrench, as a foreman.

    Raises Refused without a reason, for an entry that is not this wrench's, struck already, itself a strike, or the
    wrench's own first one.
    """
    if not why.strip():
        raise Refused(f"entry {entry}: say why it is struck")
    subject, said = f"wrench/{number}", {"entry": entry, "why": FreeWords(why)}

    def build(attempt: Attempt) -> list[Draft]:
        entries = attempt.entries(subject) if number.startswith("W-") else []
        if not entries:
            raise Refused(f"{number}: no such wrench", See(Topic.WRENCHES))
        target = _target(number, entries, entry)
        on = workshop.local_day(attempt.happened_at).isoformat()
        return [attempt.draft(subject, "struck.2", said, {"kind": target.kind, "on": on})]

    record(workshop, say, ActName.STRIKE_OF_WRENCH, subject, said, build)
    kind = next(each.kind for each in workshop.book.entries(subject) if each.sequence == entry)
    return StruckOff(number, entry, what_of(kind), require_wrench(workshop, number).withdrawn)


def _target(number: str, entries: list[Entry], entry: int) -> Entry:
    """The entry to strike. Refused for one that cannot be."""
    target = next((each for each in entries if each.sequence == entry), None)
    if target is None:
        raise Refused(f"entry {entry} is not one of wrench {number}", See(Topic.ENTRIES_OF_WRENCH, number))
    if target is entries[0]:
        raise Refused(f"entry {entry} entered the wrench itself", See(Topic.WITHDRAWING_A_WRENCH, number))
    if target.what == STRUCK:
        raise Refused(f"entry {entry} is itself a strike; say what was struck again instead")
    if any(each.what == STRUCK and each.said["entry"] == entry for each in entries):
        raise Refused(f"entry {entry} is struck already")
    return target
