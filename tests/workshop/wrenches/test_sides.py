"""A calibration holds for the side it was done to.

Outside check: ISO 6789-1 and -2:2017, from memory: a wrench that measures to both sides is calibrated in each of them.
"""

from collections.abc import Sequence
from datetime import date
from pathlib import Path

import pytest

from torqueaudit import testing
from torqueaudit.model.act import Refused, Say
from torqueaudit.model.job.facts import Tightening
from torqueaudit.model.wrench.acts import Calibrate, NewWrench
from torqueaudit.testing import play
from torqueaudit.workshop.door.workshop import Workshop
from torqueaudit.workshop.register.procedures import enter_procedure
from torqueaudit.workshop.wrenches.calibrations import calibrate
from torqueaudit.workshop.wrenches.view import show_wrench
from torqueaudit.workshop.wrenches.wrench import add_wrench

FOREMAN = Say("P-1")
POINTS = ("20 N·m: 20 20 20 20 20; W 1 %", "200 N·m: 200 200 200 200 200; W 1 %")
WHY = "wrench W-4 was calibrated to the right, and this is a left-hand thread"
REMARK = "not stated to which side it was calibrated, so it proves nothing of a left-hand thread"


@pytest.fixture
def threads(workshop: Workshop, tmp_path: Path) -> Workshop:
    """The axle, and the same with a left-hand thread."""
    text = (Path(testing.__file__).parent / "axle.toml").read_text(encoding="utf-8")
    left = text.replace('name = "axle"', 'name = "axle-left"').replace("mark = true", 'mark = true\ndirection = "left"')
    (tmp_path / "left.toml").write_text(left, encoding="utf-8")
    enter_procedure(workshop, tmp_path / "left.toml", Say("P-2"))
    return workshop


def calibrated(workshop: Workshop, direction: str, measures: str = "both") -> Sequence[str]:
    """A new wrench with its certificate; the remarks on that."""
    new = NewWrench("setting", "red", "20 N·m", "200 N·m", direction=measures)
    words = Calibrate(date(2031, 4, 1), "C-1", as_found=POINTS, direction=direction)
    return calibrate(workshop, add_wrench(workshop, new, FOREMAN), words, FOREMAN).remarks


def tightened(workshop: Workshop, procedure: str) -> Tightening:
    """The axle nut, with the new wrench."""
    opened = f"2031-04-02 10:00 job 1 opened {procedure} on V-1 at 12000 km by P-2"
    play(workshop, f"{opened}\n2031-04-02 10:05 rear-axle-nut 108 N·m with W-4 by P-2")
    done = workshop.job("1").record.current("rear-axle-nut").tightening
    assert done is not None
    return done


@pytest.mark.parametrize(
    ("direction", "procedure", "why"),
    [
        ("", "axle", ""),
        ("", "axle-left", WHY),
        ("right", "axle-left", WHY),
        ("both", "axle-left", ""),
        ("left", "axle-left", ""),
        ("left", "axle", "wrench W-4 was calibrated to the left, and this is a right-hand thread"),
    ],
)
def test_a_thread_of_the_other_side_is_not_proved(threads: Workshop, direction: str, procedure: str, why: str) -> None:
    """Nothing is proved, and no uncertainty is made up; where nothing is stated it was done to the right."""
    remarks = calibrated(threads, direction)
    done = tightened(threads, procedure)

    assert (why, bool(why)) == (done.not_proved, done.expanded_nm is None)
    assert (REMARK in remarks) is (direction == "")


def test_a_wrench_that_measures_to_one_side_is_calibrated_to_that(threads: Workshop) -> None:
    """Not stated, it is that side, without a remark; stated otherwise it is asked back."""
    assert REMARK not in calibrated(threads, "", "left")
    view = show_wrench(threads, "W-4")

    assert "left" == (view.calibration and view.calibration.direction)
    assert "" == tightened(threads, "axle-left").not_proved
    with pytest.raises(Refused, match="wrench W-5 measures to the left only; look at the certificate again"):
        calibrated(threads, "right", "left")
    with pytest.raises(Refused, match="up: a wrench is calibrated to the right, left, both"):
        calibrated(threads, "up")
