"""A job as lines of text, for whoever stands at the bench."""

from collections.abc import Iterator

from torqueaudit.model.together import together
from torqueaudit.model.token import grouped
from torqueaudit.model.words import distance_text
from torqueaudit.workshop.showing import recheck_words
from torqueaudit.workshop.views import FastenerView, JobView


def lines_of(view: JobView) -> Iterator[str]:
    """What matters first: the state and what forbids release, then the fasteners, then the rest."""
    if view.demo:
        yield "DEMO: every name and value here is invented."
    yield f"job {view.number} · {view.vehicle_tag} ({view.vehicle}) · {view.title}, edition {view.edition}"
    yield f"state: {view.state.upper()}" + (f" ({view.withdrawn})" if view.withdrawn else "")
    yield from (f"  ! {f.name}: {f.undone}" for f in view.fasteners if f.undone)
    yield from _recheck(view)
    yield from _findings(view)
    yield ""
    yield f"{'fastener':<24} {'specified':<34} {'applied':<21} {'mark':<12} who"
    yield from (_fastener(each) for each in view.fasteners)
    yield ""
    yield from (f"{i.name:<44} {i.said or '–':<24} {i.limits}  {_entry(i.entry)}".rstrip() for i in view.items)
    if view.next:
        yield ""
        yield "next, in order:"
        yield from (f"  {number}. {each}" for number, each in enumerate(view.next[:5], start=1))
    yield ""
    yield from (f"struck: {each}" for each in view.strikes)
    yield from (f"warning: {each}" for each in view.warnings)
    yield f"token: {grouped(view.token)}"
    yield f"head of the ledger: {view.head}"


def _recheck(view: JobView) -> Iterator[str]:
    yield f"opened on {view.opened_on} by {view.opened_by}" + (f", follows job {view.follows}" if view.follows else "")
    if view.released_by:
        yield f"released by {view.released_by}"
        yield "The listed work was done to the listed sources. Nothing else was looked at."
    if view.handed_over_on and view.odometer_m is not None:
        yield f"handed over on {view.handed_over_on} at {distance_text(view.odometer_m)}"
    if view.recheck and view.recheck.done_on:
        yield f"re-check: done on {view.recheck.done_on} by {view.recheck.done_by}"
    elif view.recheck:
        late = f" – {view.recheck.late_days} days late" if view.recheck.late_days else ""
        late += f" – {distance_text(view.recheck.late_m)} late" if view.recheck.late_m else ""
        yield f"re-check: due {recheck_words(view.recheck)}{late}"


def _findings(view: JobView) -> Iterator[str]:
    for each in together(found.finding for found in view.findings if not found.concession):
        yield f"  {each.weight.value.upper()}: {each.says} [{each.rule}]"
    for found in view.findings:
        if found.concession:
            yield f"  CONCEDED: {found.finding.says} [{found.finding.rule}]"
            yield f"    {found.concession}"


def _fastener(each: FastenerView) -> str:
    applied = each.applied or (each.outcome if each.outcome and each.state == "tightened" else each.state)
    who = f"{each.by} with {each.wrench} at {each.shown}" if each.wrench else each.by
    who += f" on {each.when:%Y-%m-%d %H:%M}" if each.when else ""
    check = f", checked by {each.checked_by} ({each.check_method})" if each.checked_by else ""
    row = f"{each.name:<24} {each.specified:<34} {applied:<21} {each.mark:<12} "
    return f"{row}{who}{check}  {_entry(each.entry)}".rstrip()


def _entry(entry: int | None) -> str:
    return f"#{entry}" if entry else ""
