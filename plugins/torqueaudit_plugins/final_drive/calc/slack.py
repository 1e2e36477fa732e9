"""Slack of the lower run, and how far the axle moves for it.

    m = 2·√((s′/2)² - (s/2)²)        s = C·cos β        s′ = s + (N - N(C))·p

m is the whole movement up and down at mid-span, s the straight run between the sprockets at the centre distance C, s′
the lower run, which holds all that the chain is too long; the upper run is taut. All lengths in mm. It follows from
geometry (a chain without weight, pulled to a point up and down).
"""

from math import isfinite, sqrt

from torqueaudit_plugins.final_drive.calc.bisection import root_of
from torqueaudit_plugins.final_drive.calc.length import centre_at, links_at, straight_run_mm
from torqueaudit_plugins.final_drive.calc.sprockets import Drive


def centre_with(drive: Drive, links: int, slack_mm: float) -> float:
    """The centre distance at which a chain has a slack. Raises ValueError, with a sentence, where it cannot hang so."""
    if not (isfinite(slack_mm) and slack_mm >= 0):
        raise ValueError(f"a slack of {slack_mm:g} mm is none; measure the whole movement up and down")
    taut, touching = centre_at(drive, links), drive.touching_mm
    if slack_mm > straight_run_mm(drive, taut) / 2:
        raise ValueError(
            f"a slack of {slack_mm:g} mm is more than half the run between the sprockets; look for a wrong number"
        )
    return root_of(lambda centre: slack_mm - slack_at(drive, links, centre), touching, taut)


def axle_movement_mm(drive: Drive, links: int, slack_mm: float, target_mm: float) -> float:
    """How far the axle moves back to change a slack to another; below zero: forward.

    Raises ValueError, with a sentence, as `centre_with` does.
    """
    return centre_with(drive, links, target_mm) - centre_with(drive, links, slack_mm)


def slack_at(drive: Drive, links: int, centre_mm: float) -> float:
    """The slack at a centre distance; none where the chain is taut or would have to stretch."""
    straight = straight_run_mm(drive, centre_mm)
    excess = max((links - links_at(drive, centre_mm)) * drive.pitch_mm, 0.0)
    return sqrt(excess * (2 * straight + excess))  # 2·√((s′/2)² - (s/2)²), without the loss of digits
