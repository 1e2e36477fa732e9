"""The torque that reached a fastener in one pass, with its expanded uncertainty and the budget it is made of.

A known deviation is corrected for (JCGM 100:2008, 3.2.4): T = X·f/(1 + a), u² = ((W + |b_ep|)/2)² + u_scale² +
u_adapter² + s². Where a workshop's rules forbid that, the deviation is added as it stands and is no square: U = |a| +
|b_ep| + 2·√((W/2)² + u_scale² + u_adapter² + s²), as the W′ of ISO 6789-2:2017 (from memory) is linear in |a|. s is the
scatter of one pass, for W holds that of a mean. Decision 0078 says what stands in where a certificate leaves one out.

Relative standard uncertainties are added as squares, first order, uncorrelated inputs (JCGM 100:2008, 5.1.2), and
expanded with k = 2. For an adapter straight ahead the angle's first-order share is zero, so what the adapter adds falls
short by about 2.5 % at 0 degrees and 1.7 % at 10 (measured by simulation; see the tests' proofs). Beside the wrench's
own share nothing of that is left: with a permissible deviation of 4 % the whole is right within 1 %. See decision 0023.
"""

from collections.abc import Sequence
from decimal import Decimal
from fractions import Fraction
from typing import NamedTuple

from torqueaudit.model.torque.correction import COVERAGE, BudgetLine, Correction
from torqueaudit.model.torque.decimals import decimal_text
from torqueaudit.model.torque.units import format_number, to_decimal
from torqueaudit.model.torque.verdict import IN, NOT_JUDGED, verdict_of
from torqueaudit.model.torque.words import torque_text
from torqueaudit.model.wrench.figures import Figures, figures_at, rectangular, scatter_name
from torqueaudit.model.wrench.point import Point
from torqueaudit.model.wrench.scale import Shown, division_lines
from torqueaudit.model.wrench.wrench import InForce, Wrench

DIGITS = 10  # of an uncertainty as it is stored


class Trust(NamedTuple):
    """What a wrench at one setting adds: torque = shown × factor, its budget lines, or why nothing is proved.

    `corrected` is the deviation that the factor corrects for, as a fraction; None where it corrects for none.
    """

    factor: Fraction
    lines: tuple[BudgetLine, ...]
    why_not: str = ""
    corrected: Fraction | None = None


class Applied(NamedTuple):
    """A torque at the fastener in N·m; `expanded_nm` is its U (k = 2), None where nothing is proved, for `why_not`.

    `exact` is what is held against limits, `nm` the same as a decimal of 28 digits. `lines` are the wrench's, `fitted`
    those of what was fitted to it. `corrected` is the deviation that was corrected for.
    """

    exact: Fraction
    expanded_nm: Decimal | None
    lines: tuple[BudgetLine, ...]
    why_not: str = ""
    fitted: tuple[BudgetLine, ...] = ()
    corrected: Fraction | None = None

    @property
    def nm(self) -> Decimal:
        """The torque as a decimal, rounded once."""
        return to_decimal(self.exact)

    @property
    def budget(self) -> tuple[BudgetLine, ...]:
        """Every line."""
        return self.lines + self.fitted


def trust_of(wrench: Wrench, in_force: InForce, shown: Shown, *, correct_deviation: bool) -> Trust:
    """How far a wrench is believed at one setting, by the calibration in force.

    Where that states no figures the permissible deviation counts as a rectangular limit. The division of the scale that
    was read is added in every case. See decision 0024.
    """
    if in_force.why_not:
        return Trust(Fraction(1), (), in_force.why_not)
    calibration, division = in_force.calibration, division_lines(wrench, shown)
    if calibration is None or not calibration.points:
        return Trust(Fraction(1), (permissible_line(wrench), *division))
    figures = figures_at(calibration.points, wrench.permissible, shown.nm)
    if figures is None:
        return Trust(Fraction(1), (), _beyond(wrench, calibration.points))
    named = f"calibration {calibration.certificate or f'of {calibration.on}'}"
    found = corrected_trust(wrench, figures, named) if correct_deviation else _as_it_is(wrench, figures, named)
    return found._replace(lines=(*found.lines, *division))


def corrected_trust(wrench: Wrench, figures: Figures, named: str) -> Trust:
    """What a look's figures make of a setting with their deviation corrected for: T = X/(1 + a)."""
    percent = format_number(figures.deviation * 100, 4)
    factor = 1 / (1 + figures.deviation)
    if figures.expanded is None:
        line = permissible_line(wrench)
        name = f"{line.name}, around the deviation of {percent} % corrected for; no W stated"
        return Trust(factor, (line._replace(name=name),), corrected=figures.deviation)
    stated = "W + |b_ep|" if figures.loading_point else "W"
    line = BudgetLine(
        f"{named}, {stated} with the deviation of {percent} % corrected for",
        (figures.expanded + figures.loading_point) / COVERAGE,
    )
    return Trust(factor, (line, _scatter(wrench, figures)), corrected=figures.deviation)


def _as_it_is(wrench: Wrench, figures: Figures, named: str) -> Trust:
    """The same for a workshop whose rules forbid to correct: the deviation stays in the figure, and in its U."""
    if figures.expanded is None:
        return Trust(Fraction(1), (permissible_line(wrench),))
    percent = format_number(figures.deviation * 100, 4)
    left_in = f"{named}, deviation of {percent} % left in, added as it is"
    lines = [BudgetLine(left_in, abs(to_decimal(figures.deviation)), adds=True)]
    if figures.loading_point:
        lines.append(BudgetLine("|b_ep|, added as it is", figures.loading_point, adds=True))
    lines += [BudgetLine(f"{named}, W", figures.expanded / COVERAGE), _scatter(wrench, figures)]
    return Trust(Fraction(1), tuple(lines))


def applied_of(shown_nm: Decimal, trust: Trust, corrections: Sequence[Correction]) -> Applied:
    """What reached the fastener: every factor multiplied, every budget added."""
    exact = Fraction(shown_nm) * trust.factor
    for each in corrections:
        exact *= Fraction(each.factor)
    fitted = tuple(line for each in corrections for line in each.budget)
    expanded_nm = None if trust.why_not else expanded_of(exact, trust.lines + fitted)
    return Applied(
        exact=exact,
        expanded_nm=expanded_nm,
        lines=trust.lines,
        why_not=trust.why_not,
        fitted=fitted,
        corrected=trust.corrected,
    )


def slot_word(at_slot: Applied | None, upper_nm: Decimal | None, guard_factor: Decimal, *, below: bool) -> str:
    """The verdict on the torque at the slot that a castle nut was turned on to, held against the maximum alone.

    `below`: a wrench set to it did not click there. What that leaves open is not judged: it may lie on either side.
    """
    if upper_nm is None:
        return IN
    if at_slot is None or (below and at_slot.exact > upper_nm):
        return NOT_JUDGED
    return verdict_of(at_slot.exact, at_slot.expanded_nm, None, upper_nm, guard_factor).word


def expanded_of(exact: Fraction, lines: Sequence[BudgetLine]) -> Decimal:
    """U (k = 2) in N·m of a torque with these contributions, to the digits that are stored."""
    adds = sum((line.relative for line in lines if line.adds), Decimal(0))
    squares = sum((line.relative**2 for line in lines if not line.adds), Decimal(0))
    return Decimal(format_number((adds + COVERAGE * squares.sqrt()) * to_decimal(exact), DIGITS))


def permissible_line(wrench: Wrench) -> BudgetLine:
    """The maximum permissible deviation (ISO 6789) as a limit: u = MPE/√3, so ±4 % makes U = 4.62 %, not 4 %."""
    percent = decimal_text(wrench.permissible * 100)
    return BudgetLine(f"permissible deviation ±{percent} %, rectangular", rectangular(wrench.permissible))


def _scatter(wrench: Wrench, figures: Figures) -> BudgetLine:
    return BudgetLine(scatter_name(figures, wrench.permissible), figures.scatter)


def _beyond(wrench: Wrench, points: Sequence[Point]) -> str:
    lowest, highest = points[0].shown_nm, points[-1].shown_nm
    reach = torque_text(highest) if lowest == highest else f"{torque_text(lowest, bare=True)} … {torque_text(highest)}"
    return f"the setting lies outside the points at which wrench {wrench.number} was calibrated ({reach})"
