"""A backup for each day in one folder, of which the oldest are taken away."""

import re
import shutil
from datetime import date
from pathlib import Path

from torqueaudit.book.errors import BookError
from torqueaudit.book.places import folders_of

_DAY = "[0-9]{4}-[0-9]{2}-[0-9]{2}"


def place_of(book: Path, folder: Path, day: date) -> Path:
    """The file of a day's backup: "yard-2031-04-02.book"."""
    return folder / f"{book.stem}-{day}{book.suffix}"


def take_away(book: Path, made: Path, keep: int) -> list[Path]:
    """Take away the backups beside the one just `made` but for the newest, each with its folders; those that are gone.

    With the one just made `keep` of them stay, also where a clock that went wrong gave others a later day. Nothing is
    touched whose name is not that of a day's backup of this book. Raises BookError.
    """
    name = re.compile(rf"{re.escape(book.stem)}-{_DAY}{re.escape(book.suffix)}")
    others = sorted(each for each in made.parent.iterdir() if name.fullmatch(each.name) and each.name != made.name)
    gone = others[: max(0, len(others) - keep + 1)]
    for each in gone:
        try:
            for beside in folders_of(each):
                if beside.is_dir() and not beside.is_symlink():
                    shutil.rmtree(beside)
            each.unlink()
        except OSError as error:
            raise BookError(f"{each} is an old backup, and cannot be taken away: {error.strerror}.") from None
    return gone
