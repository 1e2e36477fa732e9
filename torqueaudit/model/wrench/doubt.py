"""What the looks at a wrench say of what it did before them (ISO 9001:2015, 7.1.5.2; ISO 10012).

The first look after a pass that answers for it says what it was worth, and a look answers between its points only. One
that found the wrench outside its permissible deviation puts the pass in doubt: it is corrected by 1/(1 + a), a the
deviation, and judged again; beyond its points nobody knows what reached the fastener. A calibration that adjusted the
wrench, or does not say how it was found, leaves what it does not answer for unknown for good. See decision 0081 and
decision 0017.
"""

from collections.abc import Iterator, Sequence
from datetime import date
from decimal import Decimal
from itertools import groupby
from typing import NamedTuple

from torqueaudit.model.job.facts import Tightening
from torqueaudit.model.job.noted import Noted
from torqueaudit.model.torque.correction import Correction
from torqueaudit.model.torque.specification import Specification
from torqueaudit.model.torque.units import to_decimal
from torqueaudit.model.torque.verdict import IN, IN_NOT_PROVED, NOT_JUDGED, guard_factor_in, verdict_of, worst_of
from torqueaudit.model.wrench.figures import figures_at
from torqueaudit.model.wrench.look import Look
from torqueaudit.model.wrench.order import first_of, is_after, unordered
from torqueaudit.model.wrench.point import Point
from torqueaudit.model.wrench.scale import Shown, division_lines, scale_read
from torqueaudit.model.wrench.seat import held_of
from torqueaudit.model.wrench.uncertainty import Applied, applied_of, corrected_trust, slot_word
from torqueaudit.model.wrench.wrench import InterimCheck, Mishap, Wrench, seen_since


class Known(NamedTuple):
    """What is known of one pass today.

    `answer` is the look that answers for it. Without one, `hint` is a look that found it out at other settings, and
    `ended` the calibration after which nobody can tell any more; `mishap` says what happened to the wrench before
    that: "was dropped on 2031-04-02 (off the bench)".
    """

    answer: Look | None
    hint: Look | None = None
    ended: Look | None = None
    mishap: str = ""

    @property
    def good(self) -> bool:
        """Whether the wrench was found in order after it."""
        return self.answer is not None and not self.answer.out


class Doubt(NamedTuple):
    """A pass of a wrench that was found out at a later look: what reached the fastener, and how that is judged now.

    `applied` is the torque at the seat where the drag of a self-locking nut was taken off. `verdict` is over that,
    and over the one at the end of an angle, `at_end`, where limits for it are specified, or at the slot of a castle
    nut, `at_slot`. Where a setting lies beyond the points of the look nobody knows what reached it: it is None here,
    the verdict "not judged", and `deviation` that of the point nearest to the setting, `nearest`, as a hint.
    """

    look: Look
    deviation: Decimal
    applied: Applied | None
    verdict: str
    at_end: Applied | None = None
    at_slot: Applied | None = None
    nearest: Point | None = None

    @property
    def inside(self) -> bool:
        """Whether everything lies inside its limits, proved or not."""
        return self.verdict in {IN, IN_NOT_PROVED}


def looks_after(looks: Sequence[Look], day: date, noted: Noted) -> list[Look]:
    """The looks that a pass was done before, or may have been.

    On the day of the pass its moment decides. A look whose hour nobody told counts where it found the wrench out; a
    good one only where it was told after the pass and no look of that day found the wrench out.
    """
    bad_day = any((look.out or look.failed) and look.on == day for look in looks)
    return [look for look in looks if _follows(look, day, noted, bad_day=bad_day)]


def _follows(look: Look, day: date, noted: Noted, *, bad_day: bool) -> bool:
    if look.on != day:
        return look.on > day
    if look.at is not None:
        return (look.at, look.entry) > (noted.happened_at, noted.entry)
    return look.out or (look.entry > noted.entry and not bad_day)


def not_ordered(wrench: Wrench) -> list[tuple[Look, ...]]:
    """The looks of each day of which nobody can tell which was done first."""
    found = []
    for _, of_day in groupby(wrench.looks, key=lambda look: look.on):
        day = list(of_day)
        open_ones = [one for one in day if any(other is not one and unordered(one, other) for other in day)]
        if open_ones:
            found.append(tuple(open_ones))
    return found


def known_of(wrench: Wrench, day: date, noted: Noted, shown_nm: Decimal | None) -> Known:
    """What the looks after a pass at a setting, done on a local day, say of it."""
    after, hint = looks_after(wrench.looks, day, noted), None
    before = [each for each in wrench.looks if each not in after]
    while look := first_of(after, lambda each: each.worse(shown_nm)):
        if look.answers(shown_nm):
            return Known(look)
        hint = hint or (look if look.out else None)
        if look.ends:
            return Known(None, hint, look, _mishap(wrench, before, look))
        after.remove(look)
    return Known(None, hint)


def doubt_of(wrench: Wrench, day: date, done: Tightening, specification: Specification | None = None) -> Doubt | None:
    """What a look that found the wrench out makes of a pass; None where it was in order, or nothing is known.

    `specification` has the limits of the torque at the end of an angle, where that is to be judged too.
    """
    known = known_of(wrench, day, done.noted, done.shown_nm)
    look = known.answer or known.hint
    if look is None or not look.out or done.shown_nm is None or done.applied_nm is None:
        return None
    applied = _reached(wrench, look, done, Shown(done.shown_nm, scale_read(wrench, done.shown, done.shown_nm)))
    if applied is None or applied.corrected is None:
        nearest = look.points[0] if done.shown_nm < look.points[0].shown_nm else look.points[-1]
        return Doubt(look, nearest.deviation, None, NOT_JUDGED, nearest=nearest)
    end_nm = done.final_shown_nm
    at_end = None if end_nm is None else _reached(wrench, look, done, Shown(end_nm))
    guard_factor = guard_factor_in(done.rule)
    held = held_of(applied, done)
    words = {_word(held, done.lower_nm, done.upper_nm, guard_factor)}
    if specification and specification.final_written and end_nm is not None:
        words.add(_word(at_end, specification.final_lower_nm, specification.final_upper_nm, guard_factor))
    slot = done.at_slot
    at_slot = None if slot is None else _reached(wrench, look, done, Shown(slot.shown_nm))
    if slot:
        words.add(slot_word(at_slot, done.upper_nm, guard_factor, below=slot.below))
    deviation = to_decimal(applied.corrected)
    return Doubt(look, deviation, held, worst_of(words), at_end=at_end, at_slot=at_slot)


def _reached(wrench: Wrench, look: Look, done: Tightening, shown: Shown) -> Applied | None:
    """What a look makes of what the wrench showed, through what was fitted; None beyond its points."""
    figures = figures_at(look.points, wrench.permissible, shown.nm)
    if figures is None:
        return None
    trust = corrected_trust(wrench, figures, f"{look.what} of {look.on}")
    fitted = Correction("what was fitted", done.corrected_by, done.fitted_budget)
    return applied_of(shown.nm, trust._replace(lines=(*trust.lines, *division_lines(wrench, shown))), [fitted])


def _word(applied: Applied | None, lower: Decimal | None, upper: Decimal | None, guard_factor: Decimal) -> str:
    if applied is None:
        return NOT_JUDGED
    return verdict_of(applied.exact, applied.expanded_nm, lower, upper, guard_factor).word


def settled_before(wrench: Wrench, day: date) -> date | None:
    """The day of the last look before a day that left open nothing of what the wrench did before it.

    Such a calibration ended what can be known, or its points span the whole range of the wrench.
    """
    return max((look.on for look in wrench.looks if look.on < day and settles(wrench, look)), default=None)


def settles(wrench: Wrench, look: Look) -> bool:
    """Whether no later look says anything of what a wrench did before this one."""
    if look.ends or wrench.min_nm is None or wrench.max_nm is None:
        return look.ends
    return look.spans(wrench.min_nm, wrench.max_nm)


def _mishap(wrench: Wrench, before: Sequence[Look], ended: Look) -> str:
    """What befell a wrench since the last of some looks and before the calibration that ended what can be known."""
    befell = (
        (each, says)
        for each, says in sorted(_mishaps(wrench), key=lambda found: (found[0].on, found[0].entry))
        if _lies_before(each, ended) and not any(each.entry == look.entry or seen_since(look, each) for look in before)
    )
    return next((says for _, says in befell), "")


def _mishaps(wrench: Wrench) -> Iterator[tuple[Mishap | InterimCheck, str]]:
    for each in wrench.mishaps:
        yield each, f"was {each.what} on {each.on} ({each.why})"
    for seen in wrench.checks:
        if seen.failed:
            yield seen, f"lay {seen.failed}"


def _lies_before(mishap: Mishap | InterimCheck, look: Look) -> bool:
    """Whether something befell a wrench before a look, or may have: a check and a look of one day without an hour."""
    return seen_since(look, mishap) if isinstance(mishap, Mishap) else not is_after(mishap, look)
