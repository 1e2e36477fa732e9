"""Ending reminders by the link of a mail: a page with one button, so that a program that looks at links ends nothing.

A reader's program may end them by itself (RFC 8058): it sends to the same address, and asks for nothing first.
"""

from typing import TYPE_CHECKING

from flask import render_template, request

from torqueaudit.model.act import BY_MAIL, Refused, Say
from torqueaudit.model.register.permits import OWNER
from torqueaudit.web.addresses import way_up
from torqueaudit.web.told import Told, page_of
from torqueaudit.workshop.vehicles.contact import STOPPED, end_contact, vehicle_of_stop

if TYPE_CHECKING:
    from flask import Flask
    from flask.typing import ResponseReturnValue

    from torqueaudit.workshop.door.workshop import Workshop

ENDED = Told("No more reminders", "You get no reminder any more. Your mail address was taken away here.", 200)
NOTHING = Told(
    "Nothing to stop",
    "No reminder goes out by this link: they were stopped before, or a newer mail has another link.",
    404,
)


def add_stop_page(app: "Flask", workshop: "Workshop") -> None:
    """Add the address that a mail's link opens."""

    @app.get("/stop/<token>")
    def stop(token: str) -> "ResponseReturnValue":
        """Ask whether all reminders are to end; nothing is changed by opening it."""
        vehicle = vehicle_of_stop(workshop, token)
        if not vehicle:
            return page_of(NOTHING, form=False)
        tag = workshop.vehicle(vehicle).tag
        return render_template("stop.html", tag=tag, up=f"{way_up(request.path)}stop/{token}")

    @app.post("/stop/<token>")
    def stopped(token: str) -> "ResponseReturnValue":
        """End all reminders at once."""
        vehicle = vehicle_of_stop(workshop, token)
        if not vehicle:
            return page_of(NOTHING, form=False)
        try:
            end_contact(workshop, vehicle, STOPPED, Say(OWNER, came=BY_MAIL))
        except Refused:  # somebody else has ended them meanwhile
            return page_of(NOTHING, form=False)
        return page_of(ENDED, form=False)
