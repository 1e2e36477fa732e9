"""What installed distributions offer: their entry points, read once, by the format of the Python Packaging Authority.

`importlib.metadata` gives the same answer, and takes longer to import than most commands take for all else. So it is
asked only where not everything lies in folders, and for the version of a distribution. See decision 0076.
"""

import os
import re
import sys
from collections.abc import Iterator
from functools import cache, reduce
from importlib import import_module
from importlib.machinery import PathFinder
from pathlib import Path
from typing import TYPE_CHECKING, Any, NamedTuple, TypeAlias

if TYPE_CHECKING:
    from importlib.metadata import Distribution, EntryPoint

METADATA = (".dist-info", ".egg-info")  # the ends of the folders in which distributions say what they are


class Offer(NamedTuple):
    """An entry point that lies in a folder, with what is asked of an `importlib.metadata.EntryPoint`."""

    name: str
    value: str  # "package.module:object"
    group: str
    folder: Path  # what its distribution says of itself

    @property
    def module(self) -> str:
        """The module to import."""
        return self._parts()[0]

    @property
    def dist(self) -> "Distribution":
        """The distribution it came with; slow, so only a listing asks."""
        from importlib.metadata import Distribution

        return Distribution.at(self.folder)

    def load(self) -> Any:
        """What is offered, imported; raises whatever an import raises."""
        module, names = self._parts()
        return reduce(getattr, filter(None, names.split(".")), import_module(module))

    def _parts(self) -> tuple[str, str]:
        module, _, names = self.value.partition("[")[0].partition(":")  # a bracket holds extras, and nobody asks
        return module.strip(), names.strip()


Offered: TypeAlias = "Offer | EntryPoint"


@cache
def installed(group: str) -> "tuple[Offered, ...]":
    """The entry points of a group, as they were when the process first asked for it."""
    if _all_in_folders():
        return tuple(each for each in offers() if each.group == group)
    from importlib.metadata import entry_points

    return tuple(entry_points(group=group))


def _all_in_folders() -> bool:
    """Whether whatever is installed lies in folders that Python's own finder looks through."""
    others = [each for each in sys.meta_path if each is not PathFinder and hasattr(each, "find_distributions")]
    return not others and not any(place.endswith(".egg") or Path(place).is_file() for place in sys.path)


@cache
def offers() -> tuple[Offer, ...]:
    """Every entry point; of a distribution that is there twice, those of the one that Python would import."""
    folders: dict[str, Path] = {}
    for folder in _folders():
        folders.setdefault(_distribution(folder), folder)
    return tuple(offer for folder in folders.values() for offer in _declared(folder))


def _folders() -> Iterator[Path]:
    for place in sys.path:
        try:
            names = os.listdir(place or ".")  # noqa: PTH208  # a path for each of hundreds would take longer
        except OSError:  # Python lists some places that need not be there
            continue
        yield from (Path(place, name) for name in names if name.lower().endswith(METADATA))


def _distribution(folder: Path) -> str:
    """The name of a distribution, however it is spelled."""
    return re.sub(r"[-_.]+", "_", folder.stem.partition("-")[0]).lower()


def _declared(folder: Path) -> Iterator[Offer]:
    try:
        text = (folder / "entry_points.txt").read_text(encoding="utf-8")
    except OSError:  # most distributions offer nothing
        return
    group = ""
    for line in map(str.strip, text.splitlines()):
        if line.startswith("[") and line.endswith("]"):
            group = line.strip("[]")
        elif line and not line.startswith("#"):
            name, _, value = line.partition("=")
            yield Offer(name.strip(), value.strip(), group, folder)
