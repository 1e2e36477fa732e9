"""The final drive's geometry against an independent construction, the handbook form, and common practice.

Two drives, each with its chain, its pins and its slack: the one of the examples, and one that is met in practice
(common practice, no source), whose figures stand in this folder alone.
"""

from decimal import Decimal
from fractions import Fraction
from itertools import pairwise
from math import acos, asin, atan2, cos, degrees, hypot, pi, sin, sqrt

import pytest
from scipy import stats
from scipy.optimize import brentq

from torqueaudit_plugins.final_drive.calc.adjuster import turns_for, wear_for_travel
from torqueaudit_plugins.final_drive.calc.alignment import skew
from torqueaudit_plugins.final_drive.calc.length import centre_at, links_at, straight_run_mm
from torqueaudit_plugins.final_drive.calc.slack import axle_movement_mm, centre_with, slack_at
from torqueaudit_plugins.final_drive.calc.sprockets import (
    PITCHES_MM,
    Drive,
    drive_of,
    ratio,
    ratio_change_percent,
    turns_to_meet_again,
)
from torqueaudit_plugins.final_drive.calc.student import two_sided_t
from torqueaudit_plugins.final_drive.calc.wear import span_of

P520 = 15.875
DRIVES = [
    (front, rear, links, pitch)
    for front, rear, links in (
        (15, 43, 112),
        (17, 41, 110),
        (15, 45, 112),
        (13, 52, 120),
        (16, 16, 96),
        (41, 17, 110),
        (14, 38, 90),
    )
    for pitch in (P520, 12.7)
]


def radius(teeth: int, pitch: float) -> float:
    """The circle on which chords of one pitch close after `teeth` of them, found by trying."""
    return float(brentq(lambda r: 2 * teeth * asin(pitch / (2 * r)) - 2 * pi, pitch / 2 * 1.0001, pitch * teeth))


def path_mm(front: int, rear: int, pitch: float, centre: float, corners: int = 400) -> float:
    """The chain's path, built as a closed polyline around both pitch circles and measured.

    Source: construction. The tangents touch where both circles reach as far in one direction. On a circle the pins are
    corners of a polygon with sides of one pitch: the arc between the first and the last tangent is cut into `corners`
    equal angles, and each stands for its share of such a side.
    """
    small, large = radius(front, pitch), radius(rear, pitch)
    touch = acos((small - large) / centre)  # where r1 = r2 + C·cos: as far out in this direction
    low = (small * cos(touch), small * sin(touch))
    high = (centre + large * cos(touch), large * sin(touch))
    length = 2 * hypot(high[0] - low[0], high[1] - low[1])
    for r, start, end in ((small, touch, 2 * pi - touch), (large, -touch, touch)):
        side = 2 * asin(pitch / (2 * r))
        places = [start + (end - start) * step / corners for step in range(corners + 1)]
        points = [(r * cos(angle), r * sin(angle)) for angle in places]
        turned = sum(atan2(a[0] * b[1] - a[1] * b[0], a[0] * b[0] + a[1] * b[1]) for a, b in pairwise(points))
        length += turned / side * hypot(r - r * cos(side), r * sin(side))
    return length


def handbook_centre(front: int, rear: int, links: int, pitch: float) -> float:
    """Source: the usual handbook form, C = p/8·[2N - z1 - z2 + √((2N - z1 - z2)² - 8/π²·(z2 - z1)²)]."""
    straight = 2 * links - front - rear
    return pitch / 8 * (straight + sqrt(straight**2 - 8 / pi**2 * (rear - front) ** 2))


@pytest.mark.parametrize(("size", "pitch"), [("420", "12.7"), ("428", "12.7"), ("520", "15.875"), ("530", "15.875")])
def test_pitches(size: str, pitch: str) -> None:
    """Source: ISO 606 and ISO 10190 (values from memory, not read in the standards); 525 as 520."""
    assert Decimal(pitch) == PITCHES_MM[size]
    assert Decimal("15.875") == PITCHES_MM["525"]


@pytest.mark.parametrize(
    ("front", "rear", "links", "centre"),
    [
        (15, 43, 112, 654.988298),
        (16, 44, 114, 662.971934),
        (15, 45, 112, 646.426044),
        pytest.param(17, 41, 110, 640.063011, id="common practice, no source"),
    ],
)
def test_centre_distances(front: int, rear: int, links: int, centre: float) -> None:
    """Source: geometry, worked out to six places."""
    assert pytest.approx(centre, abs=5e-7) == centre_at(drive_of(front, rear, P520), links)


@pytest.mark.parametrize(("front", "rear", "links", "pitch"), DRIVES)
def test_the_path_around_both_circles_is_as_long_as_the_chain(front: int, rear: int, links: int, pitch: float) -> None:
    """Source: the construction above, to 1e-6 mm, in both directions."""
    drive = drive_of(front, rear, pitch)
    centre = centre_at(drive, links)

    assert pytest.approx(links * pitch, abs=1e-6) == path_mm(front, rear, pitch, centre)
    assert pytest.approx(path_mm(front, rear, pitch, 600), abs=1e-6) == links_at(drive, 600) * pitch
    constructed = brentq(lambda c: path_mm(front, rear, pitch, c) - links * pitch, 300, 900, xtol=1e-9)
    assert pytest.approx(constructed, abs=1e-6) == centre


@pytest.mark.parametrize(("front", "rear", "links", "pitch"), DRIVES)
def test_the_handbook_form_is_near(front: int, rear: int, links: int, pitch: float) -> None:
    """Source: the handbook form; it lies back by less than 0.03 mm, and not at all for equal teeth."""
    more = handbook_centre(front, rear, links, pitch) - centre_at(drive_of(front, rear, pitch), links)

    assert -1e-9 < more < 0.03
    assert (front == rear) == (abs(more) < 1e-9)


@pytest.mark.parametrize(
    ("front", "rear", "links", "centre"),
    [(15, 43, 112, 654.992021), pytest.param(17, 41, 110, 640.065159, id="common practice, no source")],
)
def test_the_handbook_form_of_two_drives(front: int, rear: int, links: int, centre: float) -> None:
    """Source: the handbook form."""
    assert pytest.approx(centre, abs=5e-7) == handbook_centre(front, rear, links, P520)


def test_the_straight_run_of_one_drive() -> None:
    """Source: geometry, 15/43 and 112 links: C·cos β."""
    drive = drive_of(15, 43, P520)

    assert pytest.approx(651.176313, abs=5e-7) == straight_run_mm(drive, centre_at(drive, 112))


@pytest.mark.parametrize(
    ("slack", "axle"), [(25, 0.241364), (32, 0.395452), (37, 0.528688), (42, 0.681234), (55, 1.168231)]
)
def test_axle_movement_that_closes_a_slack(slack: float, axle: float) -> None:
    """Source: geometry, 15/43, 112 links, to six places (the printed values are rounded)."""
    assert pytest.approx(axle, abs=6e-7) == axle_movement_mm(drive_of(15, 43, P520), 112, slack, 0)


@pytest.mark.parametrize(("slack", "axle"), [(20, 0.157647), (30, 0.354707), (40, 0.630593)])
def test_axle_movement_that_closes_a_slack_met_in_practice(slack: float, axle: float) -> None:
    """Source of the movement: geometry, 17/41, 110 links. Of drive and slack: common practice, no source."""
    assert pytest.approx(axle, abs=6e-7) == axle_movement_mm(drive_of(17, 41, P520), 110, slack, 0)


@pytest.mark.parametrize(
    ("drive", "links", "slack", "target", "axle"),
    [
        ((15, 43), 112, 55, 37, 0.639543),
        pytest.param((17, 41), 110, 45, 30, 0.443391, id="common practice, no source"),
    ],
)
def test_so_little_movement_closes_so_much_slack(
    drive: tuple[int, int], links: int, slack: float, target: float, axle: float
) -> None:
    """Source: geometry: so slack and alignment are measured again after the axle nut has its final torque."""
    assert pytest.approx(axle, abs=6e-7) == axle_movement_mm(drive_of(*drive, P520), links, slack, target)


@pytest.mark.parametrize("slack", [1.0, 20.0, 45.0, 80.0])
def test_the_slack_is_the_height_of_two_triangles(slack: float) -> None:
    """Source: construction: the lower run as two straight halves, pulled up and down by half the slack each."""
    drive = drive_of(17, 41, P520)
    centre = centre_with(drive, 110, slack)
    half = straight_run_mm(drive, centre) / 2
    lower = 2 * hypot(half, slack / 2)
    path = path_mm(17, 41, P520, centre)

    assert pytest.approx(110 * P520, abs=1e-6) == path - 2 * half + lower
    assert pytest.approx(slack, abs=1e-6) == slack_at(drive, 110, centre)


@pytest.mark.parametrize(
    ("length", "wear"), [("285.75", "0"), ("287.6", "0.647419"), ("288.0", "0.787402"), ("289.3", "1.242345")]
)
def test_19_pins_span_18_pitches(length: str, wear: str) -> None:
    """Source: (L - n·p)/(n·p)·100 with n = pins - 1, 18 · 15.875 = 285.75."""
    span = span_of(19, Decimal("15.875"))

    assert (18, Decimal("285.750")) == (span.pitches, span.nominal_mm)
    assert Decimal(wear) == round(span.wear_percent(Decimal(length)), 6)


@pytest.mark.parametrize(("length", "wear"), [("317.5", "0"), ("319.4", "0.598425"), ("323", "1.732283")])
def test_21_pins_span_20_pitches(length: str, wear: str) -> None:
    """Source of the wear: as above, 20 · 15.875 = 317.5. Of pins and lengths: common practice, no source."""
    span = span_of(21, Decimal("15.875"))

    assert (20, Decimal("317.500")) == (span.pitches, span.nominal_mm)
    assert Decimal(wear) == round(span.wear_percent(Decimal(length)), 6)


def test_one_millimetre_over_250() -> None:
    """Source: ε = atan((x_L - x_R)/W)."""
    actual = skew(Decimal(1), Decimal(0), Decimal(250)).angle_deg

    assert pytest.approx(0.229182, abs=1e-6) == actual
    assert pytest.approx(degrees(atan2(1, 250)), rel=1e-14) == actual


def test_ratio_and_what_a_tooth_less_does() -> None:
    """Source: 43/15 = 2.866667; one tooth less in front, of 17 (common practice), turns 17/16 as fast, 6.25 % more."""
    assert pytest.approx(2.866667, abs=5e-7) == float(ratio(15, 43))
    assert pytest.approx(2.411765, abs=5e-7) == float(ratio(17, 41))
    assert Fraction(25, 4) == ratio_change_percent(ratio(17, 41), ratio(16, 41))


@pytest.mark.parametrize(
    ("teeth", "links"), [(15, 112), (17, 110), (16, 110), (15, 110), (44, 110), (16, 96), (11, 110)]
)
def test_how_often_the_same_tooth_meets_the_same_link(teeth: int, links: int) -> None:
    """Source: counting link by link until the first comes back; 15 and 112 meet after 112 turns."""
    turns = 1
    while turns * teeth % links:
        turns += 1

    assert turns == turns_to_meet_again(teeth, links)
    assert 112 == turns_to_meet_again(15, 112)


def test_turns_and_flats() -> None:
    """Source: a turn moves by the thread's pitch and has six flats: 1.5 mm at 1.25 mm are 1.2 turns, 7.2 flats."""
    turns = turns_for(1.5, 1.25)

    assert pytest.approx((1.2, 7.2)) == (turns.turns, turns.flats)
    assert "1 turn and 1.2 flats" == turns.says()


def test_travel_and_wear_bound_each_other() -> None:
    """Source: both ends constructed: a drive grown as a whole, and a longer chain around unchanged sprockets."""
    least, most = wear_for_travel(drive_of(17, 41, P520), 110, 1e-3)
    at = centre_at(drive_of(17, 41, P520), 110)
    grown = centre_at(drive_of(17, 41, P520 * (1 + most / 100)), 110)
    longer = path_mm(17, 41, P520, at + 1e-3) / path_mm(17, 41, P520, at)

    assert pytest.approx(1e-3, abs=1e-9) == grown - at
    assert pytest.approx(longer - 1, abs=1e-10) == least / 100
    assert least < most


@pytest.mark.parametrize("freedom", [1, 2, 3, 4, 5, 8, 13, 40, 399])
@pytest.mark.parametrize("level", [0.5, 0.9, 0.95, 0.99, 0.999])
def test_students_t(level: float, freedom: int) -> None:
    """Source: scipy.stats.t, to 1e-9."""
    expected = float(stats.t.ppf((1 + level) / 2, freedom))

    assert pytest.approx(expected, rel=1e-9) == two_sided_t(level, freedom)


def test_a_drive_holds_its_pitch_circles() -> None:
    """Source: the circle on which chords of one pitch close, found by trying."""
    drive: Drive = drive_of(17, 41, P520)

    assert pytest.approx(radius(17, P520), rel=1e-12) == drive.front_radius_mm
    assert pytest.approx(radius(41, P520), rel=1e-12) == drive.rear_radius_mm
