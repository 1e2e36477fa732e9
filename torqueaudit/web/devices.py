"""The foreman's page of devices and people: let in, withdraw, unlock, set a PIN."""

from collections.abc import Callable
from typing import TYPE_CHECKING

from flask import g, redirect, render_template, request
from markupsafe import Markup

from torqueaudit.model.act import Refused
from torqueaudit.read.number import read_person_number
from torqueaudit.reports.symbol import text_symbol
from torqueaudit.web.addresses import way_up
from torqueaudit.web.forms import say_of
from torqueaudit.web.typed import Typed
from torqueaudit.workshop.door.lists import people
from torqueaudit.workshop.signing.devices import Invitation, admission_address, invite, show_devices, withdraw_device
from torqueaudit.workshop.signing.pins import has_pin, is_locked, set_pin, unlock

if TYPE_CHECKING:
    from flask import Flask
    from flask.typing import ResponseReturnValue

    from torqueaudit.workshop.door.workshop import Workshop


def add_device_pages(app: "Flask", workshop: "Workshop") -> None:
    """Add what a foreman keeps of devices and PINs."""

    @app.get("/devices")
    def devices() -> "ResponseReturnValue":
        """List the devices, and the people with how they sign."""
        return _page(workshop)

    @app.post("/devices/invite")
    def inviting() -> "ResponseReturnValue":
        """Show the code of a device to be let in, once."""
        typed = Typed(request.form)
        try:
            given = invite(workshop, say_of(g.asking, typed), typed.one("name"))
        except Refused as refused:
            return _page(workshop, str(refused), typed), 422
        return _code_page(workshop, given)

    @app.post("/devices/<number>/withdraw")
    def withdraw(number: str) -> "ResponseReturnValue":
        """Let a device in no more."""
        typed = Typed(request.form)
        say, why, own = say_of(g.asking, typed), typed.one("why"), number.upper()
        return _done(workshop, lambda: withdraw_device(workshop, say, own, why), typed, own)

    @app.post("/devices/unlock")
    def unlocking() -> "ResponseReturnValue":
        """Unlock a person or a device."""
        typed = Typed(request.form)
        return _done(workshop, lambda: unlock(workshop, say_of(g.asking, typed), typed.one("subject").upper()), typed)

    @app.post("/devices/pin")
    def give_pin() -> "ResponseReturnValue":
        """Set somebody's PIN."""
        typed = Typed(request.form)
        say, person = say_of(g.asking, typed), read_person_number(typed.one("person"))
        return _done(workshop, lambda: set_pin(workshop, say, person, typed.one("pin")), typed, person)


def _code_page(workshop: "Workshop", given: Invitation) -> str:
    """The code of an invitation, as a symbol and as an address."""
    address = admission_address(workshop, given.code)
    until = given.until.astimezone(workshop.settings.timezone)
    return render_template(
        "signing/invited.html",
        given=given,
        until=f"{until:%H:%M}",
        address=address,
        symbol=Markup(text_symbol(address, f"Lets in {given.name}")),  # noqa: S704  # our own drawing of an address
        up=way_up(request.path),
    )


def _done(workshop: "Workshop", act: Callable[[], None], typed: Typed, of: str = "") -> "ResponseReturnValue":
    """Do what a form asks, and show the list again; or why it was not done, where it was typed.

    A form that is sent twice records once.
    """
    try:
        act()
    except Refused as refused:
        return _page(workshop, str(refused), typed, of), 422
    return redirect(f"{way_up(request.path)}devices", 303)


def _page(workshop: "Workshop", says: str = "", typed: Typed | None = None, of: str = "") -> str:
    """The page; where a form was refused with why not, what was `typed`, and of which device or person it was."""
    here = [(each.number, name) for each, name in people(workshop) if each.left is None]
    return render_template(
        "signing/devices.html",
        devices=show_devices(workshop),
        people=tuple((number, name, has_pin(workshop, number), is_locked(workshop, number)) for number, name in here),
        says=says,
        typed=typed,
        refused_of=of,
        zone=workshop.settings.timezone,
        act_id=workshop.new_id(),
        up=way_up(request.path),
    )
