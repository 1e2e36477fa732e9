"""The normal form of a procedure: what the ledger holds of it, and jobs fold from (decision 0002)."""

from collections.abc import Mapping
from decimal import Decimal
from typing import Any, TypeVar

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

_WORK: dict[str, type[Work]] = {"tighten": Fastener, "measure": Measurement, "step": Step, "fit": Fit}
_KIND_OF: dict[type, str] = {record: kind for kind, record in _WORK.items()}
_DECIMALS = frozenset(
    {"nominal_nm", "lower_nm", "upper_nm", "final_lower_nm", "final_upper_nm", "angle", "angle_tolerance"}
    | {"cure_time_h", "lower", "upper", "distance_m", "grace_m", "guard_factor"}
)
_DECIMAL_LISTS = frozenset({"nm", "half_digit_nm", "stage_torques"})
_Record = TypeVar("_Record", bound=tuple[Any, ...])


def _to_plain(record: Any) -> dict[str, Plain]:
    # A default is part of the stored form: changing one here would change what old entries say.
    defaults = record._field_defaults
    fields = [(name, value) for name, value in zip(record._fields, record, strict=True) if value is not None]
    return {name: _plain(value) for name, value in fields if name not in defaults or value != defaults[name]}


def _plain(value: Any) -> Plain:
    if isinstance(value, Decimal):
        return decimal_text(value)
    if hasattr(value, "_fields"):
        return _to_plain(value)
    if isinstance(value, tuple):
        return [_plain(item) for item in value]
    return value  # type: ignore[no-any-return]


def _from_plain(record: type[_Record], plain: Mapping[str, Any]) -> _Record:
    return record(**{name: _value(name, value) for name, value in plain.items()})


def _value(name: str, value: Any) -> Any:
    if name in _DECIMALS:
        return None if value is None else Decimal(value)
    if name in _DECIMAL_LISTS:
        return tuple(Decimal(each) for each in value)
    if isinstance(value, list):
        return tuple(tuple(item) if isinstance(item, list) else item for item in value)
    return value


def _work_from_plain(plain: Mapping[str, Any]) -> Work:
    fields = dict(plain)
    record = _WORK[fields.pop("work")]
    if record is Fastener:
        fields["specification"] = _specification(plain["specification"])
    return _from_plain(record, fields)


def _specification(plain: Mapping[str, Any]) -> Specification:
    also = [_from_plain(Printed, each) for each in plain.get("also", ())]
    # A side without a limit is left out of the stored form, which has no null.
    return _from_plain(Specification, {"lower_nm": None, "upper_nm": None, **plain, "also": also})


def _pairs(value: Any) -> Any:
    """A plugin's keys are its own and may not fit the ledger's, so its tables are kept as pairs."""
    if isinstance(value, Mapping):
        return {"table": [[key, _pairs(item)] for key, item in value.items()]}
    return [_pairs(item) for item in value] if isinstance(value, list) else value


def _from_pairs(value: Any) -> Any:
    if isinstance(value, Mapping):
        return {key: _from_pairs(item) for key, item in value["table"]}
    return [_from_pairs(item) for item in value] if isinstance(value, list) else value


def normal_form(procedure: Procedure) -> dict[str, Plain]:
    """A procedure as strings, integers, booleans, lists and objects; what is at its default is left out."""
    plain = _to_plain(procedure)
    plain["work"] = [{"work": _KIND_OF[type(item)], **_to_plain(item)} for item in procedure.work]
    if procedure.x:
        plain["x"] = _pairs(procedure.x)
    return plain


def from_normal_form(plain: Mapping[str, Any]) -> Procedure:
    """The procedure of which `plain` is the normal form."""
    fields = dict(plain)
    fields["sources"] = [_from_plain(Source, source) for source in plain["sources"]]
    fields["work"] = [_work_from_plain(item) for item in plain["work"]]
    if "recheck" in plain:
        fields["recheck"] = _from_plain(RecheckPlan, plain["recheck"])
    if "x" in plain:
        fields["x"] = _from_pairs(plain["x"])
    return _from_plain(Procedure, fields)
