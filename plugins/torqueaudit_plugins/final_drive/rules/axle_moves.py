"""Where the axle has to go, as sentences: worked out of what was measured last, for a rule and for a panel."""

from decimal import Decimal
from typing import NamedTuple

from torqueaudit.plugin import Around, Job, Measured, Measurement, format_number
from torqueaudit_plugins.final_drive.calc.adjuster import turns_for
from torqueaudit_plugins.final_drive.calc.alignment import Skew, far_words, is_far, move_words, skew
from torqueaudit_plugins.final_drive.calc.slack import axle_movement_mm
from torqueaudit_plugins.final_drive.calc.sprockets import Drive
from torqueaudit_plugins.final_drive.kinds.values import end_of
from torqueaudit_plugins.final_drive.rules.drive_set import drive_now
from torqueaudit_plugins.final_drive.rules.wear_history import passed_limit
from torqueaudit_plugins.final_drive.table.content import ALIGNMENT, SLACK, Stated

AGAIN = "Measure slack and alignment again, also after the axle nut has its torque."


class Move(NamedTuple):
    """What is outside its limits, and how to bring it inside."""

    item: Measurement
    taken: Measured
    says: str


def moves_of(job: Job, around: Around, stated: Stated) -> list[Move]:
    """A move for each slack and alignment that was last found outside its limits, where one can be worked out.

    A chain that is worn past its limit is not tensioned once more, and where another job has worked since, the axle
    stands elsewhere by now.
    """
    found = []
    outside = outside_of(job)
    worn = passed_limit(job, around, stated)
    for item, taken in outside:
        if _superseded(job, around, taken):
            continue
        says = ""
        if item.kind == SLACK and not worn:
            says = _slack(drive_now(job, around, stated), stated, item, taken)
        elif item.kind == ALIGNMENT:
            says = _alignment(stated, taken)
        if says:
            found.append(Move(item, taken, says))
    return found


def _superseded(job: Job, around: Around, taken: Measured) -> bool:
    """Whether another job, or anyone's report, turned or measured something on the vehicle since."""
    at = taken.noted.happened_at
    measured = any(each.happened_at > at and each.job != job.number for each in around.measured)
    return measured or any(event.happened_at > at for event in around.others)


def outside_of(job: Job) -> list[tuple[Measurement, Measured]]:
    """What was last measured outside its limits."""
    taken = [(item, job.record.measured(item.key)) for item in job.procedure.measurements()]
    return [(item, value) for item, value in taken if value and value.inside is False]


def _slack(known: tuple[Drive, int] | None, stated: Stated, item: Measurement, taken: Measured) -> str:
    if known is None or item.lower is None or item.upper is None:
        return ""
    drive, links = known
    try:
        least, aimed, most = (
            axle_movement_mm(drive, links, float(taken.value), float(target))
            for target in (item.upper, (item.lower + item.upper) / 2, item.lower)
        )
    except ValueError:  # a slack that no such drive has: the measurement itself is in doubt
        return ""
    way = "back" if aimed > 0 else "forward"
    near, far = sorted((abs(least), abs(most)))
    least_words = "" if taken.value else "at least "  # a chain may be pulled tighter than taut
    turns = _turned(abs(aimed), stated)
    return _believed(
        abs(aimed),
        stated,
        f"move the axle {way} by {least_words}{abs(aimed):.2f} mm on both sides{f' ({turns} each)' if turns else ''}, "
        f"to the middle of {item.written} ({near:.2f} to {far:.2f} mm reach its ends)",
    )


def _believed(move_mm: float, stated: Stated, says: str) -> str:
    """A move, and before one that is hardly true that it is measured again first."""
    pitch = float(stated.adjuster_pitch_mm) if stated.adjuster_pitch_mm else None
    if not is_far(move_mm, pitch):
        return says
    return f"{far_words(pitch)}: measure again first. If it is so all the same, {says}"


def _alignment(stated: Stated, taken: Measured) -> str:
    found = skew_of(taken, stated)
    sides = {told.name: told for told in taken.inputs}
    end = end_of(sides["left"].place, sides["right"].place, dict(taken.conditions)) if found else None
    if found is None or not found.more:
        return ""
    distance = abs(found.difference_mm)
    if end is None:
        said = f"{format_number(distance, 4)} mm"
        says = (
            f"{found.more} reads {said} more; read from the pivot, move it forward by {said}, from the axle end, back"
        )
    else:
        says = move_words(found, end, lambda move_mm: _turned(move_mm, stated))
    return _believed(float(distance), stated, says)


def skew_of(taken: Measured, stated: Stated) -> Skew | None:
    """The skew of what was read left and right; None where that was not told."""
    sides = {told.name: told.value for told in taken.inputs}
    if not {"left", "right"} <= sides.keys():
        return None
    try:
        return skew(sides["left"], sides["right"], stated.base_mm or Decimal(1))
    except ValueError:
        return None


def _turned(axle_mm: float, stated: Stated) -> str:
    """Turns and flats of one adjuster, where their thread is stated; else ""."""
    if stated.adjuster_pitch_mm is None:
        return ""
    try:
        return turns_for(axle_mm, float(stated.adjuster_pitch_mm)).says()
    except ValueError:
        return ""
