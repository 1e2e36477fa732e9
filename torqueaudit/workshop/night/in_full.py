"""Once a week a night judges everything on the road; the nights between judge what may have changed since.

A plugin that does not say that its rules follow the entries alone makes every night a full one.
"""

from typing import TYPE_CHECKING

from torqueaudit.model.register.nights import NIGHTS, InFull, told_nights
from torqueaudit.model.register.people import PIN_SET, UNLOCKED
from torqueaudit.model.register.seal_keys import KEY_NAMED

if TYPE_CHECKING:
    from datetime import date

    from torqueaudit.book.book import Book
    from torqueaudit.ledger.entry import Entry
    from torqueaudit.plugins import Plugins

DAYS = 7  # between two nights that judge everything
# What is recorded of a wrench and puts no more in doubt than what it did since it was last known to be good.
OF_WRENCH = frozenset(
    {"entered.1", "calibrated.1", "interim_checked.1", "mishandled.1", "withdrawn.1", "use_estimated.1"}
)
# Of a person or a procedure, on which nothing rests yet, and with what a person signs; of the site, a key that seals.
HARMLESS = frozenset({"entered.1", "read.1", KEY_NAMED, PIN_SET, UNLOCKED})


def subject_of(book: "Book") -> str:
    """Under which subject such nights are kept."""
    return f"{NIGHTS}/{book.site}"


def last_in_full(book: "Book") -> InFull | None:
    """The last time that everything on the road was judged, as far as that can be read."""
    try:
        nights, _ = told_nights(book.entries(subject_of(book)))
    except Exception:  # noqa: BLE001  # whatever a damaged entry does, the night goes on, and says so elsewhere
        return None
    return nights[-1] if nights else None


def rules_of(plugins: "Plugins") -> tuple[str, ...]:
    """The plugins that give the rules, with their versions."""
    return tuple(f"{each.name} {each.version}" for each in plugins.states.values() if "review_job" in each.hooks)


def entries_since(book: "Book", before: InFull | None) -> "list[Entry] | None":
    """What was recorded since everything was judged; None where that is not known, or cannot be read."""
    if before is None:
        return None
    try:
        return [entry for entry, _ in book.ledger(before.entry + 1, book.head().sequence)]
    except Exception:  # noqa: BLE001  # whatever a damaged entry does, the night goes on, and says so elsewhere
        return None


def is_due(before: InFull | None, since: "list[Entry] | None", day: "date", plugins: "Plugins") -> bool:
    """Whether this night judges everything: a week has passed, or something changed that may concern any job."""
    if before is None or since is None or not before.day <= day or (day - before.day).days >= DAYS:
        return True
    if before.rules != rules_of(plugins) or plugins.unsteady("review_job"):
        return True
    return any(concerns_all(entry) for entry in since)


def concerns_all(entry: "Entry") -> bool:
    """Whether an entry may change what is judged of any job."""
    noun = entry.subject.partition("/")[0]
    if noun == "wrench":
        return entry.kind not in OF_WRENCH
    return noun in ("site", "person", "procedure") and entry.kind not in HARMLESS
