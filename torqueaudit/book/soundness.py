"""Whether a book is what it should be: the chain, the stored texts, the words, the lists, the clock."""

from collections.abc import Iterator

from torqueaudit.book.engine import ALL, Engine
from torqueaudit.book.lists.upkeep import Lists
from torqueaudit.book.restored import explained, lost_in
from torqueaudit.book.words import ERASED, WordsRow, rows_after
from torqueaudit.ledger.chain import Head, beginning, chain_faults, form_faults, held_against
from torqueaudit.ledger.entry import Entry, entry_of
from torqueaudit.ledger.words import Kept
from torqueaudit.model.days import FIRST_YEAR, LAST_YEAR


def faults(engine: Engine, lists: Lists, printed: Head | None, after: int) -> list[str]:
    """Everything wrong with the book, in sentences; with `after`, of what was recorded after that entry.

    The caller holds one snapshot. A ledger that is itself damaged is not compared with words and lists: what these
    should hold is then unknown.
    """
    tables = engine.faults(whole=not after)
    head, ledger = chain_of(engine, after)
    if printed is not None and not explained(lost_in(engine))(printed):
        ledger += held_against(printed, engine.site, head, engine.hash_at(printed.sequence))
    ledger += form_faults(after + 1, (str(text, "utf-8", "replace") for text, _ in engine.stored(after)))
    if ledger:
        return [*tables, *ledger, "Words and lists were not compared, because the ledger itself is damaged."]
    return [*tables, *word_faults(engine, after), *lists.faults(engine, after)]


def chain_of(engine: Engine, after: int = 0) -> tuple[Head, list[str]]:
    """The head reached by walking the chain behind an entry, and what is wrong with it."""
    hash_ = engine.hash_at(after) if after else None
    begin = Head(engine.site, after, hash_) if hash_ else beginning(engine.site)
    return chain_faults(begin, engine.stored(begin.sequence))


def word_faults(engine: Engine, after: int = 0) -> Iterator[str]:
    """Words that are lost, changed, erased without an entry that says so, or not the ledger's, in sentences.

    With `after`, those of the entries after it.
    """
    sealed, erased = _entries_with_words(engine, after)
    rows = {(row.entry, row.field, row.subject): row for row in rows_after(engine, after)}
    for entry in sealed:
        for field, digest in entry.sealed.items():
            row = rows.pop((entry.sequence, field, entry.subject), None)
            if fault := _word_fault(row, digest, erased.get(entry.sequence)):
                yield f"Entry {entry.sequence}: its words ({field}) {fault}."
    for number, field, _ in rows:
        yield f"Entry {number} has no such words as are kept of it ({field})."


def _entries_with_words(engine: Engine, after: int) -> tuple[list[Entry], dict[int, tuple[str, str]]]:
    """The entries that have words; and the numbers of those whose words were erased, with the day and by whom."""
    sealed: list[Entry] = []
    erased: dict[int, tuple[str, str]] = {}
    for text, _ in engine.texts(engine.site, after + 1, ALL):
        if '},"words":{' not in text:  # most have none, and are not read
            continue
        sealed.append(entry := entry_of(text))
        if entry.kind == ERASED:
            erased |= dict.fromkeys(entry.said["entries"], (entry.judged["on"], entry.who))
    return sealed, erased


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
        if not f"{FIRST_YEAR}" <= entry.happened_at < f"{LAST_YEAR + 1}":
            strange[entry.sequence] = (
                f"Entry {entry.sequence} ({entry.subject}) says that it happened on {entry.happened_at[:10]}"
            )
        if entry.what == "struck":
            strange.pop(entry.said["entry"], None)
        if entry.recorded_at < late:
            says.append(f"The clock was set back before entry {entry.sequence}: from {late} to {entry.recorded_at}.")
        late = entry.recorded_at
    return [*says, *(f"{each}: strike it, and say it again with its date." for each in strange.values())]
