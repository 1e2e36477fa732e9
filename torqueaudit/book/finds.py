"""What is found by words: rows beside the ledger, each of one entry or of one thing known of somebody, and erasable.

A row holds a text as it is looked for (`spelling`); names and numbers also without spaces, telephones also as their
digits. A row is worked out of its entry alone, under a number that follows from it, so it is the same in a book that is
written anew. See decision 0120.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import Any, NamedTuple

from torqueaudit.book.engine import FINDS, PERSONAL_FINDS, Engine, Find
from torqueaudit.book.spelling import signless, spellings
from torqueaudit.ledger.entry import Entry, entry_of
from torqueaudit.ledger.words import INSIDE

ROOM = 64  # numbers that an entry has for its rows; the second half is for its free words
_WORDS = ROOM // 2
_REACHED = frozenset({"contact", "mobile", "owner"})  # fields in which a telephone number stands
_SENTENCES = frozenset({"work", "procedure", "attributes", "laboratory"})  # nobody writes them in one word
# What of an entry is looked for besides its free words: under which field, and where in it.
_FACTS: Mapping[str, tuple[tuple[str, str, str], ...]] = {
    "vehicle/entered": (("year", "said", "year"), ("model", "said", "model"), ("tag", "said", "tag")),
    "vehicle/changed": (("year", "said", "year"), ("model", "said", "model"), ("tag", "said", "tag")),
    "wrench/entered": (("tag", "said", "tag"), ("owner", "said", "owner")),
    "wrench/changed": (("tag", "said", "tag"), ("owner", "said", "owner")),
    "wrench/calibrated": (("certificate", "said", "certificate"), ("laboratory", "said", "laboratory")),
    "wrench/interim_checked": (("certificate", "said", "tester_certificate"), ("tester", "said", "tester")),
    "job/opened": (("work", "judged", "title"), ("label", "judged", "token")),
    "job/fitted": (("part", "said", "part"), ("lot", "said", "lot"), ("attributes", "said", "attributes")),
    "procedure/entered": (("procedure", "judged", "procedure"),),
}
# The fields that every book may hold; free words may have others.
FIELDS = frozenset({*INSIDE, *(field for facts in _FACTS.values() for field, _, _ in facts)})
_TELLING = tuple(
    f'"kind":"{what}.' for what in sorted({place.partition("/")[2] for place in _FACTS})
)  # as a stored text has it


class Text(NamedTuple):
    """A text of an entry as it was told: the number of its row, and the field."""

    number: int
    field: str
    text: str


def may_tell(text: str) -> bool:
    """Whether a stored text may have a row; most have none, and are not read."""
    return (
        '},"words":{' in text
        or any(telling in text for telling in _TELLING)
        or any(f'"{field}":"' in text for field in INSIDE)
    )


def texts_of(entry: Entry, words: Mapping[str, str]) -> list[Text]:
    """Every text of an entry that is looked for; `words` are its free words that stand. Most entries have none."""
    named = _FACTS.get(f"{entry.subject.partition('/')[0]}/{entry.what}", ())
    if not named and not words and INSIDE.isdisjoint(entry.said):
        return []
    facts = [(field, _plain(getattr(entry, part).get(key))) for field, part, key in named]
    told = {**{field: _plain(entry.said[field]) for field in INSIDE if field in entry.said}, **words}
    first = entry.sequence * ROOM
    return [
        Text(first + begin + nth, field, text)
        for begin, texts in ((0, facts), (_WORDS, sorted(told.items())))
        for nth, (field, text) in enumerate(texts)
        if text
    ]


def about_of(first: Entry) -> str:
    """What the entries of a subject are about, by its first one: a job's are about its vehicle."""
    vehicle = first.said.get("vehicle") if first.subject.startswith("job/") else None
    return f"vehicle/{vehicle}" if vehicle else first.subject


def rows_of(entry: Entry, about: str, texts: Iterable[Text]) -> list[Find]:
    """The rows of an entry by its texts that are looked for."""
    return [
        Find(number=each.number, subject=entry.subject, about=about, field=each.field, words=searched)
        for each in texts
        if (searched := _searched(each.text, whole=each.number % ROOM < _WORDS and each.field not in _SENTENCES))
    ]


def known_rows(known: Mapping[str, str]) -> list[tuple[str, str]]:
    """Field and words of whatever is known of a person or a vehicle."""
    from torqueaudit.book.written import NOT_SOUGHT, telephones_in  # most acts tell nothing of anybody

    rows = []
    for field, value in sorted(known.items()):
        numbers = telephones_in(value) if field in _REACHED else []
        lines = [*_searched(value, whole=True).split("\n"), *numbers]
        words = "\n".join(dict.fromkeys(filter(None, lines)))
        if words and field not in NOT_SOUGHT:
            rows.append((field, words))
    return rows


def keep(engine: Engine, entry: Entry, first: Entry, words: Mapping[str, str]) -> None:
    """Keep the rows of an entry, whose subject begins with another one. The caller is writing it."""
    if texts := texts_of(entry, words):
        for row in rows_of(entry, about_of(first), texts):
            engine.keep_find(FINDS, row)


def erase_words(engine: Engine, entries: Iterable[int]) -> None:
    """Take away the rows of the free words of entries. The caller is writing, and wipes afterwards."""
    for entry in entries:
        first = entry * ROOM
        engine.drop_finds(FINDS, "number between ? and ?", (first + _WORDS, first + ROOM - 1))


def keep_known(engine: Engine, subject: str, known: Mapping[str, str]) -> None:
    """Keep what is known of somebody in place of what was. The caller is writing, and wipes afterwards."""
    engine.drop_finds(PERSONAL_FINDS, "about = ?", (subject,))  # the column that has an index
    ((number,),) = engine.rows(f"select coalesce(max(number), 0) from {PERSONAL_FINDS}")
    for nth, (field, words) in enumerate(known_rows(known), start=number + 1):
        engine.keep_find(PERSONAL_FINDS, Find(number=nth, subject=subject, about=subject, field=field, words=words))


def fill_known(engine: Engine, known: Iterable[tuple[str, Mapping[str, str]]]) -> None:
    """Write anew what is known of everybody. The caller is writing."""
    told = ((subject, *row) for subject, fields in known for row in known_rows(fields))
    rows = (
        Find(number=nth, subject=subject, about=subject, field=field, words=words)
        for nth, (subject, field, words) in enumerate(told, start=1)
    )
    engine.fill_finds(PERSONAL_FINDS, rows)


def rows_about(engine: Engine, table: str, about: str, parts: Sequence[str]) -> Iterator[Find]:
    """The rows about a vehicle, a wrench, a person or a procedure that hold one of these parts, the newest first."""
    held = " or ".join("instr(words, ?) > 0" for _ in parts)
    asked = (
        f"select number, subject, about, field, words from {table} where about = ? and ({held}) order by number desc"
    )
    return (Find(*row) for row in engine.rows(asked, (about, *parts)))


def is_struck(engine: Engine, entry: Entry) -> bool:
    """Whether a later entry of its subject strikes an entry."""
    struck = map(entry_of, engine.texts_striking(entry.subject, entry.number))
    return any(later.said.get("entry") == entry.sequence for later in struck)


def _searched(text: str, *, whole: bool) -> str:
    """A text as it is looked for, each spelling in a line of its own; a `whole` one also without its spaces."""
    lines = []
    for spelling in spellings(text):
        words = signless(spelling)
        lines += [words, words.replace(" ", "")] if whole else [words]
    return "\n".join(dict.fromkeys(filter(None, lines)))


def _plain(value: Any) -> str:
    """The words of a value as an entry holds it, those of its parts behind each other; of a procedure its names."""
    if isinstance(value, str | int):
        return str(value)
    if isinstance(value, Mapping):
        named = [value.get("title"), value.get("name"), value.get("edition")]
        listed = [*value.get("sources", ()), *value.get("work", ())]
        named += [each.get("document") or each.get("name") for each in listed if isinstance(each, Mapping)]
        return ", ".join(map(str, filter(None, named)))
    if isinstance(value, Sequence):
        return ", ".join(" ".join(map(str, each)) if isinstance(each, Sequence) else str(each) for each in value)
    return ""
