"""A vehicle as lines of text, for whoever stands at the bench."""

from collections.abc import Iterator

from torqueaudit.cli.command import typed
from torqueaudit.cli.job_sheet import columns, fastener_row, wrapped
from torqueaudit.model.judged.sentences import together
from torqueaudit.model.shown.vehicle import JobOfVehicle, PresentFastener, VehicleView
from torqueaudit.model.vehicle.instrument import Instrument

HEADING = ("fastener", "specified", "applied", "mark", "job", "who")


def lines_of(view: VehicleView) -> Iterator[str]:
    """Where it is and what forbids a ride, then each fastener as it stands now, then its jobs."""
    yield from heading(view)
    if view.fasteners:
        yield ""
        yield from columns([HEADING, *(_fastener(each) for each in view.fasteners)])
    if view.jobs:
        yield ""
        yield "jobs:"
        yield from columns([_job(each) for each in view.jobs])
    yield ""
    yield f"head of the ledger: {view.book.head}"


def heading(view: VehicleView) -> Iterator[str]:
    """Which motorcycle it is, where it is, and what forbids a ride."""
    if view.book.demo:
        yield "DEMO: every name and value here is invented."
    year = f", {view.year}" if view.year else ""
    by = "" if view.instrument is Instrument.KM else f", {view.instrument.says}"
    yield f"{view.number} · {view.tag} ({view.model}{year}){by}"
    yield _presence(view)
    yield from _stops(view)


def _presence(view: VehicleView) -> str:
    presence = view.presence
    at = f", at {view.read}" if view.read else ""
    if presence.since is None:
        return f"no job on it yet{at}"
    since = presence.since.astimezone(view.book.asked_at.tzinfo)
    where = "HERE" if presence.here else "GONE FOR GOOD" if presence.gone else "AWAY"
    return f"{where} since {since:%Y-%m-%d %H:%M}{at}"


def _stops(view: VehicleView) -> Iterator[str]:
    for work in view.works:
        for each in together(work.stops):
            yield from wrapped(f"  STOP, job {work.number}: {typed(each.sentence, each.see)}")
    if view.unsigned:
        yield f"  signed by nobody: work of job {', '.join(view.unsigned)}"
    if not view.stops and view.jobs:
        yield "  no stop stands."


def _fastener(each: PresentFastener) -> tuple[str, ...]:
    name, specified, applied, mark, who = fastener_row(each.fastener)
    signed = "" if each.signed else ", unsigned"
    return name, specified, applied, mark, f"{each.job}{signed}", who


def _job(each: JobOfVehicle) -> tuple[str, ...]:
    recheck = f"re-check {each.recheck}" if each.recheck else ""
    return f"  {each.job}", each.opened_on, each.state, each.title, recheck
