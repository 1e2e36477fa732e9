"""A photo in a real browser: seen through the fields that lie over it, and black where somebody tapped."""

from collections.abc import Callable
from io import BytesIO
from pathlib import Path
from typing import Any

import pytest
from PIL import Image
from playwright.sync_api import expect

from .device import Device
from .looks import faults_of

pytestmark = pytest.mark.proof
GREEN, BLACK = (30, 180, 60), (0, 0, 0)
TARGET = 48  # pixels that a finger hits


def seen(phone: Device, number: int) -> tuple[int, ...]:
    """The colour in the middle of a field, as the screen shows it."""
    field = phone.page.locator(".fields input").nth(number)
    colour = Image.open(BytesIO(field.screenshot())).convert("RGB").getpixel((20, 20))
    assert isinstance(colour, tuple)
    return tuple(round(level / 10) * 10 for level in colour)


def test_a_photo_is_seen_through_its_fields(
    signed_in: Callable[..., Device], yard: Any, procedures: Path, tmp_path: Path
) -> None:
    """Each field is as large as a finger, shows what is below it, and what becomes of it once it is tapped."""
    yard.work(yard.open(procedures / "final-drive.toml"))
    Image.new("RGB", (3000, 4000), GREEN).save(tmp_path / "mark.jpg")
    phone = signed_in("P-2")
    phone.open("job/1/photograph/rear-axle-nut")
    assert [] == faults_of(phone, "photograph")
    phone.open("job/1/mark/rear-axle-nut?look=1")
    phone.page.set_input_files("#photo", tmp_path / "mark.jpg")
    phone.page.get_by_role("button", name="Look at the photo").click()
    fields = phone.page.locator(".fields input")
    fields.nth(47).wait_for()
    phone.page.wait_for_load_state("networkidle")
    boxes = [box for each in fields.all() if (box := each.bounding_box())]

    assert [] == faults_of(phone, "photo-looked-at")
    assert 48 == len(boxes)
    assert min(min(box["width"], box["height"]) for box in boxes) >= TARGET
    assert GREEN == seen(phone, 7)
    fields.nth(7).check()
    assert (BLACK, GREEN) == (seen(phone, 7), seen(phone, 8))
    phone.page.get_by_role("button", name="Keep it").click()
    phone.page.get_by_text("of rear axle nut kept").wait_for()
    (entry,) = (each for each in yard.workshop.book.entries("job/1") if each.kind == "photographed.1")
    kept = Image.open(BytesIO((yard.workshop.book.photos / f"{entry.said['digest']}.jpg").read_bytes()))

    assert BLACK == kept.getpixel((int(1920 * 1.5 / 6), int(2560 * 1.5 / 8)))
    phone.open("job/1/work")
    phone.page.wait_for_load_state("networkidle")
    assert [] == faults_of(phone, "photos-of-a-job")
    assert phone.page.evaluate("[...document.images].every(image => image.naturalWidth === 240)")
    phone.sign_in("P-1").open(f"job/1/photos/{entry.said['digest']}")
    phone.unfold("Erase this photo")
    phone.page.wait_for_load_state("networkidle")
    assert [] == faults_of(phone, "photo")


def test_a_lot_that_was_read_stays_in_its_field_beside_what_was_typed(
    signed_in: Callable[..., Device], yard: Any, procedures: Path, tmp_path: Path, photo_of: Callable[..., bytes]
) -> None:
    """What was typed before comes back with the page, but not over the lot."""
    yard.open(procedures / "final-drive.toml")
    (tmp_path / "packet.jpg").write_bytes(photo_of("LOT 31-0457"))
    phone = signed_in("P-2").open("job/1/fit/rivet-link")
    lot, size = (phone.page.locator(f'[name="{each}"]') for each in ("lot", "with.size"))
    size.fill("525")
    lot.fill("wrong")
    phone.unfold("Read the lot from its code")
    assert [] == faults_of(phone, "part-code")
    phone.page.set_input_files("#code", tmp_path / "packet.jpg")
    phone.page.get_by_role("button", name="Read the code").click()
    phone.page.wait_for_url("**/job/1/fit/rivet-link?lot=*")

    expect(size).to_have_value("525")
    assert "LOT 31-0457" == lot.input_value()
