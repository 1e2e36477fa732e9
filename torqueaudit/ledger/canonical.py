"""The one way to write a value as bytes, so that a hash means the same everywhere and for ever.

RFC 8785 (JSON Canonicalization Scheme), restricted to values whose canonical form needs no number formatting: no
floats at all, no null, integers below 2^53, and object keys of ``[a-z0-9_]``, whose order is the same in UTF-8 and
UTF-16.
"""

import json
import re
from functools import lru_cache

_KEY = re.compile(r"[a-z0-9_]+")
LARGEST_INTEGER = 2**53 - 1
_SURROGATE = "[\ud800-\udfff]"  # slow to compile, seldom needed

_encode = json.JSONEncoder(
    ensure_ascii=False, sort_keys=True, separators=(",", ":"), allow_nan=False, check_circular=False
).encode


def canonical(value: object) -> str:
    """The canonical text of `value`; its UTF-8 bytes are what is hashed.

    Raises TypeError for a value of a kind the ledger does not hold, ValueError for a key, text or number outside its
    range; both as a sentence that says where.
    """
    require_plain(value, "value")
    return _encode(value)


def require_plain(value: object, where: str) -> None:
    """Refuse whatever two programs might write differently."""
    if not _is_plain(value):
        _require_plain(value, where)


def _is_plain(value: object) -> bool:
    """Whether this is plain at first sight; nothing is said of the place, which a second look finds."""
    kind = type(value)
    if kind is str:
        return not _has_half(value)  # type: ignore[arg-type]
    if kind is dict:
        return _is_plain_object(value)  # type: ignore[arg-type]
    if kind is list:
        return all(map(_is_plain, value))  # type: ignore[call-overload]
    return kind is bool or (kind is int and -LARGEST_INTEGER <= value <= LARGEST_INTEGER)  # type: ignore[operator]


def _is_plain_object(value: dict[object, object]) -> bool:
    for key, item in value.items():
        if type(key) is not str or not _is_key(key):
            return False
        if not (type(item) is str and item.isascii()) and not _is_plain(item):
            return False
    return True


def _has_half(text: str) -> bool:
    return not text.isascii() and re.search(_SURROGATE, text) is not None


def _require_plain(value: object, where: str) -> None:
    if isinstance(value, str):
        if _has_half(value):
            raise ValueError(f"{where}: the text holds half a character (a lone surrogate); write it again")
    elif isinstance(value, bool):
        return
    elif isinstance(value, int):
        if abs(value) > LARGEST_INTEGER:
            raise ValueError(f"{where}: {value} is larger than 2^53 - 1; write it as a string")
    elif isinstance(value, dict):
        _require_plain_object(value, where)
    elif isinstance(value, list):
        for index, item in enumerate(value):
            _require_plain(item, f"{where}[{index}]")
    else:
        raise TypeError(_refusal(value, where))


def _require_plain_object(value: dict[object, object], where: str) -> None:
    for key, item in value.items():
        if not isinstance(key, str) or not _is_key(key):
            raise ValueError(f"{where}: the key {key!r} may hold only a-z, 0-9 and _")
        _require_plain(item, f"{where}.{key}")


@lru_cache(maxsize=1024)
def _is_key(key: str) -> bool:
    """Remembered, because every entry has the same few keys."""
    return _KEY.fullmatch(key) is not None


def _refusal(value: object, where: str) -> str:
    if value is None:
        return f"{where}: nothing stands here; leave the key out"
    return f"{where}: {type(value).__name__} cannot stand in the ledger; write decimals and dates as strings"
