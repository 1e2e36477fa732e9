"""Whoever guesses tokens waits; whoever has one does not."""

from collections.abc import Callable
from pathlib import Path
from random import Random
from typing import Any

from torqueaudit.model.register.token import new_token
from torqueaudit.web.by_token import AT_ONCE, MOST_A_SECOND
from torqueaudit.web.pace import Pace

MOST_TRIED = 600  # the limit is met once more are asked in a second than are let through


def test_a_million_guesses_take_longer_than_an_hour() -> None:
    """However many places they come from: all misses count together."""
    moment = [0.0]
    misses = Pace(MOST_A_SECOND, AT_ONCE, lambda: moment[0])
    answered = 0
    for _ in range(20_000):
        moment[0] += 0.001
        answered += misses.one_more()

    assert answered <= AT_ONCE + 20 * MOST_A_SECOND
    assert 1_000_000 / MOST_A_SECOND > 3600


def test_a_record_opens_while_somebody_guesses(live: str, get: Callable[..., Any], yard: Any, procedures: Path) -> None:
    """A token that a label carries is answered at once, a guess with 429 and when to try again."""
    token = yard.token(yard.open(procedures / "rear-wheel.toml"))
    guess, tried = new_token(Random(7)), 0
    while (late := get(f"{live}r/{guess}")).status == 404 and tried < MOST_TRIED:
        tried += 1

    assert (429, "10") == (late.status, late.headers["Retry-After"])
    assert "Too many tokens were tried" in late.text
    assert 200 == get(f"{live}r/{token}").status
