"""How a wrench's deviations, its range and its cycles are said to people."""

from collections.abc import Sequence
from decimal import Decimal
from typing import TYPE_CHECKING

from torqueaudit.model.job.words import most_shown_text
from torqueaudit.model.torque.units import NEWTON_METRE, format_number
from torqueaudit.model.wrench.classes import CLASSES
from torqueaudit.model.wrench.drift import Interval
from torqueaudit.model.wrench.point import Point, outside
from torqueaudit.model.wrench.wrench import Change, Scale, Wrench

if TYPE_CHECKING:
    from torqueaudit.model.wrench.overload import Overload

SCALE_DIGITS = 4
NOT_KNOWN, NOT_STATED = "not known", "not stated"


def percent_text(share: Decimal) -> str:
    """A deviation in words, with its sign: "+4.2 %"; to four digits, so that 4.004 % does not read as 4 %."""
    return f"{'-' if share < 0 else '+'}{format_number(abs(share) * 100, 4)} %"


def outside_text(points: Sequence[Point], permissible: Decimal) -> str:
    """The points beyond the permissible deviation, each with its worst reading: "+4.2 % at 100 N·m".

    Where the mean lies inside, that is said beside it, as it is the mean that every sheet shows.
    """
    return ", ".join(_outside_text(point, worst, permissible) for point, worst in outside(points, permissible))


def _outside_text(point: Point, worst: Decimal, permissible: Decimal) -> str:
    said = f"{percent_text(worst)} at {point.at}"
    if abs(point.deviation) > permissible:
        return said
    return f"{said} in its worst reading, {percent_text(point.deviation)} in the mean"


def cycles_text(cycles: int) -> str:
    """A number of cycles, never more than is known: "at least 1 cycle", "at least 300 cycles"."""
    return f"at least {cycles} cycle{'' if cycles == 1 else 's'}"


def reach_text(wrench: Wrench) -> str:
    """What a wrench reaches, on its own scale: "20 … 150 lbf·ft"; "" where it is not known."""
    if wrench.min_nm is None or wrench.max_nm is None:
        return ""
    return f"{scale_text(wrench, wrench.min_nm, bare=True)} … {scale_text(wrench, wrench.max_nm)}"


def overload_text(wrench: Wrench, over: "Overload") -> str:
    """That a wrench was used above its highest value: what it was set to, where and when, and what it reaches."""
    highest = "" if wrench.max_nm is None else f", above the {scale_text(wrench, wrench.max_nm)} it reaches"
    where = f"on job {over.job} ({over.position}, {over.on})"
    return f"was used at {most_shown_text(over.done)} {where}{highest}, and nobody has looked at it since"


def scale_text(wrench: Wrench, nm: Decimal, *, bare: bool = False) -> str:
    """A torque on a wrench's main scale, to four digits: "90 lbf·ft"."""
    scale = wrench.scales[0] if wrench.scales else Scale(NEWTON_METRE.symbol, Decimal(0), Decimal(1))
    number = format_number(nm / scale.unit_nm, SCALE_DIGITS)
    return number if bare else f"{number} {scale.unit}"


def interval_text(interval: Interval) -> str:
    """Why so many months are proposed: "found at 47 % of its permissible deviation after 6 months; 9 are proposed"."""
    found = "outside" if interval.out else f"at {format_number(interval.share * 100, 2)} % of"
    proposed = f"{interval.proposed} {'is' if interval.proposed == 1 else 'are'} proposed"
    stays = f"it may stay at {interval.months}" if interval.proposed == interval.months else proposed
    months = f"{interval.months} month{'' if interval.months == 1 else 's'}"
    return f"found {found} its permissible deviation, calibrated for {months}; {stays}"


def class_text(iso_class: str) -> str:
    """A type and class with what it is: "II A (wrench, adjustable, graduated or with a display)"; "" for none."""
    return f"{iso_class} ({CLASSES[iso_class].says})" if iso_class else ""


def facts_of(wrench: Wrench) -> dict[str, str]:
    """What a wrench is, fact by fact in words, without who lent it."""
    scales = ", ".join(f"{scale.division:f} {scale.unit}" for scale in wrench.scales)
    return {
        "tag": wrench.tag,
        "kind": wrench.kind,
        "range": reach_text(wrench) or NOT_KNOWN,
        "scale division": scales or NOT_KNOWN,
        "lever": wrench.lever_text or NOT_KNOWN,
        "measures to": wrench.direction if wrench.direction_stated else NOT_STATED,
        "construction": wrench.construction,
        "class": class_text(wrench.iso_class) or NOT_STATED,
    }


def change_text(wrench: Wrench, change: Change) -> str:
    """What was put right of a wrench in one entry: "lever 480 mm (was 500 mm)". Nobody is told who lent it."""
    after = wrench.as_taken_at(change.entry)
    was, now = facts_of(after._replace(**change.before)), facts_of(after)
    says = [f"{name} {now[name]} (was {was[name]})" for name in now if now[name] != was[name]]
    return ", ".join([*says, *(["owner put right"] if "owner" in change.after else [])])
