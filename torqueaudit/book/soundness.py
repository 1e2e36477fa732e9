"""Whether a book is what it should be: the chain, the stored texts, the lists, the clock."""

from torqueaudit.book.engine import ALL, Engine
from torqueaudit.book.lists.upkeep import Lists
from torqueaudit.ledger.chain import Head, chain_faults, form_faults, held_against
from torqueaudit.ledger.entry import entry_of


def faults(engine: Engine, lists: Lists, printed: Head | None) -> list[str]:
    """Everything wrong with the book, in sentences. The caller holds one snapshot.

    A ledger that is itself damaged is not compared with the lists: what they should hold is then unknown.
    """
    tables = engine.faults()
    head, ledger = chain_of(engine)
    if printed is not None:
        ledger += held_against(printed, engine.site, head, engine.hash_at(printed.sequence))
    ledger += form_faults((str(text, "utf-8", "replace"), hash_) for text, hash_ in engine.stored())
    if ledger:
        return [*tables, *ledger, "The lists were not compared, because the ledger itself is damaged."]
    return [*tables, *lists.faults(engine)]


def chain_of(engine: Engine) -> tuple[Head, list[str]]:
    """The head reached by walking the chain alone, and what is wrong with it."""
    return chain_faults(engine.site, engine.stored())


def clock_remarks(engine: Engine) -> list[str]:
    """Entries recorded earlier than the one before them: a clock set back is told for ever, and is no damage.

    See decision 0009.
    """
    late, says = "", []
    for text, _ in engine.texts(engine.site, 1, ALL):
        entry = entry_of(text)
        if entry.recorded_at < late:
            says.append(f"The clock was set back before entry {entry.sequence}: from {late} to {entry.recorded_at}.")
        late = entry.recorded_at
    return says
