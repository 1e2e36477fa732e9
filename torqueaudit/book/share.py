"""The process that has one share of a verification.

    python -m torqueaudit.book.share BOOK NTH OF HEAD

Prints that its share is sound, or nothing.
"""

import sys
from datetime import UTC, datetime
from pathlib import Path
from random import SystemRandom

from torqueaudit.book.book import Book
from torqueaudit.book.shares import share_of

LONGEST = 2.0  # seconds that it waits for a lock; whoever asks looks at everything itself then


def main(place: str, *share: str) -> None:
    """Look at one share."""
    has = share_of(*share)
    with Book.open(Path(place), lambda: datetime.now(UTC), SystemRandom(), wait=LONGEST) as book:
        if book.is_sound_in(has):
            print(has.says)  # noqa: T201 what it is asked


if __name__ == "__main__":
    main(*sys.argv[1:])
