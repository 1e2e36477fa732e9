"""The ledger for whoever follows it from a number on: entries in their order, without what may name anybody.

A sequence is given with its entry under one write lock and is never left out, so whoever asks on with the last number
that they were given gets every entry once. Only a backup that was put back gives a number to another entry: that is
refused where it shows.
"""

from typing import NamedTuple

from torqueaudit.ledger.chain import Head
from torqueaudit.ledger.entry import FIRST_PREVIOUS, Entry, Payload
from torqueaudit.ledger.words import INSIDE
from torqueaudit.model.act import Refused
from torqueaudit.workshop.door.workshop import Workshop

# Keys of what was said that may hold a name: free words of old kinds, who lent a wrench, who heard an owner's yes.
NAMING = INSIDE | {"owner", "heard_by"}


class Events(NamedTuple):
    """The entries behind a number; `last` is where to go on, `hash` what the chain has there, `more` whether now."""

    after: int
    entries: tuple[Entry, ...]
    last: int
    hash: str
    more: bool


def events_after(workshop: Workshop, after: int, most: int, hash_: str = "") -> Events:
    """At most so many entries behind a number. `hash_` is what was given with that number, "" where none was kept.

    With 0 it is 64 zeros, which stand before the first entry.

    Raises Refused where this book has not the entry that was read last: a backup was put back.
    """
    head = workshop.book.head()
    if after > head.sequence:
        raise Refused(
            f"this book ends at entry {head.sequence}, before {after}: a backup was put back; read it anew from 0"
        )
    began = (after, hash_) == (0, FIRST_PREVIOUS)
    if hash_ and not began and not workshop.book.has(Head(head.site, after, hash_)):
        raise Refused(f"entry {after} is another one than the one that you read: a backup was put back; read it anew")
    rows = workshop.book.ledger(after + 1, after + most + 1)
    told = rows[:most]
    if len(rows) <= most:
        workshop.book.tell_head()  # whoever is given the newest hash may hold it against this book for ever
    last, its_hash = (told[-1][0].sequence, told[-1][1]) if told else (head.sequence, head.hash)
    return Events(after, tuple(_unnamed(entry) for entry, _ in told), last, its_hash, more=len(rows) > most)


def _unnamed(entry: Entry) -> Entry:
    """An entry without free words and without what may name somebody."""
    return entry._replace(said=_kept(entry.said), judged=_kept(entry.judged), words={})


def _kept(payload: Payload) -> dict[str, object]:
    return {key: value for key, value in payload.items() if key not in NAMING}
