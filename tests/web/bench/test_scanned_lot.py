"""A part's lot read from the code on its packet: into the field of the part, and recorded by whoever looks at it."""

from collections.abc import Callable
from typing import Any

import pytest

from .phone import LetIn

PhotoOf = Callable[..., bytes]
TOLD = {"with.make and type": "as the chain", "with.size": "525", "with.type": "rivet"}


@pytest.fixture
def phone(let_in: LetIn, yard: Any, procedures: Any) -> Any:
    """Signed in, at a part of a job that is begun."""
    yard.open(procedures / "final-drive.toml")
    return let_in().sign_in("P-2").open("job/1/fit/rivet-link")


@pytest.mark.parametrize(
    ("code", "lot"),
    [
        ("LOT 31-0457", "LOT 31-0457"),
        ("KX-7\n  31-0457 ", "KX-7 31-0457"),  # lines of a code are one line of a lot
        ("10L310457/ä&lot=2#3?", "10L310457/ä&lot=2#3?"),
        ("http://parts.example/r/acdefhjkmnprtvwxy23", "http://parts.example/r/acdefhjkmnprtvwxy23"),
        ("x" * 80, "x" * 80),
    ],
)
def test_a_lot_is_read_from_its_code(phone: Any, yard: Any, photo_of: PhotoOf, code: str, lot: str) -> None:
    """It stands in the field, and nothing is recorded before the part is told."""
    before = yard.workshop.book.head()
    phone.send_photo("Read the code", photo_of(code))
    assert (200, before) == (phone.status, yard.workshop.book.head())
    phone.tap("Fitted as stated", **TOLD)

    assert lot == yard.workshop.record("1").fitted("rivet-link").lot


@pytest.mark.parametrize(
    ("code", "says"),
    [
        ("x" * 81, "The code holds 81 characters, and a lot has 1 to 80; type what matters of it."),
        ("HTTP://BENCH.EXAMPLE/W/W-1", "This is a label of this workshop and no code of a part"),
        ("LOT\u202e31", "Lot: sign 4 is U+202E"),
    ],
)
def test_what_is_no_lot_is_told(phone: Any, yard: Any, photo_of: PhotoOf, code: str, says: str) -> None:
    """In a sentence above the part, whose lot can be typed."""
    before = yard.workshop.book.head()
    phone.send_photo("Read the code", photo_of(code))

    assert (422, before) == (phone.status, yard.workshop.book.head())
    assert says.lower() in phone.text.lower()
    assert "Fitted as stated" in phone.text


def test_a_photo_without_a_code_is_told(phone: Any) -> None:
    """One that is none, and one that was not chosen."""
    phone.send_photo("Read the code", b"no photo at all")
    assert "This file is no photo that can be read" in phone.text
    phone.open("job/1/fit/rivet-link").send_photo("Read the code", b"")

    assert (422, True) == (phone.status, "No photo was sent" in phone.text)


def test_what_is_no_part_has_no_lot(phone: Any, photo_of: PhotoOf) -> None:
    """One sentence; the address is typed by nobody else than a program."""
    phone.page = phone.page.replace("lot/rivet-link", "lot/bike-secured")
    phone.send_photo("Read the code", photo_of("LOT 31-0457"))
    assert "is no part; go back to what comes next" in phone.text
