"""What every form carries besides its fields: who sends it, by which door, under which id, and how long ago it was."""

from typing import TYPE_CHECKING

from torqueaudit.model.act import Came, Say

if TYPE_CHECKING:
    from torqueaudit.web.asking import Asking
    from torqueaudit.web.typed import Typed

SENT_BEFORE = "This form was sent before, with other words, and that is recorded. Look at it, and go on from there."


def say_of(asking: "Asking", typed: "Typed") -> Say:
    """Who says it, with the act's own id, so that a form sent twice records once."""
    return Say(
        by=asking.person,
        minutes_ago=typed.number("ago"),
        id=typed.one("id"),
        here=typed.one("here") == "yes",
        again=typed.one("again") == "yes",
        sure=typed.one("sure") == "yes",
        came=Came("page", "PIN", asking.device),
    )
