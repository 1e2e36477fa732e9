"""The calculators of `torqueaudit chain`, run as a person runs them."""

import json
import re
import subprocess
import sys
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner, Result
from hypothesis import given
from hypothesis import strategies as st

from torqueaudit_plugins.final_drive.calc.trend import NOT_RISING, TOO_FEW, sure_words
from torqueaudit_plugins.final_drive.commands.answer import AS_A_SET, WARNINGS
from torqueaudit_plugins.final_drive.commands.axle import AGAIN, BAR_TIGHT, NO_SLACK, SAME_POSTURE
from torqueaudit_plugins.final_drive.commands.chain import chain

DRIVE = ("--front", "15", "--rear", "43", "--pitch", "15.875")
LINKS = (*DRIVE, "--links", "112")
WEAR = ("wear", "--pins", "19", "--pitch", "15.875")
RULE = (*WEAR, "--limit", "288.0", "--uncertainty", "0.5")
REAR_ENDS = ("--left-end", "axle", "--right-end", "rear")
POINTS = ("trend", "--at", "1000:0.05", "--at", "6 000 km: 0,2 %", "--at", "12000:0.44", "--at", "15000:0.52")


def run(*words: str) -> Result:
    """Run one calculator; anything but a clean exit fails here."""
    result = CliRunner().invoke(chain, words)
    assert result.exception is None or isinstance(result.exception, SystemExit), result.exc_info
    return result


def answer(*words: str) -> dict[str, Any]:
    """What it answers as JSON."""
    result = run(*words, "--json")
    assert (0, "") == (result.exit_code, result.stderr)
    return dict(json.loads(result.stdout))


def lines(*words: str) -> list[str]:
    """What it answers to a person, without the standing warnings, which come last."""
    result = run(*words)
    assert (0, "") == (result.exit_code, result.stderr)
    told = result.stdout.splitlines()
    assert list(WARNINGS) == told[-2:]
    return told[:-2]


@pytest.mark.parametrize(
    ("words", "key", "value"),
    [
        ((*WEAR, "--length", "289.3"), "wear_percent", "1.24234470691"),
        ((*WEAR, "--length", "288.0"), "wear_percent", "0.787401574803"),
        (("length", *LINKS), "centre_distance_mm", "654.988298"),
        (("length", *DRIVE, "--centre", "654"), "links", "111.876219539"),
        (("slack", *LINKS, "--from", "55", "--to", "37"), "axle_mm", "0.639543011538"),
        (("slack", *LINKS, "--from", "25", "--to", "0"), "axle_mm", "0.241363916792"),
        (("alignment", "--left", "1", "--right", "0", "--base", "250"), "angle_deg", "0.229181895741"),
        (("ratio", "--front", "15", "--rear", "43"), "ratio", "2.86666666667"),
        (("adjuster", "--axle", "1,5", "--adjuster-pitch", "1.25"), "flats", "7.2"),
        (("travel", *LINKS, "--left", "12 mm"), "wear_most_percent", "1.83209380103"),
        ((*POINTS, "--limit", "0.8"), "slope_percent_per_km", "0.0000345726495726"),
    ],
)
def test_each_answers_as_json_with_decimal_strings(words: tuple[str, ...], key: str, value: str) -> None:
    """Nine digits and more, and the warnings with them; the slope is that of scipy.stats.linregress."""
    found = answer(*words)

    assert pytest.approx(float(value), rel=1e-9) == float(found[key])
    assert list(WARNINGS) == found["warnings"][-2:]


def test_wear_without_a_limit_is_measured_and_not_judged() -> None:
    """The tool knows no limit of its own."""
    expected = [
        "wear 2.05 %: 291.6 mm over 18 pitches, 285.75 mm when new",
        "measured, not judged: no limit stated (--limit with the model's own)",
    ]

    assert expected == lines(*WEAR, "--length", "291.6")
    assert "not judged" == answer(*WEAR, "--length", "291.6")["verdict"]


def test_the_worst_of_several_places_counts() -> None:
    """And each is told."""
    places = ("--length", "286.6", "--length", "287,8 mm", "--length", "287.5")
    found = answer(*WEAR, *places)

    assert "wear 0.72 %, the worst of 3 places (number 2): 287.8 mm over 18 pitches" in lines(*WEAR, *places)[0]
    assert ("287.8", 2, 18, "285.75") == tuple(found[key] for key in ("length_mm", "place", "pitches", "nominal_mm"))
    assert ["0.29746", "0.71741", "0.61242"] == [each[:7] for each in found["places_percent"]]


@pytest.mark.parametrize(
    ("length", "verdict"),
    [("287.1", "in"), ("287.6", "in, not proved"), ("288.3", "out, not proved"), ("289.1", "out")],
)
def test_wear_is_judged_against_the_stated_limit(length: str, verdict: str) -> None:
    """With the uncertainty of the rule; a worn chain is replaced together with its sprockets."""
    told = lines(*RULE, "--length", length)
    found = answer(*RULE, "--length", length)

    assert f"{verdict}: the limit is 0.79 %, 288 mm (guard band 1·U)" == told[1]
    assert (AS_A_SET in told) == verdict.startswith("out")
    assert (verdict, "288", "0.1749") == (found["verdict"], found["limit_mm"], found["uncertainty_percent"][:6])


def test_simple_acceptance_and_no_uncertainty() -> None:
    """The rule is named; without an uncertainty nothing is proved."""
    bare = lines(*WEAR, "--length", "286.6", "--limit", "0.8 %")
    simple = lines(*RULE, "--length", "287.6", "--guard", "0")

    assert "in, not proved: the limit is 0.8 %, 288.036 mm (no uncertainty stated, so nothing is proved)" == bare[1]
    assert "in: the limit is 0.79 %, 288 mm (simple acceptance)" == simple[1]


def test_pins_counted_as_pitches_are_suspected() -> None:
    """18 pins with the length of 18 pitches: that would be 8 %."""
    told = lines("wear", "--pins", "18", "--chain", "525", "--length", "291.6")

    expected = "8.05 % is hardly true: count again. 18 pins span 17 pitches, and 291.6 mm is 18.37 pitches long."
    assert expected == told[0]
    assert answer("wear", "--pins", "18", "--chain", "525", "--length", "291.6")["hardly_true"]


def test_a_chain_shorter_than_new_is_doubted_and_not_judged() -> None:
    """One pin too many was counted: no verdict of "in"."""
    words = ("wear", "--pins", "20", "--chain", "525", "--length", "286.6", "--limit", "0.8 %")
    told = lines(*words)

    assert told[0].startswith("-4.98 % is hardly true: count again. 20 pins span 19 pitches")
    assert "not judged: no chain is shorter than new" == told[2]
    assert "not judged" == answer(*words)["verdict"]


@pytest.mark.parametrize("length", ["288.0", "288,0 mm", "28.8 cm", "28.8cm"])
def test_a_length_may_be_told_in_millimetres_and_centimetres(length: str) -> None:
    """The same wear."""
    assert "0.787401574803" == answer(*WEAR, "--length", length)["wear_percent"]


@pytest.mark.parametrize("length", ["11.25 in", '11.25"', "11.25 inches", "11.25 inch"])
def test_a_length_may_be_told_in_inches(length: str) -> None:
    """One inch is 25.4 mm by definition: 11.25 are 285.75, a new chain."""
    assert "0" == answer(*WEAR, "--length", length)["wear_percent"]


def test_links_for_a_centre_distance() -> None:
    """The exact number, the next even one, and where that is taut."""
    expected = [
        "654 mm around 15 and 43 teeth takes 111.876 links",
        "the next even number is 112, which is taut at 654.99 mm",
    ]

    assert expected == lines("length", *DRIVE, "--centre", "654")
    assert 112 == answer("length", *DRIVE, "--centre", "654")["even_links"]
    assert 114 == answer("length", *DRIVE, "--centre", "656")["even_links"]


def test_a_chain_size_stands_in_place_of_its_pitch() -> None:
    """ISO 606 and ISO 10190: 525 has 15.875 mm, 428 has 12.70 mm."""
    sprockets = ("--front", "15", "--rear", "43", "--links", "112")

    assert answer("length", *LINKS) == answer("length", *sprockets, "--chain", "525")
    assert answer("length", *sprockets, "--pitch", "12.7") == answer("length", *sprockets, "--chain", "428")


def test_which_chains_fit_between_the_ends_of_the_adjusters() -> None:
    """--centre twice."""
    found = answer("length", *DRIVE, "--centre", "645", "--centre", "672")

    assert [112, 114] == found["fitting_links"]
    assert "112 links, taut at 654.99 mm; 114 links" in lines("length", *DRIVE, "--centre", "645", "--centre", "672")[0]
    none = lines("length", *DRIVE, "--centre", "656", "--centre", "670")
    assert ["no even number of links is taut between 656 and 670 mm: other sprockets are needed"] == none


def test_slack_to_one_value() -> None:
    """So little movement that it is measured again."""
    expected = ["slack 55 to 37 mm: move the axle back by 0.64 mm on both sides", SAME_POSTURE, AGAIN]

    assert expected == lines("slack", *LINKS, "--from", "55", "--to", "37")
    assert "forward" == answer("slack", *LINKS, "--from", "15", "--to", "37")["direction"]
    assert NO_SLACK in lines("slack", *LINKS, "--from", "15", "--to", "0")
    assert "slack 37 to 37 mm: leave the axle where it is" == lines("slack", *LINKS, "--from", "37", "--to", "37")[0]


@pytest.mark.parametrize("window", ["32 … 42", "32..42", "32-42 mm", "32 mm – 42 mm", "32 to 42 mm"])
def test_slack_to_a_window(window: str) -> None:
    """The middle is aimed at; the ends are told; with the adjusters' thread also flats."""
    words = ("slack", *LINKS, "--from", "55", "--to", window, "--adjuster-pitch", "1.25")
    found = answer(*words)

    expected = [
        "slack 55 mm to the middle of 32 … 42 mm: move the axle back by 0.64 mm on both sides",
        "from 0.49 to 0.77 mm would reach the window's ends",
        "adjusters of 1.25 mm a turn: 3.1 flats",
    ]
    assert expected == lines(*words)[:3]
    assert Decimal(found["axle_least_mm"]) < Decimal(found["axle_mm"]) < Decimal(found["axle_most_mm"])
    assert round(Decimal(found["flats"]), 6) == round(Decimal(found["axle_mm"]) / Decimal("1.25") * 6, 6)


def test_a_bar_tight_chain_needs_at_least_that() -> None:
    """It may be pulled past taut."""
    assert BAR_TIGHT in lines("slack", *LINKS, "--from", "0", "--to", "37")
    assert BAR_TIGHT not in lines("slack", *LINKS, "--from", "5", "--to", "37")


def test_a_move_that_is_hardly_true_says_so_before_all() -> None:
    """More than two turns, or 10 mm where the thread is not known."""
    far = ("alignment", "--left", "415 mm from pivot", "--right", "410 mm from pivot", "--base", "250")
    slack = ("slack", *LINKS, "--from", "130", "--to", "37", "--adjuster-pitch", "1.25")

    expected = "a move of more than 2 turns of an adjuster is hardly true: measure"
    assert lines(*far, "--adjuster-pitch", "1.25")[0].startswith(f"{expected} both sides again first")
    assert lines(*slack)[0].startswith(f"{expected} the slack again first")
    assert "left reads 5 mm more than right: a skew of 1.146°" == lines(*far)[0]
    assert answer(*slack)["hardly_true"]


def test_slack_within_its_window_is_left() -> None:
    """Nothing to move, no turns."""
    words = ("slack", *LINKS, "--from", "37", "--to", "32 … 42", "--adjuster-pitch", "1.25")

    told = ["slack 37 mm lies within 32 … 42 mm: leave the axle where it is", SAME_POSTURE, AGAIN]
    assert told == lines(*words)
    assert ("0", "0", "none") == tuple(answer(*words)[key] for key in ("axle_mm", "turns", "direction"))


@pytest.mark.parametrize(("end", "way", "other"), [("front", "back", "forward"), ("rear", "forward", "back")])
def test_alignment_names_the_side_and_the_way(end: str, way: str, other: str) -> None:
    """From the pivot, the side that reads less stands too far forward and goes back."""
    ends = ("--left-end", end, "--right-end", end)
    words = ("alignment", "--left", "412,5", "--right", "413", "--base", "250", *ends, "--adjuster-pitch", "1.25")

    expected = [
        "right reads 0.5 mm more than left: a skew of 0.115°",
        (
            f"move right {other} and left {way} by 0.25 mm each (1.2 flats each), which keeps the slack; or right "
            f"alone {other} by 0.5 mm (2.4 flats)"
        ),
        AGAIN,
    ]
    assert expected == lines(*words)
    found = answer(*words)
    assert ("right", other, "-0.5", "0.5") == tuple(
        found[key] for key in ("side", "direction", "difference_mm", "move_mm")
    )
    assert ("2.4", "0.25", "1.2") == tuple(found[key] for key in ("flats", "each_mm", "each_flats"))


@pytest.mark.parametrize(
    ("left", "right", "ends"),
    [
        ("412.5 mm from front", "413 mm from the pivot", ()),
        ("412.5 mm at the front end", "413 mm from pivot to axle", ()),
        ("412.5", "413", ("--left-end", "pivot", "--right-end", "front, at the pivot")),
    ],
)
def test_the_pivot_is_the_front_end(left: str, right: str, ends: tuple[str, ...]) -> None:
    """Told behind the length or by its own option."""
    assert "back" == answer("alignment", "--left", "1", "--right", "0", "--base", "250", *REAR_ENDS)["direction"]
    assert "forward" == answer("alignment", "--left", left, "--right", right, "--base", "250", *ends)["direction"]


def test_alignment_without_the_end_tells_both() -> None:
    """Nothing is guessed."""
    words = ("alignment", "--left", "1", "--right", "0", "--base", "250")

    expected = "read from the front end (the pivot), move left forward by 1 mm; from the rear end (the axle), back"
    assert expected == lines(*words)[1]
    assert "" == answer(*words)["direction"]
    assert ["left and right read the same: no skew", AGAIN] == lines(*words[:2], "0", *words[3:])
    assert "more than 2° is hardly true: measure both sides again first" == lines(*words[:2], "9", *words[3:])[0]


def test_ratio_says_what_changes() -> None:
    """One tooth less in front, and how often link and tooth meet."""
    words = ("ratio", "--front", "14", "--rear", "43", "--old-front", "15", "--links", "112")
    found = answer(*words)

    assert ("3.07142857143", "7.14285714286", "7.14285714286") == tuple(
        found[key] for key in ("ratio", "ratio_change_percent", "speed_reading_change_percent")
    )
    assert (8, 112) == (found["front_turns"], found["rear_turns"])
    assert "before 43/15 = 2.8667: the ratio changes by +7.14 %" == lines(*words)[2]
    assert AS_A_SET in lines(*words)


def test_adjuster_and_travel() -> None:
    """Turns and flats; and what the travel that is left is worth."""
    assert "adjusters of 1.25 mm a turn: 2 turns and 1.9 flats" in lines(
        "adjuster", "--axle", "-2.9", "--adjuster-pitch", "1.25"
    )
    assert "12 mm of travel are used up by about 1.3 to 1.8 % further wear (an estimate)" in lines(
        "travel", *LINKS, "--left", "12"
    )


def test_trend_tells_the_distance_with_its_interval() -> None:
    """A line through four points, and where it reaches 0.8 %."""
    told = lines(*POINTS, "--limit", "0.8 %")

    assert "4 points: 0.035 % in 1000 km (0.026 to 0.044)" == told[0]
    assert told[1].startswith("the line reaches 0.8 % at 22890 km (95 % interval ")
    assert sure_words(0.1, told=False) in told
    assert (
        "the line reaches 0.8 % at 22890 km (95 % interval at least 20251 km; too few points for an upper end, which "
        "takes 5)" == lines(*POINTS, "--limit", "0.8 %", "--uncertainty", "0.01")[1]
    )
    five = lines(*POINTS, "--at", "17000:0.59", "--limit", "0.8 %")[1]
    assert re.fullmatch(r"the line reaches 0\.8 % at \d+ km \(95 % interval \d+ to \d+ km\)", five)
    assert "the latest measurement at 15000 km lies within that" in " ".join(lines(*POINTS, "--limit", "0.54"))


def test_a_trend_past_its_limit_says_so_first_and_tells_no_distance() -> None:
    """By its last value, or by its line though the last value lies a little lower."""
    assert ["past the limit of 0.5 % now", "4 points: 0.035 % in 1000 km (0.026 to 0.044)"] == lines(
        *POINTS, "--limit", "0.5"
    )[:2]
    found = answer(*POINTS, "--limit", "0.525")
    assert (True, None, None) == tuple(found[key] for key in ("past_limit", "distance_km", "distance_high_km"))


def test_points_on_a_line_have_an_interval_all_the_same() -> None:
    """They lie there by chance: never "26000 to 26000"."""
    at = ("--at", "1000:0.1", "--at", "3500:0.15", "--at", "6000:0.2", "--at", "8500:0.25", "--at", "11000:0.3")
    found = answer("trend", *at, "--limit", "0.8")

    assert Decimal(found["distance_high_km"]) - Decimal(found["distance_low_km"]) > 5000


def test_trend_says_when_nothing_can_be_told() -> None:
    """Too few points are refused; a line that does not rise clearly has no distance."""
    few = run(*POINTS[:5], "--limit", "0.8")
    flat = ("trend", "--at", "1000:0.3", "--at", "5000:0.1", "--at", "9000:0.35", "--limit", "0.8")

    assert (2, "") == (few.exit_code, few.stdout)
    assert TOO_FEW in few.stderr
    assert NOT_RISING in lines(*flat)
    assert (None, None) == (answer(*flat)["distance_km"], answer(*flat)["distance_low_km"])


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("wear", "--pins", "0", "--length", "291.6", "--pitch", "15.875"), "pins: 0 is no number that spans a chain"),
        (("wear", "--pins", "1", "--length", "291.6", "--pitch", "15.875"), "pins: 1 is no number that spans a chain"),
        (("wear", "--pins", "19", "--length", "291.6"), "give the chain's pitch once"),
        ((*WEAR, "--chain", "525", "--length", "291.6"), "give the chain's pitch once"),
        (("wear", "--pins", "19", "--length", "291.6", "--chain", "52O"), '"52O" is no chain size known here'),
        ((*WEAR, "--length", "nan"), '--length: "nan" is not a plain number'),
        ((*WEAR, "--length", "-291.6"), "a length of -291.6 mm is none"),
        ((*WEAR, "--length", "32.3"), "32.3 mm is no length of 18 pitches"),
        ((*WEAR, "--length", "291.6", "--limit", "2"), 'a limit of "2" does not say of what: write “2 %”, or the'),
        ((*WEAR, "--length", "291.6", "--limit", "0.8"), 'a limit of "0.8" does not say of what: write “0.8 %”'),
        ((*WEAR, "--length", "291.6", "--limit", "20 mm"), 'a limit of "20 mm" is none: write a percentage like 0.8 %'),
        ((*POINTS, "--limit", "0.8", "--uncertainty", "0"), "an uncertainty of 0 % is none of a wear"),
        (
            ("alignment", "--left", "1 mm from below", "--right", "0", "--base", "250"),
            "left: “below” names no end of the swinging arm; write front (pivot) or rear (axle)",
        ),
        (
            ("alignment", "--left", "1 from front", "--left-end", "axle", "--right", "0 from front", "--base", "250"),
            "left: “front” and “axle” are not the same end",
        ),
        ((*WEAR, "--length", "291.6", "--uncertainty", "-1"), "an uncertainty of -1 mm is none"),
        ((*WEAR, "--length", "291.6", "--guard", "2"), "a guard band of 2 uncertainties is not used"),
        (("length", *DRIVE, "--links", "111"), "a chain of 111 links cannot be closed"),
        (("length", *DRIVE, "--links", "48"), "a chain of 48 links is too short to close around 15 and 43 teeth"),
        (("length", *DRIVE, "--links", "-2"), "a chain of -2 links is none"),
        (("length", *DRIVE, "--centre", "140"), "a centre distance of 140 mm is smaller than the sprockets"),
        (("length", *DRIVE, "--centre", "640000"), "a centre distance of 640000 mm is no motorcycle's"),
        (("length", *DRIVE), "give --links, or --centre once, or --centre twice"),
        (("length", *LINKS, "--centre", "655"), "give --links, or --centre once, or --centre twice"),
        (("length", "--front", "1", *DRIVE[2:], "--links", "112"), "teeth of the front sprocket: 1 is no number"),
        (("slack", *DRIVE, "--links", "111", "--from", "55", "--to", "37"), "111 links cannot be closed"),
        (("slack", *LINKS, "--from", "-55", "--to", "37"), "a slack of -55 mm is none"),
        (("slack", *LINKS, "--from", "450", "--to", "37"), "a slack of 450 mm is more than half the run"),
        (("slack", *LINKS, "--from", "55", "--to", "42 … 32"), '--to "42 … 32" is no slack'),
        (("slack", *LINKS, "--from", "55", "--to", "some"), '--to: "some" is not a plain number'),
        (("slack", *LINKS, "--from", "55", "--to", "37", "--adjuster-pitch", "0"), "an adjuster of 0 mm thread pitch"),
        (
            ("alignment", "--left", "1", "--right", "0", "--base", "250", "--left-end", "front", "--right-end", "rear"),
            "left was taken from the front end and right from the rear end: they cannot be compared",
        ),
        (("alignment", "--left", "1", "--right", "0", "--base", "250", "--left-end", "front"), "for one side only"),
        (("alignment", "--left", "1", "--right", "0", "--base", "0"), "base: 0 mm is no distance"),
        (("alignment", "--left", "-1", "--right", "0", "--base", "250"), "left: -1 mm is no length"),
        (("ratio", "--front", "15", "--rear", "0"), "teeth of the rear sprocket: 0 is no number"),
        (("ratio", "--front", "15", "--rear", "43", "--old-rear", "0"), "teeth of the old rear sprocket: 0 is no"),
        (("ratio", "--front", "15", "--rear", "43", "--links", "111"), "111 links cannot be closed"),
        (("adjuster", "--axle", "5000", "--adjuster-pitch", "1.25"), "an axle movement of 5000 mm is more than any"),
        (("travel", *LINKS, "--left", "-1"), "an adjuster travel of -1 mm is none"),
        ((*POINTS, "--limit", "0"), "a limit of 0 % wear is none"),
        ((*POINTS, "--at", "7000", "--limit", "0.8"), '--at "7000" is no wear at a distance; write KM:PERCENT'),
        ((*POINTS, "--at", "-7:0.2", "--limit", "0.8"), '--at "-7:0.2" is no chain\'s'),
    ],
)
def test_what_cannot_be_worked_out_is_told_in_one_sentence(words: tuple[str, ...], says: str) -> None:
    """Exit code 2, nothing but the reason."""
    result = run(*words)

    assert (2, "") == (result.exit_code, result.stdout)
    assert says in result.stderr


NUMBERS = st.one_of(st.text(max_size=12), st.integers().map(str), st.floats().map(str))


@given(NUMBERS, NUMBERS)
def test_no_words_bring_a_traceback(first: str, second: str) -> None:
    """Whatever is typed, the commands answer or refuse."""
    for words in (
        ("wear", "--pins", first, "--length", second, "--pitch", "15.875", "--limit", second),
        (*WEAR, "--length", first, "--limit", second),
        ("length", "--front", first, *DRIVE[2:], "--links", second),
        ("length", "--front", "15", "--rear", "43", "--pitch", first, "--centre", second),
        ("slack", *LINKS, "--from", first, "--to", second),
        ("alignment", "--left", first, "--right", second, "--base", "250"),
        ("adjuster", "--axle", first, "--adjuster-pitch", second),
        ("ratio", "--front", first, "--rear", second, "--links", second),
        ("travel", *LINKS, "--left", first),
        ("trend", "--at", f"{first}:{second}", "--at", f"{second}:{first}", "--at", "1:1", "--limit", "2"),
    ):
        assert run(*words).exit_code in {0, 2}


def test_it_is_a_command_of_the_program() -> None:
    """Found by its entry point, without a book; one sentence on stderr where it refuses."""
    script = Path(sys.executable).with_name("torqueaudit")
    words = [str(script), "chain", "length", *LINKS[:-1]]
    good = subprocess.run([*words, "112"], capture_output=True, text=True, check=False)
    odd = subprocess.run([*words, "111"], capture_output=True, text=True, check=False)

    assert (0, "") == (good.returncode, good.stderr)
    assert "centre distance of 654.99 mm" in good.stdout
    assert (2, "", 1) == (odd.returncode, odd.stdout, len(odd.stderr.splitlines()))
