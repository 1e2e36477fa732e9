"""A wrench, and all wrenches, as lines to read at the bench."""

from collections.abc import Iterator, Sequence
from datetime import date
from decimal import Decimal

import click

from torqueaudit.model.units import format_number
from torqueaudit.model.words import torque_text
from torqueaudit.model.wrench import BOTH, SETTING, Wrench
from torqueaudit.workshop.wrench_views import CalibrationView, PointView, UseView, WrenchView

LISTED = 20  # lines of uses; --json has all
TYPES = {True: "setting (type II, it clicks)", False: "indicating (type I, it shows)"}


def print_rows(rows: Sequence[Wrench], today: date) -> None:
    """Every wrench, one a line."""
    for each in rows:
        reach = f"{each.min_nm:f} … {each.max_nm:f} N·m" if each.min_nm is not None and each.max_nm is not None else ""
        click.echo(f"{each.number:<6} {each.tag:<20} {each.kind:<11} {reach:<18} {_state(each, today)}")


def _state(wrench: Wrench, today: date) -> str:
    if wrench.withdrawn:
        return f"withdrawn: {wrench.withdrawn}"
    if wrench.due is None:
        return "calibration due not known"
    return f"calibration {'due' if wrench.due >= today else 'ENDED'} {wrench.due}"


def print_sheet(view: WrenchView) -> None:
    """Everything about one wrench, its state first."""
    if view.demo:
        click.echo("DEMO: an invented workshop.")
    click.echo(f"{view.number} ({view.tag}): {view.state.upper()}")
    click.echo(f"  {view.why}")
    since = "since its calibration" if view.calibration else "known of it"
    click.echo(f"  at least {view.cycles} of {view.cycles_allowed} cycles {since}\n")
    for name, says in _facts(view):
        click.echo(f"  {name:<22} {says}")
    if view.calibration:
        _print_calibration(view.calibration)
    if view.history:
        click.echo("\nHistory")
        for event in view.history:
            click.echo(f"  {event.on}  {event.what:<14} {event.says}")
    if view.doubtful:
        click.echo("\nIn doubt: done before it was found outside its permissible deviation")
        _print_uses(view.doubtful)
    click.echo("\nUsed since it was last known to be good" + ("" if view.uses else ": nothing"))
    _print_uses(view.uses)


def _facts(view: WrenchView) -> Iterator[tuple[str, str]]:
    yield "kind", TYPES[view.kind == SETTING] + (f", {view.construction}" if view.construction != "other" else "")
    yield "permissible deviation", f"±{format_number(view.permissible_percent, 3)} % (ISO 6789)"
    if view.min_nm is not None and view.max_nm is not None:
        yield "range", f"{torque_text(view.min_nm, bare=True)} … {torque_text(view.max_nm)}"
    else:
        yield "range", "not known"
    scales = [f"{scale.division:f} {scale.unit}" for scale in view.scales]
    yield "scale division", ", ".join(scales) or "not known"
    yield "lever", f"{view.lever_mm:f} mm" if view.lever_mm is not None else "not known, so no adapter can be used"
    yield "measures", "to the right and to the left" if view.direction == BOTH else f"to the {view.direction} only"
    if view.owner:
        certified = "" if view.calibration else ", no certificate"
        yield "borrowed from", f"{view.owner}{certified}"


def _print_calibration(done: CalibrationView) -> None:
    click.echo(f"\nCalibration of {done.on}, due {done.due_on}")
    for name, says in (
        ("certificate", done.certificate),
        ("laboratory", done.laboratory),
        ("decision rule", done.decision_rule),
        ("adapter fitted", done.adapter),
        ("file", done.paper),
    ):
        if says:
            click.echo(f"  {name:<22} {says}")
    if not (done.as_found or done.as_left):
        click.echo("  no figures stated")
    _print_points("as found", done.as_found)
    _print_points("as left", done.as_left)


def _print_points(name: str, points: Sequence[PointView]) -> None:
    if points:
        click.echo(f"  {name:<12} {'deviation':>10} {'W':>8} {'W′':>8}   references")
    for point in points:
        readings = " ".join(format_number(each, 5) for each in point.references_nm)
        figures = f"{_signed(point.deviation_percent):>10} {_percent(point.expanded_percent):>8}"
        out = "  OUTSIDE" if point.outside else ""
        interval = _percent(point.interval_percent)
        click.echo(f"  {torque_text(point.shown_nm):>12} {figures} {interval:>8}   {readings}{out}")


def _print_uses(uses: Sequence[UseView]) -> None:
    """A line for each job and day, and for each pass that is in doubt."""
    lines: dict[str, list[str]] = {}
    for use in uses:
        positions = lines.setdefault(f"  {use.on}  job {use.job:<5} {use.doubt:<40}".rstrip(), [])
        if use.position not in positions:
            positions.append(use.position)
    for begin, positions in list(lines.items())[-LISTED:]:
        click.echo(f"{begin}  {', '.join(positions)}")
    if len(lines) > LISTED:
        click.echo(f"  and {len(lines) - LISTED} lines before; --json has all")


def _signed(percent: Decimal) -> str:
    return f"{percent:+.2f} %"


def _percent(percent: Decimal | None) -> str:
    return "–" if percent is None else f"{percent:.2f} %"
