"""The terms in which schemas are written: texts, numbers, days, and records whose keys are all there, always."""

from collections.abc import Mapping
from typing import Any, TypeAlias

Schema: TypeAlias = dict[str, Any]

TEXT: Schema = {"type": "string"}
WHOLE: Schema = {"type": "integer"}
YES: Schema = {"type": "boolean"}
NUMBER: Schema = {"type": "number"}
DAY: Schema = {"type": "string", "format": "date"}
MOMENT: Schema = {"type": "string", "format": "date-time"}
# A decimal as a string, so that no digit is lost on the way.
DIGITS: Schema = {"type": "string", "pattern": r"^-?[0-9]+(\.[0-9]+)?$"}
SHA256: Schema = {"type": "string", "pattern": "^[0-9a-f]{64}$"}
# What was said and judged, as the ledger holds it: each kind of entry has keys of its own.
OPEN: Schema = {"type": "object", "additionalProperties": True}


def maybe(schema: Schema) -> Schema:
    """What a schema says, or null."""
    return {"anyOf": [schema, {"type": "null"}]}


def many(schema: Schema) -> Schema:
    """A list of what a schema says."""
    return {"type": "array", "items": schema}


def of(name: str) -> Schema:
    """A schema that stands elsewhere in the description, by its name."""
    return {"$ref": f"#/components/schemas/{name}"}


def record(says: str, keys: Mapping[str, Schema]) -> Schema:
    """An object with these keys, each of them always there. A later version may add keys."""
    return {"type": "object", "description": says, "properties": dict(keys), "required": list(keys)}
