"""What is found by words, worked out anew of the whole book, and held against what is kept."""

from collections.abc import Callable, Iterator
from itertools import groupby, zip_longest
from operator import attrgetter

from torqueaudit.book.engine import ALL, FINDS, Engine, Find
from torqueaudit.book.finds import ROOM, about_of, may_tell, rows_of, texts_of
from torqueaudit.book.words import rows_between
from torqueaudit.ledger.entry import Entry, entry_of


def write_anew(engine: Engine) -> None:
    """Write anew what is found of entries. The caller is writing."""
    engine.fill_finds(FINDS, wanted(engine))


def wanted(engine: Engine, after: int = 0, last: int = ALL) -> Iterator[Find]:
    """The rows that the entries behind a sequence have, up to another one, in order."""
    words = _words_by_entry(engine, after, last)
    about = _abouts(engine)
    for text, _ in engine.texts(engine.site, after + 1, last):
        if may_tell(text):
            entry = entry_of(text)
            yield from rows_of(entry, about(entry), texts_of(entry, words(entry.sequence)))


def differences(engine: Engine, after: int = 0, last: int = ALL) -> Iterator[str]:
    """Where what is kept differs from what the entries say, in sentences: one for each subject, the first ones."""
    asked = f"select number, subject, about, field, words from {FINDS} where number between ? and ? order by number"
    span = ((after + 1) * ROOM, (last + 1) * ROOM - 1 if last < ALL else ALL)
    kept = (Find(*row) for row in engine.rows(asked, span))
    differ = (one or other for one, other in zip_longest(kept, wanted(engine, after, last)) if one != other)
    first = next((find for find in differ if find), None)
    if first is not None:
        yield f"What is found by words differs from the ledger on {first.subject}; rebuild the lists."


def _abouts(engine: Engine) -> Callable[[Entry], str]:
    """What an entry is about; of each subject its first entry is read once."""
    known: dict[str, str] = {}

    def about(entry: Entry) -> str:
        if not entry.subject.startswith("job/"):
            return entry.subject
        if entry.subject not in known:
            first = entry if entry.number == 1 else entry_of(next(iter(engine.texts_of(entry.subject, 0))))
            known[entry.subject] = about_of(first)
        return known[entry.subject]

    return about


def _words_by_entry(engine: Engine, after: int, last: int) -> Callable[[int], dict[str, str]]:
    """The free words of an entry that stand; asked for in the order of the entries."""
    grouped = groupby(rows_between(engine, after + 1, last), key=attrgetter("entry"))
    ahead = next(grouped, None)

    def words(entry: int) -> dict[str, str]:
        nonlocal ahead
        while ahead is not None and ahead[0] < entry:
            ahead = next(grouped, None)
        if ahead is None or ahead[0] != entry:
            return {}
        return {row.field: row.text for row in ahead[1] if row.text is not None}

    return words
