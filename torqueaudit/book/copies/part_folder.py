"""A folder beside a place, in which that is made which is going to lie there."""

import glob
import shutil
import tempfile
from collections.abc import Iterator
from contextlib import ExitStack, contextmanager, suppress
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
            _take_away(left)
    with ExitStack() as stack:
        folder = _begun(place, stack)
        try:
            yield folder
        finally:
            shutil.rmtree(folder, ignore_errors=True)


def _take_away(left: Path) -> None:
    with suppress(FileNotFoundError), held(left) as alone:  # another run may be quicker
        if alone:
            shutil.rmtree(left, ignore_errors=True)


def _begun(place: Path, stack: ExitStack) -> Path:
    """A new folder, held until the stack ends.

    Another run that looks around between the two takes it for one that is left, and takes it away: then one more is
    made.
    """
    while True:
        folder = Path(tempfile.mkdtemp(prefix=f".{place.name}.", suffix=".part", dir=place.parent))
        with suppress(FileNotFoundError), ExitStack() as own:
            is_alone = own.enter_context(held(folder))
            if is_alone is not False and folder.exists():
                stack.push(own.pop_all())
                return folder
