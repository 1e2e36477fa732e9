"""A pass of a wrench as it is known today: where its lever was put right since, what was fitted corrects otherwise.

See decision 0073.
"""

from decimal import Decimal
from fractions import Fraction
from math import prod

from torqueaudit.model.job.facts import AtSlot, Tightening
from torqueaudit.model.torque.correction import Correction, WrenchUse
from torqueaudit.model.torque.drag import Seat
from torqueaudit.model.torque.fitted import fitted_of
from torqueaudit.model.torque.units import to_decimal
from torqueaudit.model.wrench.seat import held_of
from torqueaudit.model.wrench.uncertainty import Applied, expanded_of
from torqueaudit.model.wrench.wrench import Wrench
from torqueaudit.plugins import Plugins


def as_known_today(plugins: Plugins, wrench: Wrench, done: Tightening) -> Tightening:
    """A pass with the torque that reached the fastener by the lever of today; the pass itself where that is the same.

    The torque is None where no plugin can work it out with that lever. What was judged then stays in its entry.
    """
    taken = wrench.as_taken_at(done.noted.entry)
    if not done.fitted or done.shown_nm is None or done.applied_nm is None or taken.lever_mm == wrench.lever_mm:
        return done
    fitted = tuple(map(fitted_of, done.fitted))
    corrections = _corrections(plugins, wrench.use(done.shown_nm, fitted))
    if corrections is None:
        return done._replace(applied_nm=None, final_nm=None, at_slot=None, seat=None)
    factor = prod((Fraction(each.factor) for each in corrections), start=Fraction(1))
    known = done._replace(
        corrected_by=factor, fitted_budget=tuple(line for each in corrections for line in each.budget)
    )
    share = factor / done.corrected_by
    applied_nm, expanded_nm = _anew(known, done.applied_nm, done.expanded_nm, share)
    final_nm, final_expanded_nm = _anew(known, done.final_nm, done.final_expanded_nm, share)
    now = known._replace(
        applied_nm=applied_nm,
        expanded_nm=expanded_nm,
        final_nm=final_nm,
        final_expanded_nm=final_expanded_nm,
        at_slot=_at_slot(known, share),
    )
    return now._replace(seat=_seat(now, done))


def _seat(known: Tightening, done: Tightening) -> Seat | None:
    """What is left at the seat by the torque of today."""
    if done.seat is None or known.applied_nm is None:
        return None
    applied = Applied(
        exact=Fraction(known.applied_nm),
        expanded_nm=known.expanded_nm,
        lines=known.wrench_budget,
        why_not=done.not_proved,
        fitted=known.fitted_budget,
    )
    left = held_of(applied, done)
    return Seat(left.nm, left.expanded_nm, left.why_not)


def _at_slot(known: Tightening, share: Fraction) -> AtSlot | None:
    if known.at_slot is None:
        return None
    nm, expanded_nm = _moved(known, known.at_slot.nm, known.at_slot.expanded_nm, share)
    return known.at_slot._replace(nm=nm, expanded_nm=expanded_nm)


def _anew(
    known: Tightening, nm: Decimal | None, expanded_nm: Decimal | None, share: Fraction
) -> tuple[Decimal | None, Decimal | None]:
    """A torque through the lever of today, with its U where one was known."""
    return (None, None) if nm is None else _moved(known, nm, expanded_nm, share)


def _moved(
    known: Tightening, nm: Decimal, expanded_nm: Decimal | None, share: Fraction
) -> tuple[Decimal, Decimal | None]:
    exact = Fraction(nm) * share
    return to_decimal(exact), None if expanded_nm is None else expanded_of(exact, known.budget)


def _corrections(plugins: Plugins, use: WrenchUse) -> list[Correction] | None:
    """All corrections; None where one of them cannot be worked out."""
    answers = plugins.corrections(use)
    return None if any(fault for _, _, fault in answers) else [each for _, given, _ in answers for each in given]
