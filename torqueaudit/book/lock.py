"""A folder, or a file, that one program at a time holds, so that two do not do the same there."""

import os
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

if sys.platform != "win32":
    import fcntl


@contextmanager
def held(place: Path, *, wait: bool = False) -> Iterator[bool | None]:
    """Whether this program alone holds a place for the block; None where nobody can tell, as on Windows.

    With `wait` other programs are waited for. Raises OSError where the place is not there; with `wait` also where its
    disk knows no locks.
    """
    if sys.platform == "win32":
        yield None
        return
    opened = os.open(place, os.O_RDONLY)
    try:
        yield _is_locked(opened, wait=wait)
    finally:
        os.close(opened)


def _is_locked(opened: int, *, wait: bool) -> bool | None:
    try:
        fcntl.flock(opened, fcntl.LOCK_EX if wait else fcntl.LOCK_EX | fcntl.LOCK_NB)
    except BlockingIOError:
        return False
    except OSError:
        if wait:
            raise
        return None
    return True
