"""Stages of a tightening in a procedure's TOML: shares of the torque, or torques as the document prints them."""

import re
from decimal import Decimal
from itertools import pairwise
from typing import NamedTuple

from torqueaudit.model.procedure.procedure import HAND, THREADLOCKER, Fastener
from torqueaudit.model.procedure.toml.values import Table
from torqueaudit.model.torque.specification import TORQUE_AND_ANGLE
from torqueaudit.model.torque.units import UnitTable
from torqueaudit.model.torque.words import torque_text

_PERCENT = re.compile(r"([0-9]{1,3})\s*%")
_WHOLE = "100 %"


class Stages(NamedTuple):
    """The stages as written, and those of them that print a torque, in N·m."""

    written: tuple[str, ...] = ()
    torques: tuple[Decimal, ...] = ()


def read_stages(table: Table, units: UnitTable) -> Stages:
    """The stages with every percentage written alike: ("hand", "30 %", "100 %"), ("30 N·m", "100 %")."""
    written = tuple(_alike(text) for text in table.texts("stages"))
    if not table.has("stages"):
        return Stages()
    steps = written[1:] if written[:1] == (HAND,) else written
    try:
        return Stages(written, _torques(steps, units) if _any_torque(steps) else _shares(steps))
    except ValueError as error:
        table.wrong("stages", str(error))
        return Stages()


def _alike(text: str) -> str:
    share = _PERCENT.fullmatch(text)
    return f"{int(share[1])} %" if share else text


def _any_torque(steps: tuple[str, ...]) -> bool:
    return any(step != HAND and not _PERCENT.fullmatch(step) for step in steps)


def _shares(steps: tuple[str, ...]) -> tuple[Decimal, ...]:
    """Nothing, where the steps rise to the whole torque. Raises ValueError where they do not."""
    shares = [0 if step == HAND else int(step.removesuffix(" %")) for step in steps]
    if shares != sorted(set(shares)) or shares[:1] == [0] or steps[-1:] != (_WHOLE,):
        raise ValueError('have to rise to "100 %", like ["hand", "30 %", "70 %", "100 %"]')
    return ()


def _torques(steps: tuple[str, ...], units: UnitTable) -> tuple[Decimal, ...]:
    """The printed torques before the last stage. Raises ValueError."""
    *before, last = steps
    if last != _WHOLE or any(step == HAND or _PERCENT.fullmatch(step) for step in before):
        raise ValueError('are torques that end in "100 %", like ["30 N·m", "100 %"]; torques and shares do not mix')
    torques = tuple(units.parse(step).nm for step in before)
    if any(later <= earlier for earlier, later in pairwise(torques)):
        raise ValueError(f"have to rise, and {', '.join(before)} do not")
    return torques


def look_at_stages(table: Table, fastener: Fastener) -> None:
    """Note stages that this fastener cannot have."""
    if not fastener.stages:
        return
    specification = fastener.specification
    if fastener.condition == THREADLOCKER:
        table.wrong("stages", "are not for threadlocked fasteners, which are tightened in one go; leave them out")
    if not fastener.stage_torques:
        if fastener.size == 1:
            table.wrong("stages", "in per cent belong to a numbered group; add count, or leave them out")
        if specification.method == TORQUE_AND_ANGLE:
            table.wrong("stages", "in per cent are not for torque and angle; leave them out")
    elif specification.limits_nm and fastener.stage_torques[-1] >= specification.limits_nm[-1]:
        most = torque_text(specification.limits_nm[-1])
        table.wrong(
            "stages", f"go up to {fastener.stages[-2]}, which is not below {most}; compare them with the source"
        )
