"""Whether an act says only what was told already: the same pass, the same value, the same part."""

from collections.abc import Callable, Mapping
from datetime import timedelta
from decimal import Decimal
from sys import maxsize
from typing import TYPE_CHECKING, TypeAlias

from torqueaudit.model.job.facts import Fact, Loosening, Measured, Outcome, PartFitted, Tightening
from torqueaudit.model.job.noted import optional_decimal
from torqueaudit.model.job.record import JobRecord

if TYPE_CHECKING:
    from torqueaudit.ledger.entry import Draft

Told: TypeAlias = Tightening | Measured | PartFitted


def told_already(record: JobRecord, draft: "Draft", within: timedelta) -> Told | None:
    """The fact that a draft tells once more: it happened within a time of it, and nothing between makes it another one.

    Who told it does not matter.
    """
    same = _SAME.get(draft.kind)
    told = (draft.happened_at, maxsize)
    for fact in reversed(record.facts) if same else ():
        if not isinstance(fact, Told) or not same or not same(fact, draft):
            continue
        first, last = sorted((fact.noted.order, told))
        between = [each for each in record.facts if first < each.noted.order < last and not same(each, draft)]
        if last[0] - first[0] <= within and not any(_makes_another(each, fact) for each in between):
            return fact
    return None


def is_confirmed(draft: "Draft") -> bool:
    """Whether a draft is a click that turned nothing: it confirms what stands, and may do so once more."""
    return draft.said.get("outcome") == Outcome.CLICKED_ONLY


def _makes_another(each: Fact, fact: Told) -> bool:
    """Whether a pass, a value or a part that is told after this is one more: what it is of was worked on."""
    if isinstance(each, Tightening) and each.outcome is Outcome.CLICKED_ONLY:
        return False
    if isinstance(each, Tightening | Loosening):
        return not isinstance(fact, Tightening) or each.position == fact.position
    return isinstance(each, Measured | PartFitted) and not isinstance(fact, Tightening) and each.key == fact.key


def _same_pass(fact: Fact, draft: "Draft") -> bool:
    said, judged = draft.said, draft.judged
    if not isinstance(fact, Tightening) or fact.position != said["position"]:
        return False
    names = ("shown_nm", "angle_deg", "final_nm", "slot_nm")
    numbers = tuple(optional_decimal(judged.get(name)) for name in names)
    words = (said["stage"], said["outcome"], said.get("wrench", ""), list(said.get("fitted", ())))
    own = (fact.stage, fact.outcome.value, fact.wrench, list(fact.fitted))
    return words == own and numbers == (fact.shown_nm, fact.angle_deg, fact.final_nm, fact.at_slot and fact.at_slot.nm)


def _same_value(fact: Fact, draft: "Draft") -> bool:
    said = draft.said
    value = (draft.judged if "inputs" in said else said)["value"]
    told = (said["key"], Decimal(value), said.get("place", ""), optional_decimal(draft.judged.get("expanded")))
    return isinstance(fact, Measured) and told == (fact.key, fact.value, fact.place, fact.expanded)


def _same_part(fact: Fact, draft: "Draft") -> bool:
    said = draft.said
    told = (said["key"], said["part"], said.get("lot", ""), said["new"], tuple(map(tuple, said.get("attributes", ()))))
    return isinstance(fact, PartFitted) and told == (fact.key, fact.part, fact.lot, fact.new, fact.attributes)


_SAME: Mapping[str, Callable[[Fact, "Draft"], bool]] = {
    "tightened.2": _same_pass,
    "measured.1": _same_value,
    "fitted.1": _same_part,
}
