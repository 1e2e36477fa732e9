"""A fastener that a wrench reaches through an adapter only: a pass that tells none is a pass with a wrong setting."""

from collections.abc import Callable
from datetime import date

import pytest

from torqueaudit.model.act import Refused, Say
from torqueaudit.model.job.acts import Tighten
from torqueaudit.model.job.facts import Outcome
from torqueaudit.model.wrench.acts import Calibrate
from torqueaudit.read.adapter import read_adapter
from torqueaudit.testing import findings, play
from torqueaudit.workshop.bench.answer import bench_setting
from torqueaudit.workshop.door.workshop import Workshop
from torqueaudit.workshop.jobs.fasteners import tighten
from torqueaudit.workshop.judged.job_view import show_job
from torqueaudit.workshop.wrenches.calibrations import calibrate

WORK = """
[[work]]
tighten = "sprocket-nut"
name = "sprocket nut"
torque = "110 N·m"
tolerance = "10 %"
adapter = "needed"
source = "manual"
page = "1"
"""
OPENED = "2031-04-02 10:00 job 1 opened sprocket on V-1 by P-2\n"
NUT = "2031-04-02 10:05 sprocket-nut"
ASKED = (
    "sprocket nut: the procedure says that a wrench reaches it with an adapter only, and none was told. Say which, or "
    "that none was on the wrench"
)


@pytest.fixture
def yard(workshop: Workshop, enter: Callable[..., str]) -> Workshop:
    """With the procedure, and a job by it on V-1."""
    enter("sprocket", WORK)
    play(workshop, OPENED)
    return workshop


@pytest.mark.parametrize("outcome", ["", " clicked without turning", " did not reach torque"])
def test_a_pass_that_tells_no_adapter_is_refused(yard: Workshop, outcome: str) -> None:
    """It says what to tell; nothing is recorded."""
    before = yard.book.head()
    with pytest.raises(Refused) as caught:
        play(yard, f"{NUT} 100 N·m with W-1{outcome} by P-2")

    assert ASKED == str(caught.value)
    assert before == yard.book.head()


def test_with_its_adapter_it_is_taken(yard: Workshop) -> None:
    """100 N·m on a lever of 500 mm, 50 mm straight ahead: 110 N·m."""
    play(yard, f"{NUT} 100 N·m with W-1 adapter 50@0 by P-2")

    assert "110 N·m" in show_job(yard, "1").fasteners[0].applied
    assert [] == findings(yard, rule="workshop_rules/adapter-not-told")


def test_who_says_that_none_was_on_the_wrench_is_believed_and_it_stays_to_be_seen(yard: Workshop) -> None:
    """The rules go on asking how it was reached."""
    play(yard, f"{NUT} 110 N·m with W-1 without adapter by P-2")

    says = "sprocket nut: told without an adapter, and the procedure says that a wrench reaches it with one only."
    advice = "Look how it was reached; if there was one, tighten it again with the setting for it."
    assert [f"{says} {advice}"] == findings(yard, rule="workshop_rules/adapter-not-told", weight="caution")


def test_a_pass_without_a_torque_wrench_asks_nothing(yard: Workshop) -> None:
    """There was nothing that an adapter could have been on."""
    play(yard, f"{NUT} no torque wrench fits by P-2")


def test_a_wrench_that_was_calibrated_with_its_adapter_has_it_fitted(yard: Workshop) -> None:
    """Told once more it would be corrected for twice."""
    told = Calibrate(
        date(2031, 4, 1), "C-9", adapters=(read_adapter("50@0"),), as_found=("100 N·m: 99 99 99 99 99; W 1 %",)
    )
    calibrate(yard, "W-1", told, Say("P-1"))
    play(yard, f"{NUT} 110 N·m with W-1 by P-2")

    assert [] == findings(yard, rule="workshop_rules/adapter-not-told")


def test_both_an_adapter_and_none_is_refused(yard: Workshop) -> None:
    """One of the two was meant."""
    both = Tighten(Outcome.TURNED_CLICKED, "W-1", "100 N·m", (read_adapter("50@0"),), no_adapter=True)
    with pytest.raises(Refused, match="an adapter was told, and that none was on the wrench; leave one of them out"):
        tighten(yard, "1", "sprocket-nut", both, Say("P-2"))


def test_what_comes_next_and_what_to_set_speak_of_the_adapter(yard: Workshop) -> None:
    """Before it is forgotten."""
    (step,) = show_job(yard, "1").to_do
    bare, through = (bench_setting(yard, "1", "sprocket-nut", "W-1", each) for each in ((), (read_adapter("50@0"),)))

    assert "tighten sprocket nut to 110 N·m, with an adapter" == step.sentence
    assert step.answer is not None
    assert step.answer.adapter
    assert "110 N·m (99 … 121), with an adapter" == bare.specified
    assert "reaches it with an adapter only, and this is the setting without one. Ask again" in bare.cautions[0]
    assert not any("adapter only" in each for each in through.cautions)
