"""Whether a file is its owner's alone, as one that holds a key, a PIN or a password has to be."""

import os
from pathlib import Path

_OTHERS = 0o077  # group and everybody, in any way


def others_may_read(file: int | Path) -> bool:
    """Whether others than its owner have any right to a file: one that is open, by its descriptor, or at a path.

    Ask for the open one, for another may come to lie at the path. On Windows nobody is told, so nobody is taken for
    another. Raises OSError.
    """
    return os.name != "nt" and bool(os.stat(file).st_mode & _OTHERS)  # noqa: PTH116  # a descriptor has no path
