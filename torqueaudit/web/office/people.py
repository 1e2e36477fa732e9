"""The people of the office: everybody with what they do here, and somebody entered."""

from collections.abc import Iterator
from typing import TYPE_CHECKING, NamedTuple

from torqueaudit.model.act import Say
from torqueaudit.model.register.permits import FOREMAN, MECHANIC, TRAINEE
from torqueaudit.read.day import read_day
from torqueaudit.web.office.told import Sent, page_of_office, read_at, told
from torqueaudit.web.typed import Typed
from torqueaudit.workshop.door.lists import people
from torqueaudit.workshop.register.people import add_person
from torqueaudit.workshop.signing.pins import has_pin, is_locked

if TYPE_CHECKING:
    from flask import Flask
    from flask.typing import ResponseReturnValue

    from torqueaudit.model.register.people import Person
    from torqueaudit.workshop.door.workshop import Workshop

ROLES = {
    MECHANIC: "Mechanic: works, and checks what others did",
    TRAINEE: "Trainee: works; somebody else answers for it",
    FOREMAN: "Foreman: releases, permits, and opens this office",
}


class Line(NamedTuple):
    """Somebody in the list of all: number, name, what they do here, and what a foreman has to look at."""

    number: str
    name: str
    says: str
    asks: bool


def add_people_list(app: "Flask", workshop: "Workshop") -> None:
    """Add the page of all people."""

    @app.get("/office/people")
    def office_people() -> str:
        """List everybody, also who has left."""
        return _page(workshop)

    @app.post("/office/people")
    def office_person_entered() -> "ResponseReturnValue":
        """Enter somebody, and lead to their page."""
        return told(workshop, "", {"enter": _entered}, _page, workshop)


def supervisors(workshop: "Workshop", own: str = "") -> dict[str, str]:
    """Who may answer for somebody's work, as they are chosen."""
    may = [(each, name) for each, name in people(workshop) if not (each.left or each.only_trainee)]
    return {"": "Nobody"} | {each.number: f"{each.number} {name}".rstrip() for each, name in may if each.number != own}


def _page(workshop: "Workshop", sent: Sent | None = None) -> str:
    known = people(workshop)
    left = [each.number for each, _ in known if each.left]
    return page_of_office(
        workshop,
        "people.html",
        sent,
        here=[_line(workshop, each, name, left) for each, name in known if not each.left],
        gone=[_line(workshop, each, name, left) for each, name in known if each.left],
        roles=ROLES,
        supervisors=supervisors(workshop),
        chosen=sent.typed.every("role") if sent else (),
    )


def _line(workshop: "Workshop", person: "Person", name: str, left: list[str]) -> Line:
    asks = list(_asks(workshop, person, left))
    says = f"left on {person.left.on}" if person.left else ", ".join((" and ".join(person.roles), *asks))
    return Line(person.number, name or "name erased", says, asks=bool(asks) and not person.left)


def _asks(workshop: "Workshop", person: "Person", left: list[str]) -> Iterator[str]:
    """What somebody cannot do until a foreman has done something."""
    if is_locked(workshop, person.number):
        yield "locked after wrong PINs"
    if not has_pin(workshop, person.number):
        yield "has no PIN"
    if person.supervisor in left:
        yield f"{person.supervisor}, who answered for the work, has left"


def _entered(workshop: "Workshop", typed: Typed, say: Say) -> str:
    start = read_at(typed, "start", read_day)
    number = add_person(workshop, typed.one("name"), typed.every("role"), typed.one("supervisor"), say, start)
    return f"office/person/{number}"
