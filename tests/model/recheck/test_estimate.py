"""How far a vehicle has run since it left, by its own history."""

from datetime import UTC, datetime, timedelta

import pytest

from torqueaudit.model.recheck.estimate import per_day_of

LEFT = datetime(2031, 4, 2, 12, tzinfo=UTC)


def read(*told: tuple[int, int]) -> list[tuple[datetime, int]]:
    """What was read so many days before it left."""
    return [(LEFT - timedelta(days=days), metres) for days, metres in told]


@pytest.mark.parametrize(
    ("before", "expected"),
    [
        (read((100, 11_000_000)), 10_000),  # 1000 km in 100 days
        (read((28, 11_720_000)), 10_000),
        (read((27, 11_720_000)), None),  # less than four weeks tell one tour
        (read((100, 11_000_000), (2, 11_999_000)), 10_000),
        (read((366, 11_634_000)), 1_000),
        (read((367, 1_000_000), (100, 11_000_000)), 10_000),  # another season is left out
        (read((367, 1_000_000)), None),
        (read((100, 12_000_000)), None),  # it stood still
        (read((100, 12_500_000)), None),  # it was put right by somebody who was sure
        ([], None),
    ],
)
def test_what_it_runs_a_day_is_known_of_two_readings_some_weeks_apart(
    before: list[tuple[datetime, int]], expected: int | None
) -> None:
    """Nothing is made up where there are none. It leaves at 12000 km."""
    assert expected == per_day_of(before, LEFT, 12_000_000)
