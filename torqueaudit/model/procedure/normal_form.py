"""The normal form of a procedure: what the ledger holds of it, and jobs fold from (decision 0002, decision 0047).

Each stored key is written and read by name (`form_keys`), so a record may get another name or default for a field and
every stored procedure still says the same. `form` is left out while it is 1; a form whose keys mean something else
gets the next number, and a reader of its own beside `form_1`.
"""

from collections.abc import Callable, Iterable, Mapping
from decimal import Decimal
from typing import Any

from torqueaudit.model.procedure import form_keys
from torqueaudit.model.procedure.form_1 import read_form_1
from torqueaudit.model.procedure.form_keys import shortened
from torqueaudit.model.procedure.picture import Picture
from torqueaudit.model.procedure.procedure import (
    Fastener,
    Fit,
    Measurement,
    Plain,
    Procedure,
    RecheckPlan,
    Source,
    Step,
    Work,
)
from torqueaudit.model.torque.decimals import decimal_text
from torqueaudit.model.torque.specification import Printed, Specification


def normal_form(procedure: Procedure) -> dict[str, Plain]:
    """A procedure as strings, integers, booleans, lists and objects; what is at its default is left out."""
    record: dict[str, Plain | None] = {
        "name": procedure.name,
        "title": procedure.title,
        "edition": procedure.edition,
        "sources": [_source(each) for each in procedure.sources],
        "work": [_work(each) for each in procedure.work],
        "needs": [*procedure.needs],
        "warnings": [*procedure.warnings],
        "recheck": None if procedure.recheck is None else _recheck(procedure.recheck),
        "guard_factor": _number(procedure.guard_factor),
        "x": _pairs(procedure.x),
    }
    return shortened(record, form_keys.PROCEDURE)


def from_normal_form(plain: Mapping[str, Any]) -> Procedure:
    """The procedure of which `plain` is the normal form.

    Raises ValueError for a form or a key that this program does not know.
    """
    form = plain.get("form", 1)
    if form not in _READERS:
        raise ValueError(
            f"this stored procedure has form {form}, which is not known; it was written by a later version"
        )
    return _READERS[form](plain)


def _source(source: Source) -> Plain:
    record: dict[str, Plain | None] = {
        "key": source.key,
        "document": source.document,
        "edition": source.edition,
        "model": source.model,
        "years": [*source.years],
        "frames": None if source.frames is None else [*source.frames],
    }
    return shortened(record, form_keys.SOURCE)


def _work(work: Work) -> Plain:
    match work:
        case Fastener():
            return _fastener(work)
        case Measurement():
            return _measurement(work)
        case Step():
            return _step(work)
        case Fit():
            return _fit(work)


def _fastener(fastener: Fastener) -> Plain:
    record: dict[str, Plain | None] = {
        "work": "tighten",
        "key": fastener.key,
        "name": fastener.name,
        "specification": _specification(fastener.specification),
        "after": [*fastener.after],
        "says": fastener.says,
        "thread": fastener.thread,
        "property_class": fastener.property_class,
        "direction": fastener.direction,
        "condition": fastener.condition,
        "working_time_min": fastener.working_time_min,
        "cure_time_h": _number(fastener.cure_time_h),
        "single_use": [*fastener.single_use],
        "size": fastener.size,
        "pattern": [*fastener.pattern],
        "stages": [*fastener.stages],
        "stage_torques": _numbers(fastener.stage_torques),
        "locking": fastener.locking,
        "adapter": fastener.adapter,
        "mark": fastener.mark,
        "photo": fastener.photo,
        "check": fastener.check,
        "holds": fastener.holds,
        "picture": _picture(fastener.picture),
    }
    return shortened(record, form_keys.FASTENER)


def _specification(specification: Specification) -> Plain:
    record: dict[str, Plain | None] = {
        "written": specification.written,
        "unit": specification.unit,
        "lower_nm": _number(specification.lower_nm),
        "upper_nm": _number(specification.upper_nm),
        "source": specification.source,
        "page": specification.page,
        "nominal_nm": _number(specification.nominal_nm),
        "tolerance": specification.tolerance,
        "own_tolerance": specification.own_tolerance,
        "method": specification.method,
        "angle": _number(specification.angle),
        "angle_tolerance": _number(specification.angle_tolerance),
        "final_written": specification.final_written,
        "final_lower_nm": _number(specification.final_lower_nm),
        "final_upper_nm": _number(specification.final_upper_nm),
        "drag_excluded": specification.drag_excluded,
        "drag_min_nm": _number(specification.drag_min_nm),
        "also": [_printed(each) for each in specification.also],
        "half_digit_nm": _numbers(specification.half_digit_nm),
    }
    return shortened(record, form_keys.SPECIFICATION)


def _printed(printed: Printed) -> Plain:
    record: dict[str, Plain | None] = {
        "written": printed.written,
        "nm": _numbers(printed.nm),
        "half_digit_nm": _numbers(printed.half_digit_nm),
    }
    return shortened(record, form_keys.PRINTED)


def _measurement(measurement: Measurement) -> Plain:
    record: dict[str, Plain | None] = {
        "work": "measure",
        "key": measurement.key,
        "name": measurement.name,
        "unit": measurement.unit,
        "kind": measurement.kind,
        "after": [*measurement.after],
        "says": measurement.says,
        "written": measurement.written,
        "lower": _number(measurement.lower),
        "upper": _number(measurement.upper),
        "conditions": [[*each] for each in measurement.conditions],
        "again_after": [*measurement.again_after],
        "source": measurement.source,
        "page": measurement.page,
        "picture": _picture(measurement.picture),
    }
    return shortened(record, form_keys.MEASUREMENT)


def _step(step: Step) -> Plain:
    record: dict[str, Plain | None] = {
        "work": "step",
        "key": step.key,
        "name": step.name,
        "says": step.says,
        "after": [*step.after],
        "required": step.required,
        "proves": step.proves,
        "look": step.look,
        "means": step.means,
        "covers": [*step.covers],
        "picture": _picture(step.picture),
    }
    return shortened(record, form_keys.STEP)


def _fit(fit: Fit) -> Plain:
    record: dict[str, Plain | None] = {
        "work": "fit",
        "key": fit.key,
        "name": fit.name,
        "part": fit.part,
        "after": [*fit.after],
        "says": fit.says,
        "single_use": fit.single_use,
        "attributes": [*fit.attributes],
        "kind": fit.kind,
        "picture": _picture(fit.picture),
    }
    return shortened(record, form_keys.FIT)


def _picture(picture: Picture | None) -> "Plain | None":
    return None if picture is None else dict(picture._asdict())


def _recheck(plan: RecheckPlan) -> Plain:
    record: dict[str, Plain | None] = {
        "distance_m": _number(plan.distance_m),
        "distance_written": plan.distance_written,
        "days": plan.days,
        "grace_days": plan.grace_days,
        "grace_m": decimal_text(plan.grace_m),
        "run_min": plan.run_min,
        "grace_min": plan.grace_min,
        "marks": [*plan.marks],
        "measurements": [*plan.measurements],
        "torques": [*plan.torques],
    }
    return shortened(record, form_keys.RECHECK)


def _number(number: Decimal | None) -> str | None:
    return None if number is None else decimal_text(number)


def _numbers(numbers: Iterable[Decimal]) -> Plain:
    return [decimal_text(each) for each in numbers]


def _pairs(value: Any) -> Plain:
    """A plugin's keys are its own and may not fit the ledger's, so its tables are kept as pairs."""
    if isinstance(value, Mapping):
        return {"table": [[key, _pairs(item)] for key, item in value.items()]}
    return [_pairs(item) for item in value] if isinstance(value, list) else value


# A reader of every form ever released.
_READERS: dict[int, Callable[[Mapping[str, Any]], Procedure]] = {1: read_form_1}
