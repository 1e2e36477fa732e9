"""One person of the office: roles, supervisor, name, PIN, start and end of their work here."""

from collections.abc import Mapping
from typing import TYPE_CHECKING

from flask import request

from torqueaudit.model.act import Refused, Say
from torqueaudit.model.register.acts import PersonChange
from torqueaudit.read.day import read_day
from torqueaudit.read.number import read_person_number
from torqueaudit.web.office.people import ROLES, supervisors
from torqueaudit.web.office.told import AtField, Sent, TellOf, at_field, page_of_office, read_at, told
from torqueaudit.web.typed import Typed
from torqueaudit.workshop.door.refusal import nobody
from torqueaudit.workshop.door.words import entries_text, words_left
from torqueaudit.workshop.register.people import change_person, end_person, forget_person, what_follows
from torqueaudit.workshop.signing.pins import has_pin, is_locked, set_pin, unlock

if TYPE_CHECKING:
    from flask import Flask
    from flask.typing import ResponseReturnValue

    from torqueaudit.model.register.people import Person
    from torqueaudit.workshop.door.workshop import Workshop

DONE = {"pin": "The PIN is set. Whoever has it signs under this number: let nobody else see it.", "unlock": "Unlocked."}


def add_one_person(app: "Flask", workshop: "Workshop") -> None:
    """Add the page of one person."""

    @app.get("/office/person/<number>")
    def office_person(number: str) -> str:
        """Show a person, with what followed from what was told last."""
        return _page(workshop, read_person_number(number))

    @app.post("/office/person/<number>")
    def office_person_told(number: str) -> "ResponseReturnValue":
        """Record what a form tells of a person."""
        own = read_person_number(number)
        return told(workshop, f"person/{own}", TELLS, _page, workshop, own)


def _page(workshop: "Workshop", own: str, sent: Sent | None = None) -> str:
    person = _person(workshop, own)
    done = request.args.get("done", "")
    return page_of_office(
        workshop,
        "person.html",
        sent,
        subject=f"person/{own}",
        person=person,
        name=workshop.book.personal_of(f"person/{own}").get("name", ""),
        pin=has_pin(workshop, own),
        locked=is_locked(workshop, own),
        roles=ROLES,
        chosen=sent.typed.every("role") if sent and sent.typed.one("act") == "change" else person.roles,
        supervisors=supervisors(workshop, own),
        today=workshop.today(),
        done=DONE.get(done, ""),
        follows=what_follows(workshop, own) if done == "end" and person.left else None,
        left_words=entries_text(words_left(workshop, f"person/{own}")) if done == "forget" else "",
    )


def _person(workshop: "Workshop", own: str) -> "Person":
    person = workshop.person(own)
    if person is None:
        raise nobody(own)
    return person


def _changed(workshop: "Workshop", own: str, typed: Typed, say: Say) -> str:
    change = PersonChange(
        roles=typed.every("role"),
        supervisor=typed.one("supervisor"),
        start=read_at(typed, "start", read_day),
        name=typed.other("name"),
    )
    change_person(workshop, own, change, say)
    return f"office/person/{own}"


def _left(workshop: "Workshop", own: str, typed: Typed, say: Say) -> str:
    with at_field("on"):
        day = read_day(typed.one("on"))
    end_person(workshop, own, day, typed.one("why"), say)
    return f"office/person/{own}?done=end"


def _pin_set(workshop: "Workshop", own: str, typed: Typed, say: Say) -> str:
    if typed.one("new") != typed.one("again"):
        raise AtField("again", "the two PINs differ; type it twice alike")
    try:
        set_pin(workshop, say, own, typed.one("new"))
    except Refused as refused:
        raise AtField("new", str(refused)) from None
    return f"office/person/{own}?done=pin"


def _unlocked(workshop: "Workshop", own: str, _: Typed, say: Say) -> str:
    unlock(workshop, say, own)
    return f"office/person/{own}?done=unlock"


def _forgotten(workshop: "Workshop", own: str, typed: Typed, say: Say) -> str:
    if typed.one("yes") != "yes":
        raise AtField("yes", "tick that the name is erased for good")
    forget_person(workshop, own, say)
    return f"office/person/{own}?done=forget"


TELLS: Mapping[str, TellOf] = {
    "change": _changed,
    "end": _left,
    "pin": _pin_set,
    "unlock": _unlocked,
    "forget": _forgotten,
}
