"""Hostile requests: refused in words, nothing of the inside told, and the server lives."""

import json
import os
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

HERE = Path(__file__).parent
REQUESTS = 100_000 if "TORQUEAUDIT_PROOF" in os.environ else 1500


def sent(book: Path, requests: int, *how: str) -> dict[str, Any]:
    """What became of so many requests."""
    command = [sys.executable, str(HERE / "hostile.py"), str(book), str(requests), "13", *how]
    done = subprocess.run(command, capture_output=True, text=True, check=False)
    assert (0, "") == (done.returncode, done.stderr)
    figures: dict[str, Any] = json.loads(done.stdout)
    return figures


@pytest.mark.proof
def test_no_request_breaks_the_server(begun: Path, record_property: Callable[[str, object], None]) -> None:
    """No 500, no traceback in an answer or a log, one answer at most to one request, and pages open afterwards."""
    figures = sent(begun, REQUESTS)
    record_property("figures", figures)

    assert (REQUESTS, 0, "", "", True) == tuple(
        figures[key] for key in ("requests", "faults", "first", "errors", "lives")
    )
    assert {"200", "303", "400", "404", "405", "411", "415", "422", "501"} <= set(figures["answers"])


def test_a_broken_server_is_found(begun: Path) -> None:
    """The same requests meet the pages; here a clock that does not work."""
    figures = sent(begun, 300, "broken")

    assert figures["faults"] > 5
    assert "answered by [500]" == figures["first"][0]
    assert "Traceback" in figures["errors"]
    assert not figures["lives"]
