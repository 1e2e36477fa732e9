"""One subject has one shape: what an address gives is what the command line prints with `--json`."""

import json
import os
import subprocess
import sys
from collections.abc import Callable
from contextlib import ExitStack
from datetime import datetime
from pathlib import Path
from typing import Any

from torqueaudit.workshop.opening import now

SCRIPT = Path(sys.executable).with_name("torqueaudit")
# What is the same by whatever clock; the rest changes by the second at which it is asked.
SAME = {
    "job list": "jobs?as=json",
    "wrench list": "wrenches?as=json",
    "person list": "people?as=json",
    "procedure list": "procedures?as=json",
    "device list": "devices?as=json",
    "settings show": "office/settings?as=json",
    "wrench show W-1": "w/W-1?as=json",
    "vehicle show V-1": "vehicle/V-1?as=json",
    "today": "today?as=json",
}
MOMENTS = {"asked_at", "last_seen"}


def told(text: str) -> Any:
    """What was told, without the moment at which it was asked for."""
    content = json.loads(text)
    for each in content if isinstance(content, list) else [content]:
        for moment in MOMENTS & each.keys():
            del each[moment]
    return content


def test_an_address_gives_what_the_command_line_prints(
    book: Path,
    yard: Any,
    clock: list[datetime],
    signed_in: Callable[[str], dict[str, str]],
    listen: Callable[..., str],
    get: Callable[..., Any],
    procedures: Path,
) -> None:
    """By the clock of this machine, in two processes."""
    yard.open(procedures / "rear-wheel.toml")
    clock[0] = now()
    foreman, surroundings = signed_in("P-1"), {**os.environ, "TORQUEAUDIT_BOOK": str(book)}
    with ExitStack() as until:
        served = listen(until, book, now)
        for words, path in SAME.items():
            printed = subprocess.run(
                [SCRIPT, *words.split(), "--json"], check=True, env=surroundings, capture_output=True, text=True
            )
            given = get(f"{served}{path}", foreman)
            assert told(printed.stdout) == told(given.text), words
