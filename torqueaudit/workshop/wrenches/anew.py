"""A pass of a wrench as it is known today: where its lever was put right since, what was fitted corrects otherwise.

See decision 0073.
"""

from decimal import Decimal
from math import prod

from torqueaudit.model.job.facts import Tightening
from torqueaudit.model.torque.correction import WrenchUse
from torqueaudit.model.torque.fitted import fitted_of
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
    factor = _factor(plugins, WrenchUse(wrench.number, done.shown_nm, fitted, wrench.lever_mm))
    if factor is None:
        return done._replace(applied_nm=None, final_nm=None)
    share = factor / done.corrected_by
    final_nm = None if done.final_nm is None else done.final_nm * share
    return done._replace(applied_nm=done.applied_nm * share, final_nm=final_nm, corrected_by=factor)


def _factor(plugins: Plugins, use: WrenchUse) -> Decimal | None:
    """What all corrections make together; None where one of them cannot be worked out."""
    answers = plugins.corrections(use)
    if any(fault for _, _, fault in answers):
        return None
    return prod((each.factor for _, given, _ in answers for each in given), start=Decimal(1))
