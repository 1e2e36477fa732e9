"""How a field of a draft is shown to be typed, and what is kept of what was typed.

What cannot be kept as it is meant is kept as the words that were typed: the reader then says what is wrong with it, and
nothing that somebody typed is lost.
"""

import re
from collections.abc import Callable, Mapping, Sequence
from decimal import Decimal
from typing import Any

from torqueaudit.model.procedure.draft.fields import Field, How

CROSS = "cross"
_CROSS = (CROSS, "criss-cross", "crisscross", "crosswise", "crossways", "cross order", "in cross order")
ALL = "all"  # of the pieces that may be ticked
_LONGEST_KEY = 60
_NUMBER = re.compile(r"[+-]?[0-9]{1,15}(?:[.,][0-9]{1,15})?")  # a longer one is no value of a procedure
_YEARS = re.compile(r"([0-9]{4})\s*[-/]\s*([0-9]{4})")
_ORDER = re.compile(r"[0-9]{1,3}(?:[\s,;–-]+[0-9]{1,3})*")


def shown(field: Field, values: Mapping[str, Any]) -> list[str]:
    """What stands in a field, as it is typed: one text, or the keys that are ticked."""
    value = values.get(field.key)
    if field.how == How.ORDER and values.get(CROSS) is True:
        return [CROSS]
    if field.how in _TICKS:
        return ["yes"] if value is _TICKS[field.how] else []
    if field.how == How.PIECES:
        return [str(each) for each in value] if isinstance(value, list) else [ALL] * (value == ALL)
    if isinstance(value, dict):
        return ["\n".join(f"{key}: {each}" for key, each in value.items())]
    if isinstance(value, list):
        return [_BETWEEN.get(field.how, "\n").join(map(str, value))]
    return ["" if value is None else str(value)]


def kept(field: Field, typed: Sequence[str]) -> dict[str, Any]:
    """What the text holds of what was typed in a field, by key; None where nothing of that key stands in it."""
    words = " ".join(" ".join(typed).split())
    if field.how == How.ORDER:
        cross = words.lower() in _CROSS
        return {CROSS: True if cross else None, field.key: None if cross else _order(words)}
    if field.how in _TICKS:
        return {field.key: _TICKS[field.how] if words else None}
    if field.how == How.PIECES:
        return {field.key: ALL if ALL in typed else [each for each in typed if each] or None}
    value = (_READ_BY_KEY.get(field.key) or _READ.get(field.how, _words))(field.key, typed)
    return {field.key: value if value or value == 0 else None}


def key_of(name: str) -> str:
    """The short name that is made of a name: "Front axle (left)" becomes "front-axle-left"."""
    import unicodedata

    plain = unicodedata.normalize("NFKD", name.lower().replace("ß", "ss"))
    return "-".join(re.findall(r"[a-z0-9]+", plain.encode("ascii", "ignore").decode()))[:_LONGEST_KEY].strip("-")


def _words(_: str, typed: Sequence[str]) -> str:
    return " ".join(" ".join(typed).split())


def _lines(_: str, typed: Sequence[str]) -> list[str]:
    return [line for each in typed for raw in each.splitlines() if (line := " ".join(raw.split()))]


def several(text: str) -> list[str]:
    """The words of one field that stand in lines, or between semicolons or commas; a decimal comma is none of these."""
    return [each.strip() for each in re.split(r"[\n;]|(?<![0-9]),|,(?![0-9])", text) if each.strip()]


def _in_one_line_too(key: str, typed: Sequence[str]) -> list[str]:
    return _lines(key, several("\n".join(typed)))


def _pairs(key: str, typed: Sequence[str]) -> Any:
    lines = _lines(key, typed)
    if all(":" in line for line in lines):
        return {told.strip(): says.strip() for told, _, says in (line.partition(":") for line in lines)}
    return lines


def _order(words: str) -> Any:
    return [int(each) for each in re.findall(r"[0-9]+", words)] if _ORDER.fullmatch(words) else words or None


def _two(key: str, typed: Sequence[str]) -> list[Any]:
    if key == "years" and (years := _YEARS.fullmatch(_words(key, typed))):
        return [int(each) for each in years.groups()]
    ends = [each for each in re.split(r"\s*(?:…|\.\.+|–|,|;|\bto\b|\s)\s*", _words(key, typed)) if each]
    return [_number(key, [each]) for each in ends] if key == "years" else ends


def _number(key: str, typed: Sequence[str]) -> Any:
    """A number as TOML writes it; the words where they are none."""
    words = _words(key, typed)
    if not _NUMBER.fullmatch(words):
        return words
    number = Decimal(words.replace(",", "."))
    return int(number) if number == number.to_integral_value() else float(number)


_TICKS: Mapping[How, bool] = {How.TICK: True, How.UNTICK: False}
_BETWEEN: Mapping[How, str] = {How.ORDER: ", ", How.TWO: " "}
# Short words, which many type behind each other; the other lists hold sentences.
_READ_BY_KEY: Mapping[str, Callable[[str, Sequence[str]], Any]] = {"stages": _in_one_line_too}
_READ: Mapping[How, Callable[[str, Sequence[str]], Any]] = {
    How.LINES: _lines,
    How.PAIRS: _pairs,
    How.TWO: _two,
    How.WHOLE: _number,
    How.NUMBER: _number,
}
