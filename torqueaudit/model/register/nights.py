"""The nights that judged everything on the road, as the book keeps them."""

from collections.abc import Sequence
from datetime import date, time
from typing import TYPE_CHECKING, NamedTuple

from torqueaudit.model.unread import NothingKnown, Unread, told_of

if TYPE_CHECKING:
    from torqueaudit.ledger.entry import Entry

JUDGED, STRUCK = "judged_in_full.1", "struck"
NIGHTS = "night"  # the noun of the subject that they are kept under
# By the clock of the workshop: an hour that no change of a clock leaves out or repeats, in any zone (decision 0106).
RUNS_AT, LATE_FROM = time(4, 30), time(6)


class InFull(NamedTuple):
    """A night that judged everything on the road: what was recorded after `entry` it did not know of.

    Up to the entry `verified_to` the whole book was found sound by the night of the day `verified_on`.
    """

    day: date
    entry: int
    jobs: tuple[int, ...]  # that had a stop standing
    rules: tuple[str, ...]  # the plugins that gave them
    verified_on: date | None
    verified_to: int


def told_nights(entries: Sequence["Entry"]) -> tuple[tuple[InFull, ...], tuple[Unread, ...]]:
    """The nights that can be read, in order, and the entries that cannot be and were not struck.

    Each entry stands alone: nothing of another night rests on one that cannot be read, not even on the first.
    """
    nights, unread = list[InFull](), list[Unread]()
    struck = {entry.said.get("entry") for entry in entries if entry.what == STRUCK}
    for entry in entries:
        try:
            nights += [told_of([entry], _folded, (JUDGED,))[0]] if entry.what != STRUCK else []
        except NothingKnown as error:
            unread += [error.unread] if entry.sequence not in struck else []
    return tuple(nights), tuple(unread)


def _folded(entries: Sequence["Entry"]) -> InFull:
    (entry,) = entries
    said = entry.said
    return InFull(
        day=date.fromisoformat(said["day"]),
        entry=entry.sequence,
        jobs=tuple(map(int, said["jobs"])),
        rules=tuple(said["rules"]),
        verified_on=date.fromisoformat(said["verified_on"]) if "verified_on" in said else None,
        verified_to=said.get("verified_to", 0),
    )
