"""What the form of a tightening tells of a pass: what happened, and a number where it was not set as asked."""

import re
from typing import TYPE_CHECKING

from torqueaudit.model.act import Refused
from torqueaudit.model.job.acts import Tighten
from torqueaudit.model.job.facts import Outcome, Slot
from torqueaudit.model.procedure.procedure import Fastener
from torqueaudit.model.torque.specification import TORQUE_AND_ANGLE
from torqueaudit.model.wrench.words import reach_text
from torqueaudit.read.number import read_wrench_number
from torqueaudit.read.tightening import read_torque
from torqueaudit.web.bench.at_work import NotSure
from torqueaudit.web.bench.setting import read_fitted
from torqueaudit.workshop.door.refusal import refused_if_unreadable

if TYPE_CHECKING:
    from torqueaudit.web.bench.at_work import AtWork
    from torqueaudit.web.typed import Typed

PAINTED = ", painted"  # behind an outcome: the line was painted at once
ONE = ", one"  # behind an outcome: of one bolt of the group alone
NUMBER = re.compile(r"[0-9]{1,6}([.,][0-9]{1,6})?")
WITHOUT_A_WRENCH = (Outcome.BY_HAND, Outcome.NO_WRENCH)


def told_pass(at: "AtWork", fastener: "Fastener", typed: "Typed") -> Tighten:
    """The pass as the workshop takes it. Raises Refused, NotSure for a torque that the wrench hardly showed."""
    stage = typed.number("stage") or fastener.last_stage
    _require_angle(fastener, stage, typed)
    unit = typed.one("unit")
    told = Tighten(
        outcome=_outcome(typed),
        stage=stage if fastener.stages else 0,
        thread_ok=typed.one("thread") != "bad",
        helpers=tuple(number.upper() for number in typed.one("helper").replace(",", " ").split()),
        angle=typed.one("angle"),
        final_shown=_with_unit(typed.one("final"), unit),
        slot=_slot(typed),
        slot_shown=_with_unit(typed.one("slot_shown"), unit),
        drag=typed.one("drag"),
    )
    return told if told.outcome in WITHOUT_A_WRENCH else _with_wrench(at, fastener, typed, told)


def is_painted(typed: "Typed") -> bool:
    """Whether the line was painted at once."""
    return PAINTED in typed.one("outcome")


def is_of_one(typed: "Typed") -> bool:
    """Whether it was told of one bolt of a group alone."""
    return ONE in typed.one("outcome")


def _with_wrench(at: "AtWork", fastener: "Fastener", typed: "Typed", told: Tighten) -> Tighten:
    """The pass with its wrench, what was fitted, and what it was set to or showed."""
    fitted, bare = read_fitted(typed.one("adapter"))
    return told._replace(
        wrench=read_wrench_number(typed.one("wrench")),
        shown=_shown(at, typed),
        fitted=fitted,
        no_adapter=bare and bool(fastener.adapter),
    )


def _slot(typed: "Typed") -> Slot | None:
    told = typed.one("slot")
    return Slot(told) if told in tuple(Slot) else None


def _require_angle(fastener: Fastener, stage: int, typed: "Typed") -> None:
    """Refuse a pass by torque and angle of which the angle is not told."""
    angled = fastener.specification.method == TORQUE_AND_ANGLE and stage == fastener.last_stage
    if angled and _outcome(typed) in (Outcome.TURNED_CLICKED, Outcome.VALUE_SHOWN) and not typed.one("angle"):
        raise Refused(f"{fastener.name}: say how many degrees it was turned after the torque")


def _outcome(typed: "Typed") -> Outcome:
    try:
        return Outcome(typed.one("outcome").removesuffix(PAINTED).removesuffix(ONE))
    except ValueError:
        raise Refused("nothing was chosen; tap what happened") from None


def _shown(at: "AtWork", typed: "Typed") -> str:
    """What the wrench was set to or showed: another value where one was typed, else what the screen asked for.

    Raises NotSure for a value that its scale does not reach, until somebody says that it is so.
    """
    other = _with_unit(typed.one("other"), typed.one("unit"))
    if other and typed.one("sure") != "yes":
        _require_on_scale(at, typed.one("wrench"), other)
    return other or typed.one("shown")


def _require_on_scale(at: "AtWork", number: str, shown: str) -> None:
    wrench = at.workshop.wrench(read_wrench_number(number))
    with refused_if_unreadable():
        shown_nm = read_torque(at.workshop.plugins.units, shown)
    if wrench is None or wrench.min_nm is None or wrench.max_nm is None:
        return
    if not wrench.min_nm <= shown_nm <= wrench.max_nm:
        raise NotSure(f"{shown} is beyond wrench {wrench.number}, which reaches {reach_text(wrench)}; look again")


def _with_unit(number: str, unit: str) -> str:
    """A number as typed, with the unit of the wrench's scale that stands above its field. Raises Refused."""
    if number and not NUMBER.fullmatch(number):
        raise Refused(f"{number[:20]}: write the number alone; it is in {unit}")
    return f"{number} {unit}" if number else ""
