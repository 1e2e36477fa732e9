"""Hostile requests: refused in words, nothing of the inside told, and the server lives."""

from collections.abc import Callable
from pathlib import Path

import pytest

from counted import PROOF, figures_of

REQUESTS = 100_000 if PROOF else 1500
SEED = 13


@pytest.mark.proof
def test_no_request_breaks_the_server(begun: Path, record_property: Callable[[str, object], None]) -> None:
    """No 500, no traceback in an answer or a log, one answer at most to one request, and pages open afterwards."""
    figures = figures_of("hostile.py", begun, REQUESTS, SEED)
    record_property("figures", figures)

    assert (REQUESTS, 0, "", "", True) == tuple(
        figures[key] for key in ("requests", "faults", "first", "errors", "lives")
    )
    assert {"200", "303", "400", "404", "405", "411", "415", "422", "501"} <= set(figures["answers"])


def test_a_broken_server_is_found(begun: Path) -> None:
    """The same requests meet the pages; here a clock that does not work."""
    figures = figures_of("hostile.py", begun, 300, SEED, "broken")

    assert figures["faults"] > 5
    assert "answered by [500]" == figures["first"][0]
    assert "Traceback" in figures["errors"]
    assert not figures["lives"]
