"""Make the files of a release in build/dist, or say what is missing for it.

    python scripts/release.py

The tag is set by hand afterwards; the last line says how.
"""

import re
import shutil
import subprocess
import sys
import tarfile
import tomllib
from pathlib import Path
from tempfile import TemporaryDirectory
from zipfile import ZipFile

ROOT = Path(__file__).parent.parent
DIST = ROOT / "build" / "dist"


def main() -> None:
    """Check, build, compare."""
    version = str(tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]["version"])
    missing = missing_for(version)
    if missing:
        sys.exit("\n".join(missing))
    shutil.rmtree(DIST, ignore_errors=True)
    archive = build(ROOT, "sdist", DIST)
    wheel = build(ROOT, "wheel", DIST)
    if contents(wheel) != contents_built_of(archive):
        sys.exit(f"The wheel built of {archive.name} holds other files than the wheel built of the tree.")
    print(f"build/dist holds {archive.name} and {wheel.name}. Now: git tag -a v{version} -m 'torqueaudit {version}'")


def missing_for(version: str) -> list[str]:
    """A sentence for each thing that has to be done before this version is released."""
    changelog = (ROOT / "CHANGELOG.md").read_text(encoding="utf-8")
    checks = {
        "Something is not committed: git status shows it.": not git("status", "--porcelain"),
        f"CHANGELOG.md has no heading '## {version} – YEAR-MONTH-DAY'.": is_dated(changelog, version),
        f"The tag v{version} is there already: raise the version.": not git("tag", "--list", f"v{version}"),
        f"tests/ledgers keeps no ledger of {version}: tests/ledgers/add.py {version} adds it.": has_ledger(version),
    }
    return [says for says, holds in checks.items() if not holds]


def is_dated(changelog: str, version: str) -> bool:
    """Whether the version's section says on which day it came out."""
    return re.search(rf"^## {re.escape(version)} – \d{{4}}-\d\d-\d\d$", changelog, re.MULTILINE) is not None


def has_ledger(version: str) -> bool:
    """Whether a ledger of this version is kept, as every later version must read it."""
    return (ROOT / "tests" / "ledgers" / version / "entries.jsonl.xz").is_file()


def git(*words: str) -> str:
    """What git says of the tree."""
    return subprocess.run(["git", *words], cwd=ROOT, check=True, capture_output=True, text=True).stdout.strip()


def build(tree: Path, target: str, folder: Path) -> Path:
    """Build the sdist or the wheel of a tree, into a folder where it is the only one of its kind."""
    words = [sys.executable, "-m", "hatchling", "build", "--target", target, "--directory", str(folder)]
    subprocess.run(words, cwd=tree, check=True, stdout=subprocess.DEVNULL)
    (path,) = folder.glob("*.whl" if target == "wheel" else "*.tar.gz")
    return path


def contents_built_of(archive: Path) -> dict[str, bytes]:
    """What a wheel holds that is built of the sdist alone."""
    with TemporaryDirectory() as name, tarfile.open(archive) as packed:
        packed.extractall(name, filter="data")
        (tree,) = Path(name).iterdir()
        return contents(build(tree, "wheel", tree / "dist"))


def contents(wheel: Path) -> dict[str, bytes]:
    """Each file of a wheel with its bytes."""
    with ZipFile(wheel) as files:
        return {name: files.read(name) for name in files.namelist()}


if __name__ == "__main__":
    main()
