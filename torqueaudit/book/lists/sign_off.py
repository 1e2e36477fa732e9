"""The rows by which a week's sign-off finds its jobs: when each was checked, released or handed over, as recorded."""

from collections.abc import Sequence

from torqueaudit.book.lists.upkeep import Row
from torqueaudit.ledger.entry import Entry

SIGNS = frozenset({"checked", "released", "handed_over"})
TAKES_BACK = SIGNS | {"opened"}  # where one of these is struck, what was signed for has changed


def sign_off_rows(job: int, entries: Sequence[Entry]) -> list[Row]:
    """A row for each second in which something was signed for or taken back, also by an entry that cannot be read."""
    moments = dict.fromkeys(entry.recorded_at for entry in entries if _signs(entry))
    return [{"job": job, "recorded_at": moment} for moment in moments]


def _signs(entry: Entry) -> bool:
    if entry.what == "struck":
        return str(entry.judged.get("kind", "")).partition(".")[0] in TAKES_BACK
    return entry.what in SIGNS
