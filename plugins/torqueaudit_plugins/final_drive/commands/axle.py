"""The commands `torqueaudit chain slack`, `alignment`, `adjuster` and `travel`: where the axle has to go."""

import re
from decimal import Decimal
from typing import Any, NamedTuple

import click

from torqueaudit_plugins.final_drive.calc.adjuster import turns_for, wear_for_travel
from torqueaudit_plugins.final_drive.calc.alignment import (
    End,
    Skew,
    end_named,
    far_words,
    is_far,
    move_words,
    one_end,
    skew,
    way_of_more,
)
from torqueaudit_plugins.final_drive.calc.slack import axle_movement_mm
from torqueaudit_plugins.final_drive.calc.sprockets import Drive
from torqueaudit_plugins.final_drive.commands.answer import (
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

AGAIN = "Measure slack and alignment again after the axle nut has its final torque: so little movement is soon lost."
SAME_POSTURE = "Both slacks hold for the posture and the place that the manual defines, at the tightest place."
NO_SLACK = "A chain without slack breaks bearings and itself: 0 mm is no target to ride with."
BAR_TIGHT = "A chain that is bar-tight may be pulled past taut: it needs at least that. Measure again once it hangs."
FAR_OUT_DEG = 2
MEASURE_AGAIN = "measure both sides again first"
WHERE = "or “410 mm from the pivot”"


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
@click.option("--to", "target", required=True, metavar="MM", help="The model's own: one value, or a window “32 … 42”.")
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
    axle_mm = float(answer.content["axle_mm"])
    turned = _turned(axle_mm, adjuster_pitch)
    warnings = (*[NO_SLACK] * (not wanted.middle_mm), *[BAR_TIGHT] * (not measured), SAME_POSTURE, AGAIN)
    doubt = _doubt(axle_mm, adjuster_pitch, "measure the slack again first")
    content = {**answer.content, **turned.content, "hardly_true": bool(doubt)}
    show(Answer(content, doubt + answer.lines + turned.lines, warnings), as_json=as_json)


def _doubt(move_mm: float, thread_pitch: Decimal | None, do: str) -> tuple[str, ...]:
    """A line that stands before a move which is hardly true."""
    pitch = None if thread_pitch is None else float(thread_pitch)
    return (f"{far_words(pitch)}: {do}",) if is_far(abs(move_mm), pitch) else ()


def _read_target(text: str) -> Target:
    ends = [
        read_number(each, "mm", "--to") for each in re.split(r"\s*(?:…|\.{2,3}|–|\bto\b)\s*|(?<=[0-9m])\s*-\s*", text)
    ]
    if len(ends) > 2 or ends[0] > ends[-1]:  # noqa: PLR2004 -- a window has two ends
        raise ValueError(f'--to "{text[:40]}" is no slack; write one value or a window, such as 37 or “32 … 42”')
    return Target(float(ends[0]), float(ends[-1]))


def _axle_answer(drive: Drive, links: int, measured: float, wanted: Target) -> Answer:
    ends = [axle_movement_mm(drive, links, measured, each) for each in (wanted.most_mm, wanted.least_mm)]
    aimed = axle_movement_mm(drive, links, measured, wanted.middle_mm)
    if wanted.least_mm == wanted.most_mm:
        line = f"slack {measured:g} to {wanted.middle_mm:g} mm: {_moved(aimed)}"
        return Answer({"axle_mm": exact(aimed), "direction": _way(aimed)}, (line,))
    content: dict[str, Any] = {"axle_least_mm": exact(ends[0]), "axle_most_mm": exact(ends[1])}
    near, far = sorted(map(abs, ends))
    window = f"{wanted.least_mm:g} … {wanted.most_mm:g} mm"
    if wanted.least_mm <= measured <= wanted.most_mm:
        line = f"slack {measured:g} mm lies within {window}: leave the axle where it is"
        return Answer({"axle_mm": "0", "direction": "none", **content, "within_window": True}, (line,))
    lines = (
        f"slack {measured:g} mm to the middle of {window}: {_moved(aimed)}",
        f"from {places(near, 2)} to {places(far, 2)} mm would reach the window's ends",
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
@click.option("--left", required=True, metavar="MM", help=f"On the left: 410, {WHERE}.")
@click.option("--right", required=True, metavar="MM", help="The same on the right.")
@click.option("--base", type=MM, required=True, metavar="MM", help="Distance between the two places.")
@click.option("--left-end", default="", metavar="END", help="Taken from: front (pivot) or rear (axle) of the arm.")
@click.option("--right-end", default="", metavar="END", help="The same of the right; it has to be the same end.")
@thread_option
@json_option
def alignment(
    *,
    left: str,
    right: str,
    base: Decimal,
    left_end: str,
    right_end: str,
    adjuster_pitch: Decimal | None,
    as_json: bool,
) -> None:
    """Skew of the rear wheel, and which side to move by how much."""
    (left_mm, left_from), (right_mm, right_from) = (
        _read_side(left, left_end, "left"),
        _read_side(right, right_end, "right"),
    )
    end = one_end(left_from, right_from)
    found = skew(left_mm, right_mm, base)
    way = way_of_more(end) if end and found.more else ""
    distance = abs(found.difference_mm)
    content: dict[str, Any] = {
        "angle_deg": exact(found.angle_deg),
        "difference_mm": exact(found.difference_mm),
        "side": found.more,
        "direction": way,
        "move_mm": exact(distance),
        "each_mm": exact(distance / 2),
    }
    if adjuster_pitch is not None:
        whole, half = (turns_for(float(each), float(adjuster_pitch)) for each in (distance, distance / 2))
        content |= {"turns": exact(whole.turns), "flats": exact(whole.flats)}
        content |= {"each_turns": exact(half.turns), "each_flats": exact(half.flats)}
    doubt = _doubt(float(distance), adjuster_pitch, MEASURE_AGAIN)
    if not doubt and abs(found.angle_deg) > FAR_OUT_DEG:
        doubt = (f"more than {FAR_OUT_DEG}° is hardly true: {MEASURE_AGAIN}",)
    content["hardly_true"] = bool(doubt)
    show(Answer(content, (*doubt, *_skew_lines(found, end, adjuster_pitch)), (AGAIN,)), as_json=as_json)


def _read_side(text: str, end: str, side: str) -> tuple[Decimal, End | None]:
    """A length and the end it was taken from, told behind it or by its own option; None where neither says it."""
    length, place, *_ = (*re.split(r"\s+(?:at|from)\s+", text, maxsplit=1), "")
    named = [end_named(words) for words in (place, end) if words.strip()]
    if None in named:
        raise ValueError(
            f"{side}: “{place or end}” names no end of the swinging arm; write front (pivot) or rear (axle)"
        )
    if len(set(named)) > 1:
        raise ValueError(f"{side}: “{place}” and “{end}” are not the same end; say once from which it was taken")
    return read_number(length, "mm", f"--{side}"), named[0] if named else None


def _skew_lines(found: Skew, end: End | None, thread_pitch: Decimal | None) -> tuple[str, ...]:
    if not found.more:
        return ("left and right read the same: no skew",)
    distance = places(abs(found.difference_mm), 3)
    first = f"{found.more} reads {distance} mm more than {found.other}: a skew of {places(abs(found.angle_deg), 3)}°"

    def turned(move_mm: float) -> str:
        return "" if thread_pitch is None else turns_for(move_mm, float(thread_pitch)).says()

    if end is None:
        turns = f" ({said})" if (said := turned(float(abs(found.difference_mm)))) else ""
        front = f"read from the front end (the pivot), move {found.more} forward by {distance} mm{turns}"
        return (
            first,
            f"{front}; from the rear end (the axle), back",
            "(state the end with --left-end and --right-end)",
        )
    return (first, move_words(found, end, turned))


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
