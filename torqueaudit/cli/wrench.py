"""`torqueaudit wrench`: torque wrenches."""

from pathlib import Path

import click

from torqueaudit.cli.common import (
    Who,
    answer,
    as_typed,
    entry_of,
    json_option,
    print_json,
    say_of,
    who_says,
    why_option,
    workshop_here,
)
from torqueaudit.cli.values import WRENCH, OneOf
from torqueaudit.cli.wrench_sheet import print_changed, print_look, print_rows, print_sheet, print_timed
from torqueaudit.model.wrench.acts import Calibrate, CheckWrench, NewWrench, WrenchChange
from torqueaudit.model.wrench.classes import OTHER
from torqueaudit.model.wrench.words import cycles_text
from torqueaudit.read.adapter import read_adapter
from torqueaudit.read.day import read_day, read_hour
from torqueaudit.read.points import read_share
from torqueaudit.read.wrench import read_class, read_lever, read_temperature
from torqueaudit.reports.json.wrench import struck_json, wrench_json, wrench_line_json
from torqueaudit.workshop.wrenches.calibrations import calibrate, check_wrench
from torqueaudit.workshop.wrenches.corrections import change_wrench
from torqueaudit.workshop.wrenches.hours import time_look
from torqueaudit.workshop.wrenches.strikes import strike_of_wrench
from torqueaudit.workshop.wrenches.view import list_wrenches, show_wrench
from torqueaudit.workshop.wrenches.wrench import (
    CONSTRUCTIONS,
    DIRECTIONS,
    DROPPED,
    KINDS,
    OVERLOADED,
    add_wrench,
    estimate_use,
    mishandle,
    remark_on,
    withdraw_wrench,
)

POINT = "“100 N·m: 97.2 98.1 97.6 98.4 97.9; W 1.4 %; W' 3.7 %”"

CLASS = "Type and class of ISO 6789, “II A”; decides deviation and readings where it is stated."


@click.group()
def wrench() -> None:
    """Torque wrenches (ISO 6789): setting ones click, indicating ones show."""


@wrench.command("add")
@click.argument("tag")
@click.option("--kind", required=True, type=OneOf(KINDS))
@click.option("--range", "ends", nargs=2, default=("", ""), metavar="LOWEST HIGHEST", help="“20 N·m” “200 N·m”.")
@click.option("--scale", "scales", multiple=True, metavar="DIVISION", help="“0.5 N·m”; the main scale first.")
@click.option("--lever", metavar="MM", help="Drive centre to hand mark, for adapters; measured, “500±2”.")
@click.option("--direction", type=OneOf(DIRECTIONS), help="To which side it measures; not stated: to both.")
@click.option("--construction", type=OneOf(CONSTRUCTIONS), default=OTHER, help="Decides its permissible deviation.")
@click.option("--class", "iso_class", metavar="CLASS", help=CLASS)
@click.option("--owner", default="", help="Whose it is, where it is borrowed.")
@click.option(
    "--due",
    metavar="DATE",
    help="The last day its calibration holds, where `calibrate` is not used; 12 months at most.",
)
@who_says
@json_option
def add(
    *,
    tag: str,
    kind: str,
    ends: tuple[str, str],
    scales: tuple[str, ...],
    lever: str | None,
    direction: str | None,
    construction: str,
    iso_class: str | None,
    owner: str,
    due: str | None,
    who: Who,
    as_json: bool,
) -> None:
    """Enter a wrench."""
    due_on = as_typed(read_day, due) if due else None
    measured = as_typed(read_lever, lever) if lever is not None else None
    lowest, highest = ends
    entered = NewWrench(
        kind=kind,
        tag=tag,
        lowest=lowest,
        highest=highest,
        lever_mm=measured.value if measured else None,
        lever_expanded_mm=measured.expanded if measured else None,
        due_on=due_on,
        construction=construction,
        iso_class=as_typed(read_class, iso_class) if iso_class else "",
        direction=direction or "",
        scales=scales,
        owner=owner,
    )
    with workshop_here() as workshop:
        number = add_wrench(workshop, entered, say_of(workshop, who))
        remark = remark_on(workshop, number)
    says = f"{number}: {tag}" + (f"\nRemark: {remark}." if remark else "")
    answer({"wrench": number, "remark": remark}, says, as_json=as_json)


@wrench.command("change")
@click.argument("number", metavar="WRENCH", type=WRENCH)
@click.option("--tag", default="", help="Another name that people know it by.")
@click.option("--kind", type=OneOf(KINDS))
@click.option("--range", "ends", nargs=2, default=("", ""), metavar="LOWEST HIGHEST", help="“20 N·m” “200 N·m”.")
@click.option(
    "--scale", "scales", multiple=True, metavar="DIVISION", help="“0.5 N·m”; replaces all, the main one first."
)
@click.option("--lever", metavar="MM", help="Drive centre to hand mark, for adapters; measured, “500±2”.")
@click.option("--direction", type=OneOf(DIRECTIONS), help="To which side it measures.")
@click.option("--construction", type=OneOf(CONSTRUCTIONS), help="Decides its permissible deviation.")
@click.option("--class", "iso_class", metavar="CLASS", help=CLASS)
@click.option("--owner", default="", help="Whose it is, where it is borrowed.")
@who_says
@json_option
def change(
    *,
    number: str,
    tag: str,
    kind: str | None,
    ends: tuple[str, str],
    scales: tuple[str, ...],
    lever: str | None,
    direction: str | None,
    construction: str | None,
    iso_class: str | None,
    owner: str,
    who: Who,
    as_json: bool,
) -> None:
    """Put right what a wrench was entered with, and see which of its work rests on that. By a foreman."""
    lowest, highest = ends
    measured = as_typed(read_lever, lever) if lever is not None else None
    told = WrenchChange(
        kind=kind or "",
        tag=tag.strip(),
        lowest=lowest,
        highest=highest,
        lever_mm=measured.value if measured else None,
        lever_expanded_mm=measured.expanded if measured else None,
        construction=construction or "",
        iso_class=as_typed(read_class, iso_class) if iso_class else "",
        direction=direction or "",
        scales=scales,
        owner=owner,
    )
    if told == WrenchChange():
        raise click.UsageError("say what changes: --tag, --kind, --range, --scale, --lever, --direction, …")
    with workshop_here() as workshop:
        done = change_wrench(workshop, number, told, say_of(workshop, who))
    print_changed(done, as_json=as_json)


@wrench.command("list")
@json_option
def list_all(*, as_json: bool) -> None:
    """List every wrench, with its state as `show` tells it."""
    with workshop_here() as workshop:
        rows = list_wrenches(workshop)
    if as_json:
        print_json([wrench_line_json(row) for row in rows])
        return
    print_rows(rows)


@wrench.command("show")
@click.argument("number", metavar="WRENCH", type=WRENCH)
@json_option
def show(*, number: str, as_json: bool) -> None:
    """Show everything about a wrench: state, calibration, history, and what it was used on since."""
    with workshop_here() as workshop:
        view = show_wrench(workshop, number)
    if as_json:
        print_json(wrench_json(view))
        return
    print_sheet(view)


@wrench.command("calibrate")
@click.argument("number", metavar="WRENCH", type=WRENCH)
@click.option("--on", "on", required=True, metavar="DATE", help="The day it was calibrated.")
@click.option("--hour", metavar="TIME", help="Its hour, “14:30”; needed where it had another look that day.")
@click.option("--direction", type=OneOf(DIRECTIONS), help="To which side it was calibrated; not stated: to the right.")
@click.option("--certificate", default="", help="Its number.")
@click.option("--laboratory", default="", help="Who calibrated it.")
@click.option("--decision-rule", default="", help="As the certificate states it.")
@click.option("--reference", default="", help="The reference device, as the certificate names it.")
@click.option("--temperature", metavar="C", help="In °C.")
@click.option("--technician", default="", help="Who did it; can be erased, as any remark.")
@click.option("--as-found", multiple=True, metavar="POINT", help=f"Before adjusting, once for each point: {POINT}.")
@click.option("--as-left", multiple=True, metavar="POINT", help="After adjusting, where it was adjusted.")
@click.option(
    "--adapter",
    "adapters",
    multiple=True,
    metavar="MM@DEG",
    help="The adapter it was calibrated with, where one was fitted; once for each, from the wrench on.",
)
@click.option("--due", metavar="DATE", help="The last day it holds, where the certificate prints one.")
@click.option("--file", "file", type=click.Path(path_type=Path), help="The certificate: PDF, PNG or JPEG, to 20 MB.")
@who_says
@json_option
def calibrate_one(
    *,
    number: str,
    on: str,
    certificate: str,
    laboratory: str,
    decision_rule: str,
    reference: str,
    temperature: str | None,
    technician: str,
    as_found: tuple[str, ...],
    as_left: tuple[str, ...],
    hour: str | None,
    direction: str | None,
    adapters: tuple[str, ...],
    due: str | None,
    file: Path | None,
    who: Who,
    as_json: bool,
) -> None:
    """Record a calibration. A mistyped one is withdrawn with `strike`; of two on a day without hours the worse holds.

    Readings of the reference stand in the unit of the setting; W, W' and b_ep as the certificate states them.
    """
    said = Calibrate(
        on=as_typed(read_day, on),
        certificate=certificate,
        laboratory=laboratory,
        decision_rule=decision_rule,
        as_found=as_found,
        as_left=as_left,
        due_on=as_typed(read_day, due) if due else None,
        adapters=tuple(as_typed(read_adapter, each) for each in adapters),
        file=file,
        hour=as_typed(read_hour, hour) if hour else None,
        direction=direction or "",
        reference=reference,
        temperature_c=as_typed(read_temperature, temperature) if temperature else None,
        technician=technician,
    )
    with workshop_here() as workshop:
        looked = calibrate(workshop, number, said, say_of(workshop, who))
    print_look(looked, f"calibrated on {looked.on}, valid until {looked.due_on}", as_json=as_json)


@wrench.command("check")
@click.argument("number", metavar="WRENCH", type=WRENCH)
@click.option("--tester", required=True, help="The workshop's own tester, as you call it.")
@click.option("--tester-certificate", "certificate", default="", help="The number of the tester's own certificate.")
@click.option("--tester-uncertainty", "spread", metavar="PERCENT", help="The tester's U (k = 2), “0.5 %”.")
@click.option("--point", "points", multiple=True, required=True, metavar="POINT", help="“100 N·m: 98.1 97.6 98.4”.")
@who_says
@json_option
def check_one(
    *,
    number: str,
    tester: str,
    certificate: str,
    spread: str | None,
    points: tuple[str, ...],
    who: Who,
    as_json: bool,
) -> None:
    """Record a look at a wrench on a tester, between calibrations."""
    expanded = as_typed(read_share, spread) if spread else None
    told = CheckWrench(tester, points, certificate, expanded)
    with workshop_here() as workshop:
        looked = check_wrench(workshop, number, told, say_of(workshop, who))
    print_look(looked, f"checked on {looked.on}: inside its permissible deviation", as_json=as_json)


@wrench.command("hour")
@click.argument("number", metavar="WRENCH", type=WRENCH)
@click.argument("entry", metavar="ENTRY")
@click.argument("hour", metavar="TIME")
@who_says
@json_option
def hour_of(*, number: str, entry: str, hour: str, who: Who, as_json: bool) -> None:
    """Tell at which hour of its day a calibration or check was done, by its number in `show` (“#57”). By a foreman.

    Asked for where two looks of one day cannot be put in order: until then the one that found the wrench out counts.
    """
    looked = entry_of(entry, "wrench show")
    with workshop_here() as workshop:
        done = time_look(workshop, number, looked, as_typed(read_hour, hour), say_of(workshop, who))
    print_timed(done, as_json=as_json)


@wrench.command(DROPPED)
@click.argument("number", metavar="WRENCH", type=WRENCH)
@why_option("How it came about", "“fell off the bench”")
@who_says
@json_option
def dropped(*, number: str, why: str, who: Who, as_json: bool) -> None:
    """Record that a wrench was dropped: it is withdrawn until it is calibrated."""
    _mishandled(number, DROPPED, why, who, as_json=as_json)


@wrench.command(OVERLOADED)
@click.argument("number", metavar="WRENCH", type=WRENCH)
@why_option("How it came about", "“leaned on behind the click”")
@who_says
@json_option
def overloaded(*, number: str, why: str, who: Who, as_json: bool) -> None:
    """Record that a wrench was overloaded: it is withdrawn until it is calibrated."""
    _mishandled(number, OVERLOADED, why, who, as_json=as_json)


@wrench.command("estimate", context_settings={"ignore_unknown_options": True})  # or -5 would be an option
@click.argument("number", metavar="WRENCH", type=WRENCH)
@click.argument("cycles", type=int)
@click.option("--on", "on", metavar="DATE", help="Around when it was used. Default: today.")
@why_option("What it rests on", "“lent out for a week”")
@who_says
@json_option
def estimate(*, number: str, cycles: int, on: str | None, why: str, who: Who, as_json: bool) -> None:
    """State how many CYCLES a wrench did that nobody recorded, at least. By a foreman."""
    with workshop_here() as workshop:
        day = as_typed(read_day, on) if on else workshop.today()
        estimate_use(workshop, number, cycles, why, day, say_of(workshop, who))
    answer({"wrench": number, "cycles": str(cycles)}, f"{number}: {cycles_text(cycles)} more", as_json=as_json)


@wrench.command("withdraw")
@click.argument("number", metavar="WRENCH", type=WRENCH)
@why_option("What is wrong with it", "“the ratchet slips”")
@who_says
@json_option
def withdraw(*, number: str, why: str, who: Who, as_json: bool) -> None:
    """Take a wrench out of use until it is calibrated."""
    with workshop_here() as workshop:
        withdraw_wrench(workshop, number, why, say_of(workshop, who))
    answer({"wrench": number, "withdrawn": why}, f"{number}: withdrawn", as_json=as_json)


@wrench.command("strike")
@click.argument("number", metavar="WRENCH", type=WRENCH)
@click.argument("entry", metavar="ENTRY")
@why_option("What was wrong", "“mistyped, 98 was 89”")
@who_says
@json_option
def strike(*, number: str, entry: str, why: str, who: Who, as_json: bool) -> None:
    """Withdraw a mistyped calibration, check, mishap or estimate, by its number in `show` (“#57”). By a foreman."""
    with workshop_here() as workshop:
        done = strike_of_wrench(workshop, number, entry_of(entry, "wrench show"), why, say_of(workshop, who))
    state = f"it is still WITHDRAWN, {done.withdrawn}" if done.withdrawn else "it is not withdrawn"
    says = f"{number}: #{done.entry} ({done.what}) is struck and stays in its history; {state}"
    if as_json:
        print_json(struck_json(done))
        return
    click.echo(says)


def _mishandled(number: str, what: str, why: str, who: Who, *, as_json: bool) -> None:
    with workshop_here() as workshop:
        mishandle(workshop, number, what, why, say_of(workshop, who))
    says = f"{number}: {what}; put it aside, it is withdrawn until it is calibrated"
    answer({"wrench": number, "withdrawn": what}, says, as_json=as_json)
