"""The command `torqueaudit setting`: what to set a wrench to, for a fastener of the book or a torque and a lever."""

import json
from fractions import Fraction
from typing import NamedTuple

import click

from torqueaudit.plugin import (
    MOST_DIGITS,
    MOST_IN,
    PRECISION,
    Fitted,
    Torque,
    format_number,
    read_adapter,
    read_decimal,
    read_wrench_number,
)
from torqueaudit.plugin.commands import unit_table
from torqueaudit_plugins.wrench_adapter.calc.formula import Arm, Geometry, caution, factor_of, setting_for

ALWAYS = (
    "The maker's manual prevails. Never put a pipe on the handle. "
    "Not for a wrench that was calibrated with this adapter fitted."
)


class Answer(NamedTuple):
    """What the calculator found: setting, applied torque, the factor between them; what to heed, and what is fitted."""

    setting: Torque
    applied: Torque
    factor: Fraction
    warnings: tuple[str, ...]
    fitted: tuple[str, ...]


@click.command(name="setting", context_settings={"ignore_unknown_options": True})
@click.argument("what", nargs=-1, required=True, metavar="JOB FASTENER | TORQUE")
@click.option("--wrench", metavar="W", help="The wrench's number: answers for JOB and FASTENER of the book.")
@click.option("--length", metavar="MM", help="For TORQUE: lever of the wrench, drive centre to hand centre, in mm.")
@click.option(
    "--adapter",
    "adapters",
    multiple=True,
    metavar="MM@DEGREES",
    help="Drive centre to fastener centre in mm, and the adapter's angle: 50@45; with --wrench also measured, "
    "50±0.5@45±2 (U, k = 2). Once for each, from the wrench on, every angle against the lever.",
)
@click.option(
    "--angle",
    show_default="0",
    metavar="DEGREES",
    help="The angle, where --adapter leaves it out: 0 straight ahead, 90 square, 180 folded back.",
)
@click.option("--drag", default="", metavar="TORQUE", help="With --wrench: what a self-locking nut needs to turn.")
@click.option(
    "--drag-wrench", default="", metavar="W", help="With --drag: which wrench read it, where another one did."
)
@click.option(
    "--digits",
    type=click.IntRange(1, MOST_DIGITS),
    default=5,
    show_default=True,
    help="For TORQUE: significant digits at most.",
)
@click.option("--json", "as_json", is_flag=True, help="Print as JSON, with decimal strings.")
def setting(
    *,
    what: tuple[str, ...],
    wrench: str | None,
    length: str | None,
    adapters: tuple[str, ...],
    angle: str | None,
    drag: str,
    drag_wrench: str,
    digits: int,
    as_json: bool,
) -> None:
    """What to set a wrench to.

    With --wrench: for a FASTENER of a JOB, on the wrench's own scale, with what that reaches and its uncertainty. With
    --length and --adapter: so that a TORQUE ("100 N·m") reaches the fastener.
    """
    _require_one_angle(adapters, angle)
    if wrench is not None:
        fitted = tuple(_fitted(each, angle) for each in adapters)
        _answer_bench(what, wrench, fitted, drag=drag, drag_wrench=drag_wrench, as_json=as_json)
        return
    if len(what) != 1 or length is None or not adapters:
        raise click.UsageError(
            "ask with JOB FASTENER --wrench W for a fastener of the book, or with TORQUE --length MM --adapter MM"
        )
    if any("±" in each or "+/-" in each for each in (length, *adapters)):
        says = "the calculator works out no uncertainty; leave ± out, or ask with JOB FASTENER --wrench W"
        raise click.UsageError(says)
    try:
        answer = _work_out(what[0], length, tuple(_arm(each, angle) for each in adapters))
    except ValueError as mistake:
        raise click.UsageError(str(mistake)) from mistake
    click.echo(_as_json(answer, digits) if as_json else _as_text(answer, digits))


def _require_one_angle(adapters: tuple[str, ...], angle: str | None) -> None:
    """Raise a usage error for an angle without its adapter, of one adapter out of several, or one too many."""
    if angle is None:
        return
    if not adapters:
        says = "is the adapter's, and there is no --adapter"
    elif len(adapters) > 1:
        says = f"is of one adapter, and there are {len(adapters)}; write each with its own, --adapter 50@45"
        raise click.UsageError(f"--angle {angle} {says}")
    elif "@" in adapters[0]:
        says = f"is said twice, also in {adapters[0]}"
    else:
        return
    raise click.UsageError(f"--angle {angle} {says}; write one --adapter 50@45, or --adapter 50 --angle 45")


def _arm(adapter: str, angle: str | None) -> Arm:
    """One adapter for the calculator, where a length may be 0. Raises ValueError."""
    length, turned = adapter, angle or "0"
    if "@" in adapter:
        fitted = read_adapter(adapter)
        length, turned = fitted.attributes["length_mm"], fitted.attributes["angle_deg"]
    return Arm(read_decimal(length, "--adapter", MOST_IN["mm"]), read_decimal(turned, "--angle", MOST_IN["°"]))


def _fitted(adapter: str, angle: str | None) -> Fitted:
    """The adapter on a wrench of the book."""
    try:
        return read_adapter(adapter if "@" in adapter else f"{adapter}mm@{angle or 0}°")
    except ValueError as error:
        raise click.ClickException(str(error)) from None


def _answer_bench(
    what: tuple[str, ...],
    wrench: str,
    fitted: tuple[Fitted, ...],
    *,
    drag: str,
    drag_wrench: str,
    as_json: bool,
) -> None:
    from torqueaudit.plugin.commands import bench_setting, book_place, open_workshop  # the calculator needs no book
    from torqueaudit_plugins.wrench_adapter.commands.answer import as_data, as_lines

    place = book_place()
    if len(what) != 2:  # noqa: PLR2004 -- a job and a fastener
        raise click.UsageError("--wrench asks for one fastener of one job: torqueaudit setting JOB FASTENER --wrench W")
    with open_workshop(place) as workshop:
        number = read_wrench_number(wrench)
        by = read_wrench_number(drag_wrench) if drag_wrench else ""
        answer = bench_setting(workshop, what[0], what[1], number, fitted, drag=drag, drag_wrench=by)
    click.echo(json.dumps(as_data(answer), ensure_ascii=False, indent=2) if as_json else "\n".join(as_lines(answer)))


def _work_out(torque: str, length: str, arms: tuple[Arm, ...]) -> Answer:
    applied = unit_table().parse(torque)
    geometry = Geometry(read_decimal(length, "--length", MOST_IN["mm"]), arms)
    factor = factor_of(geometry)
    unusual = caution(factor, len(arms))
    warnings = (unusual, ALWAYS) if unusual else (ALWAYS,)
    fitted = tuple(f"adapter {arm.length:f} mm at {arm.angle:f}°" for arm in arms)
    needed = Torque(setting_for(applied.value, geometry), applied.unit)
    return Answer(setting=needed, applied=applied, factor=factor, warnings=warnings, fitted=fitted)


def _as_text(answer: Answer, digits: int) -> str:
    setting = f"{answer.setting.number(digits)} {answer.setting.unit.symbol}"
    return "\n".join((setting, *(f"  with {each}" for each in answer.fitted), *answer.warnings))


def _as_json(answer: Answer, digits: int) -> str:
    content = {
        "setting": answer.setting.number(digits),
        "unit": answer.setting.unit.symbol,
        "applied_nm": format_number(answer.applied.nm, PRECISION),
        "factor": format_number(answer.factor, PRECISION),
        "fitted": answer.fitted,
        "warnings": answer.warnings,
    }
    return json.dumps(content, ensure_ascii=False)
