"""What is done when an owner is another one, or is to be forgotten: the acts that there are, in one step."""

from collections.abc import Mapping
from typing import TYPE_CHECKING

from torqueaudit.model.act import Refused
from torqueaudit.model.register.permits import ActName
from torqueaudit.model.vehicle.acts import VehicleChange
from torqueaudit.workshop.door.attempt import Attempt
from torqueaudit.workshop.door.ledger import forget
from torqueaudit.workshop.door.words import words_left
from torqueaudit.workshop.vehicles.contact import NEW_OWNER, end_contact
from torqueaudit.workshop.vehicles.corrections import change_vehicle

if TYPE_CHECKING:
    from torqueaudit.model.act import Say
    from torqueaudit.workshop.door.workshop import Workshop


def hand_to_new_owner(workshop: "Workshop", number: str, known: Mapping[str, str], say: "Say") -> None:
    """Take away whatever reaches the old owner, and enter what is told of the new one: `plate`, `contact`.

    Raises Refused as `change_vehicle`, before anything is taken away.
    """
    told = {field: value for field, value in known.items() if value}
    Attempt(workshop, say).permit(ActName.END_CONTACT)
    before = workshop.book.personal_of(f"vehicle/{number}")
    end_contact(workshop, number, NEW_OWNER, say._replace(id=f"{say.id}.end" if say.id else ""))
    if any(before.get(field) != value for field, value in told.items()):
        change = VehicleChange(personal=told)
        change_vehicle(workshop, number, change, say._replace(id=f"{say.id}.new" if say.id else ""))


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
