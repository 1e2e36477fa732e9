"""`torqueaudit fastener`: tighten, confirm, loosen, mark."""

import click

from torqueaudit.cli.act import act_on
from torqueaudit.cli.common import Who, again_option, as_typed, here_option, json_option, who_says
from torqueaudit.cli.values import PERSON, WRENCH, OneOf
from torqueaudit.model.job.acts import Tighten
from torqueaudit.model.job.facts import MarkState, Outcome, Slot
from torqueaudit.read.adapter import read_adapter
from torqueaudit.read.tightening import read_differing
from torqueaudit.read.words import read_mark, read_outcome, read_slot
from torqueaudit.workshop.jobs.fasteners import loosen, see_mark, tighten

OUTCOMES = OneOf(Outcome, read_outcome)
SLOTS = OneOf(Slot, read_slot)


@click.group()
def fastener() -> None:
    """Tighten, confirm, loosen, mark a fastener. KEY names a fastener or a group, KEY-3 its third."""


@fastener.command("tighten")
@click.argument("job")
@click.argument("key")
@click.option("--wrench", type=WRENCH, default="", help="The wrench's number, such as W-2.")
@click.option(
    "--shown", default="", metavar="TORQUE", help="What a setting wrench was set to or an indicating one showed."
)
@click.option(
    "--adapter",
    "adapters",
    multiple=True,
    metavar="MM@DEG",
    help="An adapter on the wrench: length and angle, such as 50@45; measured, 50±0.5@45±2 (U, k = 2). Once for each, "
    "from the wrench on, every angle against the lever.",
)
@click.option("--no-adapter", is_flag=True, help="None was on the wrench, although the procedure asks for one.")
@click.option("--angle", default="", metavar="DEG", help="Degrees turned after the torque, where they are specified.")
@click.option("--final-torque", default="", metavar="TORQUE", help="What the wrench showed at the end of the angle.")
@click.option("--slot", type=SLOTS, default=None, help="How the slot of a castle nut came to the hole for its pin.")
@click.option(
    "--slot-torque",
    default="",
    metavar="TORQUE",
    help="At the slot that the nut was turned on to: what the wrench showed, or was set to and did not click at.",
)
@click.option(
    "--drag",
    default="",
    metavar="TORQUE",
    help="What a self-locking nut needs to turn, where the source excludes it; “5 … 7 N·m” least and most over a turn.",
)
@click.option("--drag-wrench", type=WRENCH, default="", help="Which wrench read the drag, where it was another one.")
@click.option("--outcome", type=OUTCOMES, required=True, help="Also “turned and clicked”, “shown”, “not reached”.")
@click.option("--but", multiple=True, metavar="NUMBER=OUTCOME", help="A different outcome for one of a group.")
@click.option("--stage", type=click.IntRange(1), default=None, help="Which stage; the last where not given.")
@click.option("--thread-not-as-specified", is_flag=True, help="The thread was not found as the procedure says.")
@click.option("--helper", type=PERSON, multiple=True, help="Who helped, by number.")
@again_option
@here_option
@who_says
@json_option
def tighten_one(  # each is something a mechanic says
    *,
    job: str,
    key: str,
    wrench: str,
    shown: str,
    adapters: tuple[str, ...],
    no_adapter: bool,
    angle: str,
    final_torque: str,
    slot: str | None,
    slot_torque: str,
    drag: str,
    drag_wrench: str,
    outcome: str,
    but: tuple[str, ...],
    stage: int | None,
    thread_not_as_specified: bool,
    helper: tuple[str, ...],
    again: bool,
    here: bool,
    who: Who,
    as_json: bool,
) -> None:
    """Record one pass of a wrench over a fastener, or one stage of a group."""
    said = Tighten(
        outcome=Outcome(outcome),
        wrench=wrench,
        shown=shown,
        fitted=tuple(as_typed(read_adapter, each) for each in adapters),
        stage=stage or 0,
        thread_ok=not thread_not_as_specified,
        helpers=helper,
        differing=dict(as_typed(read_differing, each) for each in but),
        angle=angle,
        final_shown=final_torque,
        slot=Slot(slot) if slot else None,
        slot_shown=slot_torque,
        drag=drag,
        drag_wrench=drag_wrench,
        no_adapter=no_adapter,
    )
    act_on(
        job,
        who,
        as_json=as_json,
        act=lambda w, say: tighten(w, job, key, said, say),
        here=here,
        again=again,
    )


@fastener.command("confirm")
@click.argument("job")
@click.argument("key")
@click.option("--thread-not-as-specified", is_flag=True, help="The thread was not found as the procedure says.")
@click.option("--helper", type=PERSON, multiple=True, help="Who had a hand in it besides, by number.")
@again_option
@here_option
@who_says
@json_option
def confirm_one(
    *,
    job: str,
    key: str,
    thread_not_as_specified: bool,
    helper: tuple[str, ...],
    again: bool,
    here: bool,
    who: Who,
    as_json: bool,
) -> None:
    """Confirm what a wrench's log says of a fastener: you tightened it, and answer for it."""
    from torqueaudit.workshop.jobs.confirming import Said, confirm_logged  # few commands confirm a log

    said = Said(not thread_not_as_specified, helper)
    act_on(
        job,
        who,
        as_json=as_json,
        act=lambda w, say: confirm_logged(w, job, key, say, said),
        here=here,
        again=again,
    )


@fastener.command("loosen")
@click.argument("job")
@click.argument("key")
@click.option("--why", required=True)
@here_option
@who_says
@json_option
def loosen_one(*, job: str, key: str, why: str, here: bool, who: Who, as_json: bool) -> None:
    """Record that a fastener was undone."""
    act_on(job, who, as_json=as_json, act=lambda w, say: loosen(w, job, key, why, say), here=here)


@fastener.command("mark")
@click.argument("job")
@click.argument("key")
@click.argument("state", type=OneOf(MarkState, read_mark))
@click.option("--why", default="", help="Why it was not seen.")
@who_says
@json_option
def mark_one(*, job: str, key: str, state: str, why: str, who: Who, as_json: bool) -> None:
    """Record a witness mark painted (intact) or looked at."""
    act_on(job, who, as_json=as_json, act=lambda w, say: see_mark(w, job, key, MarkState(state), why, say))
