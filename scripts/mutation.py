"""Change rules and figures one by one, and list the changes that no test notices.

    python scripts/mutation.py                              some files, drawn by lot
    python scripts/mutation.py 'torqueaudit/model/torque/*' these, as many patterns as you like
    python scripts/mutation.py '*'                          all

The changes are made in a copy, build/mutation. What no test noticed is listed with its change in build/mutation.txt;
it fails nothing, for a person has to judge it. What fails is a run that did not try every change.
"""

import json
import re
import shutil
import subprocess
import sys
import time
import tomllib
from collections.abc import Iterable, Sequence
from fnmatch import fnmatch
from pathlib import Path
from random import SystemRandom

ROOT = Path(__file__).parent.parent
COPY = ROOT / "build" / "mutation"
REPORT = ROOT / "build" / "mutation.txt"
MUTMUT = Path(sys.executable).with_name("mutmut")

SOURCES = ("torqueaudit", "torqueaudit_plugins")
# Rooms that work out and judge. What is drawn on a label is left out: its tests draw pages, and take long.
ROOMS = (
    "torqueaudit/model/torque/*.py",
    "torqueaudit/model/wrench/*.py",
    "torqueaudit/model/recheck/*.py",
    "torqueaudit_plugins/*/calc.py",
    "torqueaudit_plugins/*/calc/*.py",
    "torqueaudit_plugins/*/rules.py",
    "torqueaudit_plugins/*/rules/*.py",
)
LEFT_OUT = ("torqueaudit_plugins/qr_labels/*", "*/__init__.py")
# Without the demo and what counts long: each of them would be run again for nearly every change.
TESTS = ("tests/model", "tests/plugins", "tests/workshop", "tests/reference")
NOT_THESE_TESTS = ("-m", "not proof", "--ignore=tests/plugins/test_demo.py")
# Of files drawn by lot as many as have so many lines: some five minutes on two processors.
LINES = 500

NOTICED = {"killed", "timeout", "caught by type check", "segfault"}
UNNOTICED = {"survived", "no tests", "suspicious"}


def main(patterns: Sequence[str]) -> None:
    """Copy, choose, try every change, report."""
    started = time.monotonic()
    copy_tree()
    files = chosen(patterns) if patterns else drawn(chosen(["*"]))
    if not files:
        sys.exit(f"No file of the rooms is called {' or '.join(patterns)}.")
    write_settings(files)
    mutmut("run")
    results = tried()
    minutes = (time.monotonic() - started) / 60
    unnoticed = sum(state in UNNOTICED for state in results.values())
    says = f"{unnoticed} of {len(results)} changes in {len(files)} files were noticed by no test"
    REPORT.write_text(report(says, files, results), encoding="utf-8")
    print(f"{says} (build/mutation.txt), in {minutes:.1f} min")


def copy_tree() -> None:
    """Lay a fresh copy of the tree; the plugins lie beside the core once more, as when installed."""
    shutil.rmtree(COPY, ignore_errors=True)
    unwanted = shutil.ignore_patterns(".git", ".venv", "build", "dist", "__pycache__")
    shutil.copytree(ROOT, COPY, ignore=unwanted)
    shutil.copytree(ROOT / "plugins" / "torqueaudit_plugins", COPY / "torqueaudit_plugins", ignore=unwanted)


def chosen(patterns: Iterable[str]) -> list[str]:
    """The files of the rooms that match a pattern, written as in the copy or as in the tree."""
    wanted = [pattern.removeprefix("plugins/") for pattern in patterns]
    paths = sorted({path.relative_to(COPY).as_posix() for room in ROOMS for path in COPY.glob(room)})
    return [path for path in paths if matches(path, wanted) and not matches(path, LEFT_OUT)]


def matches(path: str, patterns: Iterable[str]) -> bool:
    """Whether any of the patterns fits the whole path."""
    return any(fnmatch(path, pattern) for pattern in patterns)


def drawn(files: list[str]) -> list[str]:
    """Some of the files, other ones each time."""
    share: list[str] = []
    lines = 0
    for path in SystemRandom().sample(files, len(files)):
        if lines < LINES:
            share.append(path)
            lines += len((COPY / path).read_text(encoding="utf-8").splitlines())
    return sorted(share)


def write_settings(files: list[str]) -> None:
    """Write the settings of pytest and mutmut into the copy; what JSON writes of texts and lists is TOML as well."""
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
    tables = {
        "pytest": project["tool"]["pytest"] | {"cache_dir": "pytest", "pythonpath": ["."]},
        "mutmut": {
            "source_paths": SOURCES,
            "only_mutate": files,
            "also_copy": [path.name for path in COPY.iterdir() if path.name not in SOURCES],
            "pytest_add_cli_args": NOT_THESE_TESTS,
            "pytest_add_cli_args_test_selection": TESTS,
            "use_git_change_detection": False,
        },
    }
    lines = [
        line
        for table, values in tables.items()
        for line in (f"[tool.{table}]", *(f"{key} = {json.dumps(value)}" for key, value in values.items()))
    ]
    (COPY / "pyproject.toml").write_text("\n".join(lines) + "\n", encoding="utf-8")


def mutmut(*words: str) -> str:
    """Run mutmut in the copy; what it printed, or the end of this program where it failed."""
    done = subprocess.run([MUTMUT, *words], cwd=COPY, capture_output=True, text=True, check=False)
    if done.returncode:
        # Without the lines that only turn a wheel.
        said = re.sub("[\u2800-\u28ff].*\n", "", done.stdout)
        sys.exit(f"{said[-10_000:]}\n{done.stderr}\nmutmut {' '.join(words)} failed.")
    return done.stdout


def tried() -> dict[str, str]:
    """Each change by its name, and what became of it."""
    rows = (line.strip().rpartition(": ") for line in mutmut("results", "--all", "true").splitlines() if ": " in line)
    results = {name: state for name, _, state in rows}
    untried = [name for name, state in results.items() if state not in NOTICED | UNNOTICED]
    if untried or not any(state in NOTICED for state in results.values()):
        sys.exit(f"mutmut tried {len(results) - len(untried)} of {len(results)} changes, and tests must notice some.")
    return results


def report(says: str, files: list[str], results: dict[str, str]) -> str:
    """The figure, how to try the same files again, and each change that no test noticed."""
    shown = [mutmut("show", name) for name, state in results.items() if state in UNNOTICED]
    again = f"make mutation MUTATE='{' '.join(files)}'"
    return "\n".join([says, f"Again: {again}", "", *shown])


if __name__ == "__main__":
    main(sys.argv[1:])
