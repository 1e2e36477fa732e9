import importlib
import json
import subprocess
import sys
import tomllib
from importlib.metadata import distribution
from pathlib import Path
from zipfile import ZipFile

import pytest

ROOT = Path(__file__).parent.parent
SOURCE_ROOTS = {
    "torqueaudit": ROOT,
    "torqueaudit_plugins": ROOT / "plugins",
    "torqueaudit_labels": ROOT / "labels",
}


@pytest.fixture(scope="module")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> ZipFile:
    """The wheel as the build backend makes it of this tree."""
    folder = tmp_path_factory.mktemp("wheel")
    build = [sys.executable, "-m", "hatchling", "build", "--target", "wheel", "--directory", str(folder)]
    subprocess.run(build, cwd=ROOT, check=True, capture_output=True)
    (path,) = folder.glob("*.whl")
    return ZipFile(path)


def home() -> Path:
    """The folder that the installed distribution says its packages are in: the tree's when it is editable (PEP 610)."""
    installed = distribution("torqueaudit")
    origin = json.loads(installed.read_text("direct_url.json") or "{}")
    if origin.get("dir_info", {}).get("editable"):
        return ROOT
    return Path(str(installed.locate_file(""))).resolve()


@pytest.mark.parametrize("package", SOURCE_ROOTS)
def test_a_package_is_imported_from_where_it_was_installed(package: str) -> None:
    """An installed wheel is what is tested, never the tree that happens to lie beside it."""
    place = home()
    expected = (SOURCE_ROOTS[package] if place == ROOT else place) / package / "__init__.py"
    actual = Path(str(importlib.import_module(package).__file__)).resolve()

    assert expected == actual


def test_the_wheel_holds_every_file_of_its_packages(wheel: ZipFile) -> None:
    """Stocks, templates, fonts and the schema travel with the code, and nothing else does."""
    expected = {
        path.relative_to(root).as_posix()
        for package, root in SOURCE_ROOTS.items()
        for path in (root / package).rglob("*")
        if path.is_file() and "__pycache__" not in path.parts
    }
    actual = {name for name in wheel.namelist() if ".dist-info/" not in name}

    assert expected == actual


@pytest.mark.parametrize(
    ("folder", "kind"),
    [
        ("torqueaudit/", "py.typed"),
        ("torqueaudit/book/", ".sql"),
        ("torqueaudit_labels/stocks/", ".toml"),
        ("torqueaudit_labels/fonts/", ".ttf"),
        ("torqueaudit_labels/fonts/", "LICENSE"),
        ("torqueaudit_labels/templates/", ""),
    ],
)
def test_the_wheel_holds_what_is_read_at_run_time(wheel: ZipFile, folder: str, kind: str) -> None:
    """What the program reads beside its code is in the wheel and not empty."""
    found = [name for name in wheel.namelist() if name.startswith(folder) and name.endswith(kind)]

    assert found


def test_every_declared_entry_point_loads() -> None:
    """No plugin and no command is announced that is not there; an installation older than the tree is told too."""
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    declared = {"console_scripts": project["scripts"], **project["entry-points"]}
    expected = {(group, name) for group, points in declared.items() for name in points}
    installed = distribution("torqueaudit").entry_points
    actual = {(point.group, point.name) for point in installed if point.load() is not None}

    assert expected == actual


def test_the_version_is_told_the_same_everywhere() -> None:
    """The package and its metadata name one version."""
    expected = distribution("torqueaudit").version
    actual = importlib.import_module("torqueaudit").__version__

    assert expected == actual


@pytest.mark.parametrize("licence", ["LICENSE", "labels/torqueaudit_labels/fonts/LICENSE"])
def test_the_wheel_carries_the_licences(wheel: ZipFile, licence: str) -> None:
    """The licence texts lie in the wheel as they lie in the tree (PEP 639)."""
    (name,) = (name for name in wheel.namelist() if name.endswith(f".dist-info/licenses/{licence}"))
    expected = (ROOT / licence).read_bytes()
    actual = wheel.read(name)

    assert expected
    assert expected == actual
