"""What a page of a tightening asks for, and whether what its form told was asked for by the same page."""

from typing import TYPE_CHECKING, NamedTuple

from torqueaudit.web.bench.at_work import OutOfDate
from torqueaudit.web.bench.setting import setting_of

if TYPE_CHECKING:
    from torqueaudit.model.judged.next import Next
    from torqueaudit.model.procedure.procedure import Fastener
    from torqueaudit.web.bench.at_work import AtWork
    from torqueaudit.web.bench.setting import Setting
    from torqueaudit.web.typed import Typed

NAMES = ("stage", "wrench", "adapter", "set to")


class Asked(NamedTuple):
    """What a pass is asked for as: its stage ("1" of a fastener without), its wrench and adapter, and what to set."""

    stage: str
    wrench: str
    adapter: str
    set_to: str


def asked_of(at: "AtWork", said: "Next", fastener: "Fastener", setting: "Setting") -> Asked:
    """What the page asks for as it stands now."""
    chosen = at.asking.chosen
    set_to = setting.to if setting.clicks else ""
    stage = said.stage or fastener.last_stage
    return Asked(str(stage), chosen.get("wrench", ""), chosen.get("adapter", ""), set_to)


def told_as(fastener: "Fastener", typed: "Typed") -> Asked:
    """What the page asked for from which a form was sent."""
    told = typed.one("stage")
    stage = str(fastener.last_stage) if told in ("", "0") else told
    return Asked(stage, typed.one("wrench"), typed.one("adapter"), typed.one("shown"))


def changed_since(at: "AtWork", said: "Next", fastener: "Fastener", typed: "Typed") -> OutOfDate | None:
    """What to say of a form from a page that asked for something else: all that has changed. None where nothing has."""
    setting = setting_of(at, fastener, said.stage or fastener.last_stage, typed.one("drag"))
    pairs = zip(NAMES, told_as(fastener, typed), asked_of(at, said, fastener, setting), strict=True)
    changed = [f"{name} {told or '–'}, now {now or '–'}" for name, told, now in pairs if told != now]
    if not changed:
        return None
    says = f"this page was out of date ({'; '.join(changed)})"
    return OutOfDate(f"{fastener.name}: {says}; look at what it asks for now, and tell it anew")
