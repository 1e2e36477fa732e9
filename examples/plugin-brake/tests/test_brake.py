"""The brake on job cards: what stops a release, what is only told, what is refused at once, and what is shown."""

from collections.abc import Callable
from pathlib import Path

import pytest

from torqueaudit.plugin.commands import Refused, Say, Workshop, enter_procedure, show_job
from torqueaudit.testing import findings, play
from torqueaudit_brake.label import RESERVOIR

EXAMPLE = Path(__file__).parent.parent / "front-brake.toml"

OPENED = "2031-04-02 10:00 job 1 opened front-brake on V-1 at 12000 km by P-2"
PADS = "2031-04-02 10:10 job 1 front-brake-pads fitted pads with make and type=Tern B, compound=sintered by P-2"
FLUID = "2031-04-02 10:30 job 1 front-brake-fluid fitted fluid lot F-1 with class=DOT 4 by P-2"
BLED = """
2031-04-02 10:40 job 1 front-brake-bled yes by P-2
2031-04-02 10:43 job 1 front-brake-bled yes by P-2
2031-04-02 10:46 job 1 front-brake-bled yes by P-2
"""
FIRM = "2031-04-02 10:50 job 1 front-lever-firm yes by P-2"
TRIED = "2031-04-02 10:55 job 1 front-brake-tried yes by P-2"


@pytest.fixture
def brake(workshop: Workshop) -> Workshop:
    """The workshop with the example procedure entered."""
    enter_procedure(workshop, EXAMPLE, Say("P-1"))
    return workshop


@pytest.fixture
def refused(workshop: Workshop, tmp_path: Path) -> Callable[[str, str], str]:
    """What is said of the example procedure with one piece of its text exchanged."""

    def say(old: str, new: str) -> str:
        text = EXAMPLE.read_text(encoding="utf-8")
        assert old in text
        path = tmp_path / "wrong.toml"
        path.write_text(text.replace(old, new), encoding="utf-8")
        with pytest.raises(Refused) as refusal:
            enter_procedure(workshop, path, Say("P-1"))
        return str(refusal.value)

    return say


def brake_stops(workshop: Workshop) -> list[str]:
    """The stops of this plugin on job 1."""
    return [stop.says for stop in show_job(workshop, "1").stops if stop.rule.startswith("brake/")]


def test_fluid_of_another_class_is_a_stop_that_no_permission_covers(brake: Workshop) -> None:
    """The program names what answers it."""
    play(brake, OPENED, FLUID.replace("DOT 4", "DOT 5"))
    (found,) = [stop for stop in show_job(brake, "1").stops if stop.rule == "brake/fluid-not-stated"]
    says = "class DOT 5 went in, and the source states DOT 4. Drain it, flush the brake and fill in DOT 4."

    assert f"front brake fluid: {says}" == found.says
    assert not found.concedable
    assert found.answer is not None
    assert "front-brake-fluid" == found.answer.key


def test_the_foreman_cannot_concede_another_fluid(brake: Workshop) -> None:
    """A permission does not make the wrong fluid right."""
    play(brake, OPENED, FLUID.replace("DOT 4", "DOT 5"))
    concession = "job 1 conceded fluid-not-stated on front brake fluid until 2031-05-01: no other here, today by P-1"

    with pytest.raises(Refused, match="no permission makes this right"):
        play(brake, f"2031-04-02 10:35 {concession}")


def test_fluid_without_its_class_is_a_stop(brake: Workshop) -> None:
    """What nobody wrote down is not taken for right."""
    play(brake, OPENED, FLUID.replace(" with class=DOT 4", ""))
    expected = [
        "front brake fluid: of no class that was told, and the source states DOT 4. Record it again with its class."
    ]

    assert expected == findings(brake, rule="brake/fluid-not-stated")


def test_each_pass_of_bleeding_is_counted(brake: Workshop) -> None:
    """Two of three passes: the next one comes next, in words."""
    play(brake, OPENED, FLUID, *BLED.strip().splitlines()[:2])
    expected = "front brake bled: 2 of 3 passes since the front brake fluid went in. Do the next one."

    assert [expected] == findings(brake, rule="brake/not-bled")
    assert expected in show_job(brake, "1").next


def test_passes_before_the_fluid_do_not_count(brake: Workshop) -> None:
    """Fluid that is filled in anew is bled anew."""
    play(brake, OPENED, FLUID, BLED, FLUID.replace("10:30", "10:48"))
    expected = ["front brake bled: 0 of 3 passes since the front brake fluid went in. Do the next one."]

    assert expected == findings(brake, rule="brake/not-bled")


def test_a_lever_that_was_not_pumped_is_a_stop(brake: Workshop) -> None:
    """The pads push the pistons back, so the first pull of the lever finds nothing."""
    play(brake, OPENED, PADS)
    expected = [
        "front lever firm: not since the front brake pads went in. Pump the lever until it is firm and stays firm."
    ]

    assert expected == brake_stops(brake)


def test_a_lever_that_stays_soft_is_a_stop(brake: Workshop) -> None:
    """A no is an answer, and not the one that ends it."""
    play(brake, OPENED, PADS, FIRM.replace("yes", "no: comes back to the grip"))

    assert ["brake/lever-not-firm"] == [s.rule for s in show_job(brake, "1").stops if s.rule.startswith("brake/")]


def test_a_caliper_that_was_off_again_asks_for_the_lever_anew(brake: Workshop) -> None:
    """It was firm before, and nobody knows of after."""
    play(
        brake,
        OPENED,
        "2031-04-02 10:20 job 1 front-caliper-bolt-1 28 N·m with W-1 by P-2",
        FIRM,
        "2031-04-02 11:00 job 1 front-caliper-bolt-1 loosened: pad rattles by P-2",
    )
    expected = (
        "front lever firm: not since the front caliper bolt 1 was worked on. "
        "Pump the lever until it is firm and stays firm."
    )

    assert [expected] == brake_stops(brake)


def test_a_brake_that_was_tried_before_it_was_bled_is_tried_again(brake: Workshop) -> None:
    """What was tried then is not what stops the motorcycle now."""
    play(brake, OPENED, FLUID, TRIED.replace("10:55", "10:35"), BLED)
    expected = [
        (
            "front brake tried: not since the brake was bled. "
            "Push the motorcycle and stop it with the front brake alone, before anyone rides it."
        )
    ]

    assert expected == findings(brake, rule="brake/tried-too-early")


def test_a_brake_that_was_done_in_order_has_no_stop(brake: Workshop) -> None:
    """Pads, fluid, three passes, a firm lever, and the brake tried."""
    play(brake, OPENED, PADS, FLUID, BLED, FIRM, TRIED)

    assert [] == brake_stops(brake)


def test_pads_of_another_compound_are_told(brake: Workshop) -> None:
    """The owner feels it at the first corner, so somebody says it before."""
    play(brake, OPENED, PADS)
    play(
        brake,
        "2031-06-02 10:00 job 2 opened front-brake on V-1 at 15000 km by P-2",
        PADS.replace("2031-04-02", "2031-06-02").replace("job 1", "job 2").replace("sintered", "organic"),
    )
    says = "organic, and sintered ones were in before. Bed them in, and tell the owner that they bite differently."

    assert [f"front brake pads: {says}"] == findings(brake, job="2", rule="brake/compound-changed")
    assert [] == findings(brake, rule="brake/compound-changed")


def test_a_compound_that_nobody_knows_is_refused(brake: Workshop) -> None:
    """The choices are named."""
    with pytest.raises(Refused, match="“organic” or “semi-metallic” or “sintered”, not “ceramic”"):
        play(brake, OPENED, PADS.replace("sintered", "ceramic"))


def test_the_thinnest_place_of_a_disc_counts(brake: Workshop) -> None:
    """One place below the limit of the source is enough."""
    read = "disc 4.5 mm at 1, disc 4.4 mm at 2, disc 4.5 mm at 3, disc 4.1 mm at 4, disc 4.5 mm at 5, disc 4.5 mm at 6"
    play(brake, OPENED, f"2031-04-02 10:05 job 1 front-disc-thickness measured {read} by P-2")
    expected = "front disc thickness: 4.1 mm, at 4, and min 4.2 mm is specified: fit a new disc."

    assert expected in findings(brake, weight="stop")


@pytest.mark.parametrize(
    ("read", "says"),
    [
        ("disc 4.5 mm, disc 4.4 mm", "the disc was read at 2 of 6 places; read all of them"),
        (", ".join(["disc 4.5 mm"] * 5 + ["disc 0 mm"]), "a disc is thicker than 0 mm; read it again"),
    ],
)
def test_a_disc_that_cannot_be_so_is_refused(brake: Workshop, read: str, says: str) -> None:
    """Nothing is recorded, and one sentence says why."""
    with pytest.raises(Refused, match=says):
        play(brake, OPENED, f"2031-04-02 10:05 job 1 front-disc-thickness measured {read} by P-2")


PAD = """
[[work]]
measure = "pad"
name = "front brake pad"
kind = "brake pad thickness"
unit = "mm"
"""


def test_a_procedure_without_the_table_measures_and_judges_nothing(
    workshop: Workshop, enter: Callable[..., str]
) -> None:
    """The plugin has no limit of its own."""
    enter("pads", PAD)
    play(
        workshop,
        "2031-04-02 10:00 job 1 opened pads on V-1 by P-2",
        "2031-04-02 10:05 job 1 pad measured pad 3.1 mm, pad 0.2 mm at inside by P-2",
    )

    assert [] == findings(workshop, weight="stop")
    assert (
        "0.2 mm (pad 3.1 mm, pad 0.2 mm at inside); thinnest of 2, at inside" in show_job(workshop, "1").items[0].said
    )


@pytest.mark.parametrize(
    ("old", "new", "says"),
    [
        (
            'fluid = "DOT 4"',
            'fluid = "DOT 6"',
            'x.brake.fluid: "DOT 6" is not known; write DOT 3 or DOT 4 or DOT 5 or DOT 5.1',
        ),
        ('kind = "brake fluid"', "", "x.brake.fluid: is stated, but no part of the kind “brake fluid”"),
        (
            'lever = "front-lever-firm"',
            'lever = "front-lever-fim"',
            'x.brake.lever: “front-lever-fim” is no step of this procedure; did you mean "front-lever-firm"?',
        ),
        ("passes = 3", "passes = 300", "x.brake.bleeding.passes: has to be a whole number from 1 to 20"),
        ("passes = 3", "", "x.brake.bleeding.passes: is missing; write how many passes the source asks for"),
        ('source = "manual, 8-3"', "", "x.brake.source: is missing"),
        ("disc_places = 6", "disc_place = 6", 'x.brake.disc_place: is not known here; did you mean "disc_places"?'),
    ],
)
def test_a_slip_in_the_table_is_shown_with_its_line(
    refused: Callable[[str, str], str], old: str, new: str, says: str
) -> None:
    """The procedure is not entered."""
    message = refused(old, new)

    assert "line " in message
    assert says in message


def test_the_record_shows_the_fluid_and_when_it_is_changed_next(brake: Workshop) -> None:
    """Two years on by the source, from the day it went in."""
    play(brake, OPENED, FLUID)
    (fluid,) = show_job(brake, "1").panels

    assert ("front brake fluid", ("Changed every 24 months (manual, 8-3).",)) == (fluid.title, fluid.sentences)
    assert (("DOT 4", "2031-04-02", "2033-04-02"),) == fluid.rows


def test_a_record_whose_fluid_was_changed_again_says_so(brake: Workshop) -> None:
    """It shows nothing that somebody could take for what is in now."""
    play(brake, OPENED, FLUID)
    again = FLUID.replace("2031-04-02", "2033-03-02").replace("job 1", "job 2")
    play(brake, "2033-03-02 10:00 job 2 opened front-brake on V-1 at 30000 km by P-2", again)
    (fluid,) = show_job(brake, "1").panels

    assert (("A later job changed it again.",), ()) == (fluid.sentences, fluid.rows)


def test_the_tag_for_the_reservoir_names_the_fluid(brake: Workshop) -> None:
    """Large the class, below it both days."""
    play(brake, OPENED, FLUID, BLED, FIRM, TRIED)
    assert RESERVOIR.of_job is not None
    tag = RESERVOIR.of_job(show_job(brake, "1"), brake.settings)

    assert "DOT 4" == tag.figure
    assert ["bike-1", "2031-04-02", "2033-04-02"] == [line.words for line in tag.lines]


def test_no_tag_while_the_brake_is_not_right(brake: Workshop) -> None:
    """Nor where no fluid went in."""
    assert RESERVOIR.of_job is not None
    play(brake, OPENED)
    with pytest.raises(ValueError, match="there is no brake fluid of one class"):
        RESERVOIR.of_job(show_job(brake, "1"), brake.settings)

    play(brake, FLUID)
    with pytest.raises(ValueError, match="put the brake right first"):
        RESERVOIR.of_job(show_job(brake, "1"), brake.settings)
