"""A stage that is turned by hand is told as that, and nothing else is."""

from pathlib import Path

import pytest

from torqueaudit.model.act import Refused, Say
from torqueaudit.model.job.acts import Opening, Tighten
from torqueaudit.model.job.facts import Outcome
from torqueaudit.testing import procedure_head
from torqueaudit.workshop.door.workshop import Workshop
from torqueaudit.workshop.jobs.fasteners import tighten
from torqueaudit.workshop.jobs.job import open_job
from torqueaudit.workshop.register.procedures import enter_procedure, read_against_source

BOLTS = """
[[work]]
tighten = "bolt"
name = "bolt"
torque = "50 N·m"
tolerance = "10 %"
count = 2
stages = ["hand", "100 %"]
source = "manual"
page = "1"

[[work]]
tighten = "nut"
name = "nut"
torque = "50 N·m"
tolerance = "10 %"
source = "manual"
page = "1"
"""
HAND = Tighten(Outcome.BY_HAND, stage=1)
BY = Say("P-2")


@pytest.fixture
def bolts(workshop: Workshop, tmp_path: Path) -> Workshop:
    """A job with two bolts in two stages, the first by hand, and a nut."""
    path = tmp_path / "bolts.toml"
    path.write_text(procedure_head("bolts", "Bolts by hand first") + BOLTS, encoding="utf-8")
    digest = enter_procedure(workshop, path, Say("P-1"))
    read_against_source(workshop, digest, "", Say("P-3"))
    open_job(workshop, Opening("V-1", digest, 12_000_000), BY)
    return workshop


def test_a_stage_by_hand_is_a_stage_without_a_torque(bolts: Workshop) -> None:
    """It is turned, it is not judged, and the next stage is the second."""
    entries = tighten(bolts, "1", "bolt", HAND, BY)
    done = bolts.record("1").current("bolt-1").tightening

    assert ["turned by hand"] * 2 == [each.said["outcome"] for each in entries]
    assert (None, False, 1) == ((done.applied_nm, done.final, done.stage) if done else None)


@pytest.mark.parametrize(
    ("key", "told", "expected"),
    [
        ("bolt", HAND._replace(stage=2), "bolt: stage 1 alone is turned by hand; tell the wrench"),
        ("bolt", HAND._replace(stage=0), "bolt: stage 1 alone is turned by hand; tell the wrench"),
        ("nut", HAND._replace(stage=0), "nut: no stage of it is turned by hand; tell the wrench"),
        (
            "bolt",
            HAND._replace(wrench="W-1", shown="50 N·m"),
            "bolt: a wrench was told, and that it was turned by hand",
        ),
    ],
)
def test_nothing_else_is_turned_by_hand(bolts: Workshop, key: str, told: Tighten, expected: str) -> None:
    """A torque is reached by a wrench."""
    with pytest.raises(Refused) as caught:
        tighten(bolts, "1", key, told, BY)

    assert str(caught.value).startswith(expected)
