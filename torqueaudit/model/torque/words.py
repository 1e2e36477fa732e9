"""How a torque, its limits and its uncertainty are said to people, alike at every door."""

from collections.abc import Sequence
from decimal import ROUND_HALF_EVEN, Decimal
from fractions import Fraction

from torqueaudit.model.torque.correction import BudgetLine
from torqueaudit.model.torque.decimals import MOST_FURTHER, decimal_text
from torqueaudit.model.torque.specification import Specification
from torqueaudit.model.torque.units import NEWTON_METRE, TorqueUnit, format_number, to_decimal

SURE = Decimal("0.999")
COARSE_FROM = Decimal(10)  # N·m; below it a tenth is too coarse
LARGEST_DRAG_PART = 2  # of the specified torque, its half; ours, no source


def torque_text(nm: Decimal, *, bare: bool = False, further: int = 0) -> str:
    """A torque in N·m to the tenth, or to the hundredth below 10, without idle zeros: "92.5 N·m".

    `further` digits are shown where `digits_apart` says that they are needed.
    """
    text = format(nm.quantize(_step(nm, None, further), ROUND_HALF_EVEN), "f")
    text = text.rstrip("0").rstrip(".") if "." in text else text
    return text if bare else f"{text} N·m"


def applied_text(applied_nm: Decimal, expanded_nm: Decimal | None, *limits: Decimal | None) -> str:
    """A torque at the fastener with its expanded uncertainty, k = 2, where one is known: "107.8 N·m ± 5.1 N·m".

    It is rounded to the digits of that uncertainty (JCGM 100:2008, 7.2.6), and shown with more where it would read as
    on the wrong side of one of its limits.
    """
    further = digits_apart(applied_nm, *limits, expanded_nm=expanded_nm)
    if expanded_nm is None:
        return torque_text(applied_nm, further=further)
    shown = applied_nm.quantize(_step(applied_nm, expanded_nm, further), ROUND_HALF_EVEN)
    return f"{shown:f} N·m {spread_text(expanded_nm)}"


def spread_text(expanded_nm: Decimal) -> str:
    """An expanded uncertainty in N·m, always of two significant digits (JCGM 100:2008, 7.2.6): "± 2.0 N·m"."""
    return f"± {to_decimal(Fraction(expanded_nm), 2).quantize(_spread_step(expanded_nm)):f} N·m"


def digits_apart(nm: Decimal, *limits: Decimal | None, expanded_nm: Decimal | None = None) -> int:
    """How many digits more than usual a torque and its limits take so that it reads as on the side where it lies."""
    told = [limit for limit in limits if limit is not None]
    return next((further for further in range(MOST_FURTHER) if _reads_true(nm, told, expanded_nm, further)), 0)


def _reads_true(nm: Decimal, limits: Sequence[Decimal], expanded_nm: Decimal | None, further: int) -> bool:
    shown = nm.quantize(_step(nm, expanded_nm, further), ROUND_HALF_EVEN)
    beside = [(limit, limit.quantize(_step(limit, None, further), ROUND_HALF_EVEN)) for limit in limits]
    return all(shown.compare(its) == nm.compare(limit) for limit, its in beside)


def _step(nm: Decimal, expanded_nm: Decimal | None, further: int) -> Decimal:
    """What the last digit of a torque is worth: of one with U what U's last one is, unless more digits are needed."""
    usual = (Decimal("0.01") if nm < COARSE_FROM else Decimal("0.1")).scaleb(-further)
    if expanded_nm is None:
        return usual
    return min(usual, _spread_step(expanded_nm)) if further else _spread_step(expanded_nm)


def _spread_step(expanded_nm: Decimal) -> Decimal:
    return Decimal(1).scaleb(min(to_decimal(Fraction(expanded_nm), 2).adjusted() - 1, 0))


def share_text(line: BudgetLine) -> str:
    """One line of an uncertainty's budget, a standard uncertainty or what adds: "2.31 % permissible deviation ±4 %"."""
    return f"{format_number(line.relative * 100, 3)} % {line.name}"


def likely_text(probability: Decimal) -> str:
    """How likely a torque lies inside its limits, never rounded to certainty: "98.7 % likely inside"."""
    if probability > SURE:
        return f"more than {SURE * 100:.1f} % likely inside"
    if probability < 1 - SURE:
        return f"less than {(1 - SURE) * 100:.1f} % likely inside"
    return f"{probability * 100:.1f} % likely inside"


def limits_text(lower: Decimal | None, upper: Decimal | None, *, further: int = 0) -> str:
    """The limits of a torque in N·m: "19.8 … 24.2 N·m", "at least 90 N·m", "at most 12 N·m"."""
    if lower is None:
        return f"at most {torque_text(upper, further=further)}" if upper is not None else "no limit"
    if upper is None:
        return f"at least {torque_text(lower, further=further)}"
    return f"{torque_text(lower, bare=True, further=further)} … {torque_text(upper, further=further)}"


def specified_text(specification: Specification) -> str:
    """A specified torque with what it allows.

    "22 N·m (19.8 … 24.2)", "80 lbf·ft (97.6 … 119.3 N·m)", "62 … 68 N·m", "at least 90 N·m", "30 N·m + 90° (85 … 95),
    then 60 … 110 N·m", and with the drag of a self-locking nut on top "22 N·m (19.8 … 24.2) + drag", "…, drag at least
    1 N·m" where the document states how much it has to be.
    """
    said = f"{specification.written}{_allowed(specification)}{' + drag' if specification.drag_excluded else ''}"
    least = specification.drag_min_nm
    return said if least is None else f"{said}, drag at least {torque_text(least)}"


def aim_text(specification: Specification) -> str:
    """What to tighten to, without what it allows: "22 N·m", "30 N·m + 90°", "22 N·m + drag"."""
    angle = f" + {specification.angle:f}°" if specification.angle is not None else ""
    return f"{specification.written}{angle}{' + drag' if specification.drag_excluded else ''}"


def drag_caution(specification: Specification, drag_nm: Decimal | None) -> str:
    """A sentence where a nut drags by more than half of what is specified, "" where it does not."""
    if drag_nm is None or drag_nm * LARGEST_DRAG_PART <= specification.target_nm:
        return ""
    return (
        f"a drag of {torque_text(drag_nm)} is more than half of the {specification.written} specified. Look whether "
        "thread and nut are clean, whole and belong together."
    )


def at_seat_text(applied_nm: Decimal, drag_nm: Decimal, seat: str) -> str:
    """A torque that was applied with its drag, and what is left of it, which is said already.

    "31 N·m with a drag of 6 N·m: 25.0 N·m ± 1.5 N·m at the seat".
    """
    return f"{torque_text(applied_nm)} with a drag of {torque_text(drag_nm)}: {seat} at the seat"


def _allowed(specification: Specification) -> str:
    if specification.angle is not None:
        final = f", then {specification.final_written}" if specification.final_written else ""
        return f" + {angle_text(specification)}{final}"
    if specification.nominal_nm is None:
        return ""
    own = "own tolerance: " if specification.own_tolerance else ""
    unit = "" if specification.unit == NEWTON_METRE.symbol else f" {NEWTON_METRE.symbol}"
    lower, upper = (torque_text(limit, bare=True) for limit in specification.limits_nm)
    return f" ({own}{lower} … {upper}{unit})"


def angle_text(specification: Specification) -> str:
    """The degrees to turn after the torque, with what they allow: "90° (85 … 95)", "45°"."""
    degrees = f"{specification.angle or 0:f}°"
    window = specification.angle_window
    return f"{degrees} ({window[0]:f} … {window[1]:f})" if window else degrees


def derived_text(specification: Specification, unit: TorqueUnit) -> str:
    """A specified torque as printed, and what that is in another unit: "108 N·m (= about 79.7 lbf·ft, derived)".

    The derived value has as many digits as the printed one, and one more where these would say less than it does. A
    limit is rounded inwards, so that who goes by it stays within (ISO 80000-1:2009, annex B, from memory). To be shown
    beside the printed value, never to judge by.
    """
    if unit.symbol == specification.unit:
        return specification.written
    printed = zip(specification.printed_nm, specification.half_digit_nm, strict=True)
    derived = " … ".join(_derived(nm, half, unit, _inwards(specification, nm)) for nm, half in printed)
    return f"{specification.written} (= about {derived} {unit.symbol}, derived)"


def _inwards(specification: Specification, nm: Decimal) -> int:
    """Where a printed limit may be rounded to: 1 upwards, -1 downwards; 0 for a value, to the nearest."""
    return 0 if specification.nominal_nm is not None else 1 if nm == specification.lower_nm else -1


def _derived(nm: Decimal, half_digit_nm: Decimal, unit: TorqueUnit, inwards: int) -> str:
    value, step = (Fraction(number) / unit.newton_metres for number in (nm, 2 * half_digit_nm))
    digits = len(str(round(Fraction(nm) / Fraction(2 * half_digit_nm))))
    coarse = to_decimal(value, digits).adjusted() + 1 - digits  # the power of ten of the last digit
    digits += Fraction(10) ** coarse > step
    rounded = to_decimal(value, digits)
    if (Fraction(rounded) - value) * inwards < 0:
        rounded += inwards * Decimal(1).scaleb(rounded.adjusted() + 1 - digits)
    return decimal_text(rounded)
