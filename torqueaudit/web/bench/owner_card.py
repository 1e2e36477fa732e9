"""The card of a motorcycle's owner: what is known and was said, and the acts that change it, each asked back."""

from collections.abc import Callable, Iterator, Mapping
from typing import TYPE_CHECKING

from flask import g, redirect, render_template, request

from torqueaudit.book.written import telephones_as_written
from torqueaudit.model.act import Came, Refused, Say
from torqueaudit.model.shown.owner import call_of
from torqueaudit.model.shown.reminder import Contact
from torqueaudit.model.vehicle.acts import VehicleChange
from torqueaudit.read.mail import read_mail_address
from torqueaudit.read.mobile import read_mobile
from torqueaudit.read.number import read_vehicle_number
from torqueaudit.web.addresses import way_up
from torqueaudit.web.forms import say_of
from torqueaudit.web.typed import Typed
from torqueaudit.workshop.customers.card import customer_card
from torqueaudit.workshop.customers.changes import forget_owner, hand_to_new_owner
from torqueaudit.workshop.door.refusal import refused_if_unreadable
from torqueaudit.workshop.door.words import entries_text
from torqueaudit.workshop.vehicles.contact import TOLD_SO, agree_contact, end_contact
from torqueaudit.workshop.vehicles.corrections import change_vehicle

if TYPE_CHECKING:
    from flask import Flask
    from flask.typing import ResponseReturnValue

    from torqueaudit.model.shown.customer import Known
    from torqueaudit.workshop.door.workshop import Workshop


def add_owner_card(app: "Flask", workshop: "Workshop") -> None:
    """Add the card, and what its forms record. Nothing of them is kept in a browser: they hold names and numbers."""

    @app.get("/vehicle/<number>/owner")
    def owner_card(number: str) -> str:
        """Show the card of a motorcycle's owner."""
        return _page(workshop, read_vehicle_number(number))

    @app.post("/vehicle/<number>/owner")
    def owner_told(number: str) -> "ResponseReturnValue":
        """Record what a form of the card tells, and show the card as it is then."""
        own, typed = read_vehicle_number(number), Typed(request.form)
        try:
            tell = FORMS[typed.chosen("act", FORMS)]
            says = tell(workshop, own, typed, say_of(g.asking, typed))
        except Refused as refused:
            return _page(workshop, own, str(refused), typed), 422
        return _page(workshop, own, says) if says else redirect(f"{way_up(request.path)}vehicle/{own}/owner", 303)


def _page(workshop: "Workshop", own: str, says: str = "", typed: Typed | None = None) -> str:
    card = customer_card(workshop, own, Say(g.asking.person, came=Came("page", "PIN", g.asking.device)))
    return render_template(
        "bench/owner_card.html",
        card=card,
        ways=[way for each in card.known for way in _ways(each)],
        says=says,
        refused=typed is not None,
        typed=typed,
        act_id=workshop.new_id(),
        up=way_up(request.path),
    )


def _ways(known: "Known") -> Iterator[tuple[str, str]]:
    """The links by which an owner is reached: the address of each, and what stands on it."""
    if known.field == "mail":
        yield f"mailto:{known.value}", "Write a mail"
    elif known.field in ("contact", "mobile"):
        yield from ((f"tel:{call_of(each)}", f"Call {each}") for each in telephones_as_written(known.value))


def _put_right(workshop: "Workshop", own: str, typed: Typed, say: Say) -> str:
    told = {field: typed.one(field) for field in ("plate", "frame_number", "contact")}
    new = {field: value for field, value in told.items() if value != typed.one(f"was-{field}")}
    change_vehicle(workshop, own, VehicleChange(personal=new), say)
    return ""


def _agreed(workshop: "Workshop", own: str, typed: Typed, say: Say) -> str:
    _require_yes(typed, "ask the owner, then tick that they said yes")
    mail, mobile = typed.one("mail"), typed.one("mobile")
    with refused_if_unreadable():
        contact = Contact(mail and read_mail_address(mail), mobile and read_mobile(mobile))
    agree_contact(workshop, own, contact, say)
    return ""


def _ended(workshop: "Workshop", own: str, typed: Typed, say: Say) -> str:
    _require_yes(typed, "tick that the owner wants no reminders")
    end_contact(workshop, own, TOLD_SO, say)
    return ""


def _new_owner(workshop: "Workshop", own: str, typed: Typed, say: Say) -> str:
    _require_yes(typed, "tick that it has another owner now")
    hand_to_new_owner(workshop, own, {"plate": typed.one("plate"), "contact": typed.one("contact")}, say)
    return ""


def _forgotten(workshop: "Workshop", own: str, typed: Typed, say: Say) -> str:
    _require_yes(typed, "tick that all of it is erased for good")
    left = forget_owner(workshop, own, say)
    if not left:
        return "All that was known of the owner is erased."
    says = f"Remarks and reasons stay: look whether {entries_text(left)} name anybody."
    return f"All that was known of the owner is erased. {says}"


def _require_yes(typed: Typed, says: str) -> None:
    if typed.one("yes") != "yes":
        raise Refused(says)


FORMS: Mapping[str, Callable[["Workshop", str, Typed, Say], str]] = {
    "put-right": _put_right,
    "agreed": _agreed,
    "ended": _ended,
    "new-owner": _new_owner,
    "forget": _forgotten,
}
