"""The page of a motorcycle's life, below its own page, and that of two jobs side by side."""

from typing import TYPE_CHECKING

from flask import render_template, request

from torqueaudit.model.act import Refused
from torqueaudit.model.shown.life import alike
from torqueaudit.read.number import read_vehicle_number
from torqueaudit.web.addresses import way_up
from torqueaudit.web.bench.job_then import entry_of
from torqueaudit.web.kept_pages import kept_page
from torqueaudit.web.typed import Typed
from torqueaudit.workshop.life.compare import compare_jobs
from torqueaudit.workshop.life.life import life_of, show_life

if TYPE_CHECKING:
    from flask import Flask
    from flask.typing import ResponseReturnValue

    from torqueaudit.workshop.door.workshop import Workshop


def add_life_page(app: "Flask", workshop: "Workshop") -> None:
    """Add /vehicle/NUMBER/life and /compare."""

    @app.get("/vehicle/<number>/life")
    @kept_page(workshop)
    def life_page(number: str) -> str:
        """Show all visits and jobs of a motorcycle, and what stands on it; or stood, at the entry that is asked for."""
        own, as_of = read_vehicle_number(number), request.args.get("as_of", "").strip()
        view = show_life(workshop, own, entry_of(as_of)) if as_of else life_of(workshop, own)
        return render_template(
            "bench/life.html",
            life=view,
            vehicle=view.vehicle,
            fasteners=alike(view.fasteners),
            then=bool(as_of),
            stops=[f"Job {work.number}: {says}" for work in view.vehicle.works for says in work.told_stops],
            up=way_up(request.path),
        )

    @app.get("/compare")
    def compare_page() -> "ResponseReturnValue":
        """Show two jobs side by side, or the form that asks which."""
        typed = Typed(request.args)
        one, other = typed.one("one"), typed.one("other")
        told, refused = None, ""
        if one and other:
            try:
                told = compare_jobs(workshop, one, other)
            except Refused as error:
                refused = error.says
        page = render_template(
            "bench/compare.html",
            told=told,
            one=one,
            other=other,
            refused=refused,
            up=way_up(request.path),
        )
        return (page, 422) if refused else page
