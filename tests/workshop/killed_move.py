"""Moves a book, and dies at one of the calls that make, move or remove a file.

    python killed_move.py PLACE TO CALL

Prints how many such calls there were when it is through before that.
"""

import os
import sys
from datetime import UTC, datetime
from random import Random

from torqueaudit.book.address import place_of
from torqueaudit.book.copies.moving import move

CALLS = {"os.rename", "os.remove", "os.rmdir", "os.mkdir", "shutil.copyfileobj"}
WRITTEN = os.O_WRONLY | os.O_RDWR


def main(place: str, to: str, last: int) -> int:
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
    move(place_of(place), place_of(to), lambda: datetime(2031, 4, 3, 9, tzinfo=UTC), Random(1))
    return count


if __name__ == "__main__":
    print(main(sys.argv[1], sys.argv[2], int(sys.argv[3])))  # noqa: T201 the test reads it
