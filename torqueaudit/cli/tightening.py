"""`torqueaudit tightening`: what was applied to a fastener, and how that is known."""

from collections.abc import Iterator
from decimal import Decimal

import click

from torqueaudit.cli.common import json_option, print_json, workshop_here
from torqueaudit.model.shown.passes import JudgedView, PassView
from torqueaudit.model.shown.tightenings import PassLine, TighteningsView
from torqueaudit.model.torque.verdict import NOT_JUDGED
from torqueaudit.model.torque.words import applied_text, likely_text, share_text, torque_text
from torqueaudit.reports.json.passes import tightenings_json
from torqueaudit.workshop.jobs.passes import show_tightenings


@click.group()
def tightening() -> None:
    """What was applied to a fastener, and how that is known."""


@tightening.command("show")
@click.argument("job")
@click.argument("key")
@json_option
def show(*, job: str, key: str, as_json: bool) -> None:
    """Show every pass over a fastener or group, with the uncertainty of its torque line by line."""
    with workshop_here() as workshop:
        view = show_tightenings(workshop, job, key)
    if as_json:
        print_json(tightenings_json(view))
        return
    click.echo("\n".join(lines_of(view)))


def lines_of(view: TighteningsView) -> Iterator[str]:
    """The specification, then each pass from the first to the last."""
    if view.demo:
        yield "DEMO: every name and value here is invented."
    yield f"job {view.job} · {view.fastener}: {view.specified}"
    yield f"source: {view.source}"
    if not view.passes:
        yield "Nobody has tightened it in this job."
    for each in view.passes:
        yield ""
        yield from _pass(each)


def _pass(line: PassLine) -> Iterator[str]:
    done, history = line.done, "" if line.stands else ", history"
    yield f"{line.name} · entry {done.entry} · {done.when:%Y-%m-%d %H:%M} by {done.by}{history}"
    with_what = f", wrench {done.wrench}" if done.wrench else ""
    yield f"  {done.outcome}{f' at {done.shown}' if done.shown else ''}{with_what}{'' if done.final else ', a stage'}"
    if line.log:
        yield f"  confirmed from a log, #{line.log.entry}: {line.log.whence}"
    if done.applied_nm is None:
        yield "  applied: not known"
        return
    coverage = " (k = 2)" if done.expanded_nm is not None else ""
    limits = () if done.seat else done.limits
    yield f"  applied: {applied_text(done.applied_nm, done.expanded_nm, *limits)}{coverage}{done.beyond.says}"
    yield from _at_seat(done)
    if done.not_known:
        yield "  corrected: not known what reached it, since its wrench was found out or put right"
    if done.corrected_nm is not None:
        yield f"  corrected: {done.corrected}, as is known since its wrench was found out or put right"
    yield from _judged(done.judged)
    yield from _budget(done, done.applied_nm)
    if done.cycles is not None:
        many = f"at least {done.cycles} cycles" if done.cycles else "no cycles that the book knows"
        yield f"  the wrench had done {many} since its calibration"


def _at_seat(done: PassView) -> Iterator[str]:
    """What is left without the drag of a self-locking nut."""
    seat, drag = done.seat, done.beyond.drag
    if seat is None or drag is None:
        return
    coverage = "" if seat.expanded_nm is None else " (k = 2)"
    yield f"  at the seat, with a drag of {torque_text(drag.nm)}: {done.held}{coverage}"
    if drag.same:
        yield "  one wrench read both, so what it errs by counts for the difference alone"


def _judged(judged: JudgedView) -> Iterator[str]:
    says = "not judged" if judged.verdict == NOT_JUDGED else f"judged then by {judged.decision_rule}: {judged.verdict}"
    yield f"  {says}{f', {likely_text(judged.probability)}' if judged.probability is not None else ''}"
    if judged.not_proved:
        yield f"  nothing is proved: {judged.not_proved}"


def _budget(done: PassView, applied_nm: Decimal) -> Iterator[str]:
    if done.budget:
        added = ", and what is added as it is" if any(line.adds for line in done.budget) else ", by themselves"
        yield f"  standard uncertainties{added}:"
    for line in done.budget:
        yield f"    {share_text(line)}: {torque_text(line.relative * applied_nm)}"
    if done.beyond.drag:
        for line in done.beyond.drag.lines:
            yield f"    {share_text(line)}: {torque_text(line.relative * done.beyond.drag.nm)}"
