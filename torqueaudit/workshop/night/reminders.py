"""What a night says of reminders: whom none reaches, which wait or were given up, who wants none; no address."""

from collections import Counter
from collections.abc import Iterable, Iterator

from torqueaudit.ledger.entry import Entry
from torqueaudit.model.act import See, Topic
from torqueaudit.model.register.permits import OWNER
from torqueaudit.model.shown.night import Call, Line
from torqueaudit.workshop.night.desk import Desk
from torqueaudit.workshop.vehicles.contact import ENDED, contact_of

A_DAY_OF_TRIES = 8  # by the pauses of the outbox, which grow


def reminder_lines(desk: Desk, of_day: Iterable[Entry]) -> Iterator[Line]:
    """Each vehicle whose owner is reminded no more, or was not of something, although nobody here has ended it."""
    yield from _not_taken(desk)
    yield from _sent_besides(desk)
    yield from _given_up(desk)
    yield from _waiting(desk)
    for entry in of_day:
        if entry.kind == ENDED and entry.who == OWNER:
            yield desk.of_vehicle(entry.key, "Its owner has stopped the reminders. Call when a re-check is due.")


def _not_taken(desk: Desk) -> Iterator[Line]:
    why = {row.vehicle: row.why for row in desk.book.outbox.refused()}
    for vehicle, says in why.items():
        if any(contact_of(desk.workshop, vehicle)):
            told = f"Its owner is not reached by reminders any more, for {says}"
            yield desk.of_vehicle(vehicle, told, Call.OWNER, See(Topic.CONTACT, vehicle))


def _sent_besides(desk: Desk) -> Iterator[Line]:
    """On the day itself: each reminder tells it anew."""
    start, end = desk.utc_day
    for row in desk.book.outbox.sent_besides(start):
        if row.changed < end:
            says = f"Its owner was reminded by the second way alone, for {row.why}"
            yield desk.of_vehicle(row.vehicle, says, Call.OWNER, See(Topic.CONTACT, row.vehicle))


def _given_up(desk: Desk) -> Iterator[Line]:
    """What nobody took in the end, on the day itself: the next reminder is tried again."""
    start, end = desk.utc_day
    for row in desk.book.outbox.given_up(start):
        if row.changed < end:
            says = f"A reminder to its owner was given up, for {row.why}. Call."
            yield desk.of_vehicle(row.vehicle, says, Call.OWNER)


def _waiting(desk: Desk) -> Iterator[Line]:
    """What nobody was asked to take, or nobody took for about a day; nothing of that ends by itself."""
    rows = desk.book.outbox.waiting()
    why = Counter(row.why for row in rows if row.why and (row.tries == 0 or row.tries >= A_DAY_OF_TRIES))
    for says, many in why.items():
        yield Line(f"{many} reminder{'s wait' if many > 1 else ' waits'}, for {says}.")
