"""What a night says of wrenches: which are due or withdrawn today, and on which vehicles their work is on the road."""

from collections.abc import Iterator
from datetime import date
from typing import TYPE_CHECKING

from torqueaudit.book import queries
from torqueaudit.model.shown.night import Line
from torqueaudit.model.wrench.entries import MISHAPS
from torqueaudit.model.wrench.words import change_text, overload_text
from torqueaudit.workshop.wrenches.hours import order_asked
from torqueaudit.workshop.wrenches.in_hand import overloaded
from torqueaudit.workshop.wrenches.strikes import what_of
from torqueaudit.workshop.wrenches.uses import doubtful_uses, uses_put_right, uses_since_good

if TYPE_CHECKING:
    from torqueaudit.ledger.entry import Entry
    from torqueaudit.model.wrench.wrench import Wrench
    from torqueaudit.workshop.night.desk import Desk

TOLD = 6  # how many jobs one line tells


def doubted_jobs(desk: "Desk") -> Iterator[int]:
    """Jobs on the road with a torque outside its limits, as is known since a wrench was found out or put right."""
    for wrench in desk.wrenches:
        uses = (*doubtful_uses(desk.workshop, wrench), *uses_put_right(desk.workshop, wrench))
        jobs = {use.job for use in uses if not use.inside}
        yield from (job for job in sorted(jobs) if has_left(desk, job))


def wrench_lines(desk: "Desk", entries: "list[Entry]") -> Iterator[Line]:
    """Wrenches withdrawn on the day, what was struck or put right of them, those overloaded, and those to calibrate.

    `entries` are those recorded on the day.
    """
    withdrawn = [e.key for e in entries if e.what in MISHAPS or not e.judged.get("passed", True)]
    told = {entry.sequence: entry for entry in entries}
    for wrench in desk.wrenches:
        for each in (strike for strike in wrench.struck if strike.by_entry in told):
            what = f"its {what_of(told[each.by_entry].judged['kind'])} #{each.entry} was struck"
            yield Line(f"{_name(wrench)}: {what} ({each.why}), so what it said no longer counts.")
        for change in wrench.changes:
            if change.entry in told:
                yield Line(f"{_name(wrench)}: put right by {told[change.entry].who}: {change_text(wrench, change)}.")
        for asked in (each for each in order_asked(wrench) if each.out):
            yield Line(f"{_name(wrench)}: {asked.says}.")
        yield from _overloaded(desk, wrench)
        if wrench.withdrawn and wrench.number in withdrawn:
            yield Line(f"{_name(wrench)}: withdrawn ({wrench.withdrawn}). {_touched(desk, wrench)}")
        elif wrench.due and not wrench.withdrawn:
            yield from _due(desk, wrench, wrench.due)


def _overloaded(desk: "Desk", wrench: "Wrench") -> Iterator[Line]:
    """Every night, until somebody has put it aside or looked at it."""
    if over := overloaded(desk.book, desk.settings, wrench, desk.end):
        yield Line(f"{_name(wrench)}: it {overload_text(wrench, over)}. Put it aside, or check it.")


def _due(desk: "Desk", wrench: "Wrench", due_on: date) -> Iterator[Line]:
    over = due_on < desk.day
    if not over and not desk.settings.ends_soon(due_on, desk.day):
        return
    says = f"its calibration {'ended' if over else 'ends'} on {due_on}"
    act = "Put it aside until it is calibrated." if over else "Send it to be calibrated."
    yield Line(f"{_name(wrench)}: {says}. {act}")


def _touched(desk: "Desk", wrench: "Wrench") -> str:
    uses = [*uses_since_good(desk.workshop, wrench)]
    judged = {use.entry for use in doubtful_uses(desk.workshop, wrench) if use.known}
    jobs = sorted({use.job for use in uses})
    left = [str(job) for job in jobs if has_left(desk, job)]
    if not left:
        return "No vehicle left with what it did since it was last known to be good."
    more = f" and {len(left) - TOLD} more" if len(left) > TOLD else ""
    asks = "Have it calibrated as found, so that they can be judged."
    if all(use.entry in judged for use in uses):
        asks = "What it did there is judged again by what was found."
    return (
        f"Since it was last known to be good it worked on job {', '.join(left[:TOLD])}{more}, and these vehicles have "
        f"left. {asks}"
    )


def has_left(desk: "Desk", job: int) -> bool:
    """Whether the vehicle of a job is on the road, with work that was not withdrawn."""
    row = queries.job_row(desk.book, job)
    return bool(row and row.handed_over_on and not row.withdrawn)


def _name(wrench: "Wrench") -> str:
    return f"Wrench {wrench.number} ({wrench.tag})"
