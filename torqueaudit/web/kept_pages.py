"""Pages sent once more as they were drawn, while nothing that they say has changed; each with new ids for its forms."""

from collections.abc import Callable
from functools import wraps
from typing import TYPE_CHECKING, NamedTuple, ParamSpec

from flask import g, request

if TYPE_CHECKING:
    from torqueaudit.web.asking import Asking
    from torqueaudit.workshop.door.workshop import Workshop

Given = ParamSpec("Given")


class Drawn(NamedTuple):
    """A page, and the ids that stand in its forms: every sending of it has others, or two acts would count as one."""

    text: str
    ids: tuple[str, ...]


def fresh_id(workshop: "Workshop") -> str:
    """An id for a form of the page that is being drawn."""
    made = workshop.new_id()
    g.ids = (*g.get("ids", ()), made)
    return made


def kept_page(workshop: "Workshop") -> Callable[[Callable[Given, str]], Callable[Given, str]]:
    """Draw a page again only where something has changed that it was drawn from (`workshop.door.kept`).

    Of the request it may use the address with its query, and who asks, and nothing else.
    """

    def layer(draw: Callable[Given, str]) -> Callable[Given, str]:
        @wraps(draw)
        def page(*args: Given.args, **kwargs: Given.kwargs) -> str:
            def drawn() -> Drawn:
                g.ids = ()
                return Drawn(draw(*args, **kwargs), g.ids)

            if workshop.kept is None:
                return drawn().text
            key = (request.path, request.query_string, *_who(g.asking))
            return _anew(workshop, workshop.kept.get(f"{draw.__module__}.{draw.__qualname__}", key, drawn))

        return page

    return layer


def _who(asking: "Asking") -> tuple[object, ...]:
    """Everything that is known of who asks, with what stays chosen."""
    return (asking.device, asking.person, asking.reach, asking.asleep, asking.form, *asking.chosen.items())


def _anew(workshop: "Workshop", page: Drawn) -> str:
    text = page.text
    for each in page.ids:
        text = text.replace(each, workshop.new_id())
    return text
