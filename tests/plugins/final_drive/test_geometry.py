"""Chain length, slack, wear and alignment: what inverts what, and what is refused."""

from collections.abc import Callable
from decimal import Decimal
from math import inf, nan

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from torqueaudit.model.torque.verdict import IN, IN_NOT_PROVED, OUT, OUT_NOT_PROVED
from torqueaudit_plugins.final_drive.calc.adjuster import Turns, turns_for, wear_for_travel
from torqueaudit_plugins.final_drive.calc.alignment import End, one_end, skew, way_of_more
from torqueaudit_plugins.final_drive.calc.bisection import root_of
from torqueaudit_plugins.final_drive.calc.length import centre_at, even_links, links_at, links_within
from torqueaudit_plugins.final_drive.calc.slack import axle_movement_mm, centre_with, slack_at
from torqueaudit_plugins.final_drive.calc.sprockets import drive_of, pitch_of, require_links
from torqueaudit_plugins.final_drive.calc.wear import judge, read_limit, span_of, worst

TEETH = st.tuples(st.integers(10, 20), st.integers(25, 60))
PITCH = st.sampled_from([12.7, 15.875])
DRIVE = drive_of(15, 43, 15.875)
SPAN = span_of(19, Decimal("15.875"))
LENGTHS = st.decimals("300", "340", places=2)


@given(TEETH, PITCH, st.integers(45, 80).map(lambda half: 2 * half))
def test_links_and_centre_distance_invert_each_other(teeth: tuple[int, int], pitch: float, links: int) -> None:
    """From links to millimetres and back."""
    drive = drive_of(*teeth, pitch)
    assume(links > links_at(drive, drive.touching_mm + 1))
    centre = centre_at(drive, links)

    assert pytest.approx(links, abs=1e-9) == links_at(drive, centre)
    assert links == even_links(links_at(drive, centre))
    assert links == even_links(links_at(drive, round(centre, 3)))


@given(TEETH, PITCH, st.integers(50, 70).map(lambda half: 2 * half), st.floats(1, 80), st.floats(1, 80))
def test_slack_and_axle_movement_invert_each_other(
    teeth: tuple[int, int], pitch: float, links: int, slack: float, target: float
) -> None:
    """What the axle is moved by for a slack leaves that slack, and the way back is as long."""
    drive = drive_of(*teeth, pitch)
    assume(centre_at(drive, links) > drive.touching_mm + 100)
    axle = axle_movement_mm(drive, links, slack, target)

    assert pytest.approx(target, abs=1e-6) == slack_at(drive, links, centre_with(drive, links, slack) + axle)
    assert pytest.approx(-axle, abs=1e-9) == axle_movement_mm(drive, links, target, slack)
    assert (axle > 0) == (target < slack) or pytest.approx(0, abs=1e-9) == axle


@given(LENGTHS, LENGTHS)
def test_a_longer_chain_is_more_worn(first: Decimal, second: Decimal) -> None:
    """Wear rises with the length, strictly."""
    assert (first < second) == (SPAN.wear_percent(first) < SPAN.wear_percent(second))


@given(st.decimals("0", "900", places=2), st.decimals("0", "900", places=2))
def test_left_and_right_exchanged_is_the_skew_the_other_way(left: Decimal, right: Decimal) -> None:
    """And the sides with it."""
    there, back = skew(left, right, Decimal(250)), skew(right, left, Decimal(250))

    assert -there.angle_deg == back.angle_deg
    assert (there.more, there.other) == (back.other, back.more)


@given(st.floats(-100, 100), st.floats(0.5, 3))
def test_turns_move_the_axle_by_as_much(axle: float, pitch: float) -> None:
    """Turns times pitch."""
    turns = turns_for(axle, pitch)

    assert pytest.approx((axle, axle)) == (turns.turns * pitch, turns.flats * pitch / 6)


@pytest.mark.parametrize(
    ("turns", "says"),
    [(0.0, "0 flats"), (1 / 6, "1 flat"), (-0.5, "3 flats"), (0.999, "1 turn"), (2 + 1 / 60, "2 turns and 0.1 flats")],
)
def test_turns_are_told_whole_with_flats_to_a_tenth(turns: float, says: str) -> None:
    """Six flats are a turn, also after rounding."""
    assert says == Turns(turns).says()


def test_even_numbers_of_links_between_the_adjusters_ends() -> None:
    """All that are taut within the range, the ends with them; none where the range is short."""
    ends = centre_at(DRIVE, 110), centre_at(DRIVE, 114)

    assert [110, 112, 114] == list(links_within(DRIVE, *ends))
    assert [112] == list(links_within(DRIVE, ends[0] + 1, ends[1] - 1))
    assert [] == list(links_within(DRIVE, 656, 670))


def test_slack_ends_where_the_chain_is_taut() -> None:
    """None at the taut centre distance, and none beyond it, where the chain would have to stretch."""
    taut = centre_at(DRIVE, 112)

    assert pytest.approx(0, abs=1e-4) == slack_at(DRIVE, 112, taut)
    assert taut == pytest.approx(centre_with(DRIVE, 112, 0), abs=1e-9)
    assert slack_at(DRIVE, 112, taut + 0.01) == 0


@pytest.mark.parametrize(
    ("length", "word"), [("287.1", IN), ("287.6", IN_NOT_PROVED), ("288.3", OUT_NOT_PROVED), ("289.1", OUT)]
)
def test_wear_is_judged_with_its_uncertainty(length: str, word: str) -> None:
    """The limit is 288.0 mm, the caliper is good for 0.5 mm."""
    limit = read_limit("288.0 mm", SPAN)

    assert word == judge(SPAN, Decimal(length), limit, Decimal("0.5"), Decimal(1)).word


def test_without_uncertainty_nothing_is_proved() -> None:
    """It is said what the numbers show, and no more."""
    limit = read_limit("0.8 %", SPAN)
    words = [judge(SPAN, Decimal(length), limit, None, Decimal(1)).word for length in ("286.6", "291.6")]

    assert [IN_NOT_PROVED, OUT_NOT_PROVED] == words


def test_the_worst_place_is_the_longest() -> None:
    """The first of them."""
    assert 1 == worst([Decimal("286.6"), Decimal("287.8"), Decimal("287.8"), Decimal("287.5")])


def test_a_limit_as_a_length_and_as_a_percentage_are_one() -> None:
    """Comma or point, with or without mm."""
    assert Decimal("0.6") == read_limit("0,6 %", SPAN)
    assert read_limit("288.0", SPAN) == read_limit("288,0 mm", SPAN) == SPAN.wear_percent(Decimal("288.0"))


def test_a_side_that_reads_more_moves_towards_what_it_was_read_from() -> None:
    """From the pivot it stands further back; from the rear end further forward."""
    assert ("forward", "back") == (way_of_more(End.FRONT), way_of_more(End.REAR))
    assert End.REAR is one_end(End.REAR, End.REAR)
    assert one_end(None, None) is None


def test_a_root_outside_is_the_nearer_end() -> None:
    """Nothing is invented beyond the ends."""
    assert [1.0, 2.0] == [root_of(lambda x: x, 1.0, 2.0), root_of(lambda x: x - 3, 1.0, 2.0)]


@pytest.mark.parametrize(
    ("ask", "says"),
    [
        (lambda: drive_of(1, 43, 15.875), "teeth of the front sprocket: 1 is no number that a chain runs on"),
        (lambda: drive_of(15, 0, 15.875), "teeth of the rear sprocket: 0 is no number"),
        (lambda: drive_of(15, 43, nan), "a pitch of nan mm is no motorcycle chain's"),
        (lambda: drive_of(15, 43, 1.5), "a pitch of 1.5 mm is no motorcycle chain's"),
        (lambda: pitch_of("630"), '"630" is no chain size known here; known are 420, 428, 520, 525, 530'),
        (lambda: require_links(0), "a chain of 0 links is none"),
        (lambda: centre_at(DRIVE, 111), "a chain of 111 links cannot be closed: .* take 110 or 112"),
        (lambda: centre_at(DRIVE, 48), "a chain of 48 links is too short to close around 15 and 43 teeth"),
        (lambda: links_at(DRIVE, 140), "a centre distance of 140 mm is smaller than the sprockets"),
        (lambda: links_at(DRIVE, nan), "a centre distance of nan mm is smaller"),
        (lambda: links_at(DRIVE, inf), "a centre distance of inf mm is no motorcycle's"),
        (lambda: links_within(DRIVE, 667, 645), "the adjusters' range from 667 to 645 mm is none"),
        (lambda: centre_with(DRIVE, 112, -1), "a slack of -1 mm is none"),
        (lambda: centre_with(DRIVE, 112, nan), "a slack of nan mm is none"),
        (lambda: centre_with(DRIVE, 112, 400), "a slack of 400 mm is more than half the run"),
        (lambda: span_of(0, Decimal("15.875")), "pins: 0 is no number that spans a chain"),
        (lambda: span_of(1, Decimal("15.875")), "pins: 1 is no number that spans a chain"),
        (lambda: SPAN.wear_percent(Decimal("NaN")), "a length of NaN mm is none"),
        (lambda: SPAN.wear_percent(Decimal(-3)), "a length of -3 mm is none"),
        (lambda: SPAN.wear_percent(Decimal(900)), "900 mm is no length of 18 pitches"),
        (lambda: read_limit("2", SPAN), 'a limit of "2" does not say of what: write “2 %”'),
        (lambda: read_limit("0 %", SPAN), 'a limit of "0 %" is none'),
        (lambda: read_limit("1 in", SPAN), 'a limit of "1 in" is none'),
        (lambda: read_limit("much", SPAN), "does not start with a number"),
        (lambda: skew(Decimal(-1), Decimal(0), Decimal(250)), "left: -1 mm is no length"),
        (lambda: skew(Decimal(0), Decimal("NaN"), Decimal(250)), "right: NaN mm is no length"),
        (lambda: skew(Decimal(1), Decimal(0), Decimal(0)), "base: 0 mm is no distance"),
        (lambda: one_end(End.FRONT, End.REAR), "they cannot be compared"),
        (lambda: one_end(None, End.REAR), "for one side only"),
        (lambda: turns_for(1, 0), "an adjuster of 0 mm thread pitch is none"),
        (lambda: turns_for(nan, 1.25), "an axle movement of nan mm is more than any adjuster has"),
        (lambda: wear_for_travel(DRIVE, 112, -1), "an adjuster travel of -1 mm is none"),
    ],
)
def test_what_is_none_is_refused_in_one_sentence(ask: Callable[[], object], says: str) -> None:
    """What, where, and what to do."""
    with pytest.raises(ValueError, match=says):
        ask()
