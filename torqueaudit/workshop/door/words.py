"""Free words of entries erased: a remark, a reason, a basis or a limit that names somebody.

The entry stays, with the digest that proved them; who erased them, when and why is an entry itself.
"""

from collections.abc import Sequence
from datetime import date
from typing import NamedTuple

from torqueaudit.book import queries
from torqueaudit.book.words import ERASED
from torqueaudit.ledger.entry import Draft, Entry, subject_of_site
from torqueaudit.ledger.words import INSIDE, FreeWords
from torqueaudit.model.act import Refused, Say, See, Topic
from torqueaudit.model.register.permits import ActName
from torqueaudit.workshop.door.attempt import Attempt, record
from torqueaudit.workshop.door.workshop import Workshop

MOST_NAMED = 12  # entries that one sentence tells


class Erased(NamedTuple):
    """The entries whose words are gone, the day, and who erased them."""

    entries: tuple[int, ...]
    on: date
    by: str


def erase_words(workshop: Workshop, entries: Sequence[int], why: str, say: Say) -> Erased:
    """Erase the words of entries, as a foreman, with the words that the same act told of other fasteners.

    Raises Refused without a reason, for an entry that there is not or that has no words, for words that were erased
    already, and for those of an older kind, which lie inside the hash.
    """
    if not why.strip():
        raise Refused("say why the words are erased, without what they said")
    site = subject_of_site(workshop.book.site)

    def build(attempt: Attempt) -> list[Draft]:
        attempt.entries(site)
        gone = sorted({each for entry in entries for each in _with_these_words(workshop, entry)})
        on = workshop.local_day(attempt.happened_at).isoformat()
        return [attempt.draft(site, ERASED, {"entries": gone, "why": FreeWords(why)}, {"on": on})]

    said = {"entries": sorted(set(entries)), "why": FreeWords(why)}
    entry = record(workshop, say, ActName.ERASE_WORDS, site, said, build)[0]
    return Erased(tuple(entry.said["entries"]), date.fromisoformat(entry.judged["on"]), entry.who)


def words_left(workshop: Workshop, subject: str) -> list[int]:
    """The entries with free words that may name somebody who is forgotten: told by a person, or of a vehicle's jobs.

    Those of old kinds are left out, as nothing erases them.
    """
    noun, _, number = subject.partition("/")
    if noun == "vehicle":
        jobs = (f"job/{row.job}" for row in queries.jobs_of_vehicle(workshop.book, number))
        return workshop.book.with_words(subject, *jobs)
    found = (workshop.book.entry(entry) for entry in workshop.book.with_words())
    return [each.sequence for each in found if each and (each.who == number or each.subject == subject)]


def entries_text(entries: Sequence[int]) -> str:
    """The first of many entries, and how many more: "#3, #8", "#3, …, #40 and 2 more"."""
    more = len(entries) - MOST_NAMED
    return ", ".join(f"#{entry}" for entry in entries[:MOST_NAMED]) + (f" and {more} more" if more > 0 else "")


def _with_these_words(workshop: Workshop, number: int) -> list[int]:
    """The entries of the act that wrote one, as far as they have words. Refused where there are none to erase."""
    entry = workshop.book.entry(number)
    if entry is None:
        last = workshop.book.head().sequence
        raise Refused(f"entry {number}: there is no such entry; the newest one is {last}", See(Topic.LEDGER))
    if not entry.sealed:
        raise Refused(_why_not(entry))
    if gone := workshop.book.words_erased(number):
        raise Refused(f"entry {number}: {gone}, so nothing is left to erase")
    first = number + 1 - int(entry.id.partition("~")[2] or 1)
    return [each.sequence for each, _ in workshop.book.ledger(first, first + entry.of - 1) if each.sealed]


def _why_not(entry: Entry) -> str:
    if INSIDE & entry.said.keys():
        says = "its words were recorded while words still lay inside the hash, where nothing can be erased"
        return f"entry {entry.sequence}: {says}; strike it, if it must not count"
    return f"entry {entry.sequence}: it has no words to erase, such as a remark, a reason, a basis or a limit"
