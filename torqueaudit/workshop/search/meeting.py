"""Where words meet: what holds all of them, without looking at all that holds a common one.

Several words need not stand in one entry: a job is also found by the words of its motorcycle. Whoever is known by the
rarest word is asked for the others, so that two common words cost no more than a rare one.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from heapq import merge
from itertools import chain, islice
from typing import TYPE_CHECKING, NamedTuple

from torqueaudit.book.engine import ALL, FINDS, PERSONAL_FINDS, Find
from torqueaudit.book.finds import about_of, rows_about
from torqueaudit.workshop.search.sought import Sought

if TYPE_CHECKING:
    from torqueaudit.book.book import Book

PAGE = 100  # rows that are asked for at once
MOST_ROWS = 2000  # that one search looks at
MOST_ABOUT = 300  # vehicles, and others, that one search asks for further words
NUMBER = "number"  # the field by which something is found that is named by its number


class Row(NamedTuple):
    """A row that holds a word, and whether it is of what is known outside the ledger."""

    find: Find
    personal: bool


class Meeting(NamedTuple):
    """A subject, and a row for each word by which it is found, in the order of the words."""

    subject: str
    rows: tuple[tuple[Sought, Row], ...]


class Met(NamedTuple):
    """What holds all words, and whether there may be more of it."""

    meetings: tuple[Meeting, ...]
    more: bool


def meet(book: "Book", sought: Sequence[Sought], most: int) -> Met:
    """At most so many subjects in which all words meet, in the order of the rows of their rarest word."""
    lead, rows = (sought[0], _rows(book, sought[0])) if len(sought) == 1 else _rarest(book, sought)
    found: dict[str, Meeting] = {}
    asked: set[str] = set()
    looked_at = 0
    for row in islice(rows, MOST_ROWS):
        looked_at += 1
        if len(sought) > 1 and row.find.about not in asked:
            asked.add(row.find.about)
            found |= {each.subject: each for each in _in_one(book, row.find.about, sought)}
        elif len(sought) == 1:
            found.setdefault(row.find.subject, Meeting(row.find.subject, ((lead, row),)))
        if len(found) > most or len(asked) >= MOST_ABOUT:
            break
    more = len(found) > most or len(asked) >= MOST_ABOUT or looked_at >= MOST_ROWS
    return Met(tuple(islice(found.values(), most)), more)


def _rarest(book: "Book", sought: Sequence[Sought]) -> tuple[Sought, Iterator[Row]]:
    """The word with the fewest rows, as far as one page tells, with those of its rows that may meet the others.

    A word that may only say what the others are is no such word: it need not be written anywhere.
    """
    sought = [each for each in sought if not each.may_name] or sought
    rows = [_rows(book, each) for each in sought]
    first = [list(islice(each, PAGE)) for each in rows]
    _, lead = min((len(page), nth) for nth, page in enumerate(first))
    whole = [{row.find.about for row in page} for page in first if len(page) < PAGE]
    return sought[lead], (
        row for row in chain(first[lead], rows[lead]) if all(row.find.about in abouts for abouts in whole)
    )


def _rows(book: "Book", word: Sought) -> Iterator[Row]:
    """The rows of a word: what has it as its number, then what holds it."""
    named = _named(book, word.subject)
    seen: set[tuple[bool, int]] = set()
    for row in chain([Row(named, personal=False)] if named else (), _by_words(book, word)):
        if (row.personal, row.find.number) not in seen:
            seen.add((row.personal, row.find.number))
            yield row


def _by_words(book: "Book", word: Sought) -> Iterator[Row]:
    """What is known of somebody, then the newest; before both, of a page of each, where a word begins so.

    Whoever types “red” means no “secured”.
    """
    rows = [_newest(book, table, word) for table in (PERSONAL_FINDS, FINDS)]
    yield from sorted(chain.from_iterable(islice(each, PAGE) for each in rows), key=lambda row: not _begins(row, word))
    yield from chain.from_iterable(rows)


def _newest(book: "Book", table: str, word: Sought) -> Iterator[Row]:
    """The rows of a table that hold a word, the newest first."""
    ways = (_paged(book, table, way) for way in word.ways)
    return (Row(find, table == PERSONAL_FINDS) for find in merge(*ways, key=lambda find: -find.number))


def _begins(row: Row, word: Sought) -> bool:
    """Whether a word of a row begins with what is looked for."""
    words = f" {row.find.words}".replace("\n", " ")
    return any(f" {way}" in words for way in word.ways)


def _paged(book: "Book", table: str, way: str) -> Iterator[Find]:
    """The rows of a table that hold a word in one way, the newest first, a page asked for at once."""
    before = ALL
    while page := [Find(*row) for row in book.found(table, way, before, PAGE)]:
        yield from page
        if len(page) < PAGE:
            return
        before = page[-1].number


def _named(book: "Book", subject: str) -> Find | None:
    """What a number names, as a row of its own; None where there is no such thing."""
    first = book.first_entry(subject) if subject else None
    if first is None:
        return None
    return Find(number=-first.sequence, subject=subject, about=about_of(first), field=NUMBER, words="")


def _in_one(book: "Book", about: str, sought: Sequence[Sought]) -> Iterator[Meeting]:
    """Where all words meet in what is about one vehicle, or one of anything else.

    In a job together with the words of its vehicle; in the vehicle, where they only meet over all its jobs.
    """
    rows = _rows_by_word(book, about, sought)
    if not all(rows.values()):
        return
    own = {word: _of(about, each) for word, each in rows.items()}
    subjects = dict.fromkeys(row.find.subject for row in chain.from_iterable(rows.values()))
    whole = all(own.values())
    whole_of: list[Meeting] = []
    for subject in subjects:
        of_job = {word: _of(subject, each) for word, each in rows.items()}
        if subject == about or (whole and not all(of_job.values())):
            continue
        pairs = [(word, of_job[word] or own[word]) for word in sought]
        if all(row for _, row in pairs):
            whole_of.append(Meeting(subject, tuple((word, row) for word, row in pairs if row)))
    if whole or not whole_of:
        yield Meeting(about, tuple((word, own[word] or rows[word][0]) for word in sought))
    yield from whole_of


def _holds(find: Find, word: Sought) -> bool:
    """Whether a row by which one of several words is found holds this one, or is what it says: a lot."""
    if find.field == NUMBER and find.subject == word.subject:
        return True
    return any(way in find.words for way in word.ways) or word.names(find.field, find.subject.partition("/")[0])


def _of(subject: str, rows: Iterable[Row]) -> Row | None:
    return next((row for row in rows if row.find.subject == subject), None)


def _rows_by_word(book: "Book", about: str, sought: Sequence[Sought]) -> Mapping[Sought, list[Row]]:
    """The rows about something that hold each word, what is known of it first, then the newest."""
    named = [find for word in sought if (find := _named(book, word.subject)) and find.about == about]
    parts = [way for word in sought for way in word.ways]
    rows = [Row(find, personal=False) for find in named] + [
        Row(find, table == PERSONAL_FINDS)
        for table in (PERSONAL_FINDS, FINDS)
        for find in (rows_about(book.engine, table, about, parts) if parts else ())
    ]
    return {word: [row for row in rows if _holds(row.find, word)] for word in sought}
