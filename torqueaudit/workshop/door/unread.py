"""Entries that cannot be read: told, and struck whatever they are about, a job, a wrench, a person or the settings."""

from torqueaudit.book.lists.rows import unread_of
from torqueaudit.ledger.entry import Draft, Entry, subject_of_site
from torqueaudit.ledger.words import FreeWords
from torqueaudit.model.act import Refused, Say, See, Topic
from torqueaudit.model.register.nights import NIGHTS
from torqueaudit.model.register.permits import ActName
from torqueaudit.model.register.settings import beyond_bounds
from torqueaudit.workshop.door.attempt import Attempt, record
from torqueaudit.workshop.door.workshop import Workshop


def remarks(workshop: Workshop) -> list[str]:
    """What is to be told of the ledger though it is no damage, in sentences.

    What the book itself remarks (clocks, years, lost entries), entries that cannot be read and were not struck, and
    numbers among the settings beyond what they may be.
    """
    said = workshop.book.remarks()
    for subject, own in workshop.book.subjects():
        said += [f"E{str(each)[1:]}: strike it, and say it again." for each in unread_of(subject, own)]
        if subject == subject_of_site(workshop.book.site):
            said += [f"The settings: {says}." for says in beyond_bounds(own)]
    return said


def strike_unread(workshop: Workshop, number: int, why: str, say: Say) -> Entry:
    """Withdraw an entry that cannot be read, as a foreman; returns the strike.

    Raises Refused without a reason, for an entry that there is not, one that can be read or is struck, and for the
    first one of its subject, without which nothing is known of that; of nights each is known by itself.
    """
    if not why.strip():
        raise Refused(f"entry {number}: say why it is struck")
    target = workshop.book.entry(number)
    if target is None:
        raise Refused(f"entry {number}: there is no such entry", See(Topic.LEDGER))
    subject, said = target.subject, {"entry": number, "why": FreeWords(why)}

    def build(attempt: Attempt) -> list[Draft]:
        own = attempt.entries(subject)
        if number not in {each.entry for each in unread_of(subject, own)}:
            raise Refused(
                f"entry {number} of {subject} can be read, or is struck already; it is struck where it stands"
            )
        if own[0].sequence == number and not subject.startswith(f"{NIGHTS}/"):
            raise Refused(f"entry {number} is the first of {subject}, and nothing is known of that without it")
        judged = {"kind": target.kind, "on": workshop.local_day(attempt.happened_at).isoformat()}
        return [attempt.draft(subject, "struck.2", said, judged)]

    return record(workshop, say, ActName.STRIKE_UNREAD, subject, said, build)[0]
