"""Entries found in the pages of a damaged book, put in order; in a database of their own, as they may be millions."""

import re
from collections.abc import Iterator
from contextlib import suppress
from hashlib import sha256
from pathlib import Path

from torqueaudit.book.sqlite.connection import connect, sqlite3
from torqueaudit.book.sqlite.pages import Page
from torqueaudit.ledger.chain import Head, beginning
from torqueaudit.ledger.entry import NoEntry, entry_of

_TABLES = (
    """create table found (
        sequence integer not null, hash text primary key, previous text not null, site text not null,
        proved integer not null, chained integer not null default 0, document text not null
    ) strict, without rowid""",
    "create index found_in_order on found (sequence, previous)",
)
_FOUND = """
    insert into found (sequence, hash, previous, site, proved, document) values (?, ?, ?, ?, ?, ?)
    on conflict (hash) do update set proved = max(proved, excluded.proved)
"""
_NEXT = """
    select hash, document from found where sequence = ?1 and previous = ?2 and (
        proved or exists (select 1 from found as after where after.sequence = ?1 + 1 and after.previous = found.hash)
    )
"""
# Where a page is damaged, an entry and its hash still lie one behind the other in it.
_CARVED = re.compile(rb'(\{"happened_at":"[^\0]*?"who":"[A-Za-z0-9-]+"\})([0-9a-f]{64})', re.DOTALL)


class Entries:
    """What was found of a ledger. An entry is proved by the hash beside it, or by the entry behind it. Close it."""

    def __init__(self, place: Path) -> None:
        place.touch(exist_ok=False)
        self._found = connect(place, 0, "journal_mode = off", "synchronous = off")
        self.spoilt: dict[int, str] = {}  # what is left of entries that nobody can read any more, by their number
        for statement in _TABLES:
            self._found.execute(statement)
        self._found.execute("begin")

    def close(self) -> None:
        """Forget it."""
        self._found.close()

    def take_from(self, page: Page) -> None:
        """Take in every entry of a page."""
        for row in page.rows if page.in_table else ():
            match row:
                case (int(number), text, hash_) if not (isinstance(text, str) and self._take(text, str(hash_), number)):
                    self.spoilt[number] = str(text)
        for text, hash_ in _CARVED.findall(page.content) if not page.whole else ():
            with suppress(UnicodeDecodeError):
                self._take(text.decode(), hash_.decode())

    def _take(self, text: str, kept: str, number: int | None = None) -> bool:
        """Take in an entry; whether it is one. Where its hash does not prove it, it must at least be in its place."""
        try:
            entry = entry_of(text)
            own = sha256(text.encode()).hexdigest()
        except (NoEntry, UnicodeEncodeError):
            return False
        if own != kept and number not in (None, entry.sequence):
            return False
        told = (entry.sequence, own, entry.previous, entry.site, own == kept, text)
        try:
            self._found.execute(_FOUND, told)
        except sqlite3.Error:  # numbers and texts that stand in each other's place
            return False
        return True

    @property
    def site(self) -> str | None:
        """The site of most of them; None where none was found."""
        asked = "select site from found where proved group by site order by count(*) desc limit 1"
        row = self._found.execute(asked).fetchone()
        return str(row[0]) if row else None

    @property
    def last(self) -> int:
        """The highest number that was found, of an entry or of what is left of one."""
        highest = int(self._found.execute("select coalesce(max(sequence), 0) from found").fetchone()[0])
        may_follow = highest + len(self.spoilt)  # a number beyond that was spoilt too
        return max(highest, *(number for number in self.spoilt if number <= may_follow), 0)

    def chain(self, site: str) -> Iterator[tuple[str, str]]:
        """Texts with their hashes from the first entry on, as long as each follows the one before."""
        head = beginning(site)
        while found := self._found.execute(_NEXT, (head.sequence + 1, head.hash)).fetchone():
            hash_, text = found
            self._found.execute("update found set chained = 1 where hash = ?", (hash_,))
            head = Head(site, head.sequence + 1, hash_)
            yield text, hash_

    def unchained(self) -> Iterator[str]:
        """The texts that `chain` left out, by their number; those that nothing proves as well."""
        return (
            text for (text,) in self._found.execute("select document from found where not chained order by sequence")
        )

    def numbers(self) -> Iterator[int]:
        """The number of every entry, in order."""
        return (number for (number,) in self._found.execute("select distinct sequence from found order by sequence"))
