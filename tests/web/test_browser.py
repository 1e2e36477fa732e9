"""A real browser on a phone's screen: the card fits, and its style and drawings pass the page's own policy."""

import subprocess
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from PIL import Image

from chromium import CHROMIUM
from torqueaudit.model.job.facts import MarkState

if TYPE_CHECKING:
    from tests.web.conftest import Yard

ALONE = (
    "--headless",
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--hide-scrollbars",
    "--force-device-scale-factor=1",
)
WIDE, HIGH = 390, 844
BLACK, WHITE, PAINT, TAG = (0, 0, 0), (255, 255, 255), (204, 51, 0), (242, 223, 166)

Shoot = Callable[..., Image.Image]


@pytest.fixture
def shoot(tmp_path: Path) -> Shoot:
    """Take a picture of a page as a phone shows it."""

    def shoot(address: str, high: int = HIGH) -> Image.Image:
        picture = tmp_path / "page.png"
        profile = f"--user-data-dir={tmp_path / 'profile'}"
        size = f"--window-size={WIDE},{high}"
        command = [CHROMIUM, *ALONE, profile, size, f"--screenshot={picture}", address]
        subprocess.run(command, check=True, capture_output=True, timeout=60)
        with Image.open(picture) as taken:
            return taken.convert("RGB")

    return shoot


def colours(picture: Image.Image, box: tuple[int, int, int, int]) -> dict[object, int]:
    """How many pixels of each colour lie in a box."""
    part = picture.crop(box)
    return {colour: count for count, colour in part.getcolors(part.width * part.height) or []}


def test_the_card_fits_a_phone(live: str, yard: "Yard", left: str, shoot: Shoot) -> None:
    """Black frame at both sides with paper outside it, the tag's colour at the top, painted lines below."""
    yard.later(days=20)
    yard.mark(left, "rear-axle-nut", MarkState.DISTURBED)

    picture = shoot(f"{live}R/{yard.token(left).upper()}/RECORD", 2400)

    assert (WIDE, 2400) == picture.size
    assert {WHITE: 6 * 2000} == colours(picture, (0, 200, 6, 2200))
    assert {WHITE: 6 * 2000} == colours(picture, (WIDE - 6, 200, WIDE, 2200))
    assert {BLACK: 2000} == colours(picture, (WIDE - 12, 200, WIDE - 11, 2200))
    assert colours(picture, (0, 0, WIDE, 140))[TAG] > WIDE * 140 / 3
    assert colours(picture, (0, 600, WIDE, 2400))[PAINT] > 2000


def test_the_first_screen_says_state_and_what_is_due(live: str, yard: "Yard", left: str, shoot: Shoot) -> None:
    """Late, so a black band lies within the first screen: state by shape before colour."""
    in_time = shoot(f"{live}r/{yard.token(left)}/record")
    yard.later(days=30)
    late = shoot(f"{live}r/{yard.token(left)}/record")

    def longest(picture: Image.Image) -> int:
        """The most rows in which the middle of the card is nearly all black, one after another."""
        rows = (colours(picture, (24, row, WIDE - 24, row + 1)) for row in range(HIGH))
        dark = [row.get(BLACK, 0) > (WIDE - 48) * 0.6 for row in rows]
        return max(len(run) for run in "".join("x" if row else " " for row in dark).split())

    assert longest(in_time) < 6
    assert longest(late) > 12


def test_a_page_for_an_unknown_token_offers_the_form(live: str, shoot: Shoot) -> None:
    """The black button is on the first screen."""
    picture = shoot(f"{live}r/wrong")

    assert colours(picture, (30, 200, WIDE - 30, HIGH))[BLACK] > 8000
