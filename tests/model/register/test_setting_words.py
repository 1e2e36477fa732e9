"""Settings in words: every one has its own, and none is told as a program writes it."""

from decimal import Decimal
from typing import Any

import pytest

from torqueaudit.model.register.bounds import NUMBERS
from torqueaudit.model.register.setting_words import WORDS, value_text
from torqueaudit.model.register.settings import Settings

BESIDE = {"demo"}  # chosen by nobody: a book is begun as one


def test_every_setting_has_its_words() -> None:
    """A new one fails here until somebody has said what it means and what a change of it changes."""
    assert set(Settings._fields) - BESIDE == set(WORDS)
    assert [] == [name for name, words in WORDS.items() if not words.means.endswith(".")]
    assert [] == [name for name, words in WORDS.items() if not words.changes.endswith(".")]


def test_each_kind_of_value_has_what_it_is_told_with() -> None:
    """A choice of two both its words, a number its unit, and whatever may be empty what that means."""
    lacking = []
    for name, words in WORDS.items():
        value = getattr(Settings(), name)
        if isinstance(value, bool):
            told = bool(words.yes and words.no)
        elif isinstance(value, int | Decimal):
            told = bool(words.unit and (NUMBERS[name].lowest > 0 or words.zero or words.unit == ":00"))
        else:
            told = bool(value or words.empty)
        lacking += [] if told else [name]

    assert [] == lacking


@pytest.mark.parametrize(
    ("name", "value", "expected"),
    [
        ("single_handed", False, "several people"),
        ("late_minutes", 720, "720 minutes"),
        ("own_tolerance_percent", Decimal("7.5"), "7.5 %"),
        ("guard_factor", Decimal(0), "anywhere inside its limits"),
        ("guard_factor", Decimal("0.5"), "0.5 times its uncertainty"),
        ("quiet_from", 0, "0:00"),
        ("telephone", "", "not chosen"),
        ("expected_plugins", (), "the workshop's own rules alone"),
        ("blocked_plugins", ("labels", "drive"), "labels, drive"),
        ("demo", True, "yes"),
    ],
)
def test_a_value_is_told_in_words(name: str, value: Any, expected: str) -> None:
    """One of each kind."""
    assert expected == value_text(name, value)
