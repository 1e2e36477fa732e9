"""A begun book, and the programs of this folder run on a disk that is watched or fails, for what they count."""

import shutil
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

import acts
import disk
from counted import Count, Figures, figures_of
from torqueaudit.plugins import Plugins


@pytest.fixture(scope="session")
def library(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The disk that is watched or fails, to be loaded before the C library."""
    if sys.platform != "linux":
        pytest.skip("the dynamic linker of Linux puts the watched disk before a program")
    return disk.build(tmp_path_factory.mktemp("disk"))


@pytest.fixture
def begun(ready_made_book: Path, tmp_path: Path, installed_plugins: Plugins) -> Path:
    """A book with an open job, alone in a folder of its own."""
    book = tmp_path / "book" / "yard.book"
    book.parent.mkdir()
    shutil.copy(ready_made_book, book)
    acts.begin(book, installed_plugins)
    return book


@pytest.fixture
def count(library: Path, tmp_path: Path, record_property: Callable[[str, object], None]) -> Count:
    """`count("power.py", book, 30)`: the figures of a program on the disk, also with Python's own SQLite."""

    def counted(program: str, *words: object, own_sqlite: bool = False) -> Figures:
        around = disk.surroundings(library, own_sqlite=tmp_path if own_sqlite else None)
        figures = figures_of(program, *words, around=around)
        record_property("figures", f"{program}: {figures}")
        return figures

    return counted
