"""Numbers of people, vehicles and wrenches: each is given once, also where two enter one at the same moment."""

from collections.abc import Mapping
from typing import Any

import pytest

from torqueaudit.model.act import Say
from torqueaudit.testing import Clock
from torqueaudit.workshop.door.attempt import Attempt
from torqueaudit.workshop.door.numbers import enter
from torqueaudit.workshop.door.workshop import Workshop
from torqueaudit.workshop.opening import open_workshop
from torqueaudit.workshop.vehicles.vehicle import add_vehicle


@pytest.mark.usefixtures("book_file")
def test_whoever_enters_another_one_at_the_same_moment_gets_the_number_behind_it(workshop: Workshop) -> None:
    """Nobody is sent away, and what is known of each is known of that one."""
    tried: list[str] = []

    def meanwhile(_: Attempt) -> Mapping[str, Any]:
        if not tried:
            with open_workshop(workshop.book.path, clock=Clock(), plugins=workshop.plugins) as other:
                tried.append(add_vehicle(other, "bike-8", "Heron 250", None, {"plate": "YD 8"}, Say("P-2")))
        return {}

    said = {"tag": "bike-9", "model": "Heron 250"}
    number = enter(workshop, "vehicle", "V", said, {"plate": "YD 9"}, Say("P-1"), meanwhile)

    (other_number,) = tried
    assert int(number[2:]) == int(other_number[2:]) + 1
    expected = {f"vehicle/{other_number}": "YD 8", f"vehicle/{number}": "YD 9"}
    assert expected.items() <= workshop.book.known_by("plate").items()
