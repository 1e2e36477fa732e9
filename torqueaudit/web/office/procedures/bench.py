"""A draft as the bench will show it: its screens in order, each with what is largest on it and what is asked there."""

from collections.abc import Callable, Mapping
from typing import TYPE_CHECKING, Any, NamedTuple

from torqueaudit.model.act import Refused
from torqueaudit.model.procedure.procedure import Fastener, Fit, Measurement, Step, Work
from torqueaudit.model.shown.stated import RECHECK, pieces_of
from torqueaudit.model.torque.decimals import decimal_text
from torqueaudit.web.bench.group import GroupLine, group_lines
from torqueaudit.web.bench.screens.tighten import of_thread
from torqueaudit.web.office.told import page_of_office
from torqueaudit.workshop.register.drafts import look_at_draft

if TYPE_CHECKING:
    from flask import Flask

    from torqueaudit.workshop.door.workshop import Workshop


class Screen(NamedTuple):
    """One screen: what is done there, of what, the largest words on it, what stands below, and what is asked then."""

    heading: str
    name: str
    large: str = ""
    below: tuple[str, ...] = ()
    says: str = ""
    asks: tuple[str, ...] = ()
    group: tuple[GroupLine, ...] = ()


def add_draft_bench(app: "Flask", workshop: "Workshop") -> None:
    """Add the page that shows a draft as the bench will."""

    @app.get("/office/draft/<name>/bench")
    def office_draft_bench(name: str) -> str:
        """Show each screen of the job, in order."""
        look = look_at_draft(workshop, name)
        if look.procedure is None:
            raise Refused("the bench can show it once nothing is wrong with it; put that right first")
        screens = [screen_of(item) for item in look.procedure.work]
        again = next((piece for piece in pieces_of(look.procedure) if piece.kind == RECHECK), None)
        return page_of_office(
            workshop,
            "draft_bench.html",
            draft=look,
            title=look.procedure.title,
            screens=screens,
            warnings=look.procedure.warnings,
            again=again,
        )


def screen_of(item: Work) -> Screen:
    """A piece of work as the bench shows it, before anything is told of it."""
    return _SCREENS[type(item)](item)


def _tighten(fastener: Fastener) -> Screen:
    specified = fastener.specification
    aims = decimal_text(specified.target_nm)
    below = [f"{specified.written}, {specified.tolerance}" if specified.tolerance else specified.written]
    below += [f"then {decimal_text(specified.angle)}° more"] if specified.angle is not None else []
    below += [each for each in (fastener.thread, f"page {specified.page}") if each]
    below += of_thread(fastener)
    below += [f"stages {', '.join(fastener.stages)}"] if fastener.stages else []
    asks = [f"a new {key}" for key in fastener.single_use]
    asks += ["the line painted over nut and part"] if fastener.mark else []
    asks += ["a photo of it"] if fastener.photo else []
    asks += ["a second person looks at it"] if fastener.check else []
    return Screen(
        "Tighten",
        fastener.name,
        f"{aims} N·m",
        below=tuple(below),
        says=fastener.says,
        asks=tuple(asks),
        group=group_lines(fastener, lambda _: False),
    )


def _measure(measurement: Measurement) -> Screen:
    below = [f"{key}: {says}" for key, says in measurement.conditions]
    below += [f"page {measurement.page}"] if measurement.page else []
    limits = measurement.written or f"in {measurement.unit}, not judged"
    return Screen("Measure", measurement.name, limits, below=tuple(below), says=measurement.says)


def _step(step: Step) -> Screen:
    asks = ["In order", "Fault found"] if step.look else ["Done", "Not done", "Does not apply"]
    return Screen("Look" if step.look else "Step", step.name, says=step.says, asks=tuple(asks))


def _fit(fit: Fit) -> Screen:
    below = ("a new one each time",) if fit.single_use else ()
    return Screen("Part", fit.name, fit.part, below=below, says=fit.says, asks=fit.attributes)


_SCREENS: Mapping[type[Work], Callable[[Any], Screen]] = {
    Fastener: _tighten,
    Measurement: _measure,
    Step: _step,
    Fit: _fit,
}
