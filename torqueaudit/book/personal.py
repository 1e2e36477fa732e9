"""Names, plates and numbers of people and vehicles: beside the ledger, erasable, and never inside an entry.

To keep them out of entries' free text, `mentions` finds whatever the book knows: "Anna", "anna example", "X AB 12" or
"x-ab-12", each by one look-up in an index.
"""

import re
import unicodedata
from collections.abc import Iterator, Mapping

from torqueaudit.book.engine import Engine

_NOT_SOUGHT = frozenset({"secret"})
_WORD = r"[^\W_]+"  # not compiled here: whoever only reads the book looks for no word
_LONGEST = 6  # words that are joined; "X AB 12" is three, a telephone number up to six
_SHORTEST = 3
_SHORTEST_DIGITS = 5  # below this a bare number is more likely a torque or a year than a plate


def personal_of(engine: Engine, subject: str) -> dict[str, str]:
    """What is known of a subject: field → value."""
    return dict(engine.rows("select field, value from personal where subject = ? order by field", (subject,)))


def known_by(engine: Engine, field: str) -> dict[str, str]:
    """Every subject of which a field is known: subject → value."""
    return dict(engine.rows("select subject, value from personal where field = ? order by subject", (field,)))


def set_personal(engine: Engine, subject: str, fields: Mapping[str, str]) -> None:
    """Set these fields and leave the others; an empty value takes the field away. The caller is writing."""
    for field, value in fields.items():
        engine.run("delete from personal where subject = ? and field = ?", (subject, field))
        if value:
            engine.run("insert into personal (subject, field, value) values (?, ?, ?)", (subject, field, value))
    engine.run("delete from personal_written where subject = ?", (subject,))
    ways = {way for field, value in personal_of(engine, subject).items() for way in _ways(field, value)}
    for way in sorted(ways):
        engine.run("insert into personal_written (written, subject) values (?, ?)", (way, subject))


def forget(engine: Engine, subject: str) -> None:
    """Take away everything personal of a subject. The caller is writing, and wipes afterwards."""
    engine.run("delete from personal where subject = ?", (subject,))
    engine.run("delete from personal_written where subject = ?", (subject,))


def mentions(engine: Engine, text: str) -> list[str]:
    """The subjects whose name, plate or number stands in a text."""
    words = _words(text)
    return engine.mentioned(sorted({*_joined(words), *_exact(words)}))


def _ways(field: str, value: str) -> Iterator[str]:
    """How a value would stand in a text. A single part of a name counts only with its capital letters as they are."""
    if field in _NOT_SOUGHT:
        return
    words = _words(value)
    whole = "".join(words).casefold()
    if len(whole) >= (_SHORTEST_DIGITS if whole.isdecimal() else _SHORTEST):
        yield whole
    if field == "name":
        yield from _exact(words)


def _words(text: str) -> list[str]:
    return re.findall(_WORD, unicodedata.normalize("NFKC", text))


def _joined(words: list[str]) -> Iterator[str]:
    folded = [word.casefold() for word in words]
    for start in range(len(folded)):
        for length in range(1, _LONGEST + 1):
            yield "".join(folded[start : start + length])


def _exact(words: list[str]) -> Iterator[str]:
    return (f"={word}" for word in words if len(word) >= _SHORTEST and word.isalpha())
