"""What distributions offer is read by our own hand; the reference is `importlib.metadata`, Python's own reader.

The format is the entry points specification of the Python Packaging Authority
(packaging.python.org/en/latest/specifications/entry-points).
"""

import sys
import zipfile
from collections.abc import Callable, Iterable, Iterator
from importlib.metadata import Distribution, entry_points
from pathlib import Path

import pytest

from torqueaudit import installed

ODD = """
# a remark

[torqueaudit]
  spaced   =   rules.of.mine : Kinds.first  [extra, more]
plain=rules
equals = rules:a = b

[ torqueaudit.commands ]
[torqueaudit.commands]
; = odd
# hidden = rules
shown = rules:shown
"""
Lay = Callable[..., Path]


@pytest.fixture
def lay(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Lay:
    """Puts a distribution into a place that Python looks through before all others, as pip would lay it down."""

    def laid(folder: str, text: str, place: str = "first") -> Path:
        information = tmp_path / place / folder
        information.mkdir(parents=True)
        name = folder.partition("-")[0]
        (information / "METADATA").write_text(f"Metadata-Version: 2.1\nName: {name}\nVersion: 1.2\n", encoding="utf-8")
        (information / "entry_points.txt").write_text(text, encoding="utf-8")
        if str(tmp_path / place) not in sys.path:
            monkeypatch.syspath_prepend(tmp_path / place)
        return information

    return laid


@pytest.fixture(autouse=True)
def asked_for_the_first_time() -> Iterator[None]:
    """Each test is like a process that has asked for nothing yet, and leaves nothing for the next."""
    for asked in (installed.installed, installed.offers):
        asked.cache_clear()
    yield
    for asked in (installed.installed, installed.offers):
        asked.cache_clear()


def read_by_python() -> dict[str, list[tuple[str, str]]]:
    """Every group with its names and values, as `importlib.metadata` gives them."""
    groups = entry_points().groups
    return {group: sorted((each.name, each.value) for each in entry_points(group=group)) for group in groups}


def read_here() -> dict[str, list[tuple[str, str]]]:
    """The same groups by our own reader."""
    groups = entry_points().groups
    return {group: sorted((each.name, each.value) for each in installed.installed(group)) for group in groups}


def test_what_is_installed_here_is_read_as_python_reads_it() -> None:
    """Every group of every distribution that these tests run with."""
    actual = read_here()

    assert "torqueaudit" in actual
    assert read_by_python() == actual


def test_remarks_spaces_and_odd_lines_are_read_as_python_reads_them(lay: Lay) -> None:
    """A file written by hand."""
    lay("odd-1.2.dist-info", ODD)
    actual = read_here()

    assert ("shown", "rules:shown") in actual["torqueaudit.commands"]
    assert read_by_python() == actual


def test_of_a_distribution_that_is_there_twice_the_first_place_counts(lay: Lay) -> None:
    """As Python would import it; the name counts however it is spelled."""
    lay("Two_Wheels.plain-1.0.dist-info", "[torqueaudit]\nolder = two_wheels\n", "second")
    lay("two.wheels_Plain-1.2.dist-info", "[torqueaudit]\nnewer = two_wheels\n", "first")
    actual = read_here()

    assert ("newer", "two_wheels") in actual["torqueaudit"]
    assert ("older", "two_wheels") not in actual["torqueaudit"]
    assert read_by_python() == actual


def test_an_older_form_of_metadata_is_read_too(lay: Lay) -> None:
    """`.egg-info`, as it lies beside sources that are installed where they stand."""
    lay("Older.egg-info", "[torqueaudit]\nolder = older\n")
    actual = read_here()

    assert ("older", "older") in actual["torqueaudit"]
    assert read_by_python() == actual


def test_a_distribution_that_lies_in_an_archive_is_found(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Then Python's own reader answers for all of them."""
    archive = tmp_path / "packed.whl"
    with zipfile.ZipFile(archive, "w") as packed:
        packed.writestr("packed-1.0.dist-info/METADATA", "Metadata-Version: 2.1\nName: packed\nVersion: 1.0\n")
        packed.writestr("packed-1.0.dist-info/entry_points.txt", "[torqueaudit]\npacked = packed\n")
    monkeypatch.syspath_prepend(archive)
    actual = read_here()

    assert ("packed", "packed") in actual["torqueaudit"]
    assert read_by_python() == actual


class Elsewhere:
    """A finder as a program has one that keeps what it installs in a way of its own."""

    def __init__(self, information: Path) -> None:
        self.information = information

    def find_spec(self, *_: object) -> None:
        """It finds no module."""

    def find_distributions(self, context: object = None) -> Iterable[Distribution]:
        """The one distribution that it keeps."""
        del context
        return [Distribution.at(self.information)]


def test_a_distribution_that_only_another_finder_knows_is_found(lay: Lay, monkeypatch: pytest.MonkeyPatch) -> None:
    """Then Python's own reader answers for all of them, as it asks every finder."""
    information = lay("kept-1.0.dist-info", "[torqueaudit]\nkept = kept\n")
    monkeypatch.setattr(sys, "path", [place for place in sys.path if place != str(information.parent)])
    monkeypatch.setattr(sys, "meta_path", [*sys.meta_path, Elsewhere(information)])
    actual = read_here()

    assert ("kept", "kept") in actual["torqueaudit"]
    assert read_by_python() == actual


def test_a_place_of_python_that_is_not_there_is_passed_by(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Python lists such places by itself."""
    monkeypatch.syspath_prepend(tmp_path / "nowhere")

    assert read_by_python() == read_here()


@pytest.mark.parametrize(
    ("value", "module", "name"),
    [
        ("pathlib", "pathlib", None),
        ("pathlib:Path", "pathlib", "Path"),
        ("pathlib : Path.joinpath [extra]", "pathlib", "joinpath"),
        ("os.path", "os.path", None),
    ],
)
def test_an_offer_is_loaded_as_python_loads_it(lay: Lay, value: str, module: str, name: str | None) -> None:
    """A module, or something in it; behind it stand extras, which nobody uses any more."""
    lay("loaded-1.2.dist-info", f"[torqueaudit.try]\nloaded = {value}\n")
    (by_python,) = entry_points(group="torqueaudit.try")
    (offer,) = installed.installed("torqueaudit.try")

    assert isinstance(offer, installed.Offer)
    assert (module, name) == (offer.module, getattr(offer.load(), "__name__", None) if name else None)
    assert by_python.load() is offer.load()


def test_an_offer_knows_its_distribution(lay: Lay) -> None:
    """`torqueaudit plugins` shows its version."""
    lay("known-1.2.dist-info", "[torqueaudit.try]\nknown = known\n")
    (offer,) = installed.installed("torqueaudit.try")

    assert offer.dist
    assert ("known", "1.2") == (offer.dist.name, offer.dist.version)
