"""Signing in, a step and a tightening by the keyboard alone."""

from collections.abc import Callable
from typing import Any

import pytest

from torqueaudit.model.act import Say
from torqueaudit.model.job.acts import Opening
from torqueaudit.workshop.jobs.job import open_job
from torqueaudit.workshop.judged.job_view import show_job
from torqueaudit.workshop.register.procedures import enter_procedure, read_against_source

from .device import DESK, Device
from .keys import Keyboard


@pytest.fixture
def job(yard: Any, procedures: Any) -> str:
    """A job that was just opened."""
    digest = enter_procedure(yard.workshop, procedures / "final-drive.toml", Say(yard.foreman))
    read_against_source(yard.workshop, digest, "", Say(yard.mechanic))
    return open_job(yard.workshop, Opening(yard.vehicle, digest, 12_000_000, ""), Say(yard.foreman))


def test_signing_in_a_step_and_a_tightening(let_in: Callable[..., Device], yard: Any, job: str) -> None:
    """Tab leads to each, Enter and the space bar tap it; what is folded up opens."""
    desk = let_in("desk", size=DESK)
    keys = Keyboard(desk.open(f"sign?next=job/{job}?read=1"))
    keys.reach("person").write("P-2").reach("pin").write("314159").press("Enter")
    keys.reach("Done").press("Space")
    assert "motorcycle secured: yes" in desk.text

    desk.open(f"job/{job}/tighten/caliper-carrier-bolt")
    keys.reach("W-1").press("Enter")
    keys.reach("Something else happened").page.keyboard.press("Enter")
    assert "Did not reach torque" in desk.text
    desk.open(f"job/{job}/tighten/caliper-carrier-bolt")
    keys.reach("Turned, then clicked, and the line painted").press("Enter")

    bolt = next(each for each in show_job(yard.workshop, job).fasteners if each.position == "caliper-carrier-bolt")
    assert ("tightened", "intact") == (bolt.state, bolt.mark.state)
