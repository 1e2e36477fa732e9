"""A vehicle's tag: made of model, colour and number. It is printed on labels and kept for ever, so it names nobody."""

from collections.abc import Mapping
from typing import TYPE_CHECKING

from torqueaudit.book.written import besides, ways_in, ways_of_field
from torqueaudit.model.act import Refused
from torqueaudit.workshop.door.names import named

if TYPE_CHECKING:
    from torqueaudit.workshop.door.workshop import Workshop


def require_nameless(tag: str, model: str, personal: Mapping[str, str]) -> None:
    """Refuse a tag or a model that holds a part of what is known, or told at once, of the vehicle's owner.

    Colours and the words of the model are nobody's name there.
    """
    written = {
        tag: ways_in(tag, singly=False) | ways_in(besides(tag, model)),
        model: ways_in(model, singly=False),
    }
    for text, ways in written.items():
        for field, value in personal.items():
            if ways & ways_of_field(field, value, strict=True):
                what = f"a part of the {field.replace('_', ' ')}"
                says = f"“{text}” holds {what}, and the ledger never forgets"
                raise Refused(f"{says}; call it by model, colour and number instead")


def looked_at_of(tag: str, model: str) -> tuple[tuple[str, str, bool], ...]:
    """What is looked through for somebody's name: the text, what of it, and whether also for a single word of one."""
    return ((tag, tag, False), (model, model, False), (tag, besides(tag, model), True))


def require_nobody_known(workshop: "Workshop", tag: str, model: str) -> None:
    """Refuse a tag or a model that names somebody whom the book knows, or holds a plate or a number of theirs."""
    for text, looked_at, singly in looked_at_of(tag, model):
        if known := workshop.book.mentions(looked_at, singly=singly):
            raise named(text, known)
