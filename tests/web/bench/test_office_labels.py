"""Labels from the office: of jobs, motorcycles, wrenches and people, decoded by a decoder that is not ours."""

from pathlib import Path
from typing import Any

import pytest

from torqueaudit.model.act import Say
from torqueaudit.model.wrench.acts import NewWrench
from torqueaudit.workshop.register.settings import settle
from torqueaudit.workshop.wrenches.wrench import add_wrench

from .test_labels import decoded

OPEN = "Open the PDF"


@pytest.fixture
def labels(desk: Any, yard: Any, procedures: Path) -> Any:
    """The page of labels, in a workshop with a job, two wrenches, and a telephone for the owner's tag."""
    yard.open(procedures / "front-wheel.toml")
    add_wrench(yard.workshop, NewWrench("setting", "small one", "2 N·m", "20 N·m"), Say("P-1"))
    settle(yard.workshop, {"telephone": "+99 555 0100"}, Say("P-1"))
    return desk.open("office").follow("Labels")


def file_of(desk: Any) -> bytes:
    """The PDF that was asked for, behind what is told before it."""
    if desk.headers["Content-Type"].startswith("text/html"):
        desk.follow(OPEN)
    assert (200, "application/pdf") == (desk.status, desk.headers["Content-Type"])
    return bytes(desk.body)


def test_the_labels_of_all_wrenches_are_one_file(labels: Any) -> None:
    """Chosen by a tick each."""
    form, button = labels.form_of("Print the label of the wrench")
    form.fields += [("wrench", "W-2"), ("wrench", "W-1")]
    labels.send(form, button, {"stock": "a4-3x8"})
    found = {each.upper() for each in decoded(file_of(labels))}
    assert {"HTTP://BENCH.EXAMPLE/W/W-1", "HTTP://BENCH.EXAMPLE/W/W-2"} == found


def test_a_motorcycle_stands_for_its_newest_job(labels: Any, yard: Any) -> None:
    """The label carries that job's token."""
    labels.tap("Print the job label", stock="a4-3x8", job="V-1")
    found = {each.upper() for each in decoded(file_of(labels))}
    assert {f"HTTP://BENCH.EXAMPLE/R/{yard.token('1')}".upper()} == found


def test_what_cannot_be_printed_is_said_and_stays_typed(labels: Any) -> None:
    """Nobody's label, a job that is none, a wrench among the jobs."""
    for job, says in (
        ("", "Say whose label"),
        ("77", "no such job"),
        ("W-1", "W-1 is a wrench's number"),
        ("V-9", "no such vehicle"),
    ):
        labels.open("office/labels").tap("Print the job label", stock="a4-3x8", job=job)
        assert (422, True) == (labels.status, says in labels.text), labels.text
        assert f'value="{job}"' in labels.page


def test_too_many_at_once_are_refused(labels: Any) -> None:
    """Before any is set."""
    labels.tap("Print the job label", stock="a4-3x8", job=" ".join(map(str, range(1, 62))))
    assert (422, True) == (labels.status, "61 labels: at most 60" in labels.text)
