"""A folder beside a place, in which that is made which is going to lie there."""

import glob
import shutil
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from torqueaudit.book.lock import held


@contextmanager
def in_making(place: Path) -> Iterator[Path]:
    """A folder beside a place, for what is going to lie there; gone behind the block, unless it was given its name.

    What a killed run left of the same place is taken away, also when that run held nothing but the folder. One that
    is being made just now is left alone. Raises OSError.
    """
    place = place.absolute()
    for left in place.parent.glob(f"{glob.escape(f'.{place.name}.')}{'[a-z0-9_]' * 8}.part"):
        if left.is_dir():
            with held(left) as alone:
                if alone:
                    shutil.rmtree(left, ignore_errors=True)
    folder = Path(tempfile.mkdtemp(prefix=f".{place.name}.", suffix=".part", dir=place.parent))
    try:
        with held(folder):
            yield folder
    finally:
        shutil.rmtree(folder, ignore_errors=True)
