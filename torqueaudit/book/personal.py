"""Names, plates and numbers of people and vehicles: beside the ledger, erasable, and never inside an entry.

An entry that tells them holds a salted digest of each, as of free words (decision 0067): so a verification knows
whatever was changed or lost on the disk. What was erased leaves an empty field without a salt.

To keep them out of what people type, `mentions` finds whatever the book knows, however it is written (`written`), by
one look-up in an index.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import NamedTuple, TypeAlias

from torqueaudit.book.engine import PERSONAL_FINDS, Engine
from torqueaudit.ledger.entry import entry_of
from torqueaudit.ledger.words import Kept

Told: TypeAlias = dict[tuple[str, str], str]  # subject and field: the digest that was told last
PERSONAL = ("personal", "personal_written", PERSONAL_FINDS)  # the tables
_COLUMNS = "subject, field, value, salt"
_SUBJECTS = "select distinct subject from personal order by subject"


class PersonalRow(NamedTuple):
    """What is known of a subject under one field, "" once it is erased, and the salt of its digest in an entry."""

    subject: str
    field: str
    value: str
    salt: str | None


def told_in(text: str) -> Told:
    """The digests of what a stored text tells of its subject; most tell none, and are not read. Raises NoEntry."""
    if '},"personal":{' not in text:
        return {}
    entry = entry_of(text)
    return {(entry.subject, field): digest for field, digest in entry.personal.items()}


def personal_of(engine: Engine, subject: str) -> dict[str, str]:
    """What is known of a subject: field → value."""
    asked = "select field, value from personal where subject = ? and value != '' order by field"
    return dict(engine.rows(asked, (subject,)))


def known_of(engine: Engine, subjects: Sequence[str]) -> dict[tuple[str, str], str]:
    """What is known of some subjects: subject and field → value."""
    if not subjects:
        return {}
    places = ", ".join("?" * len(subjects))
    asked = f"select subject, field, value from personal where subject in ({places}) and value != ''"
    return {(subject, field): value for subject, field, value in engine.rows(asked, subjects)}


def known_by(engine: Engine, field: str) -> dict[str, str]:
    """Every subject of which a field is known: subject → value."""
    asked = "select subject, value from personal where field = ? and value != '' order by subject"
    return dict(engine.rows(asked, (field,)))


def sharing(engine: Engine, subject: str, fields: Iterable[str]) -> list[str]:
    """The other subjects of which the same whole name, telephone or mail address is known under one of these fields."""
    from torqueaudit.book.written import reached_by

    known = personal_of(engine, subject)
    ways = {way for field in fields for way in reached_by(known.get(field, ""))}
    return [other for other, _ in engine.mentioned(sorted(ways)) if other != subject]


def subjects_of(engine: Engine, field: str, value: str) -> list[str]:
    """Every subject of which a field is known to be just this."""
    asked = "select subject from personal where field = ? and value = ? and value != '' order by subject"
    return [str(subject) for (subject,) in engine.rows(asked, (field, value))]


def set_personal(engine: Engine, subject: str, fields: Mapping[str, Kept]) -> None:
    """Set these fields and leave the others; an empty one is taken away. The caller is writing the entry of them."""
    insert = f"insert into personal ({_COLUMNS}) values (?, ?, ?, ?)"
    for field, kept in fields.items():
        engine.run("delete from personal where subject = ? and field = ?", (subject, field))
        engine.run(insert, (subject, field, kept.text, kept.salt if kept.text else None))
    from torqueaudit.book.finds import keep_known  # most acts tell nothing of anybody

    engine.run("delete from personal_written where subject = ?", (subject,))
    _write_ways(engine, subject)
    keep_known(engine, subject, personal_of(engine, subject))


def write_ways_anew(engine: Engine) -> None:
    """Work out again how everything that is known may be written and is found. The caller is writing."""
    from torqueaudit.book.finds import fill_known

    engine.run("delete from personal_written")
    subjects = [subject for (subject,) in engine.rows(_SUBJECTS)]
    for subject in subjects:
        _write_ways(engine, subject)
    fill_known(engine, ((subject, personal_of(engine, subject)) for subject in subjects))


def forget(engine: Engine, subject: str) -> None:
    """Take away everything personal of a subject. The caller is writing, and wipes afterwards."""
    from torqueaudit.book.finds import keep_known

    engine.run("update personal set value = '', salt = null where subject = ?", (subject,))
    engine.run("delete from personal_written where subject = ?", (subject,))
    keep_known(engine, subject, {})


def every_row(engine: Engine) -> Iterator[PersonalRow]:
    """All that is kept, also of what was erased."""
    return (PersonalRow(*row) for row in engine.rows(f"select {_COLUMNS} from personal order by subject, field"))


def put(engine: Engine, rows: Iterable[PersonalRow], told: Told) -> None:
    """Write kept rows into a new book. The caller is writing, and works out anew afterwards how they are written.

    Whatever its entries have `told` and is not among the rows counts as forgotten, as in a book of entries alone.
    """
    insert = f"insert into personal ({_COLUMNS}) values (?, ?, ?, ?)"
    there = set()
    for row in rows:
        engine.run(insert, row)
        there.add((row.subject, row.field))
    for subject, field in told.keys() - there:
        engine.run(insert, (subject, field, "", None))


def faults(engine: Engine, told: Told, after: int) -> Iterator[str]:
    """What is known of somebody and was altered or lost, in sentences; `told` is what entries tell after the one.

    What was told before entries held digests of it is known by no entry.
    """
    rows = {(row.subject, row.field): row for row in every_row(engine)}
    for place, digest in told.items():
        if fault := _fault(rows.get(place), digest):
            yield _says(*place, fault)
    if not after:
        yield from (_says(*place, "is of no entry") for place, row in rows.items() if row.salt and place not in told)
        yield from _spelling_faults(engine)


def _fault(row: PersonalRow | None, digest: str) -> str:
    """What is wrong with what an entry told last; "" where nothing is, also where it was erased since."""
    if row is None:
        return "is lost"
    erased = not row.value
    return "" if erased or (row.salt and Kept(row.salt, row.value).digest == digest) else "was altered"


def _says(subject: str, field: str, fault: str) -> str:
    what = field.replace("_", " ")
    return f"The {what} of {subject} {fault}; tell it anew, or bring it back from a backup."


def _spelling_faults(engine: Engine) -> Iterator[str]:
    from torqueaudit.book.finds import known_rows
    from torqueaudit.book.written import ways_of

    kept: dict[str, set[str]] = {}
    for written, subject in engine.rows("select written, subject from personal_written"):
        kept.setdefault(subject, set()).add(written)
    known = {subject: personal_of(engine, subject) for (subject,) in list(engine.rows(_SUBJECTS))}
    wanted = {subject: set(ways_of(fields)) for subject, fields in known.items()}
    for subject in sorted(kept.keys() | wanted.keys()):
        if kept.get(subject, set()) != wanted.get(subject, set()):
            yield f"How names and numbers of {subject} are written differs from what is known; rebuild the lists."
    found: dict[str, list[tuple[str, str]]] = {}
    for subject, field, words in engine.rows(f"select subject, field, words from {PERSONAL_FINDS} order by field"):
        found.setdefault(subject, []).append((field, words))
    for subject in sorted({*found, *known}):
        if found.get(subject, []) != known_rows(known.get(subject, {})):
            yield f"By what {subject} is found differs from what is known; rebuild the lists."


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
