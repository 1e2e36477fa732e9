"""The owner's yes to be reminded, by which way, and its end. Address and number lie outside the ledger."""

from typing import TypeAlias

from torqueaudit.ledger.entry import Draft
from torqueaudit.model.act import Refused, Say
from torqueaudit.model.register.permits import ActName
from torqueaudit.model.shown.reminder import Contact
from torqueaudit.workshop.door.attempt import Attempt, record
from torqueaudit.workshop.door.workshop import Workshop

Ways: TypeAlias = tuple[str, ...]
WAYS: Ways = ("mail", "mobile")  # by the first that takes it
CONTACT = "contact"  # the field of how to reach the owner, as it was told when the vehicle was entered
OF_VEHICLE = frozenset({"plate", "frame_number"})  # the fields that tell nothing of an owner
STOP = "stop"  # the field of the token in the link that ends all reminders
BITS = 128  # of that token: nobody guesses it
AGREED, ENDED = "contact_agreed.1", "contact_ended.1"
TOLD_SO, STOPPED, NEW_OWNER = "told so", "by the link", "new owner"


def contact_of(workshop: Workshop, vehicle: str) -> Contact:
    """How the owner of a vehicle agreed to be reached, as it stands now."""
    known = workshop.book.personal_of(f"vehicle/{vehicle}")
    return Contact(**{way: known.get(way, "") for way in WAYS})


def ways_of(contact: Contact) -> Ways:
    """The ways that an owner agreed to, the one that is tried before the others first."""
    return tuple(way for way in WAYS if getattr(contact, way))


def agreement_of(workshop: Workshop, vehicle: str) -> int:
    """The ledger's entry of the last yes to be reminded of a vehicle; 0 where nobody ever said it."""
    entries = workshop.book.entries(f"vehicle/{vehicle}")
    return max((each.sequence for each in entries if each.kind == AGREED), default=0)


def is_reached(workshop: Workshop, vehicle: str) -> bool:
    """Whether anything is kept to reach the owner of a vehicle by: told when it was entered, or agreed to later."""
    known = workshop.book.personal_of(f"vehicle/{vehicle}")
    return any(known.get(field) for field in (CONTACT, *WAYS))


def stop_token_of(workshop: Workshop, vehicle: str) -> str:
    """The token of the link that ends the reminders of a vehicle; "" where none are sent."""
    return workshop.book.personal_of(f"vehicle/{vehicle}").get(STOP, "")


def vehicle_of_stop(workshop: Workshop, token: str) -> str:
    """The vehicle whose reminders a link ends, "" where there is none, or they were ended."""
    found = workshop.book.subjects_of(STOP, token)
    return found[0].partition("/")[2] if found else ""


def agree_contact(workshop: Workshop, vehicle: str, contact: Contact, say: Say) -> None:
    """Record that the owner of a vehicle agreed to be reminded by mail, by short message, or by both.

    What was agreed before is over, and so is its link. Raises Refused where neither is told.
    """
    said = {"ways": list(ways_of(contact))}
    if not said["ways"]:
        raise Refused(f"{vehicle}: say by which way the owner wants to be reminded")

    def build(attempt: Attempt) -> list[Draft]:
        attempt.vehicle(vehicle)
        return [attempt.draft(f"vehicle/{vehicle}", AGREED, said)]

    personal = {f"vehicle/{vehicle}": agreed(workshop, contact)}
    record(workshop, say, ActName.AGREE_CONTACT, f"vehicle/{vehicle}", said, build, personal)
    workshop.book.outbox.try_vehicle_again(vehicle)
    workshop.book.overwrite_personal()  # there may have been another address before


def agreed(workshop: Workshop, contact: Contact) -> dict[str, str]:
    """What is known of a vehicle from a yes to be reminded on: address, number, and a new token that ends it."""
    return {**contact._asdict(), STOP: f"{workshop.chance.getrandbits(BITS):032x}"}


def end_contact(workshop: Workshop, vehicle: str, what: str, say: Say) -> None:
    """Record that nobody is reminded of a vehicle any more, and take mail address and number away.

    `what` is TOLD_SO, STOPPED or NEW_OWNER; with a new owner everything goes that reaches the old one. Raises Refused
    where nobody is reminded, and BookError where the disk may still hold what was taken away.
    """
    subject = f"vehicle/{vehicle}"

    def build(attempt: Attempt) -> list[Draft]:
        return [ended(attempt, vehicle, what)]

    gone = gone_with(workshop, vehicle, what)
    record(workshop, say, ActName.END_CONTACT, subject, {"what": what}, build, {subject: gone})
    workshop.book.overwrite_personal()


def ended(attempt: Attempt, vehicle: str, what: str) -> Draft:
    """The entry of an end. Raises Refused where nobody is reminded; a new owner takes over all the same."""
    attempt.vehicle(vehicle)
    if not any(contact_of(attempt.workshop, vehicle)) and what != NEW_OWNER:
        raise Refused(f"{vehicle}: nobody is reminded of it, so there is nothing to end")
    return attempt.draft(f"vehicle/{vehicle}", ENDED, {"what": what})


def gone_with(workshop: Workshop, vehicle: str, what: str) -> dict[str, str]:
    """The fields that an end takes away, each empty."""
    old = {CONTACT, *workshop.book.personal_of(f"vehicle/{vehicle}")} - OF_VEHICLE if what == NEW_OWNER else set()
    return dict.fromkeys((*WAYS, STOP, *sorted(old - {*WAYS, STOP})), "")
