"""Reading a procedure stored in form 1, key by key; what every job by that procedure is folded with.

A stored procedure never changes, so neither may what is read of it here.
"""

from collections.abc import Mapping
from decimal import Decimal
from typing import Any, TypeAlias

from torqueaudit.model.procedure import form_keys
from torqueaudit.model.procedure.form_keys import filled
from torqueaudit.model.procedure.picture import Picture
from torqueaudit.model.procedure.procedure import Fastener, Fit, Measurement, Procedure, RecheckPlan, Source, Step, Work
from torqueaudit.model.torque.specification import Printed, Specification

Stored: TypeAlias = Mapping[str, Any]  # as JSON gives it


def read_form_1(stored: Stored) -> Procedure:
    """The procedure that was stored. Raises ValueError for a key that is missing or not known."""
    record = filled(stored, form_keys.PROCEDURE)
    return Procedure(
        name=record["name"],
        title=record["title"],
        edition=record["edition"],
        sources=tuple(_source(each) for each in record["sources"]),
        work=tuple(_work(each) for each in record["work"]),
        needs=tuple(record["needs"]),
        warnings=tuple(record["warnings"]),
        recheck=None if record["recheck"] is None else _recheck(record["recheck"]),
        guard_factor=_number(record["guard_factor"]),
        x=_from_pairs(record["x"]),
    )


def _source(stored: Stored) -> Source:
    record = filled(stored, form_keys.SOURCE)
    return Source(
        key=record["key"],
        document=record["document"],
        edition=record["edition"],
        model=record["model"],
        years=tuple(record["years"]),
        frames=None if record["frames"] is None else tuple(record["frames"]),
    )


def _work(stored: Stored) -> Work:
    match stored["work"]:
        case "tighten":
            return _fastener(filled(stored, form_keys.FASTENER))
        case "measure":
            return _measurement(filled(stored, form_keys.MEASUREMENT))
        case "step":
            return _step(filled(stored, form_keys.STEP))
        case "fit":
            return _fit(filled(stored, form_keys.FIT))
        case other:
            raise ValueError(f"this stored procedure cannot be read: “{other}” is no work that is known")


def _fastener(record: Stored) -> Fastener:
    return Fastener(
        key=record["key"],
        name=record["name"],
        specification=_specification(record["specification"]),
        after=tuple(record["after"]),
        says=record["says"],
        thread=record["thread"],
        property_class=record["property_class"],
        direction=record["direction"],
        condition=record["condition"],
        working_time_min=record["working_time_min"],
        cure_time_h=_number(record["cure_time_h"]),
        single_use=tuple(record["single_use"]),
        size=record["size"],
        pattern=tuple(record["pattern"]),
        stages=tuple(record["stages"]),
        stage_torques=_numbers(record["stage_torques"]),
        locking=record["locking"],
        adapter=record["adapter"],
        mark=record["mark"],
        photo=record["photo"],
        check=record["check"],
        holds=record["holds"],
        picture=_picture(record["picture"]),
    )


def _specification(stored: Stored) -> Specification:
    record = filled(stored, form_keys.SPECIFICATION)
    return Specification(
        written=record["written"],
        unit=record["unit"],
        lower_nm=_number(record["lower_nm"]),
        upper_nm=_number(record["upper_nm"]),
        source=record["source"],
        page=record["page"],
        nominal_nm=_number(record["nominal_nm"]),
        tolerance=record["tolerance"],
        own_tolerance=record["own_tolerance"],
        method=record["method"],
        angle=_number(record["angle"]),
        angle_tolerance=_number(record["angle_tolerance"]),
        final_written=record["final_written"],
        final_lower_nm=_number(record["final_lower_nm"]),
        final_upper_nm=_number(record["final_upper_nm"]),
        drag_excluded=record["drag_excluded"],
        drag_min_nm=_number(record["drag_min_nm"]),
        also=tuple(_printed(each) for each in record["also"]),
        half_digit_nm=_numbers(record["half_digit_nm"]),
    )


def _printed(stored: Stored) -> Printed:
    record = filled(stored, form_keys.PRINTED)
    return Printed(record["written"], _numbers(record["nm"]), _numbers(record["half_digit_nm"]))


def _measurement(record: Stored) -> Measurement:
    return Measurement(
        key=record["key"],
        name=record["name"],
        unit=record["unit"],
        kind=record["kind"],
        after=tuple(record["after"]),
        says=record["says"],
        written=record["written"],
        lower=_number(record["lower"]),
        upper=_number(record["upper"]),
        conditions=tuple((name, asked) for name, asked in record["conditions"]),
        again_after=tuple(record["again_after"]),
        source=record["source"],
        page=record["page"],
        picture=_picture(record["picture"]),
    )


def _step(record: Stored) -> Step:
    return Step(
        key=record["key"],
        name=record["name"],
        says=record["says"],
        after=tuple(record["after"]),
        required=record["required"],
        proves=record["proves"],
        look=record["look"],
        means=record["means"],
        covers=tuple(record["covers"]),
        picture=_picture(record["picture"]),
    )


def _fit(record: Stored) -> Fit:
    return Fit(
        key=record["key"],
        name=record["name"],
        part=record["part"],
        after=tuple(record["after"]),
        says=record["says"],
        single_use=record["single_use"],
        attributes=tuple(record["attributes"]),
        kind=record["kind"],
        picture=_picture(record["picture"]),
    )


def _picture(stored: Stored | None) -> Picture | None:
    if stored is None:
        return None
    record = filled(stored, form_keys.PICTURE)
    return Picture(
        file=record["file"],
        says=record["says"],
        digest=record["digest"],
        small=record["small"],
        width=record["width"],
        height=record["height"],
    )


def _recheck(stored: Stored) -> RecheckPlan:
    record = filled(stored, form_keys.RECHECK)
    return RecheckPlan(
        distance_m=_number(record["distance_m"]),
        distance_written=record["distance_written"],
        days=record["days"],
        grace_days=record["grace_days"],
        grace_m=Decimal(record["grace_m"]),
        marks=tuple(record["marks"]),
        measurements=tuple(record["measurements"]),
        torques=tuple(record["torques"]),
        run_min=record["run_min"],
        grace_min=record["grace_min"],
    )


def _number(text: str | None) -> Decimal | None:
    return None if text is None else Decimal(text)


def _numbers(texts: list[str]) -> tuple[Decimal, ...]:
    return tuple(Decimal(text) for text in texts)


def _from_pairs(value: Any) -> Any:
    """A plugin's tables, which are kept as pairs."""
    if isinstance(value, Mapping):
        return {key: _from_pairs(item) for key, item in value["table"]}
    return [_from_pairs(item) for item in value] if isinstance(value, list) else value
