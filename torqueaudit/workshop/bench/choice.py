"""What to set on one wrench's scale so that a fastener gets its torque: found by trying mark after mark.

The nearest mark inside the tolerance is taken: decision 0025.
"""

from collections.abc import Iterable, Iterator
from datetime import date, datetime
from decimal import Decimal
from typing import NamedTuple

from torqueaudit.model.procedure.procedure import Fastener
from torqueaudit.model.register.settings import Settings
from torqueaudit.model.torque.correction import Fitted
from torqueaudit.model.torque.decimals import decimal_text
from torqueaudit.model.torque.drag import Drag
from torqueaudit.model.torque.fitted import adapters_text, same_fitted
from torqueaudit.model.torque.units import format_number
from torqueaudit.model.torque.verdict import IN, IN_NOT_PROVED, Verdict, provable, verdict_of
from torqueaudit.model.torque.words import digits_apart, specified_text, torque_text
from torqueaudit.model.wrench.scale import Shown
from torqueaudit.model.wrench.seat import at_seat
from torqueaudit.model.wrench.uncertainty import Applied
from torqueaudit.model.wrench.wrench import Scale, Wrench
from torqueaudit.workshop.door.workshop import Workshop
from torqueaudit.workshop.jobs.drag import DragTold, drag_of
from torqueaudit.workshop.jobs.judgement import Reached, reach
from torqueaudit.workshop.wrenches.in_hand import InHand

ROUNDS = 30  # of solving for the setting; the factor hardly changes with it
HIT = Decimal("1e-12")  # of the aim: as near as a torque that is solved for needs to be
MOST_TRIED = 400  # divisions on either side of the setting that is solved for
FINE = 4  # significant digits of a setting on a scale whose division nobody entered


class Question(NamedTuple):
    """One question: what is to be reached, at the seat where a drag comes on top, and by which rule it is judged."""

    fastener: Fastener
    aim_nm: Decimal
    lower_nm: Decimal | None
    upper_nm: Decimal | None
    guard_factor: Decimal
    fitted: tuple[Fitted, ...]
    settings: Settings
    at: datetime
    drag: DragTold | None = None

    @property
    def today(self) -> date:
        """The workshop's date."""
        return self.at.astimezone(self.settings.timezone).date()


class Choice(NamedTuple):
    """One setting of a scale, what it reaches, and how that would be judged.

    `proved` is another setting, which would be proved inside with a guard band of 1·U, where this one would not.
    `at_slot` is the highest one at which a castle nut may stand at its slot. `held` is the torque that is judged: what
    is left at the seat where a `drag` comes on top, else what is reached.
    """

    setting: Decimal
    shown_nm: Decimal
    reached: Reached
    held: Applied
    verdict: Verdict
    drag: Drag | None = None
    proved: Decimal | None = None
    at_slot: Decimal | None = None


def choose(workshop: Workshop, asked: Question, taken: InHand) -> tuple[Choice | None, str]:
    """The setting to use, or why there is none."""
    if why_not := unfit(asked, taken):
        return None, why_not
    exact = _solved(workshop, asked, taken)
    marks = list(_marks(asked, taken.wrench, exact))
    inside = _inside(workshop, asked, taken, marks)
    nearest = next(inside, None)
    if nearest:
        return _worth_a_step(asked, taken, nearest, inside), ""
    if not _reaches(taken.wrench, exact.shown_nm):
        return None, f"it would have to be set to {_on_scale(taken.wrench, exact.shown_nm)}, and {_span(taken.wrench)}"
    return None, _between_marks(asked, taken.wrench, [_tried(workshop, asked, taken, mark) for mark in marks[:2]])


def _inside(workshop: Workshop, asked: Question, taken: InHand, marks: Iterable[Decimal]) -> Iterator[Choice]:
    """The marks that the scale has and whose torque lies inside the tolerance, each tried when it is asked for."""
    unit_nm = scale_of(taken.wrench).unit_nm
    tried = (_tried(workshop, asked, taken, mark) for mark in marks if _reaches(taken.wrench, mark * unit_nm))
    return (each for each in tried if each.verdict.word.startswith(IN))


def _worth_a_step(asked: Question, taken: InHand, nearest: Choice, further: Iterator[Choice]) -> Choice:
    """The nearest mark. Under a guard band a mark further away is taken if it will be proved; else it is only named."""
    if asked.guard_factor:
        proved = (each for each in further if each.verdict.word == IN)
        return nearest if nearest.verdict.word == IN else next(proved, nearest)
    if not _may_be_proved(asked, taken, nearest) or _is_proved(asked, nearest):
        return nearest
    return nearest._replace(proved=next((each.setting for each in further if _is_proved(asked, each)), None))


def stage_setting(workshop: Workshop, asked: Question, taken: InHand, stage_nm: Decimal) -> Decimal | None:
    """The mark nearest to what a stage before the last aims for, None where the scale does not reach it."""
    exact = _solved(workshop, asked._replace(aim_nm=stage_nm), taken)
    division = _division(taken.wrench, exact)
    nearest = (exact.setting / division).to_integral_value() * division
    return Decimal(decimal_text(nearest)) if _reaches(taken.wrench, nearest * scale_of(taken.wrench).unit_nm) else None


def most_at_slot(workshop: Workshop, asked: Question, taken: InHand, begun: Choice) -> Decimal | None:
    """The highest mark above the one begun with that is within the maximum by the decision rule; None where none is.

    To be read at most when a castle nut stands at its next slot, or set there without a click.
    """
    if asked.upper_nm is None:
        return None
    most = asked._replace(aim_nm=asked.upper_nm, lower_nm=None)
    exact, unit_nm = _solved(workshop, most, taken), scale_of(taken.wrench).unit_nm
    reach_nm = exact.shown_nm if taken.wrench.max_nm is None else min(exact.shown_nm, taken.wrench.max_nm)
    division = _division(taken.wrench, exact)
    highest = int(reach_nm / unit_nm / division) + 1
    marks = (Decimal(decimal_text(n * division)) for n in range(highest, max(highest - MOST_TRIED, 0), -1))
    above = (mark for mark in marks if mark > begun.setting and _reaches(taken.wrench, mark * unit_nm))
    within = (IN,) if asked.guard_factor else (IN, IN_NOT_PROVED)
    return next((mark for mark in above if _tried(workshop, most, taken, mark).verdict.word in within), None)


def calibrated_with(taken: InHand) -> str:
    """What has to be fitted to a wrench that was calibrated with an adapter; "" for any other."""
    calibration = taken.in_force.calibration
    if calibration is None or not calibration.adapters:
        return ""
    return f"with its {_named(calibration.adapters)} fitted, as it was calibrated"


def _may_be_proved(asked: Question, taken: InHand, nearest: Choice) -> bool:
    """Whether any mark may: of one beyond the points of a calibration another one among them."""
    expanded = nearest.held.expanded_nm
    if expanded is None:
        return taken.in_force.calibration is not None
    return provable(expanded, asked.lower_nm, asked.upper_nm, Decimal(1))


def _is_proved(asked: Question, choice: Choice) -> bool:
    held = choice.held
    return verdict_of(held.exact, held.expanded_nm, asked.lower_nm, asked.upper_nm, Decimal(1)).word == IN


def scale_of(wrench: Wrench) -> Scale:
    """The scale a wrench is set on; N·m without a division where none was entered."""
    return wrench.scales[0] if wrench.scales else Scale("N·m", Decimal(0), Decimal(1))


def unfit(asked: Question, taken: InHand) -> str:
    """Why a wrench may not be used on this fastener at all; "" where it may."""
    wrench, direction = taken.wrench, asked.fastener.direction
    if wrench.withdrawn:
        return f"it is withdrawn ({wrench.withdrawn})"
    if taken.in_force.due_on and asked.today > taken.in_force.due_on:
        return f"its calibration ended on {taken.in_force.due_on}"
    if taken.in_force.why_not and taken.in_force.due_on:
        return taken.in_force.why_not
    if wrench.direction not in ("both", direction):
        return f"it turns to the {wrench.direction} only, and this is a {direction}-hand thread"
    calibration = taken.in_force.calibration
    return _unfit_with(calibration.adapters, asked.fitted) if calibration and calibration.adapters else ""


def _unfit_with(own: tuple[Fitted, ...], fitted: tuple[Fitted, ...]) -> str:
    """Why a wrench that was calibrated with its adapters may not be used with what is fitted."""
    this, other = ("this adapter", "another") if len(own) == 1 else ("these adapters", "others")
    if fitted and same_fitted(own, fitted):
        return f"it was calibrated with {this} fitted, so nothing is left to correct; ask without the adapter"
    if fitted:
        return f"it was calibrated with its {_named(own)} fitted, and nothing is known of it with {other}"
    return ""


def _named(adapters: tuple[Fitted, ...]) -> str:
    return f"adapter {adapters_text(adapters)}" if len(adapters) == 1 else f"adapters {adapters_text(adapters)}"


def _solved(workshop: Workshop, asked: Question, taken: InHand) -> Choice:
    """The setting that reaches the aim, marks or none.

    Beyond the points of its calibration a wrench is not corrected for, so another setting may reach the aim there: one
    among them counts. Where none does, for what is corrected ends at the last point, it is that point.
    """
    calibration = taken.towards(asked.fastener.direction).in_force.calibration
    if calibration is None or not calibration.points:
        return _solved_within(workshop, asked, taken, None)
    ends = calibration.points[0].shown_nm, calibration.points[-1].shown_nm
    among = _solved_within(workshop, asked, taken, ends)
    if _hits(asked, among):
        return among
    anywhere = _solved_within(workshop, asked, taken, None)
    return anywhere if _hits(asked, anywhere) else among


def _solved_within(
    workshop: Workshop, asked: Question, taken: InHand, ends_nm: tuple[Decimal, Decimal] | None
) -> Choice:
    """The setting between two others that comes nearest: solved again and again, as a correction may depend on it."""
    unit_nm, following_nm = scale_of(taken.wrench).unit_nm, asked.aim_nm
    for _ in range(ROUNDS):
        within_nm = following_nm if ends_nm is None else min(max(following_nm, ends_nm[0]), ends_nm[1])
        choice = _tried(workshop, asked, taken, within_nm / unit_nm)
        following_nm = within_nm * (asked.aim_nm + _on_top(choice)) / choice.reached.applied.nm
        if _hits(asked, choice):
            break
    return choice


def _hits(asked: Question, choice: Choice) -> bool:
    return abs(choice.reached.applied.nm / (asked.aim_nm + _on_top(choice)) - 1) < HIT


def _tried(workshop: Workshop, asked: Question, taken: InHand, setting: Decimal) -> Choice:
    shown_nm = setting * scale_of(taken.wrench).unit_nm
    shown, used = Shown(shown_nm, scale_of(taken.wrench)), taken.towards(asked.fastener.direction)
    reached = reach(workshop, asked.settings, used, shown, asked.fitted)
    applied = reached.applied
    drag = drag_of(workshop, asked.drag, taken, applied, shown_nm) if asked.drag else None
    held = at_seat(applied, drag) if drag else applied
    verdict = verdict_of(held.exact, held.expanded_nm, asked.lower_nm, asked.upper_nm, asked.guard_factor)
    return Choice(setting, shown_nm, reached=reached, held=held, verdict=verdict, drag=drag)


def _on_top(choice: Choice) -> Decimal:
    """What comes on top of what is judged, in N·m."""
    return choice.drag.nm if choice.drag else Decimal(0)


def _marks(asked: Question, wrench: Wrench, exact: Choice) -> Iterator[Decimal]:
    """The marks of a scale from the nearest to the exact setting outwards, as far as the tolerance may reach.

    Without a known division they are the numbers of a few digits.
    """
    division = _division(wrench, exact)
    steps = min(int(exact.setting * _room(asked, wrench, exact) / division) + 1, MOST_TRIED)
    nearest = int((exact.setting / division).to_integral_value())
    numbers = range(max(nearest - steps, 1), nearest + steps + 1)
    by_distance = sorted(numbers, key=lambda n: abs(n * division - exact.setting))
    yield from (Decimal(decimal_text(n * division)) for n in by_distance)


def _division(wrench: Wrench, exact: Choice) -> Decimal:
    return scale_of(wrench).division or Decimal(1).scaleb(exact.setting.adjusted() + 1 - FINE)


def _room(asked: Question, wrench: Wrench, exact: Choice) -> Decimal:
    """How far from the aim a setting may lie, as a share of it: to the limits, and past a single one by its guard band.

    That band, 1·U at least so that a setting that would be proved is found, grows with the setting, so there is room
    for twice as much. Where no U is known it is taken as wide as what is permitted.
    """
    limits = [limit for limit in (asked.lower_nm, asked.upper_nm) if limit is not None]
    whole_nm = asked.aim_nm + _on_top(exact)
    factor = max(asked.guard_factor, Decimal(1))
    expanded_nm = exact.held.expanded_nm
    relative = wrench.permissible if expanded_nm is None else expanded_nm / whole_nm
    guard = 2 * factor * relative if len(limits) == 1 else Decimal(0)
    return max((abs(limit - asked.aim_nm) / whole_nm for limit in limits), default=Decimal(0)) + guard


def _between_marks(asked: Question, wrench: Wrench, tried: list[Choice]) -> str:
    limits = asked.lower_nm, asked.upper_nm
    reached = [(each.setting, each.held.nm) for each in sorted(tried, key=lambda each: each.setting)]
    said = " and ".join(
        f"{decimal_text(setting)} {scale_of(wrench).unit} gives {torque_text(nm, further=digits_apart(nm, *limits))}"
        for setting, nm in reached
    )
    where = " at the seat" if asked.drag else ""
    return f"no mark of its scale reaches {specified_text(asked.fastener.specification)}: {said}{where}"


def _reaches(wrench: Wrench, shown_nm: Decimal) -> bool:
    lowest, highest = wrench.min_nm, wrench.max_nm
    return (lowest is None or shown_nm >= lowest) and (highest is None or shown_nm <= highest)


def _span(wrench: Wrench) -> str:
    scale = scale_of(wrench)
    ends = [format_number(each / scale.unit_nm, FINE) for each in (wrench.min_nm, wrench.max_nm) if each is not None]
    return f"it reaches {' … '.join(ends)} {scale.unit}"


def _on_scale(wrench: Wrench, shown_nm: Decimal) -> str:
    scale = scale_of(wrench)
    return f"{format_number(shown_nm / scale.unit_nm, FINE)} {scale.unit}"
