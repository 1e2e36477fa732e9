"""The torque at the seat of a self-locking nut: what was applied, less its drag, with the uncertainty of both.

T - M_d, u² = u_T² + u_d² (JCGM 100:2008, 5.1.2). Where one wrench read both, what it errs by as a share is in both, so
it counts for the difference alone (correlated inputs, JCGM 100:2008, 5.2); the division of its scale and the scatter of
one pass are of each reading. What a drag varies by over a turn is a rectangle between the least and the most.
"""

from collections.abc import Iterator
from decimal import Decimal
from fractions import Fraction

from torqueaudit.model.job.facts import Tightening
from torqueaudit.model.torque.correction import COVERAGE, BudgetLine
from torqueaudit.model.torque.drag import Drag
from torqueaudit.model.torque.units import format_number, to_decimal
from torqueaudit.model.wrench.figures import SCATTER, rectangular
from torqueaudit.model.wrench.scale import DIVISION, Shown, division_lines
from torqueaudit.model.wrench.uncertainty import DIGITS, Applied
from torqueaudit.model.wrench.wrench import WIDE, Wrench

OF_DRAG = "of the drag: "
NOT_TOLD = BudgetLine(f"{OF_DRAG}wrench not told, permissible deviation ±6 % of an indicating one", rectangular(WIDE))


def at_seat(applied: Applied, drag: Drag) -> Applied:
    """What is left at the seat; its `lines` stay those of the torque that was applied."""
    exact, why_not = applied.exact - drag.exact, applied.why_not or drag.not_proved
    expanded_nm = None if why_not else _expanded(applied, drag)
    return applied._replace(exact=exact, expanded_nm=expanded_nm, why_not=why_not)


def held_of(applied: Applied, done: Tightening) -> Applied:
    """What the limits of a pass hold for, where another torque was applied than it was taken for.

    A drag that was read on the same wrench is otherwise by the same share, and scatters as that does.
    """
    drag = done.drag
    if done.seat is None or drag is None or not done.applied_nm:
        return applied
    if drag.same:
        others = (line for line in drag.lines if not line.name.startswith(f"{OF_DRAG}{SCATTER}"))
        drag = drag._replace(
            exact=drag.exact * applied.exact / Fraction(done.applied_nm), lines=(*_own_scatter(applied), *others)
        )
    return at_seat(applied, drag)


def own_lines(wrench: Wrench, applied: Applied, told: Shown) -> tuple[BudgetLine, ...]:
    """What the reading of a drag adds on the wrench that tightened: its own division and scatter."""
    return (*_own_scatter(applied), *of_drag(division_lines(wrench, told)))


def _own_scatter(applied: Applied) -> tuple[BudgetLine, ...]:
    return of_drag(tuple(line for line in applied.lines if line.name.startswith(SCATTER)))


def of_drag(lines: tuple[BudgetLine, ...]) -> tuple[BudgetLine, ...]:
    """Lines of a wrench, named as those of the drag that was read on it."""
    return tuple(line._replace(name=f"{OF_DRAG}{line.name}") for line in lines)


def turn_line(least_nm: Decimal, most_nm: Decimal) -> tuple[BudgetLine, ...]:
    """What a drag varies by over a turn, relative to its mean; none where one value was told."""
    if least_nm == most_nm:
        return ()
    return (BudgetLine(f"{OF_DRAG}over a turn, rectangular", rectangular((most_nm - least_nm) / (least_nm + most_nm))),)


def _expanded(applied: Applied, drag: Drag) -> Decimal:
    shares = list(_shares(applied, drag))
    adds = sum((nm for line, nm in shares if line.adds), Decimal(0))
    squares = sum((nm**2 for line, nm in shares if not line.adds), Decimal(0))
    return Decimal(format_number(adds + COVERAGE * squares.sqrt(), DIGITS))


def _shares(applied: Applied, drag: Drag) -> Iterator[tuple[BudgetLine, Decimal]]:
    """Each contribution with what it is in N·m."""
    left = to_decimal(abs(applied.exact - drag.exact))
    for line in applied.budget:
        in_both = drag.same and not line.name.startswith((SCATTER, DIVISION))
        yield line, line.relative * (left if in_both else applied.nm)
    for line in drag.lines:
        yield line, line.relative * drag.nm
