"""A plate is told on the telephone: why that motorcycle waits, what is permitted, its release, and its record."""

from collections.abc import Callable
from datetime import timedelta
from typing import TYPE_CHECKING, Any

import pytest
from pypdfium2 import PdfDocument

from torqueaudit.model.act import Say
from torqueaudit.model.procedure.procedure import Fastener, Measurement
from torqueaudit.workshop.jobs.steps_and_parts import do_step
from torqueaudit.workshop.judged.job_view import show_job

from .device import DESK, PHONE, Device
from .keys import Keyboard

if TYPE_CHECKING:
    from playwright.sync_api import ViewportSize

BASES = ("the wheel stood in its old place", "the gauge is away until Monday")


@pytest.fixture
def waits(yard: Any, procedures: Any) -> str:
    """A job that is done but for one measurement, and so waits for the foreman."""
    job: str = yard.open(procedures / "rear-wheel.toml")
    for item in yard.workshop.job(job).procedure.work:
        yard.later(minutes=4)
        if isinstance(item, Fastener):
            yard.fasten(job, item)
        elif not isinstance(item, Measurement):
            do_step(yard.workshop, job, item.key, "yes", "", Say(yard.mechanic))
    return job


@pytest.mark.parametrize("size", [PHONE, DESK], ids=["390", "1280"])
def test_from_the_plate_to_the_record_by_taps(
    let_in: Callable[..., Device], yard: Any, waits: str, size: "ViewportSize"
) -> None:
    """Each page leads to the next one, and nobody types an address."""
    desk = let_in("desk", size=size).sign_in(yard.foreman).open("today")
    desk.tap("Find", find="qx4 711")
    assert "V-1: red Kestrel Plate: QX 4711 Z" in desk.text
    desk.tap("V-1: red Kestrel")
    assert "Job 1: chain slack: not measured" in desk.text
    desk.tap("Go on").tap("Findings and release")
    assert "2 stops: no release yet" in desk.text
    until = (yard.workshop.today() + timedelta(days=9)).isoformat()
    for basis in BASES:
        desk.tap("Permit it in writing").tap("Permit it", basis=basis, limit="40 km, home", until=until)
        desk.tap("Findings and release")
    assert "No stop stands" in desk.text
    desk.tap("Release")

    assert is_told(record_of(desk))
    assert "released" == show_job(yard.workshop, waits).state


def test_from_the_plate_to_the_record_by_the_keyboard(let_in: Callable[..., Device], yard: Any, waits: str) -> None:
    """Tab leads to each, Enter opens and sends it; a day is typed as the browser asks for it."""
    desk = let_in("desk", size=DESK).sign_in(yard.foreman).open("today")
    keys = Keyboard(desk)
    keys.reach("find").write("qx4711").press("Enter")
    for way in ("V-1: red Kestrel", "Go on", "Findings and release"):
        keys.reach(way).press("Enter")
    until = yard.workshop.today() + timedelta(days=9)
    for basis in BASES:
        keys.reach("Permit it in writing").press("Enter")
        keys.reach("basis").write(basis).reach("limit").write("40 km, home").reach("until").write(f"{until:%m%d%Y}")
        keys.reach("Permit it").press("Enter")
        keys.reach("Findings and release").press("Enter")
    keys.reach("Release").press("Enter")

    assert is_told(record_of(desk))
    assert "released" == show_job(yard.workshop, waits).state


def record_of(desk: Device) -> str:
    """What the record on paper says to which the page leads."""
    paper = desk.page.request.get(desk.page.locator("a", has_text="Record on paper").first.evaluate("a => a.href"))
    pages = PdfDocument(paper.body())
    return " ".join(" ".join(page.get_textpage().get_text_range() for page in pages).split())


def is_told(record: str) -> bool:
    """Whether a record says that it was released, and in spite of what."""
    conceded = all(f"Conceded by P-1 until 2031-04-11: {basis}; limit: 40 km, home" in record for basis in BASES)
    return "RELEASED" in record and conceded
