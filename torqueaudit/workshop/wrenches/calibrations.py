"""Wrenches calibrated, and checked on the workshop's own tester."""

from collections.abc import Iterator, Mapping
from datetime import date
from typing import Any, NamedTuple

from torqueaudit.book import papers
from torqueaudit.ledger.entry import Entry
from torqueaudit.ledger.words import FreeWords
from torqueaudit.model.act import Refused, Say
from torqueaudit.model.register.permits import ActName
from torqueaudit.model.shown.wrench import OrderAsked, UseView
from torqueaudit.model.torque.fitted import plain_adapters
from torqueaudit.model.wrench.acts import Calibrate, CheckWrench
from torqueaudit.model.wrench.entries import calibration_of, check_of, plain_paper, plain_points
from torqueaudit.model.wrench.point import Point
from torqueaudit.model.wrench.words import outside_text
from torqueaudit.model.wrench.wrench import BOTH, OUT, Calibration, Wrench
from torqueaudit.read.adapter import numbers_of
from torqueaudit.read.points import read_points
from torqueaudit.workshop.door.attempt import Attempt
from torqueaudit.workshop.door.refusal import refused_if_unreadable
from torqueaudit.workshop.door.workshop import Workshop
from torqueaudit.workshop.wrenches.hours import hour_text, order_asked, timed
from torqueaudit.workshop.wrenches.points import not_proved, of_tester, remarks_on
from torqueaudit.workshop.wrenches.uses import doubtful_uses, unknown_uses
from torqueaudit.workshop.wrenches.wrench import (
    DIRECTIONS,
    cut_text,
    day_of,
    later_by,
    require_past,
    require_wrench,
    tell,
)

CALIBRATED, CHECKED = "calibrated", "interim_checked"  # what the entry of a look is called
COLDEST_C, WARMEST_C = 18, 28  # ISO 6789-1:2017 (from memory)


class WrenchLook(NamedTuple):
    """What a calibration or an interim check makes of a wrench; `entry` is the one that holds it.

    `withdrawn` is why it may not be used now, "" where it may. `found_out` says where it was outside as it was found:
    then what it did since its last good look is in doubt, pass by pass in `doubtful`. `not_known` are the passes of
    which nobody can tell any more, as something befell the wrench and the calibration does not say how it was found.
    """

    wrench: str
    entry: int
    on: date
    passed: bool
    due_on: date | None
    withdrawn: str
    found_out: str
    doubtful: tuple[UseView, ...]
    not_known: tuple[UseView, ...]
    remarks: tuple[str, ...]
    order_asked: tuple[OrderAsked, ...]


def calibrate(workshop: Workshop, number: str, told: Calibrate, say: Say) -> WrenchLook:
    """Record a calibration. Of two on one day both stand; where their hours are not told the worse one counts.

    Raises Refused for points that cannot be (see `read_points`), a date to come, and one that nothing shows; BookError
    for a certificate's file that cannot be kept.
    """
    _require_shown(workshop, number, told)
    paper = papers.weigh(told.file) if told.file else None
    said = _words(told)
    if paper:
        said["paper"] = plain_paper(paper)

    def judged(wrench: Wrench, _: Attempt) -> Mapping[str, Any]:
        units = workshop.plugins.units
        if told.direction and BOTH not in (told.direction, wrench.direction) and told.direction != wrench.direction:
            raise Refused(f"wrench {number} measures to the {wrench.direction} only; look at the certificate again")
        with refused_if_unreadable():
            found, left = read_points(units, wrench, told.as_found), read_points(units, wrench, told.as_left)
        due_on = later_by(told.on, workshop.settings.calibration_months)
        result: dict[str, Any] = {"due_on": min(due_on, told.due_on or due_on).isoformat()}
        if told.file and paper:
            papers.keep(workshop.book.path, told.file, paper)
        points = {"as_found": plain_points(found), "as_left": plain_points(left)}
        if told.hour:
            result |= timed(workshop, told.on, told.hour)
        return {**result, **points, **_judged(wrench, left or found, f"its calibration on {told.on}")}

    return look_of(workshop, number, tell(workshop, number, ActName.CALIBRATE, said, say, judged))


def look_of(workshop: Workshop, number: str, entry: Entry) -> WrenchLook:
    """What a calibration or an interim check, by the entry that holds it, makes of a wrench as it is known now."""
    wrench = require_wrench(workshop, number)
    return _of_calibration(workshop, wrench, entry) if entry.what == CALIBRATED else _of_check(workshop, wrench, entry)


def _of_calibration(workshop: Workshop, wrench: Wrench, entry: Entry) -> WrenchLook:
    done, stated = calibration_of(entry), entry.said.get("due_on")
    return WrenchLook(
        wrench=wrench.number,
        entry=entry.sequence,
        on=done.on,
        passed=not done.failed,
        due_on=done.due_on,
        withdrawn=wrench.withdrawn,
        found_out=outside_text(done.as_found, wrench.permissible),
        doubtful=tuple(doubtful_uses(workshop, wrench, done.entry)),
        not_known=tuple(unknown_uses(workshop, wrench, done.entry)),
        remarks=tuple(_calibration_remarks(workshop, wrench, done, date.fromisoformat(stated) if stated else None)),
        order_asked=tuple(order_asked(wrench, done.entry)),
    )


def _require_shown(workshop: Workshop, number: str, told: Calibrate) -> None:
    """Raise Refused for a calibration that cannot have been, or that nothing shows."""
    require_past(workshop, told.on)
    if told.direction and told.direction not in DIRECTIONS:
        raise Refused(f"{told.direction}: a wrench is calibrated to the {', '.join(DIRECTIONS)}")
    if told.due_on and told.due_on < told.on:
        raise Refused(f"{told.due_on}: a calibration of {told.on} is not due before it was done")
    if not (told.as_found or told.as_left or told.certificate or told.laboratory or told.file):
        raise Refused(f"{number}: nothing shows this calibration; give its points, its certificate or its laboratory")
    with refused_if_unreadable():
        for each in told.adapters:
            numbers_of(each)


def check_wrench(workshop: Workshop, number: str, told: CheckWrench, say: Say) -> WrenchLook:
    """Record a look at a wrench on the workshop's own tester; one outside its permissible deviation withdraws it.

    Raises Refused without a tester or points, and for points that cannot be (see `read_points`).
    """
    if not told.tester.strip():
        raise Refused(f"{number}: say on which tester it was checked")
    if not told.points:
        raise Refused(f"{number}: give at least one point, such as “100 N·m: 98.1 97.6 98.4”")

    def judged(wrench: Wrench, attempt: Attempt) -> Mapping[str, Any]:
        with refused_if_unreadable():
            on, seen = day_of(attempt), read_points(workshop.plugins.units, wrench, told.points)
        result = _judged(wrench, seen, f"the interim check on {on}")
        return {"on": on, "points": plain_points(seen), **result}

    said: dict[str, Any] = {"tester": told.tester, "points": list(told.points)}
    if told.certificate.strip():
        said["tester_certificate"] = told.certificate.strip()
    if told.expanded is not None:
        said["tester_expanded"] = str(told.expanded)
    return look_of(workshop, number, tell(workshop, number, ActName.CHECK_WRENCH, said, say, judged))


def _of_check(workshop: Workshop, wrench: Wrench, entry: Entry) -> WrenchLook:
    done = check_of(entry)
    remarks = (
        *remarks_on(wrench, done.points, places=False),
        *of_tester(wrench, done),
        *not_proved(wrench, done.points, done.expanded, workshop.settings.guard_factor),
    )
    return WrenchLook(
        wrench=wrench.number,
        entry=entry.sequence,
        on=done.on,
        passed=not done.failed,
        due_on=wrench.due,
        withdrawn=wrench.withdrawn,
        found_out=outside_text(done.points, wrench.permissible),
        doubtful=tuple(doubtful_uses(workshop, wrench, done.entry)),
        not_known=(),
        remarks=remarks,
        order_asked=tuple(order_asked(wrench, done.entry)),
    )


def _words(told: Calibrate) -> dict[str, Any]:
    said: dict[str, Any] = {"on": told.on.isoformat()}
    words = {
        "certificate": told.certificate,
        "laboratory": told.laboratory,
        "decision_rule": told.decision_rule,
        "reference": told.reference,
    }
    said.update({key: text.strip() for key, text in words.items() if text.strip()})
    points = {"as_found": told.as_found, "as_left": told.as_left}
    said.update({key: list(texts) for key, texts in points.items() if texts})
    if told.due_on:
        said["due_on"] = told.due_on.isoformat()
    if told.hour:
        said["hour"] = hour_text(told.hour)
    if told.direction:
        said["direction"] = told.direction
    if told.temperature_c is not None:
        said["temperature_c"] = str(told.temperature_c)
    if told.technician.strip():
        said["technician"] = FreeWords(told.technician.strip())
    return said | plain_adapters(told.adapters)


def _judged(wrench: Wrench, points: tuple[Point, ...], look: str) -> dict[str, Any]:
    """Whether a look passed, and what withdraws the wrench where it did not."""
    found = outside_text(points, wrench.permissible)
    return {"passed": False, "withdrawn": f"{OUT} at {look} ({found})"} if found else {"passed": True}


def _calibration_remarks(workshop: Workshop, wrench: Wrench, done: Calibration, stated: date | None) -> Iterator[str]:
    if cut := cut_text(stated, done.due_on, workshop.settings.calibration_months):
        yield cut
    if done.due_on < workshop.today():
        yield f"it has ended on {done.due_on}, so the wrench is out of calibration today"
    if not done.points:
        permissible = f"±{wrench.permissible * 100:.0f} %"
        yield f"no figures are stated, so its permissible deviation of {permissible} is taken for everything it did"
    elif not done.as_found:
        yield "not stated as found, so nothing is known of what it did before"
    if done.points and (wrench.max_nm is None and not wrench.wide):
        yield "its range is not known, so the wider permissible deviation of ±6 % was taken"
    if any(point.uncorrected is None for point in done.points):
        yield "no uncertainty (W or W′) is stated for every point, so the permissible deviation stands for it"
    yield from remarks_on(wrench, done.points)
    yield from not_proved(wrench, done.points, None, workshop.settings.guard_factor)
    if done.temperature_c is not None and not COLDEST_C <= done.temperature_c <= WARMEST_C:
        yield f"done at {done.temperature_c:f} °C; ISO 6789 calibrates at {COLDEST_C} … {WARMEST_C} °C"
    if wrench.direction == BOTH and not done.direction:
        yield "not stated to which side it was calibrated, so it proves nothing of a left-hand thread"
