"""The wrenches of the office: every one with its state and the end of its calibration, and one entered."""

from typing import TYPE_CHECKING

from torqueaudit.model.act import Say
from torqueaudit.model.wrench.acts import NewWrench
from torqueaudit.model.wrench.classes import BAR, CLASSES, INDICATING, OTHER, SCREWDRIVER, SETTING
from torqueaudit.model.wrench.words import class_text
from torqueaudit.read.day import read_day
from torqueaudit.read.wrench import read_class, read_lever
from torqueaudit.web.office.told import Sent, page_of_office, read_at, told
from torqueaudit.web.typed import Typed
from torqueaudit.workshop.wrenches.view import IN_USE, list_wrenches
from torqueaudit.workshop.wrenches.wrench import add_wrench

if TYPE_CHECKING:
    from flask import Flask
    from flask.typing import ResponseReturnValue

    from torqueaudit.workshop.door.workshop import Workshop

KINDS = {SETTING: "It clicks at what it is set to (type II)", INDICATING: "It shows what it turns with (type I)"}
SIDES = {"": "Not stated", "right": "To the right", "left": "To the left", "both": "To the right and to the left"}
MADE = {OTHER: "A usual wrench", BAR: "With a torsion or flexion bar", SCREWDRIVER: "A screwdriver"}
ISO_CLASSES = {"": "Not stated", **{each: class_text(each) for each in CLASSES}}


def add_wrench_list(app: "Flask", workshop: "Workshop") -> None:
    """Add the page of all wrenches."""

    @app.get("/office/wrenches")
    def office_wrenches() -> str:
        """List every wrench."""
        return _page(workshop)

    @app.post("/office/wrenches")
    def office_wrench_entered() -> "ResponseReturnValue":
        """Enter a wrench, and lead to it."""
        return told(workshop, "", {"enter": _entered}, _page, workshop)


def units_of(workshop: "Workshop") -> dict[str, str]:
    """The units in which a torque may be typed, N·m first, as they are chosen."""
    return {unit.symbol: unit.symbol for unit in workshop.plugins.units.units}


def with_unit(number: str, unit: str) -> str:
    """A figure and its unit as they are read; a figure that brings its own keeps it, and none stays none."""
    return f"{number} {unit}" if number and not any(sign.isalpha() for sign in number) else number


def _page(workshop: "Workshop", sent: Sent | None = None) -> str:
    listed, settings = list_wrenches(workshop), workshop.settings
    return page_of_office(
        workshop,
        "wrenches.html",
        sent,
        wrenches=listed,
        soon={each.number for each in listed if each.due_on and settings.ends_soon(each.due_on, workshop.today())},
        in_use=IN_USE,
        kinds=KINDS,
        sides=SIDES,
        made=MADE,
        classes=ISO_CLASSES,
        units=units_of(workshop),
    )


def _entered(workshop: "Workshop", typed: Typed, say: Say) -> str:
    unit, lever = typed.one("unit"), read_at(typed, "lever", read_lever)
    new = NewWrench(
        kind=typed.one("kind"),
        tag=typed.one("tag"),
        lowest=with_unit(typed.one("lowest"), unit),
        highest=with_unit(typed.one("highest"), unit),
        lever_mm=lever.value if lever else None,
        lever_expanded_mm=lever.expanded if lever else None,
        due_on=read_at(typed, "due", read_day),
        construction=typed.one("construction") or OTHER,
        iso_class=read_at(typed, "class", read_class) or "",
        direction=typed.one("direction"),
        scales=tuple(with_unit(each, unit) for each in typed.every("scale")),
        owner=typed.one("owner"),
    )
    return f"office/wrench/{add_wrench(workshop, new, say)}"
