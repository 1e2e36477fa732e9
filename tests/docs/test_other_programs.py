"""The program of docs/other-programs.md is run as it stands, against a server, twice."""

import json
import os
import re
import subprocess
import sys
import threading
from contextlib import ExitStack
from pathlib import Path
from random import Random

from torqueaudit.model.act import Say
from torqueaudit.model.register.programs import ProgramRole
from torqueaudit.testing import play
from torqueaudit.web.app import create_app
from torqueaudit.web.gate import BOUNDS
from torqueaudit.web.server import PLAINLY, address_of, listening, stop
from torqueaudit.workshop.door.workshop import Workshop
from torqueaudit.workshop.signing.programs import let_in

TEXT = (Path(__file__).parents[2] / "docs" / "other-programs.md").read_text(encoding="utf-8")
MOST_LINES = 24
LATER = """
2031-04-02 10:05 rear-axle-nut 108 N·m with W-1 by P-2
2031-04-02 11:00 job 2 opened axle on V-2 by P-2
"""


def test_the_program_follows_what_happens(workshop: Workshop, book_file: Path, tmp_path: Path) -> None:
    """The first time it reads everything; the second time what is new alone."""
    (program,) = re.findall(r"```python\n(.*?)```", TEXT, re.DOTALL)
    given = let_in(workshop, Say("P-1"), "accounts", ProgramRole.READS, workshop.today())
    play(workshop, "2031-04-02 10:00 job 1 opened axle on V-1 by P-2")
    script, kept = tmp_path / "follow.py", tmp_path / "jobs.json"
    script.write_text(program, encoding="utf-8")
    with ExitStack() as until:
        app = until.enter_context(create_app(book_file, workshop.clock, Random(3)))
        server = until.enter_context(listening(app, "127.0.0.1", 0, BOUNDS, PLAINLY))
        thread = threading.Thread(target=server.run)
        thread.start()
        until.callback(thread.join)
        until.callback(stop, server)

        def run() -> dict[str, object]:
            surroundings = {**os.environ, "WORKSHOP_KEY": given.key}
            subprocess.run([sys.executable, script, address_of(server), kept], check=True, env=surroundings, timeout=60)
            return dict(json.loads(kept.read_text(encoding="utf-8")))

        first = run()
        play(
            workshop,
            "2031-04-02 10:05 rear-axle-nut 108 N·m with W-1 by P-2\n2031-04-02 11:00 job 2 opened axle on V-2 by P-2",
        )
        second = run()

    assert len([line for line in program.splitlines() if line.strip()]) <= MOST_LINES
    assert {"1": {"state": "open", "re-check": None}} == first["jobs"]
    assert ["1", "2"] == sorted(second["jobs"])  # type: ignore[call-overload]  # by what the program keeps
    assert workshop.book.head().sequence == second["last"]
