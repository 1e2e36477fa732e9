"""Puts a backup back, and dies at one of the calls that make, move or remove a file.

    python killed_restore.py BOOK BACKUP CALL

Prints how many such calls there were when it is through before that.
"""

import os
import sys
from datetime import UTC, datetime
from pathlib import Path

from torqueaudit.model.act import Say
from torqueaudit.workshop.restore import Shorter, restore

CALLS = {"os.rename", "os.remove", "os.rmdir", "os.mkdir", "shutil.copyfileobj"}
WRITTEN = os.O_WRONLY | os.O_RDWR


def main(book: Path, backup: Path, last: int) -> int:
    """Count, and die at the last."""
    count = 0

    def counted(event: str, told: tuple[object, ...]) -> None:
        nonlocal count
        opened = event == "open" and isinstance(told[2], int) and told[2] & WRITTEN
        if event in CALLS or opened:
            count += 1
            if count == last:
                os._exit(9)

    sys.addaudithook(counted)
    now = datetime(2031, 4, 3, 9, tzinfo=UTC)
    restore(book, backup, shorter=Shorter("the disk broke", lambda _: Say("P-1")), clock=lambda: now)
    return count


if __name__ == "__main__":
    print(main(Path(sys.argv[1]), Path(sys.argv[2]), int(sys.argv[3])))  # noqa: T201 the test reads it
