"""Opens a book as another program would, and prints what is wrong with it, "sound", or why it does not open."""

import random
import sys
from datetime import UTC, datetime
from pathlib import Path

from torqueaudit.book.book import Book
from torqueaudit.book.errors import BookError


def main(path: Path) -> str:
    """One line."""
    try:
        with Book.open(path, lambda: datetime.now(UTC), random.Random(1)) as book:
            return "; ".join(book.verify()) or "sound"
    except BookError as error:
        return str(error)


if __name__ == "__main__":
    print(main(Path(sys.argv[1])))  # noqa: T201 the test reads it
