"""A wrench put right by an entry: its lever, range, kind and tag; what rests on them is judged anew, and said.

The adapter straight ahead makes (L + E)/L of the setting: the lever's law, as in tests/reference.
"""

from decimal import Decimal
from typing import Any

import pytest

from torqueaudit.cli.job_sheet import lines_of
from torqueaudit.model.act import Refused, Say
from torqueaudit.model.job.facts import Tightening
from torqueaudit.model.wrench.acts import CheckWrench, NewWrench, WrenchChange
from torqueaudit.model.wrench.wrench import Scale
from torqueaudit.testing import Clock, findings, play
from torqueaudit.workshop.door.workshop import Workshop
from torqueaudit.workshop.jobs.release import release
from torqueaudit.workshop.judged.job_view import show_job
from torqueaudit.workshop.night.night import night_of
from torqueaudit.workshop.wrenches.calibrations import check_wrench
from torqueaudit.workshop.wrenches.corrections import WrenchChanged, change_wrench
from torqueaudit.workshop.wrenches.strikes import strike_of_wrench
from torqueaudit.workshop.wrenches.view import show_wrench
from torqueaudit.workshop.wrenches.wrench import add_wrench

FOREMAN = Say("P-1")
RULES = "workshop_rules/"
THROUGH_AN_ADAPTER = """
2031-04-02 10:00 job 1 opened axle on V-1 at 12000 km by P-2
2031-04-02 10:05 rear-axle-nut 97 N·m with W-1 adapter 50@0 by P-2
2031-04-02 10:06 rear-axle-nut mark intact by P-2
2031-04-02 10:09 rear-axle-nut checked mark seen by P-3
"""
STRAIGHT = THROUGH_AN_ADAPTER.replace("97 N·m with W-1 adapter 50@0", "108 N·m with W-1")
LEFT = """2031-04-02 10:15 released by P-1
2031-04-02 10:20 handed over at 12010 km by P-1
"""


def changed(workshop: Workshop, number: str = "W-1", **told: Any) -> WrenchChanged:
    """The foreman puts a wrench right."""
    return change_wrench(workshop, number, WrenchChange(**told), FOREMAN)


def on_the_road(workshop: Workshop) -> list[str]:
    """What the night says of vehicles on the road with a stop, at the end of that day."""
    sections = {section.key: section for section in night_of(workshop, workshop.today()).sections}
    return [line.says for line in sections["on-the-road"].lines]


def passes(workshop: Workshop) -> list[Tightening]:
    """The passes of job 1, as judged then."""
    return list(workshop.record("1").of(Tightening))


def test_a_lever_put_right_makes_another_torque_of_what_went_through_an_adapter(workshop: Workshop) -> None:
    """97 N·m through 50 mm: 97 · 550/500 is 106.7 N·m, and 97 · 530/480 is 107.1 N·m."""
    play(workshop, THROUGH_AN_ADAPTER)
    done = changed(workshop, lever_mm=Decimal(480))
    since = f"put right in #{done.entry}"

    assert "lever 480 mm (was 500 mm)" == done.says
    assert [(1, "107.1 N·m reached it, not 106.7 N·m, inside", True)] == [(u.job, u.doubt, u.inside) for u in done.uses]
    says = (
        f"rear axle nut: the lever of wrench W-1 is 480 mm and was taken as 500 mm ({since}), so 107.1 N·m reached it "
        "through the adapter, not 106.7 N·m."
    )
    assert [says] == findings(workshop, rule=f"{RULES}wrench-put-right")
    release(workshop, "1", FOREMAN)


def test_the_record_shows_the_torque_by_the_right_lever_with_what_was_told_beside_it(workshop: Workshop) -> None:
    """On the sheet as on the page; what was told before is no longer the figure to read."""
    play(workshop, THROUGH_AN_ADAPTER)
    before = list(lines_of(show_job(workshop, "1")))
    changed(workshop, lever_mm=Decimal(480))
    after = list(lines_of(show_job(workshop, "1")))

    assert not any("told as" in line for line in before)
    assert any("107.1 N·m ± 5.0 N·m, told as 106.7 N·m ± 4.9 N·m" in line for line in after)


def test_what_was_judged_then_stays_as_it_was(workshop: Workshop) -> None:
    """The entry holds what was worked out with the lever of then."""
    play(workshop, THROUGH_AN_ADAPTER)
    before = passes(workshop)
    changed(workshop, lever_mm=Decimal(480))

    assert before == passes(workshop)
    assert Decimal("106.7") == before[0].applied_nm


def test_a_torque_that_lies_outside_by_the_right_lever_stops_the_release(workshop: Workshop) -> None:
    """97 · 250/200 is 121.2 N·m, and 118.8 N·m is the most."""
    play(workshop, THROUGH_AN_ADAPTER)
    done = changed(workshop, lever_mm=Decimal(200))

    assert [False] == [use.inside for use in done.uses]
    says = (
        "rear axle nut: 121.2 N·m was applied; 118.8 N·m is the most that is specified. Never just back off: renew the "
        "joint or clear it from the maker's data, and have the foreman say so."
    )
    assert [says] == findings(workshop, rule=f"{RULES}above-maximum")
    with pytest.raises(Refused, match="cannot be released"):
        release(workshop, "1", FOREMAN)


def test_a_torque_that_lies_inside_by_the_right_lever_stops_nothing_any_more(workshop: Workshop) -> None:
    """86 N·m: 86 · 550/500 is 94.6 N·m, below 97.2 N·m; 86 · 450/400 is 96.8 N·m, and 86 · 400/350 is 98.3 N·m."""
    play(workshop, THROUGH_AN_ADAPTER.replace("97 N·m", "86 N·m"))
    low = f"{RULES}outside-tolerance"

    assert ["94.6 N·m was applied" in says for says in findings(workshop, rule=low)] == [True]
    changed(workshop, lever_mm=Decimal(400))

    assert ["96.8 N·m was applied" in says for says in findings(workshop, rule=low)] == [True]
    changed(workshop, lever_mm=Decimal(350))

    assert [] == findings(workshop, rule=low)


def test_what_was_permitted_of_one_torque_is_not_permitted_of_another(workshop: Workshop) -> None:
    """The foreman saw 94.6 N·m, and 91.4 N·m reached it."""
    play(workshop, THROUGH_AN_ADAPTER.replace("97 N·m", "86 N·m"))
    play(
        workshop,
        "2031-04-02 10:30 job 1 conceded outside-tolerance on rear-axle-nut until 2031-05-01: seen, 20 km by P-1",
    )

    assert [] == findings(workshop, rule=f"{RULES}outside-tolerance")
    changed(workshop, lever_mm=Decimal(800))

    assert 1 == len(findings(workshop, rule=f"{RULES}outside-tolerance"))


def test_a_vehicle_on_the_road_is_in_the_night_with_what_the_right_lever_makes_of_it(workshop: Workshop) -> None:
    """And out of it again where the foreman mistyped the lever once more; the change itself is told that night."""
    play(workshop, THROUGH_AN_ADAPTER + LEFT)

    assert [] == on_the_road(workshop)
    changed(workshop, lever_mm=Decimal(200))

    assert ["121.2 N·m was applied" in says for says in on_the_road(workshop)] == [True]
    changed(workshop, lever_mm=Decimal(480))
    rest = {section.key: section for section in night_of(workshop, workshop.today()).sections}["rest"]

    assert [] == on_the_road(workshop)
    assert [
        "Wrench W-1 (blue): put right by P-1: lever 200 mm (was 500 mm).",
        "Wrench W-1 (blue): put right by P-1: lever 480 mm (was 200 mm).",
    ] == [line.says for line in rest.lines if "W-1" in line.says]


def test_what_went_without_an_adapter_does_not_rest_on_the_lever(workshop: Workshop) -> None:
    """It is told so."""
    play(workshop, STRAIGHT)

    assert () == changed(workshop, lever_mm=Decimal(480)).uses
    assert [] == findings(workshop, rule=f"{RULES}wrench-put-right")


def test_what_was_done_after_it_was_put_right_rests_on_the_right_lever(workshop: Workshop) -> None:
    """Only what was told before is judged anew."""
    changed(workshop, lever_mm=Decimal(480))
    play(workshop, THROUGH_AN_ADAPTER)

    assert "107.1" == f"{passes(workshop)[0].applied_nm:.1f}"
    assert () == show_wrench(workshop, "W-1").put_right
    assert [] == findings(workshop, rule=f"{RULES}wrench-put-right")


def test_a_wrench_found_out_and_put_right_is_told_with_one_torque(workshop: Workshop, clock: Clock) -> None:
    """It shows 5 % too much: of 97 N·m through a lever of 480 mm 97/1.05 · 530/480 reached it, 102 N·m."""
    play(workshop, THROUGH_AN_ADAPTER)
    changed(workshop, lever_mm=Decimal(480))
    clock.set("2031-04-03 08:00")
    check_wrench(workshop, "W-1", CheckWrench("own", ("80 N·m: 76.2 76.2 76.2", "120 N·m: 114.3 114.3 114.3")), FOREMAN)
    (found,) = findings(workshop, rule=f"{RULES}wrench-found-out")
    (put_right,) = findings(workshop, rule=f"{RULES}wrench-put-right")

    assert "so 102.0 N·m ± 4.7 N·m reached it" in found
    assert put_right.endswith("; what reached it is told with what was found out of the wrench.")
    assert ["102.0 N·m ± 4.7 N·m with +4.987 %, inside"] == [use.doubt for use in show_wrench(workshop, "W-1").doubtful]


def test_a_range_put_right_tells_what_lay_outside_of_it(workshop: Workshop) -> None:
    """108 N·m on a wrench that reaches 90 N·m overloaded it; by the range it was entered with nobody could know."""
    play(workshop, STRAIGHT + LEFT)

    assert [] == on_the_road(workshop)
    done = changed(workshop, lowest="20 N·m", highest="90 N·m")

    assert "range 20 … 90 N·m (was 20 … 200 N·m)" == done.says
    assert [("108 N·m lies OUTSIDE its range, 20 … 90 N·m", False)] == [(use.doubt, use.inside) for use in done.uses]
    assert 1 == len(findings(workshop, rule=f"{RULES}wrench-out-of-range"))
    assert ["108 N·m on wrench W-1, which reaches 20 … 90 N·m" in says for says in on_the_road(workshop)] == [True]


def test_a_range_that_was_too_narrow_stops_nothing_any_more(workshop: Workshop) -> None:
    """W-4 was entered to 60 N·m and reaches 200 N·m."""
    add_wrench(workshop, NewWrench("setting", "red", "10 N·m", "60 N·m"), FOREMAN)
    play(workshop, STRAIGHT.replace("W-1", "W-4"))

    assert 1 == len(findings(workshop, rule=f"{RULES}wrench-out-of-range"))
    done = changed(workshop, "W-4", lowest="20 N·m", highest="200 N·m")

    assert [("108 N·m lies inside its range, 20 … 200 N·m", True)] == [(use.doubt, use.inside) for use in done.uses]
    assert [] == findings(workshop, rule=f"{RULES}wrench-out-of-range")


def test_a_wrench_of_the_other_kind_cannot_have_told_what_was_told(workshop: Workshop) -> None:
    """It was entered to click, and it has a dial."""
    play(workshop, STRAIGHT)
    done = changed(workshop, kind="indicating")

    assert ["told as “turned, then clicked”, and it shows values and does not click"] == [u.doubt for u in done.uses]
    says = (
        "rear axle nut: told as “turned, then clicked”, and wrench W-1 shows values and does not click. Ask what it "
        "did; strike it and tell it again."
    )
    assert [says] == findings(workshop, rule=f"{RULES}outcome-of-other-kind")
    with pytest.raises(Refused, match="wrench W-1 shows values and does not click; say the outcome as it was"):
        play(workshop, "2031-04-02 10:30 job 1 rear-axle-nut 108 N·m with W-1 turned, then clicked by P-2")


def test_a_wrench_with_the_right_kind_is_silent(workshop: Workshop) -> None:
    """A click of one that clicks."""
    play(workshop, STRAIGHT)

    assert [] == findings(workshop, rule=f"{RULES}outcome-of-other-kind")


def test_its_sheet_tells_what_was_put_right_and_what_was_struck_of_it(workshop: Workshop) -> None:
    """A correction that was none is struck, and stays in the history."""
    play(workshop, THROUGH_AN_ADAPTER)
    changed(workshop, lever_mm=Decimal(480), tag="blue, long")
    wrong = changed(workshop, lever_mm=Decimal(200), lowest="20 N·m", highest="150 N·m")
    struck = strike_of_wrench(workshop, "W-1", wrong.entry, "it was W-2", FOREMAN)
    view = show_wrench(workshop, "W-1")

    assert "correction" == struck.what
    assert ("blue, long", Decimal(480), "20 … 200 N·m") == (view.tag, view.lever_mm, view.reach)
    assert [
        "tag blue, long (was blue), lever 480 mm (was 500 mm)",
        (
            f"STRUCK on 2031-04-02 by #{wrong.entry + 1} (it was W-2): range 20 … 150 N·m (was 20 … 200 N·m), lever "
            "200 mm (was 480 mm)"
        ),
    ] == [event.says for event in view.history if event.what == "put right"]
    assert ["107.1 N·m reached it, not 106.7 N·m, inside"] == [use.doubt for use in view.put_right]


def test_scale_side_construction_and_lender_are_put_right_too(workshop: Workshop) -> None:
    """Who lent it is told to nobody by its history, which a stranger may see."""
    done = changed(
        workshop,
        scales=("1 N·m",),
        direction="right",
        construction="torsion or flexion bar",
        owner="the yard next door",
    )
    wrench = workshop.wrench("W-1")

    assert wrench
    assert (Scale("N·m", Decimal(1), Decimal(1)),) == wrench.scales
    assert ("right", True, "torsion or flexion bar") == (wrench.direction, wrench.direction_stated, wrench.construction)
    assert "the yard next door" == wrench.owner
    assert (
        "scale division 1 N·m (was not known), measures to right (was not stated), construction torsion or flexion bar "
        "(was other), owner put right"
    ) == done.says


@pytest.mark.parametrize(
    ("told", "says"),
    [
        ({"lever_mm": Decimal(500)}, "W-1: nothing of this is new, so nothing is recorded"),
        ({"lowest": "20 N·m", "highest": "200 N·m"}, "W-1: nothing of this is new, so nothing is recorded"),
        ({"kind": "rubber"}, "rubber: a wrench is setting (it clicks) or indicating (it shows)"),
        ({"highest": "200 N·m"}, "a wrench's range goes from its lowest to its highest value; give both"),
        ({"scales": ("300 N·m",)}, "a division of 300 N·m is as wide as the whole scale"),
    ],
)
def test_what_cannot_be_of_a_wrench_is_refused(workshop: Workshop, told: dict[str, Any], says: str) -> None:
    """Nothing is recorded."""
    head = workshop.book.head()
    with pytest.raises(Refused) as caught:
        changed(workshop, **told)

    assert says in str(caught.value)
    assert head == workshop.book.head()


@pytest.mark.parametrize("number", ["W-9", "P-1", "W-../1"])
def test_a_wrench_that_is_not_there_is_refused(workshop: Workshop, number: str) -> None:
    """Its number is asked first."""
    with pytest.raises(Refused, match="no such wrench"):
        changed(workshop, number, tag="red")


def test_only_what_is_new_stands_in_the_entry(workshop: Workshop) -> None:
    """The foreman types all of it once more."""
    changed(workshop, kind="setting", tag="blue", lowest="20 N·m", highest="150 N·m", lever_mm=Decimal(500))
    told = workshop.book.entries("wrench/W-1")[-1]

    assert ("changed.1", {"max_nm": "150"}) == (told.kind, told.said)
    assert "2031-04-02" == told.judged["on"]


def test_the_same_change_sent_again_changes_nothing(workshop: Workshop) -> None:
    """It answers as before."""
    play(workshop, THROUGH_AN_ADAPTER)
    told = WrenchChange(lever_mm=Decimal(480))
    first, again = (change_wrench(workshop, "W-1", told, Say("P-1", id="a")) for _ in range(2))

    assert first == again
    assert 1 == len(show_wrench(workshop, "W-1").history)


def test_the_record_of_the_job_holds_no_finding_of_a_wrench_that_was_never_put_right(workshop: Workshop) -> None:
    """What is not there costs nothing."""
    play(workshop, THROUGH_AN_ADAPTER)

    assert [] == [each.finding.says for each in show_job(workshop, "1").findings]
