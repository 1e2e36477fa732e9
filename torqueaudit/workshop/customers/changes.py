"""What is done when an owner is another one, or is to be forgotten: the acts that there are, in one step."""

from collections.abc import Mapping
from typing import TYPE_CHECKING

from torqueaudit.ledger.entry import Draft
from torqueaudit.model.act import Refused
from torqueaudit.model.register.permits import ActName
from torqueaudit.model.vehicle.acts import VehicleChange
from torqueaudit.workshop.door.attempt import Attempt, record
from torqueaudit.workshop.door.ledger import forget
from torqueaudit.workshop.door.words import words_left
from torqueaudit.workshop.vehicles.contact import NEW_OWNER, ended, gone_with
from torqueaudit.workshop.vehicles.corrections import changed

if TYPE_CHECKING:
    from torqueaudit.model.act import Say
    from torqueaudit.workshop.door.workshop import Workshop


def hand_to_new_owner(workshop: "Workshop", number: str, known: Mapping[str, str], say: "Say") -> None:
    """Take away whatever reaches the old owner, and enter what is told of the new one: `plate`, `contact`.

    It is one act: raises Refused as `change_vehicle`, and nothing is taken away then. What both owners have stays.
    """
    told, subject = {field: value for field, value in known.items() if value}, f"vehicle/{number}"

    def build(attempt: Attempt) -> list[Draft]:
        drafts = [ended(attempt, number, NEW_OWNER)]
        before = workshop.book.personal_of(subject)
        if any(before.get(field) != value for field, value in told.items()):
            attempt.permit(ActName.CHANGE_VEHICLE)
            drafts.append(changed(attempt, number, VehicleChange(personal=told)))
        return drafts

    said = {"what": NEW_OWNER, "personal": sorted(told)}
    personal = {subject: {**gone_with(workshop, number, NEW_OWNER), **told}}
    record(workshop, say, ActName.END_CONTACT, subject, said, build, personal)
    workshop.book.overwrite_personal()


def forget_owner(workshop: "Workshop", number: str, say: "Say") -> list[int]:
    """Erase what names a vehicle's owner; the entries whose free words may name somebody still.

    Raises Refused for who may not, and where nothing is known.
    """
    subject = f"vehicle/{number}"
    Attempt(workshop, say).permit(ActName.FORGET)
    if not workshop.book.personal_of(subject):
        raise Refused(f"{number}: nothing is known of its owner, so there is nothing to forget")
    forget(workshop, subject)
    return words_left(workshop, subject)
