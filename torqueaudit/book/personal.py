"""Names, plates and numbers of people and vehicles: beside the ledger, erasable, and never inside an entry.

To keep them out of what people type, `mentions` finds whatever the book knows, however it is written (`written`), by
one look-up in an index.
"""

from collections.abc import Mapping

from torqueaudit.book.engine import Engine


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
    _write_ways(engine, subject)


def write_ways_anew(engine: Engine) -> None:
    """Work out again how everything that is known may be written. The caller is writing."""
    engine.run("delete from personal_written")
    for (subject,) in list(engine.rows("select distinct subject from personal order by subject")):
        _write_ways(engine, subject)


def forget(engine: Engine, subject: str) -> None:
    """Take away everything personal of a subject. The caller is writing, and wipes afterwards."""
    engine.run("delete from personal where subject = ?", (subject,))
    engine.run("delete from personal_written where subject = ?", (subject,))


def mentions(engine: Engine, text: str, *, singly: bool) -> list[str]:
    """The subjects of which something stands in a text, also a single word of a name unless not `singly`.

    Where more stands in it of one than of another, as of one of two with the same last name, that one is meant.
    """
    from torqueaudit.book.written import ways_in  # whoever only reads the book looks for no name

    found = engine.mentioned(sorted(ways_in(text, singly=singly)))
    most = max((ways for _, ways in found), default=0)
    return [subject for subject, ways in found if ways == most]


def _write_ways(engine: Engine, subject: str) -> None:
    from torqueaudit.book.written import ways_of

    for way in sorted(ways_of(personal_of(engine, subject))):
        engine.run("insert into personal_written (written, subject) values (?, ?)", (way, subject))
