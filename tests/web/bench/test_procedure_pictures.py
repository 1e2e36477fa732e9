"""Pictures of a procedure at the bench: loaded apart from the page, each in its time, and kept by the browser."""

import re
from hashlib import sha256
from io import BytesIO
from pathlib import Path
from typing import Any

import pytest
from PIL import Image

from torqueaudit.book.places import photos_of
from torqueaudit.testing import procedure_head

from .phone import LetIn

WORK = """
[[work]]
step = "stand"
name = "motorcycle secured"
says = "Tie it down."
picture = "stand.jpg"
picture_says = 'Straps at the "lower" fork <leg>.'

[[work]]
step = "cover"
name = "cover off"
says = "Three screws."
picture = "cover.png"
picture_says = "Where the screws are."

[[work]]
tighten = "nut"
name = "axle nut"
torque = "100 N·m"
tolerance = "10 %"
holds = "wheel"
source = "manual"
page = "1"
picture = "cover.png"
picture_says = "The nut, from the right."
"""
IMAGE = re.compile(r'<img src="(?:\.\./)*([^"]+)" alt="([^"]*)" width="(\d+)" height="(\d+)" loading="lazy">')


@pytest.fixture
def phone(let_in: LetIn, yard: Any, tmp_path: Path) -> Any:
    """Signed in, with a job by a procedure that has pictures."""
    Image.new("RGB", (800, 400), (20, 90, 160)).save(tmp_path / "stand.jpg")
    Image.new("RGB", (300, 900), (200, 190, 40)).save(tmp_path / "cover.png")
    (tmp_path / "shown.toml").write_text(procedure_head("shown") + WORK, encoding="utf-8")
    yard.open(tmp_path / "shown.toml")
    return let_in().sign_in("P-2")


def images(phone: Any, path: str) -> list[tuple[str, ...]]:
    """Each picture of a page: its address, its words, its sides."""
    return IMAGE.findall(phone.open(path).page)


def test_a_step_shows_its_picture_and_those_of_the_steps_behind_it(phone: Any) -> None:
    """Each below its own words, with its sides, so that nothing moves when it comes; quotation marks do no harm."""
    (stand, words, *sides), (cover, *_) = images(phone, "job/1/step/stand")

    assert ("Straps at the &#34;lower&#34; fork &lt;leg&gt;.", ["320", "160"]) == (words, sides)
    assert phone.page.index("Tie it down") < phone.page.index(stand) < phone.page.index("Three screws")
    assert phone.page.index("Three screws") < phone.page.index(cover)
    assert (800, 400) == Image.open(BytesIO(phone.open(stand).body)).size
    assert (300, 900) == Image.open(BytesIO(phone.open(cover).body)).size


def test_beside_the_number_to_set_stands_a_small_one(phone: Any) -> None:
    """It opens the large one below it, which is not loaded before."""
    (small, words, *_), (large, *_) = images(phone, "job/1/tighten/nut")

    assert ("The nut, from the right.", f"{large}/small") == (words, small)
    assert (107, 320) == Image.open(BytesIO(phone.open(small).body)).size


def test_a_browser_keeps_it(phone: Any, yard: Any) -> None:
    """Its address holds its digest, and that of its procedure; nothing on the way keeps it."""
    ((address, *_), *_) = images(phone, "job/1/step/stand")
    phone.open(address)
    _, procedure, _, digest = address.split("/")

    assert (200, "image/jpeg") == (phone.status, phone.headers["Content-Type"])
    assert "private, max-age=31536000, immutable" == phone.headers["Cache-Control"]
    assert sha256(phone.body).hexdigest() == digest
    assert yard.workshop.job("1").record.digest == procedure


def test_it_is_for_staff_alone(phone: Any, yard: Any, let_in: LetIn) -> None:
    """A stranger is turned away, a device leads to the sign-in; the record behind the label shows none."""
    ((address, *_), *_) = images(phone, "job/1/step/stand")
    device, stranger = let_in("other"), let_in("lost")
    stranger.cookies.clear()

    for path in (address, f"{address}/small"):
        assert (403, 303) == (stranger.asked_for(path, "GET"), device.asked_for(path, "GET"))
    for page in ("", "/record"):
        assert "/picture/" not in stranger.open(f"r/{yard.workshop.record('1').token}{page}").page


def test_what_is_no_picture_of_the_procedure_is_not_given(phone: Any) -> None:
    """One that is not named, one of another procedure, and an address that would lead out of the folder."""
    ((address, *_), *_) = images(phone, "job/1/step/stand")
    _, procedure, _, digest = address.split("/")
    asked = (f"{procedure}/picture/{'0' * 64}", f"{'0' * 64}/picture/{digest}", f"{procedure}/picture/..%2fyard", "x")

    assert [404] * 4 == [phone.open(f"procedure/{each}").status for each in asked]
    assert "no-store" == phone.headers["Cache-Control"]


def test_a_lost_picture_leaves_its_words(phone: Any, book: Path) -> None:
    """The work goes on; a verification tells what is lost."""
    ((address, words, *_), *_) = images(phone, "job/1/step/stand")
    (photos_of(book) / f"{address.rpartition('/')[2]}.jpg").unlink()

    assert 404 == phone.open(address).status
    assert "no-store" == phone.headers["Cache-Control"]
    assert words in phone.open("job/1/step/stand").page
    assert "Recorded" in phone.tap("Done: all 2").text
