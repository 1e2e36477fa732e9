"""What the forms of the office share: each is sent once, from a page that still holds, and is refused at its field."""

from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from typing import TYPE_CHECKING, NamedTuple, TypeVar, TypeVarTuple

from flask import g, redirect, render_template, request

from torqueaudit.model.act import Refused, Say
from torqueaudit.web.addresses import way_up
from torqueaudit.web.forms import say_of
from torqueaudit.web.typed import Typed

if TYPE_CHECKING:
    from flask.typing import ResponseReturnValue

    from torqueaudit.ledger.entry import Entry
    from torqueaudit.workshop.door.workshop import Workshop

Read = TypeVar("Read")
Of = TypeVarTuple("Of")  # what an act and the page are of, such as the workshop and a number

OUT_OF_DATE = "this page was out of date: something was recorded since it was opened; look at it as it is now"
CARRIED = frozenset({"form", "id", "act", "seen"})  # fields of every form, which nobody types
# Records what a form tells, and gives the address that it leads to.
Tell = Callable[[Typed, Say], str]
# Records what a form tells of what a page shows, which has this number, and gives the address that it leads to.
TellOf = Callable[["Workshop", str, Typed, Say], str]


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


def read_at(typed: Typed, name: str, read: Callable[[str], Read]) -> Read | None:
    """What a field tells, None where it was left empty. Raises Refused at the field where it cannot be read."""
    with at_field(name):
        return read(text) if (text := typed.one(name)) else None


def told(
    workshop: "Workshop",
    subject: str,
    tells: Mapping[str, Callable[[*Of, Typed, Say], str]],
    page: Callable[[*Of, Sent], str],
    *of: *Of,
) -> "ResponseReturnValue":
    """Record what a form tells, by the act it names, and lead on; or show its page again with why not.

    `subject` is what the page shows, "" where a form enters something new. Each act, and the page, are given what they
    are `of` before what was sent.
    """
    typed = Typed(request.form)
    try:
        say, tell = say_of(g.asking, typed), tells[typed.chosen("act", tells)]
        _require_fresh(workshop, subject, typed)
        address = tell(*of, typed, say)
    except Refused as refused:
        return page(*of, Sent(typed, str(refused), _field_of(refused, typed))), 422
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


def entry_asked(workshop: "Workshop", subject: str, word: str, *kinds: str) -> "Entry | None":
    """The entry of a subject that a word of the address names by its number; None where none of these kinds is."""
    asked = request.args.get(word, "")
    entries = workshop.book.entries(subject) if asked else ()
    return next((each for each in entries if str(each.sequence) == asked and each.what in kinds), None)


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
