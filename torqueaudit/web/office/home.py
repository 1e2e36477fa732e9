"""The first page of the office, which leads to all others."""

from typing import TYPE_CHECKING

from torqueaudit.web.office.told import page_of_office

if TYPE_CHECKING:
    from flask import Flask

    from torqueaudit.workshop.door.workshop import Workshop

# Each with its address, its name, and what is kept there.
ROOMS = (
    ("office/people", "People", "entered, roles, PINs, who has left"),
    ("office/wrenches", "Wrenches", "entered, calibrated, put aside"),
    ("office/motorcycles", "Motorcycles", "entered, put right, gone"),
    ("office/labels", "Labels", "of jobs, wrenches and people"),
    ("office/settings", "Settings", "what the workshop has chosen"),
    ("office/procedures", "Procedures", "written from a printed page, entered, read against it"),
    ("devices", "Devices and PINs", "let in, withdrawn, unlocked"),
    ("programs", "Other programs", "given what stands here"),
)


def add_office(app: "Flask", workshop: "Workshop") -> None:
    """Add the page that leads to all that a foreman keeps."""

    @app.get("/office")
    def office() -> str:
        """Lead to what the workshop keeps."""
        return page_of_office(workshop, "home.html", rooms=ROOMS)
