"""The commands `torqueaudit chain slack`, `alignment`, `adjuster` and `travel`: where the axle has to go."""

import re
from decimal import Decimal
from typing import Any, NamedTuple

import click

from torqueaudit_plugins.final_drive.adjuster import turns_for, wear_for_travel
from torqueaudit_plugins.final_drive.alignment import End, Skew, one_end, skew, way_of_more
from torqueaudit_plugins.final_drive.answering import (
    MM,
    Answer,
    Calculator,
    drive_from,
    drive_options,
    exact,
    json_option,
    places,
    read_number,
    show,
    thread_option,
)
from torqueaudit_plugins.final_drive.slack import axle_movement_mm
from torqueaudit_plugins.final_drive.sprockets import Drive

AGAIN = "Measure slack and alignment again after the axle nut has its final torque: so little movement is soon lost."
SAME_POSTURE = "Both slacks hold for the posture and the place that the manual defines, at the tightest place."
NO_SLACK = "A chain without slack breaks bearings and itself: 0 mm is no target to ride with."
FAR_OUT_DEG = 2
END = click.Choice([end.value for end in End])


class Target(NamedTuple):
    """The least and the most slack that is wanted, in mm; the same number twice where one value is."""

    least_mm: float
    most_mm: float

    @property
    def middle_mm(self) -> float:
        """What to aim at."""
        return (self.least_mm + self.most_mm) / 2


@click.command(cls=Calculator, name="slack")
@drive_options
@click.option("--links", type=int, required=True, metavar="NUMBER", help="Links of the chain.")
@click.option("--from", "measured", type=MM, required=True, metavar="MM", help="Slack measured, whole movement.")
@click.option("--to", "target", required=True, metavar="MM", help="The model's own: one value, or a window “20 … 30”.")
@thread_option
@json_option
def slack(
    *,
    front: int,
    rear: int,
    pitch: Decimal | None,
    size: str | None,
    links: int,
    measured: Decimal,
    target: str,
    adjuster_pitch: Decimal | None,
    as_json: bool,
) -> None:
    """How far the axle moves to bring the slack to its target."""
    drive = drive_from(front, rear, pitch, size)
    wanted = _read_target(target)
    answer = _axle_answer(drive, links, float(measured), wanted)
    turned = _turned(float(answer.content["axle_mm"]), adjuster_pitch)
    warnings = (SAME_POSTURE, AGAIN) if wanted.middle_mm else (NO_SLACK, SAME_POSTURE, AGAIN)
    show(Answer(answer.content | turned.content, answer.lines + turned.lines, warnings), as_json=as_json)


def _read_target(text: str) -> Target:
    ends = [read_number(each, "mm", "--to") for each in re.split(r"\s*(?:…|\.{2,3}|–)\s*|(?<=[\dm])\s*-\s*", text)]
    if len(ends) > 2 or ends[0] > ends[-1]:  # noqa: PLR2004 -- a window has two ends
        raise ValueError(f'--to "{text[:40]}" is no slack; write one value or a window, such as 25 or “20 … 30”')
    return Target(float(ends[0]), float(ends[-1]))


def _axle_answer(drive: Drive, links: int, measured: float, wanted: Target) -> Answer:
    ends = [axle_movement_mm(drive, links, measured, each) for each in (wanted.most_mm, wanted.least_mm)]
    aimed = axle_movement_mm(drive, links, measured, wanted.middle_mm)
    if wanted.least_mm == wanted.most_mm:
        line = f"slack {measured:g} to {wanted.middle_mm:g} mm: {_moved(aimed)}"
        return Answer({"axle_mm": exact(aimed), "direction": _way(aimed)}, (line,))
    content: dict[str, Any] = {"axle_least_mm": exact(ends[0]), "axle_most_mm": exact(ends[1])}
    window = f"{wanted.least_mm:g} … {wanted.most_mm:g} mm"
    if wanted.least_mm <= measured <= wanted.most_mm:
        line = f"slack {measured:g} mm lies within {window}: leave the axle where it is"
        return Answer({"axle_mm": "0", "direction": "none", **content, "within_window": True}, (line,))
    lines = (
        f"slack {measured:g} mm to the middle of {window}: {_moved(aimed)}",
        f"from {places(abs(ends[0]), 2)} to {places(abs(ends[1]), 2)} mm would reach the window's ends",
    )
    return Answer({"axle_mm": exact(aimed), "direction": _way(aimed), **content, "within_window": False}, lines)


def _way(axle_mm: float) -> str:
    return "back" if axle_mm > 0 else "forward" if axle_mm < 0 else "none"


def _moved(axle_mm: float) -> str:
    if not axle_mm:
        return "leave the axle where it is"
    return f"move the axle {_way(axle_mm)} by {places(abs(axle_mm), 2)} mm on both sides"


def _turned(axle_mm: float, thread_pitch: Decimal | None) -> Answer:
    """Turns and flats, where the adjusters' thread is known."""
    if thread_pitch is None:
        return Answer({}, ())
    turns = turns_for(axle_mm, float(thread_pitch))
    content = {"turns": exact(turns.turns), "flats": exact(turns.flats)}
    lines = (f"adjusters of {thread_pitch} mm a turn: {turns.says()}",) if axle_mm else ()
    return Answer(content, lines)


@click.command(cls=Calculator, name="alignment")
@click.option("--left", type=MM, required=True, metavar="MM", help="Caliper or scale on the left, to the axle.")
@click.option("--right", type=MM, required=True, metavar="MM", help="The same on the right.")
@click.option("--base", type=MM, required=True, metavar="MM", help="Distance between the two places.")
@click.option("--left-end", type=END, help="The end of the swinging arm that the left was taken from.")
@click.option("--right-end", type=END, help="The end that the right was taken from; it has to be the same.")
@thread_option
@json_option
def alignment(
    *,
    left: Decimal,
    right: Decimal,
    base: Decimal,
    left_end: str | None,
    right_end: str | None,
    adjuster_pitch: Decimal | None,
    as_json: bool,
) -> None:
    """Skew of the rear wheel, and which side to move by how much."""
    end = one_end(End(left_end) if left_end else None, End(right_end) if right_end else None)
    found = skew(left, right, base)
    way = way_of_more(end) if end and found.more else ""
    distance = abs(found.difference_mm)
    content = {
        "angle_deg": exact(found.angle_deg),
        "difference_mm": exact(found.difference_mm),
        "side": found.more,
        "direction": way,
        "move_mm": exact(distance),
    }
    turned = _turned(float(distance), adjuster_pitch) if found.more else Answer({}, ())
    far = abs(found.angle_deg) > FAR_OUT_DEG
    warnings = (f"More than {FAR_OUT_DEG}° is hardly true: measure both sides again.", AGAIN) if far else (AGAIN,)
    show(Answer(content | turned.content, (*_skew_lines(found, end, way), *turned.lines), warnings), as_json=as_json)


def _skew_lines(found: Skew, end: End | None, way: str) -> tuple[str, ...]:
    if not found.more:
        return ("left and right read the same: no skew",)
    distance, half = places(abs(found.difference_mm), 3), places(abs(found.difference_mm) / 2, 3)
    first = f"{found.more} reads {distance} mm more than {found.other}: a skew of {places(abs(found.angle_deg), 3)}°"
    if end is None:
        return (
            first,
            f"read from the front end (the pivot), move {found.more} forward by {distance} mm; from the rear end, back",
            "(state the end with --left-end and --right-end)",
        )
    other_way = "back" if way == "forward" else "forward"
    return (
        first,
        f"move {found.more} {way} by {distance} mm, or {found.other} {other_way} by as much",
        f"to keep the slack in the middle: {found.more} {way} and {found.other} {other_way} by {half} mm each",
    )


@click.command(cls=Calculator, name="adjuster")
@click.option("--axle", type=MM, required=True, metavar="MM", help="Movement of the axle, back above zero.")
@click.option("--adjuster-pitch", type=MM, required=True, metavar="MM", help="Thread pitch of the adjusters.")
@json_option
def adjuster(*, axle: Decimal, adjuster_pitch: Decimal, as_json: bool) -> None:
    """Turns and flats of the adjusters for a movement of the axle."""
    turned = _turned(float(axle), adjuster_pitch)
    content = {"axle_mm": exact(axle), "direction": _way(float(axle)), **turned.content}
    show(Answer(content, (_moved(float(axle)), *turned.lines), (AGAIN,)), as_json=as_json)


@click.command(cls=Calculator, name="travel")
@drive_options
@click.option("--links", type=int, required=True, metavar="NUMBER", help="Links of the chain.")
@click.option("--left", "travel_mm", type=MM, required=True, metavar="MM", help="Travel of the adjusters that is left.")
@json_option
def travel(
    *,
    front: int,
    rear: int,
    pitch: Decimal | None,
    size: str | None,
    links: int,
    travel_mm: Decimal,
    as_json: bool,
) -> None:
    """Further wear that uses up what travel the adjusters have."""
    left = wear_for_travel(drive_from(front, rear, pitch, size), links, float(travel_mm))
    content = {"wear_least_percent": exact(left.least_percent), "wear_most_percent": exact(left.most_percent)}
    between = f"{places(left.least_percent, 1)} to {places(left.most_percent, 1)} %"
    lines = (
        f"{exact(travel_mm)} mm of travel are used up by about {between} further wear (an estimate)",
        "adjusters near their end say that the chain is worn or has a link too many: measure it",
    )
    show(Answer(content, lines), as_json=as_json)
