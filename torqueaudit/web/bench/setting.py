"""What the tighten screen shows of the wrench in hand: the number to set, or why there is none."""

from typing import TYPE_CHECKING, NamedTuple

from torqueaudit.model.act import Refused
from torqueaudit.model.procedure.procedure import HAND
from torqueaudit.model.torque.words import torque_text
from torqueaudit.model.wrench.classes import SETTING
from torqueaudit.read.adapter import read_adapter
from torqueaudit.workshop.bench.answer import bench_setting, bench_stage
from torqueaudit.workshop.door.refusal import refused_if_unreadable

if TYPE_CHECKING:
    from torqueaudit.model.procedure.procedure import Fastener
    from torqueaudit.model.torque.correction import Fitted
    from torqueaudit.web.bench.at_work import AtWork

BETWEEN = " + "  # between two adapters in a row, from the wrench on
WITHOUT = "none"  # in place of an adapter: none was on the wrench, although the procedure asks for one


class Setting(NamedTuple):
    """What to set or to turn until, `to` with its unit; without one `why_not`, and the wrenches to take `instead`.

    `clicks` tells a wrench that is set from one that shows. All is empty where no wrench is chosen yet.
    """

    to: str = ""
    unit: str = ""
    clicks: bool = True
    at_nut: str = ""
    cautions: tuple[str, ...] = ()
    why_not: str = ""
    instead: tuple[str, ...] = ()


def is_by_hand(fastener: "Fastener", stage: int) -> bool:
    """Whether a stage is turned by hand."""
    return bool(fastener.stages) and fastener.stages[stage - 1] == HAND


def setting_of(at: "AtWork", fastener: "Fastener", stage: int, drag: str) -> Setting:
    """What the bench says of the wrench and the adapter that are chosen, for one stage of a fastener."""
    wrench = at.asking.chosen.get("wrench", "")
    if not wrench or is_by_hand(fastener, stage) or (fastener.specification.drag_excluded and not drag):
        return Setting()
    try:
        fitted, _ = read_fitted(at.asking.chosen.get("adapter", ""))
        if stage < fastener.last_stage:
            return _of_stage(at, fastener, stage, fitted)
        return _of_whole(at, fastener, fitted, drag)
    except Refused as refused:
        return Setting(why_not=str(refused))


def read_fitted(written: str) -> "tuple[tuple[Fitted, ...], bool]":
    """The adapters as they were written, and whether it was said that none was on the wrench. Raises Refused."""
    if written in ("", WITHOUT):
        return (), written == WITHOUT
    with refused_if_unreadable():
        return tuple(read_adapter(each) for each in written.split(BETWEEN)), False


def _of_stage(at: "AtWork", fastener: "Fastener", stage: int, fitted: "tuple[Fitted, ...]") -> Setting:
    answer = bench_stage(at.workshop, at.number, fastener.key, at.asking.chosen["wrench"], stage, fitted)
    return Setting(
        to="" if answer.setting is None else f"{answer.setting:f} {answer.unit}",
        unit=answer.unit,
        clicks=answer.kind == SETTING,
        why_not=answer.why_not,
        instead=answer.instead,
    )


def _of_whole(at: "AtWork", fastener: "Fastener", fitted: "tuple[Fitted, ...]", drag: str) -> Setting:
    answer = bench_setting(at.workshop, at.number, fastener.key, at.asking.chosen["wrench"], fitted, drag)
    choice = answer.choice
    return Setting(
        to=f"{choice.setting:f} {answer.unit}" if choice else "",
        unit=answer.unit,
        clicks=answer.kind == SETTING,
        at_nut=f"{torque_text(choice.applied_nm)} at the nut" if choice else "",
        cautions=answer.cautions,
        why_not=answer.why_not,
        instead=answer.instead,
    )
