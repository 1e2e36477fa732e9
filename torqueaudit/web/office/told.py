"""What the forms of the office share: each is sent once, from a page that still holds, and is refused at its field."""

from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from typing import TYPE_CHECKING, NamedTuple

from flask import g, redirect, render_template, request

from torqueaudit.model.act import Refused, Say
from torqueaudit.web.addresses import way_up
from torqueaudit.web.forms import say_of
from torqueaudit.web.typed import Typed

if TYPE_CHECKING:
    from flask.typing import ResponseReturnValue

    from torqueaudit.workshop.door.workshop import Workshop

OUT_OF_DATE = "this page was out of date: something was recorded since it was opened; look at it as it is now"
CARRIED = frozenset({"form", "id", "act", "seen"})  # fields of every form, which nobody types
# Records what a form tells, and gives the address that it leads to.
Tell = Callable[[Typed, Say], str]


class AtField(Refused):
    """A refusal of what stands in one field, by its name."""

    def __init__(self, field: str, says: str) -> None:
        super().__init__(says)
        self.field = field


class Sent(NamedTuple):
    """A form that was refused: what was typed, why it was refused, and at which field, "" where at none."""

    typed: Typed
    says: str
    field: str


@contextmanager
def at_field(name: str) -> Iterator[None]:
    """What a reader raises inside is refused at a field."""
    try:
        yield
    except ValueError as error:
        raise AtField(name, str(error)) from None


def told(
    workshop: "Workshop", subject: str, tells: Mapping[str, Tell], page: Callable[[Sent], str]
) -> "ResponseReturnValue":
    """Record what a form tells, by the act it names, and lead on; or show its page again with why not.

    `subject` is what the page shows, "" where a form enters something new.
    """
    typed = Typed(request.form)
    try:
        say, tell = say_of(g.asking, typed), tells[typed.chosen("act", tells)]
        _require_fresh(workshop, subject, typed)
        address = tell(typed, say)
    except Refused as refused:
        return page(Sent(typed, str(refused), _field_of(refused, typed))), 422
    return redirect(f"{way_up(request.path)}{address}", 303)


def page_of_office(
    workshop: "Workshop", template: str, sent: Sent | None = None, *, subject: str = "", **shown: object
) -> str:
    """One page of the office; `subject` is what it shows, so that its forms say how much of it was recorded then."""
    return render_template(
        f"office/{template}",
        sent=sent,
        typed=sent.typed if sent else None,
        act_id=workshop.new_id(),
        seen=len(workshop.book.entries(subject)) if subject else 0,
        up=way_up(request.path),
        **shown,
    )


def _require_fresh(workshop: "Workshop", subject: str, typed: Typed) -> None:
    """Refuse a form of a page that was opened before something else was recorded; one sent twice is no such form.

    One that does not say what it saw may be sent whatever was recorded.
    """
    if not (subject and typed.one("seen")) or workshop.book.of_act(typed.one("id")):
        return
    if len(workshop.book.entries(subject)) != typed.number("seen"):
        raise Refused(OUT_OF_DATE)


def _field_of(refused: Refused, typed: Typed) -> str:
    """The field that holds what a refusal begins with or quotes, as each sentence tells what it refuses."""
    if isinstance(refused, AtField):
        return refused.field
    says = str(refused)
    meant = (name for name, told in typed.each() if told and (says.startswith(f"{told}:") or f"“{told}”" in says))
    return next((name for name in meant if name not in CARRIED and not name.startswith("was-")), "")
