"""A picture that a procedure shows of a piece of work, named in its text and kept beside the book by its digest."""

import re
from collections.abc import Callable
from typing import NamedTuple, TypeAlias

LONGEST_NAME = 100  # characters of a file's name
_NAME = re.compile(r"\w[\w .()+-]*\.(?:jpe?g|png)", re.IGNORECASE)


class Picture(NamedTuple):
    """A picture by the name of its file and by what it says to whoever cannot see it.

    `digest` and `small` are the SHA-256, in hexadecimal, of it and of the small one of it as they are kept; `width` and
    `height` are those of the small one in pixels.
    """

    file: str
    says: str
    digest: str
    small: str
    width: int
    height: int


# Gives the picture in a file that lies beside the procedure, without what it says. Raises ValueError with a sentence.
PictureIn: TypeAlias = Callable[[str], Picture]


def no_picture(name: str) -> Picture:
    """What is said of every picture where a text is read without the folder it lies in."""
    raise ValueError(f"“{name}” is not there, as this text was read without its folder")


def require_name(name: str) -> None:
    """Raise ValueError unless it is the name of a JPEG or PNG file alone, without any folder."""
    if "/" in name or "\\" in name:
        raise ValueError(f"“{name}” names a folder; put the picture beside the procedure, and write its name alone")
    if len(name) > LONGEST_NAME or not _NAME.fullmatch(name):
        says = f"letters, digits, spaces and . _ - + ( ), {LONGEST_NAME} at most, with .jpg, .jpeg or .png at its end"
        raise ValueError(f"“{name[:LONGEST_NAME]}” is no name of a picture; write {says}")
