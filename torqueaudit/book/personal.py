"""Names, plates and numbers of people and vehicles: beside the ledger, erasable, and never inside an entry.

To keep them out of entries' free text, `mentions` finds whatever the book knows: "Anna", "anna example", "X AB 12" or
"x-ab-12", each by one look-up in an index.
"""

import json
import re
import unicodedata
from collections.abc import Iterator, Mapping

from torqueaudit.book.engine import Connection

_NOT_SOUGHT = frozenset({"secret"})
_WORD = r"[^\W_]+"  # not compiled here: whoever only reads the book looks for no word
_LONGEST = 6  # words that are joined; "X AB 12" is three, a telephone number up to six
_SHORTEST = 3
_SHORTEST_DIGITS = 5  # below this a bare number is more likely a torque or a year than a plate


def personal_of(connection: Connection, subject: str) -> dict[str, str]:
    """What is known of a subject: field → value."""
    return dict(connection.execute("select field, value from personal where subject = ? order by field", (subject,)))


def set_personal(connection: Connection, subject: str, fields: Mapping[str, str]) -> None:
    """Set these fields and leave the others; an empty value takes the field away. The caller holds the write lock."""
    for field, value in fields.items():
        if value:
            connection.execute("insert or replace into personal values (?, ?, ?)", (subject, field, value))
        else:
            connection.execute("delete from personal where subject = ? and field = ?", (subject, field))
    connection.execute("delete from personal_written where subject = ?", (subject,))
    ways = {way for field, value in personal_of(connection, subject).items() for way in _ways(field, value)}
    connection.executemany("insert into personal_written values (?, ?)", [(way, subject) for way in sorted(ways)])


def forget(connection: Connection, subject: str) -> None:
    """Erase everything personal of a subject; freed bytes are overwritten. The caller holds the write lock."""
    connection.execute("delete from personal where subject = ?", (subject,))
    connection.execute("delete from personal_written where subject = ?", (subject,))


def mentions(connection: Connection, text: str) -> list[str]:
    """The subjects whose name, plate or number stands in a text."""
    words = _words(text)
    found = connection.execute(
        "select distinct subject from personal_written where written in (select value from json_each(?)) order by 1",
        (json.dumps(sorted({*_joined(words), *_exact(words)})),),
    )
    return [subject for (subject,) in found]


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
