"""The kinds of measurement of a final drive: what comes of readings, and which readings are refused."""

from collections.abc import Callable
from decimal import Decimal

import pytest

from torqueaudit.model.act import Refused
from torqueaudit.model.job.facts import Measured
from torqueaudit.plugins import Plugins
from torqueaudit.testing import findings, play
from torqueaudit.workshop.door.workshop import Workshop

Enter = Callable[..., None]
TABLE = '[x.final_drive]\nchain = "525"\nwear_pins = 19\nalignment_base_mm = 250\nadjuster_end_mm = 40\n'
OPENED = "2031-04-02 10:00 job 1 opened drive on V-1 at 12000 km by P-2"
SOURCE = '\nsource = "manual"\npage = "1"\n'


def asked(kind: str, *lines: str, key: str = "it") -> str:
    """One measurement of a kind."""
    return "\n".join(("[[work]]", f'measure = "{key}"', f'name = "the {key}"', f'kind = "{kind}"', *lines))


def taken(workshop: Workshop, said: str) -> Measured:
    """What was recorded of the words of a card."""
    play(workshop, f"{OPENED}\n2031-04-02 10:05 it measured {said} by P-2")
    found = workshop.record("1").measured("it")
    assert found is not None
    return found


def refused(workshop: Workshop, said: str) -> str:
    """The sentence that refuses them."""
    with pytest.raises(Refused) as refusal:
        taken(workshop, said)
    return str(refusal.value)


PERCENT = asked("chain wear", 'max = "0.8 %"') + SOURCE + TABLE
PRINTED = asked("chain wear", 'max = "288.0 mm"') + SOURCE + TABLE
UNJUDGED = asked("chain wear", 'unit = "%"') + "\n" + TABLE


def test_the_bundled_kinds(installed_plugins: Plugins) -> None:
    """Each with its inputs."""
    expected = {
        "chain wear": ("pins", "length"),
        "chain slack": ("slack",),
        "wheel alignment": ("left", "right"),
        "rivet flare": ("rivet",),
        "adjuster position": ("left", "right"),
    }
    owned = {name: each for name, each in installed_plugins.kinds.items() if each.plugin == "final_drive"}

    assert expected == {name: tuple(spec.name for spec in each.kind.inputs) for name, each in owned.items()}


def test_wear_is_that_of_the_worst_place(workshop: Workshop, enter: Enter) -> None:
    """Reference section 9: 288.0 mm over 18 pitches of 15.875 mm is 0.787402 %."""
    enter(PERCENT)
    found = taken(
        workshop, "pins 19, length 286.7 mm at link 1, length 288.0 mm at link 40, length 287.5 mm at link 80"
    )

    assert (Decimal("0.787402"), "%", True) == (round(found.value, 6), found.unit, found.inside)
    assert "worst of 3 at link 40: 288 mm over 18 pitches, 285.75 mm when new" == found.says


def test_a_limit_printed_as_a_length_is_judged_as_it_is_printed(workshop: Workshop, enter: Enter) -> None:
    """289.3 mm is 1.242345 % (reference section 9)."""
    enter(PRINTED)
    found = taken(workshop, "pins 19, length 289.3 mm")

    assert (Decimal("289.3"), "mm", False) == (found.value, found.unit, found.inside)
    assert "1.24 % over 18 pitches, 285.75 mm when new" == found.says


@pytest.mark.parametrize(
    ("told", "verdict", "inside"),
    [
        ("287.4 mm ± 0.6 mm", "in", True),
        ("287.8 mm ± 0.6 mm", "in, not proved", True),
        ("288.2 mm ± 0.6 mm", "out, not proved", False),
        ("288.3 mm ± 0.2 mm", "out", False),
    ],
)
def test_a_told_uncertainty_counts_under_simple_acceptance_too(
    workshop: Workshop,
    enter: Enter,
    told: str,
    verdict: str,
    inside: bool,  # noqa: FBT001  # a table's column
) -> None:
    """As the calculator judges; a value inside is no stop, and what is not proved is a caution."""
    enter(PERCENT)
    found = taken(workshop, f"pins 19, length {told}")
    said = findings(workshop, rule="workshop_rules/measurement-not-proved", weight="caution")

    assert (verdict, inside, "simple acceptance") == (found.verdict, found.inside, found.rule)
    assert (verdict == "in, not proved") == bool(said)
    assert not said or said[0].endswith(
        "its uncertainty reaches past it: in, not proved. Take a better instrument to be sure."
    )


def test_a_told_uncertainty_of_a_slack_counts(workshop: Workshop, enter: Enter) -> None:
    enter(SLACK)
    found = taken(workshop, "slack 41 mm ± 2 mm")

    assert "in, not proved" == found.verdict
    assert 1 == len(findings(workshop, rule="workshop_rules/measurement-not-proved", weight="caution"))


@pytest.mark.parametrize(
    ("told", "says"),
    [
        ("pins 19, length 289.1 mm", "worn 1.17 %, the most is 0.8 %: replace chain and both sprockets"),
        ("pins 19, length 288.3 mm ± 0.2 mm", "worn 0.892 % ± 0.07 %, the most is 0.8 %: replace chain"),
        ("pins 19, length 300.0375 mm", "5 % is hardly true: count again. 19 pins span 18 pitches"),
        ("pins 19, length 287.6 mm", ""),
    ],
)
def test_a_worn_chain_says_what_to_do(workshop: Workshop, enter: Enter, told: str, says: str) -> None:
    """Nobody sets it right; one that is inside says nothing of the kind."""
    enter(PERCENT)
    found = taken(workshop, told)

    assert found.mend.startswith(says)
    assert bool(says) == bool(found.mend)
    assert [f"the it: {found.mend}."] * bool(says) == findings(workshop, rule="workshop_rules/measurement-outside")


@pytest.mark.parametrize(
    ("told", "verdict"),
    [
        ("287.4 mm ± 0.6 mm", "in"),
        ("287.8 mm ± 0.2 mm", "in"),
        ("287.8 mm ± 0.6 mm", "in, not proved"),
        ("288.2 mm ± 0.6 mm", "out, not proved"),
        ("288.3 mm ± 0.2 mm", "out"),
    ],
)
def test_the_uncertainty_of_the_rule_counts_in_the_verdict(
    workshop: Workshop, enter: Enter, told: str, verdict: str
) -> None:
    """A guard band as wide as the uncertainty, around the limit of 0.8 %, which is 288.036 mm."""
    enter(PERCENT, "guard_factor = 1")
    found = taken(workshop, f"pins 19, length {told}")
    expected = Decimal(told.partition("± ")[2].removesuffix(" mm")) / Decimal("285.75") * 100

    assert verdict == found.verdict
    assert found.expanded is not None
    assert abs(found.expanded - expected) < Decimal("1e-12")


def test_without_a_limit_it_is_measured_and_not_judged(workshop: Workshop, enter: Enter) -> None:
    """The limit is the model's own."""
    enter(UNJUDGED)
    found = taken(workshop, "pins 19, length 291.6 mm")

    assert (None, "not judged") == (found.inside, found.verdict)


def test_more_wear_is_more_whatever_the_place(workshop: Workshop, enter: Enter) -> None:
    """Monotone over lengths and independent of their order."""
    enter(UNJUDGED)
    lengths = ["285.75", "286.6", "288.0", "289.6", "291.6"]
    play(workshop, OPENED)
    values = []
    for minute, length in enumerate(lengths, start=10):
        told = [f"length {each} mm" for each in ("285.6", length)][:: (-1) ** minute]
        play(workshop, f"2031-04-02 10:{minute} job 1 it measured pins 19, {', '.join(told)} by P-2")
        found = workshop.record("1").measured("it")
        values.append(found.value if found else None)

    assert values == sorted(set(values), key=lambda each: each or 0)


@pytest.mark.parametrize(
    ("table", "said", "says"),
    [
        (PERCENT, "pins 0, length 286.6 mm", "pins: 0 is no number that spans a chain; count from the first"),
        (PERCENT, "pins 20.5, length 286.6 mm", "pins: 20.5 is no count"),
        (PERCENT, "pins 19, length 31.9 mm", "31.9 mm is no length of 18 pitches"),
        (PRINTED, "pins 18, length 271 mm", "the limit holds for 19 pins; count so many"),
        (PERCENT, "length 286.6 mm", "say also pins"),
        (
            PERCENT,
            "pins 19, length 272.7 mm",
            "-4.57 % is hardly true: count again. 19 pins span 18 pitches, and 272.7 mm is 17.18 pitches long",
        ),
        (asked("chain wear", 'unit = "%"'), "pins 19, length 286.6 mm", "the procedure does not say what chain it is"),
    ],
)
def test_wear_that_cannot_be_is_refused(workshop: Workshop, enter: Enter, table: str, said: str, says: str) -> None:
    """In one sentence, and nothing is recorded."""
    enter(table)

    assert says in refused(workshop, said)
    assert workshop.record("1").measured("it") is None


def test_wear_that_is_hardly_true_says_so(workshop: Workshop, enter: Enter) -> None:
    """19 pins counted as pitches."""
    enter(PERCENT)

    assert (
        "5 % is hardly true: count again. 19 pins span 18 pitches"
        in taken(workshop, "pins 19, length 300.0375 mm").says
    )


SLACK = (
    asked("chain slack", 'limit = "32 … 42 mm"', 'conditions = { posture = "side stand", place = "mid-span" }') + SOURCE
)


def test_slack_is_that_of_the_tightest_place(workshop: Workshop, enter: Enter) -> None:
    enter(SLACK)
    found = taken(workshop, "slack 39 mm at link 1, slack 34 mm ± 1 mm at link 60")

    assert (Decimal(34), Decimal(1), True) == (found.value, found.expanded, found.inside)
    assert "tightest of 2 at link 60, loosest 39 mm" == found.says


def test_one_slack_is_told_by_its_value_alone(workshop: Workshop, enter: Enter) -> None:
    """It is the kind's only input."""
    enter(SLACK)

    found = taken(workshop, "37 mm")

    assert (Decimal(37), "") == (found.value, found.says)


@pytest.mark.parametrize(
    ("said", "says"),
    [
        ("37 mm under posture=rider on", "taken with posture “rider on” it is not comparable"),
        ("37 mm under posture=centre stand", "the procedure asks for “side stand”; take it again so"),
        ("37 mm under place=upper run", "taken with place “upper run” it is not comparable"),
        ("400 mm", "slack: 400 mm is none; measure the whole movement up and down"),
    ],
)
def test_slack_in_another_posture_never_gets_a_verdict(workshop: Workshop, enter: Enter, said: str, says: str) -> None:
    enter(SLACK)

    assert says in refused(workshop, said)
    assert workshop.record("1").measured("it") is None


FRONT = asked("wheel alignment", 'max = "1 mm"', 'conditions = { end = "front, at the pivot" }') + SOURCE + TABLE
DEGREES = asked("wheel alignment", 'max = "0.25 °"', 'conditions = { end = "rear" }') + SOURCE + TABLE


def test_alignment_is_the_difference_of_both_sides(workshop: Workshop, enter: Enter) -> None:
    """Reference section 9: 1 mm over 250 mm is 0.229182°."""
    enter(FRONT)
    found = taken(workshop, "left 411 mm ± 0.3 mm, right 410 mm ± 0.4 mm")

    assert (Decimal(1), Decimal("0.5"), True) == (found.value, found.expanded, found.inside)
    assert "left reads 1 mm more than right, 0.23°" == found.says


def test_alignment_may_be_judged_as_an_angle(workshop: Workshop, enter: Enter) -> None:
    """The uncertainty goes with it: U/W·cos² ε."""
    enter(DEGREES)
    found = taken(workshop, "left 410 mm ± 0.3 mm at rear, right 411 mm ± 0.4 mm at rear end")

    assert (Decimal("0.229182"), "°", True) == (round(found.value, 6), found.unit, found.inside)
    assert found.expanded is not None
    assert abs(found.expanded - Decimal("0.1145898")) < Decimal("2e-6")


def test_no_skew_says_so(workshop: Workshop, enter: Enter) -> None:
    enter(FRONT)

    assert "left and right read the same" == taken(workshop, "left 410.0 mm, right 410 mm").says


@pytest.mark.parametrize(
    "said",
    [
        "left 411 mm from front, right 410 mm from the pivot",
        "left 411 mm at the pivot, right 410 mm at pivot end",
        "left 411 mm, right 410 mm under end=front",
        "left 411 mm, right 410 mm under end=pivot",
    ],
)
def test_the_pivot_is_the_front_end(workshop: Workshop, enter: Enter, said: str) -> None:
    """In whatever words, behind the length or as the condition; the procedure says "front, at the pivot"."""
    enter(FRONT)

    assert "left reads 1 mm more than right, 0.23°" == taken(workshop, said).says


@pytest.mark.parametrize(
    ("said", "says"),
    [
        ("left 411 mm, right 410 mm under end=axle", "taken with end “axle” it is not comparable"),
        (
            "left 411 mm at front end, right 410 mm at rear end",
            "left was taken from the front end and right from the rear",
        ),
        ("left 411 mm at front end, right 410 mm", "the end is stated for one side only"),
        (
            "left 411 mm at rear end, right 410 mm at rear end",
            "taken from the rear end, and the procedure asks for the front",
        ),
        ("left 411 mm at front or rear, right 410 mm at front", "names both ends of the swinging arm"),
        ("left 411 mm", "say also right"),
        ("left 4110 mm, right 410 mm", "left: 4110 mm is no length on a swinging arm"),
    ],
)
def test_mixed_ends_are_refused(workshop: Workshop, enter: Enter, said: str, says: str) -> None:
    enter(FRONT)

    assert says in refused(workshop, said)


FLARE = asked("rivet flare", 'limit = "6.1 … 6.4 mm"') + SOURCE


@pytest.mark.parametrize(
    ("said", "value", "inside"),
    [
        ("rivet 6.2 mm, rivet 6.25 mm", "6.2", True),
        ("rivet 6.3 mm, rivet 6.12 mm", "6.12", True),
        ("rivet 6.25 mm, rivet 6.5 mm", "6.5", False),
        ("rivet 6.0 mm, rivet 6.25 mm", "6.0", False),
    ],
)
def test_the_rivet_that_is_further_out_counts(
    workshop: Workshop,
    enter: Enter,
    said: str,
    value: str,
    inside: bool,  # noqa: FBT001  # a table's column
) -> None:
    enter(FLARE)
    found = taken(workshop, said)

    assert (Decimal(value), inside) == (found.value, found.inside)


@pytest.mark.parametrize(
    ("said", "says"),
    [
        ("6.2 mm", "a rivet link has two rivets; measure the flare of both"),
        ("rivet 56 mm, rivet 6.2 mm", "rivet: 56 mm is none; measure across the flared head"),
    ],
)
def test_a_flare_that_cannot_be_is_refused(workshop: Workshop, enter: Enter, said: str, says: str) -> None:
    enter(FLARE)

    assert says in refused(workshop, said)


def test_where_the_adjusters_stand_and_what_is_left(workshop: Workshop, enter: Enter) -> None:
    """The adjuster with less travel counts; the value is the middle, to be found again."""
    enter(asked("adjuster position", 'unit = "mm"') + "\n" + TABLE)
    found = taken(workshop, "left 27.5 mm, right 28.5 mm")

    assert (Decimal(28), "11.5 mm of travel left") == (found.value, found.says)
    assert ["27.5", "28.5"] == [str(told.value) for told in found.inputs]


def test_travel_left_says_how_much_wear_takes_it_up(workshop: Workshop, enter: Enter) -> None:
    """12 mm of a drive of 15/43 and 112 links: 2·cos β·T/(N·p) = 1.34 % and T/C = 1.83 %, worked out apart."""
    table = TABLE + "front = 15\nrear = 43\nlinks = 112\n"
    enter(asked("adjuster position", 'unit = "mm"') + "\n" + table)

    assert (
        "12 mm of travel left, taken up by about 1.3 to 1.8 % more wear"
        == taken(workshop, "left 28 mm, right 20 mm").says
    )


def test_an_adjuster_that_cannot_stand_there_is_refused(workshop: Workshop, enter: Enter) -> None:
    enter(asked("adjuster position", 'unit = "mm"') + "\n" + TABLE)

    assert "adjuster: 900 mm is none; read its scale" in refused(workshop, "left 900 mm, right 28 mm")
