"""The one way to write a value as bytes, so that a hash means the same everywhere and for ever.

RFC 8785 (JSON Canonicalization Scheme), restricted to values whose canonical form needs no number formatting: no
floats at all, no null, integers below 2^53, and object keys of ``[a-z0-9_]``, whose order is the same in UTF-8 and
UTF-16.
"""

import re
from functools import lru_cache
from json.encoder import encode_basestring as quoted

__all__ = ["LARGEST_INTEGER", "canonical", "quoted", "require_plain"]

_KEY = re.compile(r"[a-z0-9_]+")
LARGEST_INTEGER = 2**53 - 1
_SURROGATE = "[\ud800-\udfff]"  # slow to compile, seldom needed


def canonical(value: object) -> str:
    """The canonical text of `value`; its UTF-8 bytes are what is hashed.

    Raises TypeError for a value of a kind the ledger does not hold, ValueError for a key, text or number outside its
    range; both as a sentence that says where.
    """
    try:
        text = _written(value)
        if not text.isascii():
            text.encode()  # half a character has no UTF-8
    except (TypeError, ValueError):
        require_plain(value, "value")
        raise
    return text


def _written(value: object) -> str:
    """The text of a value. Raises where there is none, without a sentence: a second look finds the place."""
    if isinstance(value, str):
        return quoted(value)
    if isinstance(value, dict):
        # Most are texts, and these are spared a call.
        fields = [
            _named(key) + (quoted(item) if type(item) is str else _written(item)) for key, item in sorted(value.items())
        ]
        return f"{{{','.join(fields)}}}"
    if isinstance(value, list):
        return f"[{','.join(map(_written, value))}]"
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, int) and -LARGEST_INTEGER <= value <= LARGEST_INTEGER:
        return int.__repr__(value)
    raise TypeError(value)


@lru_cache(maxsize=1024)
def _named(key: str) -> str:
    """A key before its value; remembered, because every entry has the same few keys."""
    if not _KEY.fullmatch(key):
        raise ValueError(key)
    return f'"{key}":'


def require_plain(value: object, where: str) -> None:
    """Refuse whatever two programs might write differently, with a sentence that says where it stands."""
    if isinstance(value, str):
        if not value.isascii() and re.search(_SURROGATE, value):
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
            require_plain(item, f"{where}[{index}]")
    else:
        raise TypeError(_refusal(value, where))


def _require_plain_object(value: dict[object, object], where: str) -> None:
    for key, item in value.items():
        if not isinstance(key, str) or not _KEY.fullmatch(key):
            raise ValueError(f"{where}: the key {key!r} may hold only a-z, 0-9 and _")
        require_plain(item, f"{where}.{key}")


def _refusal(value: object, where: str) -> str:
    if value is None:
        return f"{where}: nothing stands here; leave the key out"
    return f"{where}: {type(value).__name__} cannot stand in the ledger; write decimals and dates as strings"
