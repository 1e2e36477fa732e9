"""The bench question: what to set on this wrench, for this fastener, through this adapter."""

from datetime import date
from decimal import Decimal
from pathlib import Path

import pytest

from torqueaudit.model.act import Refused, Say
from torqueaudit.model.shown.bench import BenchAnswer, ChoiceView
from torqueaudit.model.torque.correction import Fitted
from torqueaudit.model.wrench.acts import Calibrate, NewWrench
from torqueaudit.read.adapter import read_adapter
from torqueaudit.testing import play, procedure_head
from torqueaudit.workshop.bench.answer import bench_setting, bench_stage
from torqueaudit.workshop.door.workshop import Workshop
from torqueaudit.workshop.register.procedures import enter_procedure, read_against_source
from torqueaudit.workshop.register.settings import settle
from torqueaudit.workshop.wrenches.calibrations import calibrate
from torqueaudit.workshop.wrenches.wrench import add_wrench, withdraw_wrench
from torqueaudit_plugins.wrench_adapter.commands.answer import as_lines

# Invented, as everything in this project's examples.
ODD = procedure_head("odd", "Everything out of the ordinary")
FASTENERS = {
    "axle": 'torque = "108 N·m"\ntolerance = "10 %"',
    "small": 'torque = "5 N·m"\ntolerance = "10 %"',
    "left": 'torque = "60 N·m"\ntolerance = "10 %"\ndirection = "left"',
    "least": 'torque = "at least 90 N·m"',
    "most": 'torque = "at most 42 N·m"',
    "angled": """torque = "30 N·m"
tolerance = "10 %"
method = "torque and angle"
angle = "90°"
angle_tolerance = "5°" """,
    "locknut": 'torque = "40 N·m"\ntolerance = "10 %"\nprevailing_torque = "excluded"',
    "oiled": 'torque = "40 N·m"\ntolerance = "10 %"\ncondition = "oiled"',
    "uneven": 'torque = "100 N·m"\ntolerance = "+20 N·m/-2 N·m"',
    "tight": 'torque = "47 … 48 N·m"',
    "castle": 'torque = "60 … 80 N·m"\nlocking = "castle nut"',
    "shares": 'torque = "50 N·m"\ntolerance = "10 %"\ncount = 2\nstages = ["hand", "30 %", "70 %", "100 %"]',
    "printed": 'torque = "60 N·m"\ntolerance = "10 %"\nstages = ["30 N·m", "100 %"]',
    "ended": """torque = "30 N·m"
tolerance = "10 %"
method = "torque and angle"
angle = "90°"
angle_tolerance = "5°"
final_torque = "60 … 110 N·m" """,
}
DUE = date(2032, 3, 31)
FOREMAN = Say("P-1")
POINTS = ("20 N·m: 20 20 20 20 20; W 1 %", "120 N·m: 116.5 116.5 116.5 116.5 116.5; W 1 %", "200 N·m: 200; W 1 %")


@pytest.fixture
def bench(workshop: Workshop, tmp_path: Path) -> Workshop:
    """A job on V-1 with one fastener of every kind."""
    work = "".join(
        f'\n[[work]]\ntighten = "{key}"\nname = "{key} bolt"\nsource = "manual"\npage = "1"\n{torque}\n'
        for key, torque in FASTENERS.items()
    )
    file = tmp_path / "odd.toml"
    file.write_text(ODD + work, encoding="utf-8")
    enter_procedure(workshop, file, Say("P-2"))
    read_against_source(workshop, "odd", "", Say("P-3"))
    play(workshop, "2031-04-02 10:00 job 1 opened odd on V-1 at 12000 km by P-2")
    return workshop


def new_wrench(workshop: Workshop, *scales: str, **further: object) -> str:
    """One more setting wrench, 20 … 200 N·m and 500 mm unless said otherwise."""
    usual = {"tag": "new", "lowest": "20 N·m", "highest": "200 N·m", "lever_mm": Decimal(500), "due_on": DUE}
    return add_wrench(workshop, NewWrench("setting", **{**usual, **further}, scales=scales), FOREMAN)  # type: ignore[arg-type]


def ask(
    workshop: Workshop, key: str, wrench: str, adapter: str = "", drag: str = "", drag_wrench: str = ""
) -> BenchAnswer:
    """The answer for job 1."""
    fitted = (read_adapter(adapter),) if adapter else ()
    return bench_setting(workshop, "1", key, wrench, fitted, drag=drag, drag_wrench=drag_wrench)


def chosen(answer: BenchAnswer) -> ChoiceView:
    """The setting that it chose."""
    assert answer.choice is not None
    return answer.choice


def set_to(answer: BenchAnswer) -> str:
    """What it says to set, as the scale has it."""
    return f"{chosen(answer).setting:f} {answer.unit}"


def judged(answer: BenchAnswer) -> str:
    """How what it reaches would be judged."""
    return chosen(answer).judged.verdict


@pytest.mark.parametrize(
    ("division", "adapter", "said", "reached"),
    [
        ("5 N·m", "", "110 N·m", "110"),
        ("2 N·m", "", "108 N·m", "108"),
        ("2.5 N·m", "", "107.5 N·m", "107.5"),
        ("0.1 N·m", "50@45", "100.9 N·m", "108.035"),
        ("5 N·m", "50@0", "100 N·m", "110"),
        ("2.5 N·m", "50@0", "97.5 N·m", "107.25"),
        ("20 N·m", "", "100 N·m", "100"),
    ],
)
def test_the_nearest_division_inside_the_tolerance(
    bench: Workshop, division: str, adapter: str, said: str, reached: str
) -> None:
    """What can be set on the scale, and what that makes at the fastener."""
    answer = ask(bench, "axle", new_wrench(bench, division), adapter)

    assert said == set_to(answer)
    assert Decimal(reached) == round(chosen(answer).applied_nm, 3)


@pytest.mark.parametrize(
    ("guard_factor", "begin", "most"),
    [("0", "60", "80"), ("1", "63", "76")],
)
def test_a_castle_nut_begins_low_and_has_a_most_at_its_slot(
    bench: Workshop, guard_factor: str, begin: str, most: str
) -> None:
    """60 … 80 N·m, ±4 %, marks of 1 N·m: U is 3.0 at 63 and 3.6 at 76, and by a guard band of 1·U no more is proved."""
    settle(bench, {"guard_factor": guard_factor}, FOREMAN)
    choice = chosen(ask(bench, "castle", new_wrench(bench, "1 N·m")))

    assert (Decimal(begin), Decimal(most)) == (choice.setting, choice.at_slot)


def test_a_wrench_that_shows_nothing_of_the_maximum_says_so(bench: Workshop) -> None:
    """Its next mark above 60 N·m is 90 N·m; another nut asks for no slot."""
    coarse = new_wrench(bench, "30 N·m", lowest="30 N·m")
    says = "No mark of this wrench above that shows that the maximum holds at the slot: read it there with another."

    assert chosen(ask(bench, "castle", coarse)).at_slot is None
    assert says in ask(bench, "castle", coarse).cautions
    assert chosen(ask(bench, "axle", "W-1")).at_slot is None


def test_a_scale_in_another_unit_is_answered_in_it(bench: Workshop) -> None:
    """80 lbf·ft are 108.465 N·m; the specification in that unit stands beside it, derived."""
    answer = ask(bench, "axle", new_wrench(bench, "2 lbf·ft", "5 N·m", lowest="20 lbf·ft", highest="150 lbf·ft"))

    assert set_to(answer) == "80 lbf·ft"
    assert Decimal("108.465") == round(chosen(answer).applied_nm, 3)
    assert answer.derived == "108 N·m (= about 79.7 lbf·ft, derived)"


def test_the_uncertainty_holds_division_and_adapter(bench: Workshop) -> None:
    """108 N·m with ±4 % and a division of 2 N·m: U = 2·√((0.04·108)²/3 + 2²/12) = 5.1202 N·m."""
    answer = ask(bench, "axle", new_wrench(bench, "2 N·m"))

    choice = chosen(answer)

    assert choice.expanded_nm is not None
    assert Decimal("5.1202") == round(choice.expanded_nm, 4)
    assert ["permissible deviation ±4 %, rectangular", "scale division 2 N·m"] == [each.name for each in choice.budget]
    assert (choice.judged.verdict, choice.judged.decision_rule) == ("in", "simple acceptance")


def test_no_division_inside_is_refused_with_the_two_beside_it(bench: Workshop) -> None:
    """47 … 48 N·m lies between two marks, and nobody is told to guess; W-1 has a finer scale for all one knows."""
    answer = ask(bench, "tight", new_wrench(bench, "5 N·m"))

    assert answer.choice is None
    assert answer.why_not == "no mark of its scale reaches 47 … 48 N·m: 45 N·m gives 45 N·m and 50 N·m gives 50 N·m"
    assert answer.instead == ("W-1 (blue) at 47.5 N·m", "W-2 (dial) at 47.5 N·m")


def test_out_of_range_is_refused_and_another_wrench_named(bench: Workshop) -> None:
    """5 N·m on a wrench that begins at 20; the small one can, and what it can is said on its own scale."""
    small = new_wrench(bench, "2 lbf·in", tag="small", lowest="10 lbf·in", highest="100 lbf·in")
    answer = ask(bench, "small", "W-1")

    assert answer.choice is None
    assert answer.why_not == "it would have to be set to 5 N·m, and it reaches 20 … 200 N·m"
    assert answer.instead == (f"{small} (small) at 44 lbf·in",)


def test_what_counts_for_the_range_is_the_setting(bench: Workshop) -> None:
    """108 N·m are within a wrench up to 110; an adapter folded back asks for 128.6, and 110 then gives too little."""
    wrench = new_wrench(bench, "1 N·m", highest="110 N·m")

    assert set_to(ask(bench, "axle", wrench, "50@0")) == "98 N·m"
    assert ask(bench, "axle", wrench, "80@180").choice is None


def test_the_last_mark_of_a_scale_serves_where_it_lies_inside(bench: Workshop) -> None:
    """108 N·m is past a scale that ends at 105, and 105 is inside its tolerance."""
    assert set_to(ask(bench, "axle", new_wrench(bench, "5 N·m", highest="105 N·m"))) == "105 N·m"


@pytest.mark.parametrize(("adapter", "says"), [("", "can either."), ("50@45", "can either, with what is fitted.")])
def test_no_wrench_at_all_names_none(bench: Workshop, adapter: str, says: str) -> None:
    """Nothing in the workshop begins that low."""
    answer = ask(bench, "small", "W-1", adapter)

    assert (answer.choice, answer.instead) == (None, ())
    assert f"No other wrench of this workshop {says}" in as_lines(answer)


def test_an_overdue_wrench_is_refused(bench: Workshop) -> None:
    """W-3's calibration ended before; another one does it."""
    answer = ask(bench, "axle", "W-3")

    assert answer.choice is None
    assert "2031-03-31" in answer.why_not
    assert answer.instead == ("W-1 (blue) at 108 N·m", "W-2 (dial) at 108 N·m")


def test_a_withdrawn_wrench_is_refused_and_named_for_nobody(bench: Workshop) -> None:
    """Neither asked for itself nor offered instead."""
    withdraw_wrench(bench, "W-1", "head loose", FOREMAN)

    assert ask(bench, "axle", "W-1").why_not == "it is withdrawn (head loose)"
    assert ask(bench, "axle", "W-3").instead == ("W-2 (dial) at 108 N·m",)


def test_a_left_hand_thread_wants_a_wrench_that_turns_so(bench: Workshop) -> None:
    """It measures to one side only."""
    right, left = (new_wrench(bench, "5 N·m", direction=side) for side in ("right", "left"))
    answer = ask(bench, "left", right)

    assert (answer.choice, answer.why_not) == (None, "it turns to the right only, and this is a left-hand thread")
    assert right not in " ".join(answer.instead)
    assert set_to(ask(bench, "left", left)) == "60 N·m"
    assert ask(bench, "axle", left).choice is None


@pytest.mark.parametrize("written", ["50@0", "50.0@0", "50 @ 0.0"])
def test_a_wrench_calibrated_with_an_adapter_is_not_corrected_for_it_again(bench: Workshop, written: str) -> None:
    """However its measures are written; with another one nothing is known of it."""
    wrench = new_wrench(bench, "1 N·m")
    told = Calibrate(date(2031, 4, 1), "C-9", adapters=(read_adapter("50@0"),), as_found=POINTS)
    calibrate(bench, wrench, told, FOREMAN)
    answer = ask(bench, "axle", wrench, written)

    assert answer.choice is None
    assert "calibrated with this adapter fitted" in answer.why_not
    assert ask(bench, "axle", wrench, "60@0").why_not == (
        "it was calibrated with its adapter 50 mm at 0° fitted, and nothing is known of it with another"
    )


def test_a_wrench_calibrated_with_an_adapter_is_answered_with_it(bench: Workshop) -> None:
    """In the answer and where it is named instead of another, so that nobody takes it bare."""
    wrench = new_wrench(bench, "1 N·m")
    calibrate(
        bench, wrench, Calibrate(date(2031, 4, 1), "C-9", adapters=(read_adapter("40@0"),), as_found=POINTS), FOREMAN
    )
    answer = ask(bench, "axle", wrench)
    expected = "with its adapter 40 mm at 0° fitted, as it was calibrated"

    assert ("111 N·m", expected) == (set_to(answer), chosen(answer).calibrated_with)
    assert f"Set wrench {wrench} to 111 N·m, {expected}" in list(as_lines(answer))
    assert answer.cautions[0].startswith("Not without that adapter, nor with another")
    assert f"{wrench} (new) at 111 N·m, {expected}" in ask(bench, "axle", "W-3").instead
    assert wrench not in " ".join(ask(bench, "axle", "W-3", "50@0").instead)
    assert chosen(ask(bench, "axle", "W-1")).calibrated_with == ""


def test_a_wrench_that_proves_nothing_is_named_so(bench: Workshop) -> None:
    """It can, and what it did could not be shown."""
    borrowed = new_wrench(bench, "5 N·m", due_on=None, tag="borrowed")

    assert ask(bench, "axle", "W-3").instead[-1] == f"{borrowed} (borrowed) at 110 N·m, not proved"


def test_the_range_is_told_on_the_wrenchs_own_scale(bench: Workshop) -> None:
    """Nobody converts at the bench."""
    wrench = new_wrench(bench, "1 lbf·ft", lowest="20 lbf·ft", highest="150 lbf·ft")

    assert ask(bench, "small", wrench).why_not == (
        "it would have to be set to 3.688 lbf·ft, and it reaches 20 … 150 lbf·ft"
    )


@pytest.mark.parametrize(
    ("key", "says"),
    [
        ("least", "At 90 N·m it may as well lie outside (50.0 % likely inside); 95 N·m would be proved."),
        ("uneven", "At 100 N·m it may still lie outside (80.5 % likely inside); 103 N·m would be proved."),
        ("castle", "At 60 N·m it may as well lie outside (50.0 % likely inside); 63 N·m would be proved."),
    ],
)
def test_a_setting_that_is_not_proved_beside_one_that_would_be_is_told(bench: Workshop, key: str, says: str) -> None:
    """By simple acceptance the nearest division stays; under a guard band the other is taken at once."""
    wrench = new_wrench(bench, "1 N·m")

    assert says in ask(bench, key, wrench).cautions
    settle(bench, {"guard_factor": "1"}, FOREMAN)
    assert "would be proved" not in " ".join(ask(bench, key, wrench).cautions)


def test_where_every_division_or_none_is_proved_no_other_is_named(bench: Workshop) -> None:
    """108 N·m in 97.2 … 118.8 is proved, 47.5 in 47 … 48 cannot be."""
    wrench = new_wrench(bench, "0.5 N·m")

    assert ask(bench, "axle", wrench).cautions == ()
    (says,) = ask(bench, "tight", wrench).cautions
    assert says == (
        "By simple acceptance it is in; nothing this wrench shows could prove it with a guard band of 1·U: its "
        "uncertainty of ± 2.2 N·m is too wide for the tolerance. Take a better wrench where proof is wanted."
    )


def test_the_stages_are_answered_on_the_same_scale(bench: Workshop) -> None:
    """By hand, a share of 50 N·m below the scale, another on it, then the whole; and a stage as it is printed."""
    shares, printed = (ask(bench, key, new_wrench(bench, "1 N·m")) for key in ("shares", "printed"))

    assert [("hand", None), ("30 %", None), ("70 %", Decimal(35))] == [
        (e.written, e.setting) for e in chosen(shares).stages
    ]
    assert list(as_lines(shares))[2] == (
        "  stages before that: by hand, then 15 N·m (30 %), which this wrench does not reach: take another for it, "
        "then 35 N·m (70 %)"
    )
    assert list(as_lines(printed))[2] == "  stages before that: 30 N·m"
    assert chosen(ask(bench, "axle", "W-1")).stages == ()


def test_a_large_drag_is_a_caution(bench: Workshop) -> None:
    """More than half of what is specified; half of it is not."""
    says = (
        "A drag of 21 N·m is more than half of the 40 N·m specified. Look whether thread and nut are clean, whole and "
        "belong together."
    )

    assert says in ask(bench, "locknut", "W-1", drag="21 N·m").cautions
    assert "drag" not in " ".join(ask(bench, "locknut", "W-1", drag="20 N·m").cautions)


def test_an_adapter_that_changes_much_is_a_caution(bench: Workshop) -> None:
    """A lever of 500 mm with 600 mm more."""
    says = "The adapter changes the torque by the factor 2.2, outside 0.5 to 2: measure lever, adapter and angle again"

    assert ask(bench, "axle", new_wrench(bench, "1 N·m"), "600@0").cautions[0].startswith(says)


def test_a_torque_at_the_end_of_an_angle_wants_a_wrench_that_shows_it(bench: Workshop) -> None:
    """A click tells nothing of it."""
    says = (
        "At the end of the angle 60 … 110 N·m has to be read, and a wrench that clicks shows nothing there: take one "
        "that shows values."
    )

    assert says in ask(bench, "ended", "W-1").cautions
    assert says not in ask(bench, "ended", "W-2").cautions


def test_what_is_doubtful_about_the_value_is_told_first(workshop: Workshop, tmp_path: Path) -> None:
    """A procedure nobody read against its source, and what rules say of this fastener's value and no other's."""
    fastener = '\n[[work]]\ntighten = "{0}"\nname = "{0}"\nsource = "manual"\npage = "1"\ntorque = "108 N·m"\n'
    doubtful = 'tolerance = "10 %"\nthread = "M6"\nproperty_class = "8.8"\n'
    file = tmp_path / "odd.toml"
    text = ODD + fastener.format("bad") + doubtful + fastener.format("good") + 'tolerance = "10 %"\n'
    file.write_text(text, encoding="utf-8")
    enter_procedure(workshop, file, Say("P-2"))
    play(workshop, "2031-04-02 10:00 job 1 opened odd on V-1 at 12000 km by P-2")
    unread = "Nobody has read this procedure against its source yet: compare the value with the document first."
    bad, good, impossible = ask(workshop, "bad", "W-1"), ask(workshop, "good", "W-1"), ask(workshop, "bad", "W-3")

    assert (bad.cautions[0], good.cautions[0]) == (unread, unread)
    assert bad.cautions[1].startswith("bad: 108 N·m on M6, class 8.8, is past yield")
    assert "past yield" not in " ".join(good.cautions)
    assert impossible.cautions == bad.cautions[:2]
    assert bad.cautions[1] in list(as_lines(impossible))


def test_what_is_stated_of_an_adapter_does_not_make_it_another(bench: Workshop) -> None:
    """A stated uncertainty of its length, or a length that cannot be read, is told apart from its measures."""
    wrench = new_wrench(bench, "1 N·m")
    told = Calibrate(date(2031, 4, 1), "C-9", adapters=(read_adapter("50@0"),), as_found=POINTS)
    calibrate(bench, wrench, told, FOREMAN)
    measured = Fitted("adapter", {"length_mm": "50", "angle_deg": "0", "length_u_mm": "0.5"})

    assert bench_setting(bench, "1", "axle", wrench, (measured,)).choice is None
    with pytest.raises(Refused, match="is not a plain number"):
        bench_setting(bench, "1", "axle", "W-1", (Fitted("adapter", {"length_mm": "fifty", "angle_deg": "0"}),))


def test_the_wrenches_that_prove_it_are_named_first(bench: Workshop) -> None:
    """Of the first new one nobody knows whether it is in calibration."""
    unknown, known = new_wrench(bench, "1 N·m", due_on=None), new_wrench(bench, "1 N·m")
    named = [each.partition(" ")[0] for each in ask(bench, "axle", "W-3").instead]

    assert ["W-1", "W-2", known, unknown] == named


def test_a_guard_band_steps_to_a_setting_that_is_proved(bench: Workshop) -> None:
    """98 … 120 N·m with 100 as its value: 100 ± 4.8 is in and not proved, 103 ± 4.9 is the nearest that is."""
    wrench = new_wrench(bench, "1 N·m")
    before = ask(bench, "uneven", wrench)
    settle(bench, {"guard_factor": "1"}, FOREMAN)
    after = ask(bench, "uneven", wrench)

    assert (set_to(before), judged(before), chosen(before).judged.decision_rule) == (
        "100 N·m",
        "in",
        "simple acceptance",
    )
    assert (set_to(after), judged(after), chosen(after).judged.decision_rule) == ("103 N·m", "in", "guard band 1·U")


def test_a_guard_band_that_leaves_nothing_stays_nearest_and_says_so(bench: Workshop) -> None:
    """5 N·m to each side is more than a tolerance of 47 … 48 N·m has."""
    settle(bench, {"guard_factor": "1"}, FOREMAN)
    answer = ask(bench, "tight", "W-1")

    assert (set_to(answer), judged(answer)) == ("47.5 N·m", "in, not proved")
    assert answer.cautions[0].startswith("Nothing this wrench shows could prove it: its uncertainty of ± 2.2 N·m")


@pytest.mark.parametrize(
    ("key", "guard_factor", "said", "verdict"),
    [
        ("least", "0", "90 N·m", "in"),
        ("least", "1", "95 N·m", "in"),
        ("least", "3", "105 N·m", "in"),
        ("most", "0", "42 N·m", "in"),
        ("most", "1", "40 N·m", "in"),
    ],
)
def test_a_single_limit_has_room_on_its_free_side(
    bench: Workshop, key: str, guard_factor: str, said: str, verdict: str
) -> None:
    """By simple acceptance the limit itself; under a guard band r·U inside it, U growing with the setting."""
    settle(bench, {"guard_factor": guard_factor}, FOREMAN)
    answer = ask(bench, key, new_wrench(bench, "1 N·m"))

    assert (said, verdict) == (set_to(answer), judged(answer))


def test_a_deviation_that_is_corrected_for_moves_the_setting(bench: Workshop) -> None:
    """116.5 where 120 was set is +3.004 %, so 108 N·m want 108·1.026… = 110.9 set; W alone is its uncertainty."""
    wrench = new_wrench(bench, "0.1 N·m")
    calibrate(bench, wrench, Calibrate(date(2031, 4, 1), "C-9", as_found=POINTS), FOREMAN)
    corrected = ask(bench, "axle", wrench)
    settle(bench, {"correct_deviation": False}, FOREMAN)
    as_it_is = ask(bench, "axle", wrench)

    assert set_to(as_it_is) == "108 N·m"
    assert chosen(as_it_is).applied_nm == 108
    # On the line from 0 % at 20 to 3.004 % at 120 N·m, setting x gives x/(1 + a(x)) = 108 at x = 110.96.
    assert set_to(corrected) == "111 N·m"
    a = Decimal("3.5") / Decimal("116.5") * (111 - 20) / 100
    assert round(111 / (1 + a), 9) == round(chosen(corrected).applied_nm, 9)
    wide, narrow = (chosen(each).expanded_nm for each in (as_it_is, corrected))
    assert wide is not None
    assert narrow is not None
    assert narrow < wide / 3


def test_outside_the_calibrated_points_it_can_and_proves_nothing(bench: Workshop) -> None:
    """Within the range and above the highest point: the answer says that nothing is proved."""
    wrench = new_wrench(bench, "1 N·m")
    calibrate(bench, wrench, Calibrate(date(2031, 4, 1), "C-9", as_found=("60 N·m: 60; W 1 %",)), FOREMAN)
    answer = ask(bench, "axle", wrench)

    assert (set_to(answer), judged(answer)) == ("108 N·m", "in, not proved")
    assert chosen(answer).expanded_nm is chosen(answer).judged.probability is None
    assert answer.cautions[0].startswith("Nothing is proved: the setting lies outside the points")


def calibrated(bench: Workshop, *points: str) -> str:
    """A new wrench with marks of 0.5 N·m and a certificate of these points."""
    wrench = new_wrench(bench, "0.5 N·m")
    calibrate(bench, wrench, Calibrate(date(2031, 4, 1), "C-9", as_found=points), FOREMAN)
    return wrench


def test_a_setting_among_the_points_counts_before_one_beyond_them(bench: Workshop) -> None:
    """The last point shows 46 where it is 47.5 N·m, the aim: 47.5 shown would be more, and nobody knows how much."""
    answer = ask(bench, "tight", calibrated(bench, "20 N·m: 20.6 20.6; W 0.5 %", "46 N·m: 47.5 47.5; W 0.5 %"))

    assert (set_to(answer), judged(answer)) == ("46 N·m", "in")
    assert Decimal("47.5") == chosen(answer).applied_nm


def test_an_aim_just_above_the_last_point_is_set_at_that_point(bench: Workshop) -> None:
    """47.5 shown is 47.1 N·m there, the nearest to the aim of 47.5 that is known."""
    answer = ask(bench, "tight", calibrated(bench, "20 N·m: 20 20; W 0.5 %", "47.5 N·m: 47.1 47.1; W 0.5 %"))

    assert (set_to(answer), judged(answer)) == ("47.5 N·m", "in")
    assert Decimal("47.1") == chosen(answer).applied_nm


def test_beside_a_setting_beyond_the_points_the_one_that_is_proved_is_told(bench: Workshop) -> None:
    """90 N·m at least, and the only point lies half a newton metre above; U is 0.46 N·m there."""
    answer = ask(bench, "least", calibrated(bench, "90.5 N·m: 90.5 90.5; W 0.3 %"))

    assert (set_to(answer), judged(answer)) == ("90 N·m", "in, not proved")
    assert answer.cautions[0].endswith("was calibrated (90.5 N·m). 90.5 N·m would be proved.")


def test_a_wrench_of_which_nothing_is_known_can_and_proves_nothing(bench: Workshop) -> None:
    """No due date, no calibration, no range, no scale: it is answered in N·m to four digits, with what is missing."""
    answer = ask(bench, "axle", new_wrench(bench, lowest="", highest="", due_on=None), "50@45")

    assert (set_to(answer), judged(answer)) == ("100.9 N·m", "in, not proved")
    assert len(answer.cautions) == 2
    assert "Nothing is proved" in answer.cautions[0]
    assert "division" in answer.cautions[1]


def test_an_angle_is_not_forgotten(bench: Workshop) -> None:
    """The torque is where the angle begins."""
    answer = ask(bench, "angled", new_wrench(bench, "1 N·m"))

    assert set_to(answer) == "30 N·m"
    assert answer.cautions == ("The torque is only where it begins: turn it on by 90° (85 … 95).",)


def test_a_thread_condition_is_told(bench: Workshop) -> None:
    """The value holds for it."""
    expected = ("The specification holds for this condition of the thread: oiled.",)

    assert expected == ask(bench, "oiled", new_wrench(bench, "1 N·m")).cautions


def test_a_drag_comes_on_top_where_the_source_excludes_it(bench: Workshop) -> None:
    """40 N·m and 6 N·m of drag are set as 46, and what is left at the seat is judged.

    By hand: U = 2·√(1.0623² + 0.2887² + 0.2078²), of ±4 % and a division of 1 N·m at 46 and ±6 % at 6 N·m.
    """
    answer = ask(bench, "locknut", new_wrench(bench, "1 N·m"), drag="6 N·m")
    seat = chosen(answer).seat

    assert set_to(answer) == "46 N·m"
    assert seat is not None
    assert (Decimal(40), Decimal("2.24")) == (seat.nm, round(seat.expanded_nm or Decimal(0), 2))
    says = "  reaches 46 N·m with a drag of 6 N·m: 40.0 N·m ± 2.2 N·m at the seat (k = 2): in"
    assert says in "\n".join(as_lines(answer))


def test_a_drag_is_known_by_the_wrench_that_read_it(bench: Workshop) -> None:
    """W-2 shows to ±4 %, so U is 2·√(1.0623² + 0.2887² + 0.1386²) at 46 N·m; the least and the most are 5 and 7."""
    click = new_wrench(bench, "1 N·m")
    seat = chosen(ask(bench, "locknut", click, drag="6 N·m", drag_wrench="W-2")).seat
    turned = chosen(ask(bench, "locknut", click, drag="5 … 7 N·m", drag_wrench="W-2")).seat

    assert seat is not None
    assert turned is not None
    assert (Decimal("2.22"), Decimal("2.50")) == tuple(
        round(each.expanded_nm or Decimal(0), 2) for each in (seat, turned)
    )


def test_a_drag_read_on_the_wrench_that_tightens_is_corrected_with_it(bench: Workshop) -> None:
    """A dial that shows too much by 1/0.97 reads both so: 40 N·m at the seat is asked of it as 40/0.97 + 6 = 47.2."""
    dial = add_wrench(
        bench, NewWrench("indicating", tag="dial", lowest="10 N·m", highest="100 N·m", scales=("0.1 N·m",)), FOREMAN
    )
    told = Calibrate(date(2031, 4, 1), "C-5", as_found=("20 N·m: 19.4; W 1 %", "100 N·m: 97; W 1 %"))
    calibrate(bench, dial, told, FOREMAN)
    answer = ask(bench, "locknut", dial, drag="6 N·m")

    assert set_to(answer) == "47.2 N·m"


@pytest.mark.parametrize(
    ("job", "key", "wrench", "adapter", "drag", "why"),
    [
        ("7", "axle", "W-1", "", "", "job 7: no such job"),
        ("1", "spoke", "W-1", "", "", "spoke"),
        ("1", "axle", "W-99", "", "", "W-99: no such wrench; look at the list of wrenches"),
        ("1", "axle", "W-1", "500@180", "", "the adapter folds back to the hand or beyond it"),
        ("1", "locknut", "W-1", "", "", "tell it as the drag"),
        ("1", "locknut", "W-1", "", "6", "6"),
        ("1", "axle", "W-1", "", "6 N·m", "no drag is added, leave it out"),
    ],
)
def test_what_cannot_be_asked_is_refused_in_one_sentence(
    bench: Workshop, job: str, key: str, wrench: str, adapter: str, drag: str, why: str
) -> None:
    """An unknown job, fastener, wrench or torque, and an adapter that leaves no lever."""
    fitted = (read_adapter(adapter),) if adapter else ()
    with pytest.raises(Refused) as refused:
        bench_setting(bench, job, key, wrench, fitted, drag)

    assert why in str(refused.value)
    assert "\n" not in str(refused.value)


def test_a_withdrawn_job_is_not_worked_on(bench: Workshop) -> None:
    """Its opening was struck."""
    play(bench, "2031-04-02 10:05 job 2 opened odd on V-2 by P-2\n2031-04-02 10:06 line 1 struck: twice by P-1")

    with pytest.raises(Refused, match=r"job 2 was withdrawn \(twice\)"):
        bench_setting(bench, "2", "axle", "W-1")


def test_a_lever_that_nobody_measured_is_asked_for(bench: Workshop) -> None:
    """Without it an adapter cannot be corrected for; such a wrench is offered to nobody instead."""
    wrench = new_wrench(bench, "5 N·m", lever_mm=None)

    assert wrench not in " ".join(ask(bench, "axle", "W-3", "50@0").instead)
    with pytest.raises(Refused, match="the lever length of wrench"):
        ask(bench, "axle", wrench, "50@0")


def test_a_stage_before_the_last_asks_no_more_of_a_wrench_than_itself(bench: Workshop) -> None:
    """A small wrench does the stage that it reaches, although it cannot do the last one."""
    small = add_wrench(
        bench, NewWrench("setting", "small", "5 N·m", "25 N·m", scales=("0.1 N·m",), due_on=DUE), FOREMAN
    )
    stage = bench_stage(bench, "1", "shares", small, 2)

    assert (Decimal("15.0"), "N·m", "") == (stage.setting, stage.unit, stage.why_not)
    assert bench_setting(bench, "1", "shares", small).choice is None


def test_a_wrench_that_does_not_reach_a_stage_names_those_that_do(bench: Workshop) -> None:
    """With what each of them is set to."""
    small = add_wrench(
        bench, NewWrench("setting", "small", "5 N·m", "25 N·m", scales=("0.1 N·m",), due_on=DUE), FOREMAN
    )
    stage = bench_stage(bench, "1", "shares", small, 3)

    assert (None, "its scale does not reach 35 N·m") == (stage.setting, stage.why_not)
    assert any(each.endswith("at 35 N·m") for each in stage.instead)


def test_nothing_is_set_for_a_stage_by_hand(bench: Workshop) -> None:
    """No wrench is on it."""
    with pytest.raises(Refused) as caught:
        bench_stage(bench, "1", "shares", "W-1", 1)

    assert "shares bolt: stage 1 is turned by hand, and no wrench is set for it" == str(caught.value)
