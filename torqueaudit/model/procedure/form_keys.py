"""The keys of a procedure's normal form, record by record, each with what it means where it is left out.

They belong to what is stored and to nothing else. A key may be added to form 1 with a default that says what the
procedures before it meant; nothing else here is ever changed, for jobs fold from it.
"""

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any, TypeAlias

from torqueaudit.model.procedure.procedure import Plain

if TYPE_CHECKING:
    from types import EllipsisType

# `...` is a key that always stands; None has no value of its own and stands only where there is something to say.
Keys: TypeAlias = "Mapping[str, Plain | EllipsisType | None]"

PROCEDURE: Keys = {
    "form": 1,
    "name": ...,
    "title": ...,
    "edition": ...,
    "sources": ...,
    "work": ...,
    "needs": [],
    "warnings": [],
    "recheck": None,
    "guard_factor": None,
    "x": {"table": []},
}
SOURCE: Keys = {
    "key": ...,
    "document": ...,
    "edition": ...,
    "model": ...,
    "years": ...,
    "frames": None,
}
FASTENER: Keys = {
    "work": ...,
    "key": ...,
    "name": ...,
    "specification": ...,
    "after": [],
    "says": "",
    "thread": "",
    "property_class": "",
    "direction": "right",
    "condition": "",
    "working_time_min": None,
    "cure_time_h": None,
    "single_use": [],
    "size": 1,
    "pattern": [],
    "stages": [],
    "stage_torques": [],
    "locking": "",
    "adapter": "",
    "mark": False,
    "photo": False,
    "check": False,
    "holds": "",
    "picture": None,
}
SPECIFICATION: Keys = {
    "written": ...,
    "unit": ...,
    "lower_nm": None,
    "upper_nm": None,
    "source": ...,
    "page": ...,
    "nominal_nm": None,
    "tolerance": "",
    "own_tolerance": False,
    "method": "torque",
    "angle": None,
    "angle_tolerance": None,
    "final_written": "",
    "final_lower_nm": None,
    "final_upper_nm": None,
    "drag_excluded": False,
    "drag_min_nm": None,
    "also": [],
    "half_digit_nm": [],
}
PRINTED: Keys = {
    "written": ...,
    "nm": ...,
    "half_digit_nm": ...,
}
MEASUREMENT: Keys = {
    "work": ...,
    "key": ...,
    "name": ...,
    "unit": ...,
    "kind": "dimension",
    "after": [],
    "says": "",
    "written": "",
    "lower": None,
    "upper": None,
    "conditions": [],
    "again_after": [],
    "source": "",
    "page": "",
    "picture": None,
}
STEP: Keys = {
    "work": ...,
    "key": ...,
    "name": ...,
    "says": ...,
    "after": [],
    "required": True,
    "proves": "",
    "look": False,
    "means": "",
    "covers": [],
    "picture": None,
}
FIT: Keys = {
    "work": ...,
    "key": ...,
    "name": ...,
    "part": ...,
    "after": [],
    "says": "",
    "single_use": False,
    "attributes": [],
    "kind": "",
    "picture": None,
}
PICTURE: Keys = {
    "file": ...,
    "says": ...,
    "digest": ...,
    "small": ...,
    "width": ...,
    "height": ...,
}
RECHECK: Keys = {
    "distance_m": None,
    "distance_written": "",
    "days": None,
    "grace_days": 0,
    "grace_m": "0",
    "run_min": None,
    "grace_min": 0,
    "marks": [],
    "measurements": [],
    "torques": [],
}


def shortened(record: "Mapping[str, Plain | None]", keys: Keys) -> dict[str, Plain]:
    """A record as it is stored: without the keys that stand at their default."""
    return {key: value for key, value in record.items() if value is not None and value != keys[key]}


def filled(stored: Mapping[str, Any], keys: Keys) -> dict[str, Any]:
    """A stored record with every key, those that were left out at their default.

    Raises ValueError for a key of no form that is known, and for one that has to stand and does not.
    """
    record = {**keys, **stored}
    wrong = [key for key, value in record.items() if value is ... or key not in keys]
    if wrong:
        raise ValueError(f"this stored procedure cannot be read: {', '.join(wrong)} is missing, or not known")
    return record
