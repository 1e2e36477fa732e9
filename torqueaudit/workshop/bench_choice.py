"""What to set on one wrench's scale so that a fastener gets its torque: found by trying mark after mark."""

from collections.abc import Iterator
from datetime import date, datetime
from decimal import Decimal
from typing import NamedTuple

from torqueaudit.model.correction import Fitted
from torqueaudit.model.procedure import Fastener, decimal_text
from torqueaudit.model.subjects import Settings
from torqueaudit.model.units import format_number, read_decimal
from torqueaudit.model.verdict import IN, Verdict, verdict_of
from torqueaudit.model.words import specified_text, torque_text
from torqueaudit.model.wrench import Scale, Wrench
from torqueaudit.workshop.judging import Reached, reach
from torqueaudit.workshop.taking import Taken
from torqueaudit.workshop.workshop import Workshop

ROUNDS = 30  # of solving for the setting; the factor hardly changes with it
MOST_TRIED = 400  # divisions on either side of the setting that is solved for
FINE = 4  # significant digits of a setting on a scale whose division nobody entered


class Asked(NamedTuple):
    """One question: what is to be reached, and by which rule it will be judged."""

    fastener: Fastener
    aim_nm: Decimal
    lower_nm: Decimal | None
    upper_nm: Decimal | None
    guard_factor: Decimal
    fitted: tuple[Fitted, ...]
    settings: Settings
    at: datetime

    @property
    def today(self) -> date:
        """The workshop's date."""
        return self.at.astimezone(self.settings.timezone).date()


class Choice(NamedTuple):
    """One setting of a scale, what it reaches, and how that would be judged."""

    setting: Decimal
    shown_nm: Decimal
    reached: Reached
    verdict: Verdict


def choose(workshop: Workshop, asked: Asked, taken: Taken) -> tuple[Choice | None, str]:
    """The setting to use, or why there is none."""
    wrench = taken.wrench
    why_not = _unfit(asked, taken)
    if why_not:
        return None, why_not
    exact = _solved(workshop, asked, taken)
    marks = list(_marks(asked, wrench, exact))
    unit_nm = scale_of(wrench).unit_nm
    tried = (_tried(workshop, asked, taken, mark) for mark in marks if _reaches(wrench, mark * unit_nm))
    inside = (each for each in tried if each.verdict.word.startswith(IN))
    nearest = next(inside, None)
    if nearest is None and not _reaches(wrench, exact.shown_nm):
        return None, f"it would have to be set to {_on_scale(wrench, exact.shown_nm)}, and {_span(wrench)}"
    if nearest is None:
        return None, _between_marks(asked, wrench, [_tried(workshop, asked, taken, mark) for mark in marks[:2]])
    if asked.guard_factor and nearest.verdict.word != IN:  # a setting that will be proved is worth a step from the aim
        return next((each for each in inside if each.verdict.word == IN), nearest), ""
    return nearest, ""


def scale_of(wrench: Wrench) -> Scale:
    """The scale a wrench is set on; N·m without a division where none was entered."""
    return wrench.scales[0] if wrench.scales else Scale("N·m", Decimal(0), Decimal(1))


def _unfit(asked: Asked, taken: Taken) -> str:
    """Why a wrench may not be used on this fastener at all."""
    wrench, direction = taken.wrench, asked.fastener.direction
    calibration = taken.in_force.calibration
    if wrench.withdrawn:
        return f"it is withdrawn ({wrench.withdrawn})"
    if taken.in_force.due_on and asked.today > taken.in_force.due_on:
        return f"its calibration ended on {taken.in_force.due_on}"
    if taken.in_force.why_not and taken.in_force.due_on:
        return taken.in_force.why_not
    if wrench.direction not in ("both", direction):
        return f"it turns to the {wrench.direction} only, and this is a {direction}-hand thread"
    if calibration and calibration.adapter and any(_same(calibration.adapter, each) for each in asked.fitted):
        return "it was calibrated with this adapter fitted, so nothing is left to correct; ask without the adapter"
    return ""


def _same(one: Fitted, other: Fitted) -> bool:
    """Whether two are the same thing, however its measures are written and whatever uncertainty is stated of them."""
    return one.kind == other.kind and _measures(one) == _measures(other)


def _measures(fitted: Fitted) -> dict[str, Decimal | str]:
    return {name: _number(text) for name, text in fitted.attributes.items() if "_u_" not in name}


def _number(text: str) -> Decimal | str:
    try:
        return read_decimal(text, "a measure")
    except ValueError:
        return text


def _solved(workshop: Workshop, asked: Asked, taken: Taken) -> Choice:
    """The setting that reaches the aim, marks or none: solved again and again, as a correction may depend on it."""
    choice = _tried(workshop, asked, taken, asked.aim_nm / scale_of(taken.wrench).unit_nm)
    for _ in range(ROUNDS):
        following = choice.setting * asked.aim_nm / choice.reached.applied.nm
        if abs(following - choice.setting) < choice.setting * Decimal("1e-12"):
            break
        choice = _tried(workshop, asked, taken, following)
    return choice


def _tried(workshop: Workshop, asked: Asked, taken: Taken, setting: Decimal) -> Choice:
    shown_nm = setting * scale_of(taken.wrench).unit_nm
    reached = reach(workshop, asked.settings, taken, shown_nm, asked.fitted)
    applied = reached.applied
    verdict = verdict_of(applied.nm, applied.expanded_nm, asked.lower_nm, asked.upper_nm, asked.guard_factor)
    return Choice(setting, shown_nm, reached, verdict)


def _marks(asked: Asked, wrench: Wrench, exact: Choice) -> Iterator[Decimal]:
    """The marks of a scale from the nearest to the exact setting outwards, as far as the tolerance may reach.

    Without a known division they are the numbers of a few digits.
    """
    division = scale_of(wrench).division or Decimal(1).scaleb(exact.setting.adjusted() + 1 - FINE)
    steps = min(int(exact.setting * _room(asked, exact) / division) + 1, MOST_TRIED)
    nearest = int((exact.setting / division).to_integral_value())
    numbers = range(max(nearest - steps, 1), nearest + steps + 1)
    by_distance = sorted(numbers, key=lambda n: abs(n * division - exact.setting))
    yield from (Decimal(decimal_text(n * division)) for n in by_distance)


def _room(asked: Asked, exact: Choice) -> Decimal:
    """How far from the aim a setting may lie, as a share of it: to the limits, and past a single one by its guard band.

    That band grows with the setting, so there is room for twice as much.
    """
    limits = [limit for limit in (asked.lower_nm, asked.upper_nm) if limit is not None]
    applied = exact.reached.applied
    guard = 2 * asked.guard_factor * (applied.expanded_nm or 0) / applied.nm if len(limits) == 1 else Decimal(0)
    return max((abs(limit / asked.aim_nm - 1) for limit in limits), default=Decimal(0)) + guard


def _between_marks(asked: Asked, wrench: Wrench, tried: list[Choice]) -> str:
    said = " and ".join(
        f"{decimal_text(each.setting)} {scale_of(wrench).unit} gives {torque_text(each.reached.applied.nm)}"
        for each in sorted(tried, key=lambda each: each.setting)
    )
    return f"no mark of its scale reaches {specified_text(asked.fastener.specification)}: {said}"


def _reaches(wrench: Wrench, shown_nm: Decimal) -> bool:
    lowest, highest = wrench.min_nm, wrench.max_nm
    return (lowest is None or shown_nm >= lowest) and (highest is None or shown_nm <= highest)


def _span(wrench: Wrench) -> str:
    ends = [torque_text(each, bare=True) for each in (wrench.min_nm, wrench.max_nm) if each is not None]
    return f"it reaches {' … '.join(ends)} N·m"


def _on_scale(wrench: Wrench, shown_nm: Decimal) -> str:
    scale = scale_of(wrench)
    return f"{format_number(shown_nm / scale.unit_nm, FINE)} {scale.unit}"
