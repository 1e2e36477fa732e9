"""A wrench, and all wrenches, as lines to read at the bench."""

from collections.abc import Iterator, Sequence
from decimal import Decimal

import click

from torqueaudit.cli.command import typed
from torqueaudit.cli.common import print_json
from torqueaudit.model.act import See, Topic
from torqueaudit.model.shown.wrench import (
    CalibrationView,
    DriftView,
    OrderAsked,
    PointView,
    UseView,
    WrenchLine,
    WrenchView,
)
from torqueaudit.model.torque.units import format_number
from torqueaudit.model.wrench.classes import SETTING
from torqueaudit.model.wrench.words import class_text
from torqueaudit.model.wrench.wrench import BOTH
from torqueaudit.reports.json.wrench import look_json, look_timed_json, wrench_changed_json
from torqueaudit.workshop.wrenches.calibrations import WrenchLook
from torqueaudit.workshop.wrenches.corrections import WrenchChanged
from torqueaudit.workshop.wrenches.hours import LookTimed
from torqueaudit.workshop.wrenches.uses import together
from torqueaudit.workshop.wrenches.view import IN_USE

WIDE = 24  # of a setting in its own unit and in N·m
LISTED = 20  # lines of uses; --json has all
TYPES = {True: "setting (type II, it clicks)", False: "indicating (type I, it shows)"}


def print_rows(rows: Sequence[WrenchLine]) -> None:
    """Every wrench, one a line, with its state as its sheet tells it."""
    for each in rows:
        reach = each.reach or "range not known"
        state = f"{each.state.upper() if each.state != IN_USE else each.state}: {each.why}"
        state += "; OVERLOADED, put it aside or check it" if each.overload else ""
        click.echo(f"{each.number:<6} {each.tag:<20} {each.kind:<11} {reach:<18} {state}")


def print_sheet(view: WrenchView) -> None:
    """Everything about one wrench, its state first."""
    _print_state(view)
    _print_asked(view.number, view.order_asked)
    for name, says in _facts(view):
        click.echo(f"  {name:<22} {says}")
    if view.calibration:
        _print_calibration(view.calibration)
    _print_drift(view)
    if view.history:
        click.echo("\nHistory")
        for event in view.history:
            click.echo(f"  {event.on}  #{event.entry:<5} {event.what:<14} {event.says}")
    if view.doubtful:
        click.echo("\nIn doubt: done before it was found outside its permissible deviation")
        print_uses(view.doubtful)
    if view.not_known:
        click.echo("\nNot known: done before a calibration that does not say how it was found there")
        print_uses(view.not_known)
    if view.put_right:
        click.echo("\nJudged anew: done while it was taken for something else")
        print_uses(view.put_right)
    click.echo("\nUsed since it was last known to be good" + ("" if view.uses else ": nothing"))
    print_uses(view.uses)


def _print_state(view: WrenchView) -> None:
    if view.demo:
        click.echo("DEMO: an invented workshop.")
    click.echo(f"{view.number} ({view.tag}): {view.state.upper()}")
    click.echo(f"  {view.why}")
    if view.overload:
        click.echo(f"  OVERLOADED: it {view.overload.says}.")
        click.echo(f"  Check it; or `torqueaudit wrench overloaded {view.number} --why …` puts it aside.")
    since = "since its calibration" if view.calibration else "known of it"
    click.echo(f"  at least {view.cycles} of {view.cycles_allowed} cycles {since}\n")


def _facts(view: WrenchView) -> Iterator[tuple[str, str]]:
    yield "kind", TYPES[view.kind == SETTING] + (f", {view.construction}" if view.construction != "other" else "")
    if view.iso_class:
        yield "class", class_text(view.iso_class)
    yield "permissible deviation", f"±{format_number(view.permissible_percent, 3)} % (ISO 6789)"
    yield "range", view.reach or "not known"
    scales = [f"{scale.division:f} {scale.unit}" for scale in view.scales]
    yield "scale division", ", ".join(scales) or "not known"
    yield "lever", view.lever or "not known, so no adapter can be used"
    both = "to the right and to the left"
    if not view.direction_stated:
        yield "measures", f"not stated; taken to measure {both}"
    else:
        yield "measures", both if view.direction == BOTH else f"to the {view.direction} only"
    if view.owner:
        certified = "" if view.calibration else ", no certificate"
        yield "borrowed from", f"{view.owner}{certified}"


def _print_calibration(done: CalibrationView) -> None:
    click.echo(f"\nCalibration of {done.on}{f' at {done.hour}' if done.hour else ''}, due {done.due_on}")
    for name, says in (
        ("certificate", done.certificate),
        ("laboratory", done.laboratory),
        ("decision rule", done.decision_rule),
        ("adapter fitted", done.adapter),
        ("calibrated", "to the right and to the left" if done.direction == BOTH else f"to the {done.direction} only"),
        ("reference device", done.reference),
        ("temperature", "" if done.temperature_c is None else f"{done.temperature_c:f} °C"),
        ("technician", done.technician),
        ("file", done.paper),
    ):
        if says:
            click.echo(f"  {name:<22} {says}")
    if not (done.as_found or done.as_left):
        click.echo("  no figures stated")
    _print_points("as found", done.as_found)
    _print_points("as left", done.as_left)


def _print_drift(view: WrenchView) -> None:
    """What it moved from the last calibration to this one, and how long the next one may hold."""
    newest = [each for each in view.drift if each.found_on == view.drift[-1].found_on]
    if newest:
        click.echo(f"\nDrift from {newest[0].left_on}, as left, to {newest[0].found_on}, as found")
    elif view.interval:
        click.echo("\nDrift: not known")
    for each in newest:
        click.echo(f"  {each.at:>{WIDE}} {_signed(each.moved_percent):>10}{_open_text(each)}")
    if view.interval:
        click.echo(f"  interval, proposed and not set: {view.interval.says}")


def _open_text(drift: DriftView) -> str:
    if drift.normalised is None:
        return ""
    share = f"{format_number(drift.normalised, 2)} of U = {_percent(drift.expanded_percent)} of both"
    return f"   {share}{', MORE than both leave open' if drift.normalised > 1 else ''}"


def _print_points(name: str, points: Sequence[PointView]) -> None:
    if points:
        click.echo(f"  {name:<{WIDE}} {'mean dev.':>10} {'W':>8} {'W′':>8}   references")
    for point in points:
        readings = " ".join(format_number(each, 5) for each in point.references)
        figures = f"{_signed(point.deviation_percent):>10} {_percent(point.expanded_percent):>8}"
        out = (
            f" {point.unit}  OUTSIDE, worst reading {_signed(point.worst_percent)}"
            if point.outside
            else f" {point.unit}"
        )
        interval = _percent(point.interval_percent)
        click.echo(f"  {point.at:>{WIDE}} {figures} {interval:>8}   {readings}{out}")


def print_uses(uses: Sequence[UseView], *, tell: bool = True) -> None:
    """A line for each job and day, and for each doubt where they are told."""
    lines = together(uses, doubts=tell)
    for use, positions in lines[-LISTED:]:
        begin = f"  {use.on}  job {use.job:<5} {use.doubt if tell else '':<40}".rstrip()
        click.echo(f"{begin}  {', '.join(positions)}")
    if len(lines) > LISTED:
        click.echo(f"  and {len(lines) - LISTED} lines before; --json has all")


def print_look(looked: WrenchLook, says: str, *, as_json: bool) -> None:
    """What a look at a wrench makes of it, the worst first."""
    if as_json:
        print_json(look_json(looked))
        return
    number = looked.wrench
    click.echo(f"{number}: WITHDRAWN, {looked.withdrawn}" if looked.withdrawn else f"{number}: {says}")
    if looked.found_out:
        click.echo(f"Found outside its permissible deviation: {looked.found_out}.")
        click.echo(_doubt(looked))
    if looked.not_known:
        click.echo(_not_known(looked))
        print_uses(looked.not_known, tell=False)
    _print_asked(number, looked.order_asked)
    for remark in looked.remarks:
        click.echo(f"Remark: {remark}.")


def print_timed(timed: LookTimed, *, as_json: bool) -> None:
    """The hour that was told of a look, whether the wrench may be used now, and what is asked still."""
    if as_json:
        print_json(look_timed_json(timed))
        return
    state = f"it is WITHDRAWN, {timed.withdrawn}" if timed.withdrawn else "it is not withdrawn"
    click.echo(f"{timed.wrench}: #{timed.entry} ({timed.what}) was done at {timed.hour}; {state}")
    _print_asked(timed.wrench, timed.order_asked)


def _print_asked(number: str, asked: Sequence[OrderAsked]) -> None:
    for each in asked:
        says = typed(f"{number}: {each.says}", See(Topic.HOUR_OF_LOOK, f"{number} {each.entries[0]}"))
        click.echo(f"Asked: {says}.")


def print_changed(changed: WrenchChanged, *, as_json: bool) -> None:
    """What was put right of a wrench, and what of its earlier work is otherwise by that, the jobs first."""
    if as_json:
        print_json(wrench_changed_json(changed))
        return
    click.echo(f"{changed.wrench}: {changed.says}  #{changed.entry}")
    if not changed.uses:
        click.echo("Nothing that it did before is otherwise by this.")
        return
    jobs = sorted({use.job for use in changed.uses if not use.inside})
    outside = f"outside on job {', '.join(map(str, jobs))}" if jobs else "none outside by that"
    click.echo(f"What it did before is judged anew: {_passes(changed.uses)}, {outside}.")
    print_uses(changed.uses)


def _doubt(looked: WrenchLook) -> str:
    if not looked.doubtful:
        return "It did nothing in this book since its last good look."
    jobs = sorted({use.job for use in looked.doubtful if not use.inside})
    where = "outside its limits" if all(use.known for use in looked.doubtful) else "outside its limits or not known"
    outside = f"{where} on job {', '.join(map(str, jobs))}" if jobs else "all still inside their limits"
    return f"In doubt: {_passes(looked.doubtful)}, {outside}; `torqueaudit wrench show {looked.wrench}` lists them."


def _not_known(looked: WrenchLook) -> str:
    return (
        f"Not known: {looked.not_known[0].doubt}, and this calibration does not say how it was found there. "
        f"{_passes(looked.not_known)} since its last good look stay in doubt until the foreman has judged each:"
    )


def _passes(uses: Sequence[UseView]) -> str:
    return f"{len(uses)} pass{'es' * (len(uses) > 1)}"


def _signed(percent: Decimal) -> str:
    return f"{percent:+.2f} %"


def _percent(percent: Decimal | None) -> str:
    return "–" if percent is None else f"{percent:.2f} %"
