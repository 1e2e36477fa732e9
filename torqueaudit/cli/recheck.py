"""`torqueaudit recheck`: the look after the first ride."""

from typing import TYPE_CHECKING

import click

from torqueaudit.cli.act import act_on
from torqueaudit.cli.common import Who, as_typed, json_option, print_json, who_says, why_option, workshop_here
from torqueaudit.cli.values import OneOf, ReadOff, odometer_option
from torqueaudit.model.job.acts import Postponement, RecheckResult
from torqueaudit.model.job.entries import FAULT_FOUND, IN_ORDER
from torqueaudit.model.job.road import Half
from torqueaudit.model.shown.due_list import AHEAD, MOST_AHEAD
from torqueaudit.read.day import read_day
from torqueaudit.workshop.recheck.arranging import answer_recheck, postpone_recheck, refer_recheck, refuse_recheck
from torqueaudit.workshop.recheck.asking import ask_day
from torqueaudit.workshop.recheck.road import recheck as conclude

if TYPE_CHECKING:
    from torqueaudit.model.vehicle.instrument import Run


@click.group()
def recheck() -> None:
    """The look after the first ride."""


@recheck.command("due")
@click.option(
    "--ahead", type=click.IntRange(0, MOST_AHEAD), default=AHEAD, show_default=True, help="Within how many days."
)
@json_option
def due(*, ahead: int, as_json: bool) -> None:
    """List the re-checks that are due within some days, and those that are late, by their day."""
    from torqueaudit.reports.json.recheck import due_recheck_json
    from torqueaudit.workshop.night.due_list import rechecks_due

    with workshop_here() as workshop:
        rows = rechecks_due(workshop, ahead)
    if as_json:
        print_json([due_recheck_json(row) for row in rows])
        return
    for row in rows:
        click.echo(f"{row.vehicle:<6} {row.tag:<24} {row.says}")
    if not rows:
        click.echo(f"No re-check is due within {ahead} days.")


@recheck.command("ask")
@click.argument("job")
@click.option("--on", required=True, help="The day: 2031-04-02. That of the re-check, or an earlier one.")
@click.option("--half", type=OneOf(Half), default=Half.MORNING.value, show_default=True)
@who_says
@json_option
def ask(*, job: str, on: str, half: str, who: Who, as_json: bool) -> None:
    """Note on which day the owner would like to come, as they say on the telephone; the night says whom to call."""
    day = as_typed(read_day, on)
    act_on(job, who, as_json=as_json, act=lambda w, say: ask_day(w, job, day, Half(half), say))


@recheck.command("done")
@click.argument("job")
@odometer_option("The odometer now: “12 100 km”.")
@click.option("--remark", default="")
@who_says
@json_option
def done_recheck(*, job: str, odometer: "Run | None", sure: bool, remark: str, who: Who, as_json: bool) -> None:
    """Conclude the re-check, once every mark and measurement of the plan was looked at."""
    act_on(
        job,
        who,
        as_json=as_json,
        act=lambda w, say: conclude(w, job, odometer, remark, say),
        sure=sure,
        whole=True,
    )


@recheck.command("postpone")
@click.argument("job")
@click.option("--until", help="The day it is put off to, 2031-05-02.")
@click.option(
    "--until-odometer", "until_run", type=ReadOff(), help="The odometer it is put off to: “12 600 km”; or “12 h”."
)
@why_option("Why it is put off", "“the owner is abroad until then”")
@who_says
@json_option
def postpone(*, job: str, until: str | None, until_run: "Run | None", why: str, who: Who, as_json: bool) -> None:
    """Put the re-check off to a day, an odometer, or both; what is not told keeps holding."""
    told = Postponement(as_typed(read_day, until) if until else None, until_run, why)
    act_on(job, who, as_json=as_json, act=lambda w, say: postpone_recheck(w, job, told, say))


@recheck.command("refused")
@click.argument("job")
@why_option("What the owner says", "“looks after it at home”")
@who_says
@json_option
def refused(*, job: str, why: str, who: Who, as_json: bool) -> None:
    """Record that the owner does not want the re-check."""
    act_on(job, who, as_json=as_json, act=lambda w, say: refuse_recheck(w, job, why, say))


@recheck.command("referred")
@click.argument("job")
@click.option("--to", "to_whom", required=True, help="The workshop that does it.")
@why_option("Why it is done there", "“the owner moved away”")
@who_says
@json_option
def referred(*, job: str, to_whom: str, why: str, who: Who, as_json: bool) -> None:
    """Hand the re-check to another workshop; it stays open until their result is recorded."""
    act_on(job, who, as_json=as_json, act=lambda w, say: refer_recheck(w, job, to_whom, why, say))


@recheck.command("answered")
@click.argument("job")
@click.argument("found", type=OneOf((IN_ORDER, FAULT_FOUND)), metavar="FOUND")
@odometer_option("The odometer that they read, if they told it: “12 100 km”.")
@click.option("--remark", default="", help="What they wrote; of a fault which.")
@who_says
@json_option
def answered(*, job: str, found: str, odometer: "Run | None", sure: bool, remark: str, who: Who, as_json: bool) -> None:
    """Record what the other workshop found: “in order”, or “fault found”."""
    told = RecheckResult(found == IN_ORDER, odometer, remark)
    act_on(job, who, as_json=as_json, act=lambda w, say: answer_recheck(w, job, told, say), sure=sure, whole=True)
