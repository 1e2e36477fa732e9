import importlib
import json
import re
import subprocess
import sys
import tarfile
import tomllib
from importlib.metadata import distribution
from pathlib import Path
from zipfile import ZipFile

import pytest
from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

ROOT = Path(__file__).parent.parent
SOURCE_ROOTS = {
    "torqueaudit": ROOT,
    "torqueaudit_plugins": ROOT / "plugins",
    "torqueaudit_labels": ROOT / "labels",
}


# What must be at hand to build, install and test: folders whole, and single files.
TO_TEST = (
    *("torqueaudit", "plugins", "labels", "tests", "examples", "benchmarks", "scripts", "requirements", "docs", ".ci"),
    *("Makefile", "pyproject.toml", "README.md", "DEVELOPERS.md", "CHANGELOG.md", "LICENSE", ".gitignore"),
)
# One package of a file in requirements: its name and version, where it is for some only its marker, and its hashes.
PINNED = re.compile(r"^([a-z0-9.-]+)==(\S+)(?: ; [^\\]+)?((?: \\\n    --hash=sha256:[0-9a-f]{64})+)\n", re.MULTILINE)


def build(tree: Path, target: str, folder: Path) -> Path:
    """What the build backend makes of a tree."""
    words = [sys.executable, "-m", "hatchling", "build", "--target", target, "--directory", str(folder)]
    subprocess.run(words, cwd=tree, check=True, capture_output=True)
    (path,) = folder.iterdir()
    return path


@pytest.fixture(scope="module")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> ZipFile:
    """The wheel as the build backend makes it of this tree."""
    return ZipFile(build(ROOT, "wheel", tmp_path_factory.mktemp("wheel")))


@pytest.fixture(scope="module")
def unpacked(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The source archive of this tree, unpacked."""
    folder = tmp_path_factory.mktemp("unpacked")
    with tarfile.open(build(ROOT, "sdist", tmp_path_factory.mktemp("sdist"))) as archive:
        archive.extractall(folder, filter="data")
    (tree,) = folder.iterdir()
    return tree


def files(tree: Path, names: tuple[str, ...]) -> set[str]:
    """The files of those names and in folders of those names, but no compiled ones."""
    paths = [path for name in names for path in (tree / name, *(tree / name).rglob("*"))]
    return {path.relative_to(tree).as_posix() for path in paths if path.is_file() and "__pycache__" not in path.parts}


def declared(*groups: str) -> list[Requirement]:
    """What pyproject.toml asks for: to run, or in these groups and those that they include."""
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
    if not groups:
        return [Requirement(line) for line in project["project"]["dependencies"]]
    lines = [line for group in groups for line in project["dependency-groups"][group]]
    included = [line["include-group"] for line in lines if isinstance(line, dict)]
    own = [Requirement(line) for line in lines if isinstance(line, str)]
    return own + (declared(*included) if included else [])


def pinned(name: str) -> dict[str, str]:
    """The packages of a file in requirements, with their versions."""
    text = (ROOT / "requirements" / f"{name}.txt").read_text(encoding="utf-8")
    return {package: version for package, version, _ in PINNED.findall(text)}


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


@pytest.mark.parametrize("name", ["runtime", "build", "test", "proof"])
def test_what_is_installed_is_what_is_declared(name: str) -> None:
    """Each dependency has one version in requirements that it allows; `make requirements` writes them."""
    asked = declared() if name == "runtime" else declared(name)
    versions = pinned(name)

    assert asked
    assert [] == [str(one) for one in asked if versions.get(canonicalize_name(one.name), "0") not in one.specifier]


def test_a_package_has_the_same_version_in_all_requirements() -> None:
    """They are installed into one environment, one after the other."""
    versions: dict[str, set[str]] = {}
    for path in (ROOT / "requirements").glob("*.txt"):
        for package, version in pinned(path.stem).items():
            versions.setdefault(package, set()).add(version)

    assert versions
    assert {} == {package: found for package, found in versions.items() if len(found) > 1}


@pytest.mark.parametrize("path", sorted((ROOT / "requirements").iterdir()), ids=lambda path: path.name)
def test_requirements_name_hashes_and_no_place(path: Path) -> None:
    """Whoever installs chooses where from: beside packages with their hashes are only comments, without an address."""
    text = path.read_text(encoding="utf-8")
    rest = [line for line in PINNED.sub("", text).splitlines() if not re.match(r" *#", line)]

    assert pinned(path.stem)
    assert [] == rest
    assert "://" not in text


def test_the_source_archive_holds_what_the_tests_need(unpacked: Path) -> None:
    """Whoever has the archive alone can make and test what it holds."""
    expected = files(ROOT, TO_TEST)
    actual = files(unpacked, TO_TEST)

    assert len(expected) > 400
    assert expected == actual


def test_the_source_archive_holds_nothing_that_was_made(unpacked: Path) -> None:
    """Neither what was built and installed here nor what Python compiled."""
    made = {".venv", "build", "dist", "__pycache__"}

    assert [] == [path.as_posix() for path in unpacked.rglob("*") if path.name in made or path.suffix == ".pyc"]


def test_the_source_archive_makes_the_same_wheel(wheel: ZipFile, unpacked: Path, tmp_path: Path) -> None:
    """File by file."""
    again = ZipFile(build(unpacked, "wheel", tmp_path))

    assert {name: wheel.read(name) for name in wheel.namelist()} == {
        name: again.read(name) for name in again.namelist()
    }
