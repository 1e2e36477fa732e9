"""Whether a book is what it should be: the chain, the stored texts, the words, the lists, the clock."""

from collections.abc import Callable, Iterable, Iterator
from functools import cache, partial
from heapq import merge
from itertools import groupby
from operator import itemgetter
from typing import NamedTuple

from torqueaudit.book import disclosures, finds_anew, outbox, personal, signing
from torqueaudit.book.disclosures import DISCLOSURES
from torqueaudit.book.engine import ALL, FINDS, Engine
from torqueaudit.book.errors import BookError
from torqueaudit.book.lists.upkeep import LISTS, Lists
from torqueaudit.book.outbox import OUTBOX
from torqueaudit.book.shares import Share
from torqueaudit.book.signing import SIGNING
from torqueaudit.book.words import Erased, Place, WordsRow, erased_in, rows_after, sealed_in
from torqueaudit.ledger.chain import Head, beginning, chain_faults, form_faults, held_against
from torqueaudit.ledger.entry import FIRST_PREVIOUS, entry_of
from torqueaudit.ledger.words import Kept
from torqueaudit.model.days import FIRST_YEAR, LAST_YEAR


class _Told(NamedTuple):
    """What entries tell of words and personal data, as far as it is rare: most words are never erased."""

    erased: Erased
    personal: personal.Told


def faults(
    engine: Engine, lists: Lists, printed: Head | None, after: int, elsewhere: Callable[[], bool] = lambda: False
) -> list[str]:
    """Everything wrong with the book, in sentences; with `after`, of what was recorded after that entry.

    `printed` is a head on paper, of which no entry says that it does not hold. `elsewhere` says whether others found
    all shares of it sound (`is_sound_in`): these are not looked at then. The caller holds one snapshot. A ledger that
    is itself damaged is not compared with words and lists: what these should hold is then unknown. What rests on a
    table that is missing is left out.
    """
    tables = found(engine, lambda: engine.faults(whole=not after))
    if not are_there(engine, "ledger"):
        return [*tables, "Nothing was compared, because the ledger itself is missing."]
    on_paper = found(engine, lambda: _paper_faults(engine, printed)) if printed else []
    shared = elsewhere()
    if ledger := [] if shared else found(engine, lambda: _ledger_faults(engine, after)):
        return [*tables, *on_paper, *ledger, "Words and lists were not compared, because the ledger itself is damaged."]
    told = cache(partial(_told, engine, after))
    beside: tuple[tuple[tuple[str, ...], Callable[[], Iterable[str]]], ...] = (
        (("words",), lambda: _word_faults(engine, told().erased, after) or _find_faults(engine, after, shared=shared)),
        (personal.PERSONAL, lambda: personal.faults(engine, told().personal, after)),
        (LISTS, lambda: lists.strays(engine) if shared else lists.faults(engine, after)),
        (SIGNING, lambda: signing.faults(engine)),
        ((OUTBOX,), lambda: outbox.faults(engine)),
        ((DISCLOSURES,), lambda: disclosures.faults(engine)),
    )
    looks = [look for names, look in beside if are_there(engine, *names)]
    return [*tables, *on_paper, *(fault for look in looks for fault in found(engine, look))]


def is_sound_in(engine: Engine, lists: Lists, share: Share) -> bool:
    """Whether nothing is wrong with a share: its part of the ledger by number, and of the lists by subject.

    The caller holds one snapshot.
    """
    entries = share.head.sequence
    first, last = (entries * nth // share.of for nth in (share.nth, share.nth + 1))
    reached, wrong = chain_faults(_head_at(engine, first), engine.stored(first, last))
    whole = reached == _head_at(engine, last) and not wrong
    subjects = engine.subject_at(first) if first else "", engine.subject_at(last) if last < entries else None
    found_alike = not any(finds_anew.differences(engine, first, last))
    return (
        whole
        and found_alike
        and not _form_faults(engine, first, last)
        and not any(lists.differences(engine, *subjects))
    )


def _head_at(engine: Engine, sequence: int) -> Head:
    return Head(engine.site, sequence, engine.hash_at(sequence) or "") if sequence else beginning(engine.site)


def are_there(engine: Engine, *tables: str) -> bool:
    """Whether none of these tables is missing."""
    return all(map(engine.columns, tables))


def found(engine: Engine, look: Callable[[], Iterable[str]]) -> list[str]:
    """What a look at the book finds; that it cannot be read where it cannot, so that the other looks are taken too."""
    try:
        with engine.in_words():
            return list(look())
    except BookError as error:
        return [f"{error.says}: some of it cannot be read."]
    except (AttributeError, LookupError, TypeError, ValueError) as error:  # a number where the program writes a text
        return [f"Rows of the book are not as this program writes them ({error}): some of it cannot be read."]


def _paper_faults(engine: Engine, printed: Head) -> list[str]:
    """What a head on paper says against the ledger, which may be sound in itself."""
    head = Head(engine.site, *(engine.last() or (0, FIRST_PREVIOUS)))
    return held_against(printed, engine.site, head, engine.hash_at(printed.sequence))


def _ledger_faults(engine: Engine, after: int) -> list[str]:
    _, wrong = chain_of(engine, after)
    return wrong + _form_faults(engine, after)


def _form_faults(engine: Engine, after: int, last: int = ALL) -> list[str]:
    return form_faults(after + 1, (str(text, "utf-8", "replace") for text, _ in engine.stored(after, last)))


def chain_of(engine: Engine, after: int = 0) -> tuple[Head, list[str]]:
    """The head reached by walking the chain behind an entry, and what is wrong with it."""
    hash_ = engine.hash_at(after) if after else None
    begin = Head(engine.site, after, hash_) if hash_ else beginning(engine.site)
    return chain_faults(begin, engine.stored(begin.sequence))


def _told(engine: Engine, after: int) -> _Told:
    told = _Told({}, {})
    for document, _ in engine.stored(after):
        text = document.decode()
        told.erased.update(erased_in(text))
        told.personal.update(personal.told_in(text))
    return told


def _find_faults(engine: Engine, after: int, *, shared: bool) -> list[str]:
    """Where what is found by words differs from sound entries and words; others looked at all that entries tell."""
    if not are_there(engine, FINDS):
        return []
    last, _ = engine.last() or (0, "")
    return list(finds_anew.differences(engine, last if shared else after))


def _word_faults(engine: Engine, erased: Erased, after: int) -> list[str]:
    """What is wrong with the words of the entries after one, in sentences."""
    return list(_each_word_fault(engine, erased, after))


def _each_word_fault(engine: Engine, erased: Erased, after: int) -> Iterator[str]:
    """Words that are lost, changed, erased without an entry that says so, or not the ledger's, in sentences."""
    kept = (((row.entry, row.field, row.subject), row) for row in rows_after(engine, after))
    both = merge(_sealed(engine, after), kept, key=itemgetter(0))
    for (number, field, _), sides in groupby(both, key=itemgetter(0)):
        told = [side for _, side in sides]
        digest = next((side for side in told if isinstance(side, str)), None)
        row = next((side for side in told if isinstance(side, WordsRow)), None)
        if digest is None:
            yield f"Entry {number} has no such words as are kept of it ({field})."
        elif fault := _word_fault(row, digest, erased.get(number)):
            yield f"Entry {number}: its words ({field}) {fault}."


def _sealed(engine: Engine, after: int) -> Iterator[tuple[Place, str]]:
    """The digests of words that entries hold, in order."""
    return (sealed for text, _ in engine.stored(after) for sealed in sealed_in(text.decode()))


def _word_fault(row: WordsRow | None, digest: str, erased: tuple[str, str] | None) -> str:
    """What is wrong with the words under one field of an entry; "" where nothing is."""
    if row is None:
        return "are lost; bring them back from a backup"
    if row.salt is None or row.text is None:
        told = (row.erased_on, row.erased_by) == erased
        return "" if told else "are gone, and no entry says that they were erased so"
    if Kept(row.salt, row.text).digest != digest:
        return "were altered: they no longer give their digest"
    return f"were erased on {erased[0]} by {erased[1]}, and are there again; erase them once more" if erased else ""


def clock_remarks(engine: Engine) -> list[str]:
    """What no clock can have shown, in sentences; it is no damage.

    Entries recorded earlier than the one before them, told for ever (decision 0009); and entries of which somebody
    told a year that cannot be, until they are struck.
    """
    late, says = "", []
    strange: dict[int, str] = {}
    for text, _ in engine.texts(engine.site, 1, ALL):
        entry = entry_of(text)
        # As text: what was stored may be no moment at all.
        if not f"{FIRST_YEAR}" <= entry.happened_at < f"{LAST_YEAR + 1}":
            strange[entry.sequence] = (
                f"Entry {entry.sequence} ({entry.subject}) says that it happened on {entry.happened_at[:10]}"
            )
        if entry.what == "struck":
            strange.pop(entry.said.get("entry", 0), None)
        if entry.recorded_at < late:
            says.append(f"The clock was set back before entry {entry.sequence}: from {late} to {entry.recorded_at}.")
        late = entry.recorded_at
    return [*says, *(f"{each}: strike it, and say it again with its date." for each in strange.values())]
