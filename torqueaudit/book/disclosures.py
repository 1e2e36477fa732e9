"""Disclosures: who was shown what is known of whom, and when; beside the ledger and erasable.

A disclosure holds numbers and the names of fields ("plate"), and never what stood in them. It goes with whatever is
known of its subject, and after the days that a workshop keeps it. See decision 0117.
"""

from collections.abc import Iterator, Sequence
from typing import NamedTuple

from torqueaudit.book.engine import Engine
from torqueaudit.book.tables import Tables

DISCLOSURES = "disclosures"
_COLUMNS = 'at, "by", door, subject, shown'


class Disclosure(NamedTuple):
    """When (UTC), the number of who was shown it, by which door, of whom or what, and which fields."""

    at: str
    by: str
    door: str
    subject: str
    shown: tuple[str, ...]


class Disclosures(Tables):
    """The disclosures in an engine. Every change is one transaction. Raises BookError."""

    def note(self, told: Sequence[Disclosure]) -> None:
        """Keep disclosures, at least one; the caller shows nothing before they are kept."""
        places = ", ".join(["(?, ?, ?, ?, ?)"] * len(told))
        values = [value for each in told for value in (*each[:4], ", ".join(each.shown))]
        with self._writing():
            self._run(f"insert into disclosures ({_COLUMNS}) values {places}", *values)

    def newest(self, subject: str, most: int) -> list[Disclosure]:
        """What was shown of a subject, or of all where that is "", the newest first; so many at most."""
        where, values = ("where subject = ?", (subject,)) if subject else ("", ())
        asked = f"select {_COLUMNS} from disclosures {where} order by number desc limit ?"
        return [
            Disclosure(at=at, by=by, door=door, subject=of, shown=tuple(shown.split(", ")))
            for at, by, door, of, shown in self._rows(asked, *values, most)
        ]

    def take_before(self, moment: str) -> None:
        """Take away the disclosures of before a moment (UTC), on a full disk too."""
        if not self._rows("select 1 from disclosures where at < ? limit 1", moment):
            return
        with self._engine.in_words(), self._engine.writing():
            self._run("delete from disclosures where at < ?", moment)


def forget(engine: Engine, subject: str) -> None:
    """Take away what tells that a subject was disclosed. The caller is writing, and wipes afterwards."""
    engine.run("delete from disclosures where subject = ?", (subject,))


def faults(engine: Engine) -> Iterator[str]:
    """What is kept of somebody of whom the ledger knows nothing, in sentences."""
    for subject in _strangers(engine):
        yield f"The table {DISCLOSURES} tells of {subject}, which the ledger does not know; rebuild the lists."


def take_strangers(engine: Engine) -> None:
    """Take away the disclosures of what the ledger does not know. The caller is writing."""
    for subject in _strangers(engine):
        forget(engine, subject)


def _strangers(engine: Engine) -> list[str]:
    subjects = list(engine.rows("select distinct subject from disclosures order by subject"))
    return [str(subject) for (subject,) in subjects if not engine.highest_number(str(subject))]
