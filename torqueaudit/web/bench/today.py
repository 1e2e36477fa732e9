"""The page of what is to be decided today, each motorcycle once, with the way to it."""

from typing import TYPE_CHECKING

from flask import render_template, request

from torqueaudit.model.shown.rows import call_text, count_text, folded, reaches_owner
from torqueaudit.web.addresses import way_up
from torqueaudit.workshop.night.today import today_of

if TYPE_CHECKING:
    from flask import Flask

    from torqueaudit.workshop.door.workshop import Workshop


def add_today_page(app: "Flask", workshop: "Workshop") -> None:
    """Add the page of today."""

    @app.get("/today")
    def today() -> str:
        """Show what is to be decided now, the most urgent first."""
        told = today_of(workshop)
        return render_template(
            "bench/today.html",
            told=told,
            folds=[fold for fold in folded(told.sections) if fold.section.lines],
            count=count_text,
            call=lambda row: call_text(row, told.unreached),
            reaches=lambda row: reaches_owner(row, told.unreached),
            up=way_up(request.path),
        )
