"""Whether somebody has built on what an act told: then it is not simply taken back."""

from collections.abc import Collection
from typing import Any

from torqueaudit.model.job.facts import Concession, Fact, Logged, Release
from torqueaudit.model.job.record import JobRecord
from torqueaudit.model.job.road import HandOver, Recheck, Reminded

SIGNS_WHAT_IS_BEFORE = (Release, HandOver, Recheck)


def built_on(record: JobRecord, act: Collection[int]) -> Fact | None:
    """The first fact told after these entries of one act that rests on them; None where none does.

    On work on a fastener or an item: what is done to the same one later, a permission for what it caused, and whatever
    closes the work before it. On anything else, such as a hand-over: whatever is told later. A reminder to the owner
    and a row of a log rest on nothing.
    """
    told = [fact for fact in record.facts if fact.noted.entry in act]
    named = {_named(fact) for fact in told} - {""}
    facts = (each for each in record.facts if each.noted.entry > max(act) and not isinstance(each, Reminded | Logged))
    later = sorted(facts, key=lambda each: each.noted.entry)
    return next((each for each in later if not named or _rests_on(each, named, act)), None)


def _rests_on(each: Fact, named: Collection[str], act: Collection[int]) -> bool:
    if isinstance(each, Concession):
        return each.covers.entry in act
    return isinstance(each, SIGNS_WHAT_IS_BEFORE) or _named(each) in named


def _named(fact: Any) -> str:  # of most kinds of facts, and each has one of the two or none
    """The fastener's position or the item's key that a fact is about, "" where it is about the job."""
    return str(getattr(fact, "position", "") or getattr(fact, "key", ""))
