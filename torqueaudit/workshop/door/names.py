"""What people type is looked through for whatever names somebody whom the book knows."""

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

from torqueaudit.ledger.words import FreeWords
from torqueaudit.model.act import Refused
from torqueaudit.model.register.permits import ActName

if TYPE_CHECKING:
    from torqueaudit.workshop.door.workshop import Workshop

# The text of a source, where a word may be anybody's name; choices; and a vehicle's tag, which the act itself looks at.
LOOKED_AT_ELSEWHERE = frozenset(
    {
        *(ActName.ENTER_PROCEDURE, ActName.SETTLE),
        *(ActName.ENTER_VEHICLE, ActName.CHANGE_VEHICLE, ActName.MOVE_VEHICLE_IN),
    }
)
# Read as a number or a day, or one of what the program, the book or a procedure lists: no name can be typed there.
_LISTED = """
adapter adapters angle answer as_found as_left at bytes construction cycles day differing digest direction drag
drag_wrench due_on entries entry expanded expires_on final_shown fitted follows helpers hour instrument iso_class jobs
key kind leaving lever_expanded_mm lever_mm max_nm method min_nm name new odometer_m of on only outcome paper points
position procedure renamed role roles rule rules scales shown slot slot_shown stage start state subject supervisor
target temperature_c tester_expanded thread_ok uncertainty unit value vehicle way ways what wrench
"""
LISTED = frozenset(_LISTED.split())


def refuse_personal(workshop: "Workshop", value: object) -> None:
    """Refuse words that name a person, or that hold a plate, an address or a number. Raises Refused."""
    if isinstance(value, FreeWords):
        _refuse(workshop, value.text, "")
    elif isinstance(value, Mapping):
        for field, item in value.items():
            if field not in LISTED:
                refuse_personal(workshop, item)
    elif isinstance(value, list | tuple):
        for item in value:
            refuse_personal(workshop, item)
    elif isinstance(value, str):
        _refuse(workshop, value, ", and the ledger never forgets")


def _refuse(workshop: "Workshop", text: str, why: str) -> None:
    if known := workshop.book.mentions(text):
        raise named(text, known, why)


def named(text: str, known: Sequence[str], why: str = ", and the ledger never forgets") -> Refused:
    """The refusal of a text that names somebody: it repeats what was typed, and says what to write instead."""
    numbers = " or ".join(subject.partition("/")[2] for subject in known)
    instead = numbers if len(known) == 1 else "the right number"
    return Refused(f"“{text}” holds a name or number of {numbers}{why}; write {instead} instead")
