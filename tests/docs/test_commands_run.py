"""What a document tells to type runs, and says what the document shows of it.

A document is read from its beginning: the files that it tells to save are saved, `export` holds from then on, a folder
is made by `mkdir`, and each line that begins with `torqueaudit` is run. Lines below a command are what it says; some
may be left out between them. Every line of an error is shown. A day, a time or a digest that is shown stands for any,
and a command is given today's day, for a calibration does not hold for ever. The README is typed to the installed
script, each other document to processes that have loaded the program already (`apart.py`), as starting Python takes
most of the time of a command.
"""

import json
import os
import re
import shlex
import subprocess
import sys
import tomllib
from collections.abc import Callable, Iterator
from datetime import UTC, date, datetime
from pathlib import Path
from subprocess import CompletedProcess
from typing import NamedTuple, TypeAlias

import pytest
from apart import run_apart

from database import USER, Server
from torqueaudit.workshop.opening import open_workshop

ROOT = Path(__file__).parents[2]
BIN = Path(sys.executable).parent
DOCUMENTS = (
    "docs/tutorial.md",
    "docs/the-job.md",
    "docs/in-use.md",
    "docs/copies.md",
    "docs/signing-in.md",
    "docs/reminders.md",
    "docs/running.md",
)
FILE = r"^Save (?:this )?as `(?P<file>[^`]+)`[^\n]*\n\n```toml\n(?P<text>.*?)^```$"
BLOCK = re.compile(rf"(?:{FILE})|(?P<lines>(?:^    [^\n]*\n)+)", re.MULTILINE | re.DOTALL)
ANY = (
    ("DIGEST", r"\b[0-9a-f]{12,64}\b"),
    ("DAY", r"\b\d{4}-\d\d-\d\d\b"),
    ("TIME", r"\b\d\d:\d\d\b"),
)

# Runs words in these surroundings and in this folder.
Run: TypeAlias = Callable[[list[str], dict[str, str], str], "CompletedProcess[str]"]


def run_script(words: list[str], surroundings: dict[str, str], folder: str) -> "CompletedProcess[str]":
    """Run the installed script to its end, as a shell does."""
    return subprocess.run(words, env=surroundings, cwd=folder, capture_output=True, text=True, check=False)


class Typed(NamedTuple):
    """One command, and the lines that the document shows of what it says."""

    command: str
    shown: list[str]


def steps(text: str) -> Iterator[tuple[str, str] | Typed]:
    """The files to save, each with its text, and the commands to type, in their order."""
    for block in BLOCK.finditer(text):
        if block["file"]:
            yield block["file"], block["text"]
            continue
        typed: Typed | None = None
        for line in block["lines"].splitlines():
            words = line.removeprefix("    ")
            if words.startswith(("torqueaudit ", "export ", "mkdir ")):
                if typed:
                    yield typed
                typed = Typed(words, [])
            elif typed and words.strip():
                typed.shown.append(words.rstrip())
        if typed:
            yield typed


def alike(line: str) -> str:
    """A line with every day, time and digest as one word, for they are others each time."""
    for word, pattern in ANY:
        line = re.sub(pattern, word, line)
    return line.rstrip()


def missing(shown: list[str], said: str) -> list[str]:
    """The lines that were shown and not said, or not in this order."""
    ahead = iter([alike(line) for line in said.splitlines()])
    return [line for line in shown if alike(line) not in ahead]


def today_in(here: Path, surroundings: dict[str, str]) -> date:
    """The day that it is in the workshop of a document, in whose zone its days are; in UTC before it has a book."""
    book = here / surroundings.get("TORQUEAUDIT_BOOK", "")
    if not book.is_file():
        return datetime.now(UTC).date()
    with open_workshop(book) as workshop:
        return workshop.today()


def wrong_with(typed: Typed, here: Path, surroundings: dict[str, str], run: Run) -> str:
    """What is wrong with one command of a document, "" where nothing is.

    One of which nothing is shown ends well and warns of nothing; one that is refused is shown with the refusal.
    """
    today = today_in(here, surroundings).isoformat()
    words = [str(BIN / "torqueaudit"), *shlex.split(re.sub(r"(--on|--date) \S+", rf"\1 {today}", typed.command))[1:]]
    done = run(words, surroundings, str(here))
    lost = missing(typed.shown, done.stderr + done.stdout)
    told = [line for line in done.stderr.splitlines() if alike(line) not in map(alike, typed.shown)]
    if lost or told or (done.returncode and not typed.shown):
        return f"{typed.command}\nexit code {done.returncode}\n{done.stdout}{done.stderr}shown and not said: {lost}"
    return ""


def type_all(name: str, here: Path, run: Run) -> tuple[list[str], dict[str, str]]:
    """Type a document from the first to the last line in a folder: what was wrong, and what was exported.

    `serve` stays, and is tried in the tests of the pages.
    """
    surroundings = {key: value for key, value in os.environ.items() if not key.startswith("TORQUEAUDIT_")}
    (here / "examples").symlink_to(ROOT / "examples")
    wrong: list[str] = []
    count = 0
    for step in steps((ROOT / name).read_text(encoding="utf-8")):
        if not isinstance(step, Typed):
            (here / step[0]).write_text(step[1], encoding="utf-8")
        elif step.command.startswith("export "):
            surroundings |= dict(pair.split("=", 1) for pair in shlex.split(step.command)[1:])
        elif step.command.startswith("mkdir "):
            (here / step.command.removeprefix("mkdir ")).mkdir()
        elif " serve" not in step.command:
            count += 1
            wrong += filter(None, [wrong_with(step, here, surroundings, run)])

    assert count > 10
    return wrong, surroundings


@pytest.mark.parametrize("name", DOCUMENTS)
def test_every_command_of_a_document_runs_and_says_what_is_shown(name: str, tmp_path: Path) -> None:
    """From the first to the last, in one folder."""
    wrong, _ = type_all(name, tmp_path, run_apart)

    assert [] == wrong


def test_every_command_of_a_chain_runs(server: Server, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Its addresses name no machine, so that the surroundings do."""
    for name in ("chain", "second"):
        server.say(f"create database {name} template template0")
    monkeypatch.setenv("PGHOST", str(server.folder))
    monkeypatch.setenv("PGUSER", USER)
    wrong, _ = type_all("docs/chain.md", tmp_path, run_apart)

    assert [] == wrong


def test_the_first_job_of_the_readme_ends_without_a_stop(tmp_path: Path) -> None:
    """Every line runs, and it left released, else its state would say “never released”; units and label are there.

    What only root may type is told the same names.
    """
    wrong, surroundings = type_all("README.md", tmp_path, run_script)
    show = [str(BIN / "torqueaudit"), "job", "show", "1", "--json"]
    shown = subprocess.run(show, env=surroundings, cwd=tmp_path, capture_output=True, check=True)
    job = json.loads(shown.stdout)

    (enabled,) = re.findall(r"sudo systemctl enable --now (.+)", (ROOT / "README.md").read_text(encoding="utf-8"))
    units = {each.name for each in (tmp_path / "units").iterdir()}

    assert [] == wrong
    assert {each for each in units if each.endswith((".timer", "-serve.service"))} == set(enabled.split())
    assert (tmp_path / "label.pdf").read_bytes().startswith(b"%PDF-")
    assert ("handed over", []) == (job["state"], [each for each in job["findings"] if each["weight"] == "stop"])


def test_the_readme_installs_the_packages_that_make_installs() -> None:
    """Those that the program needs at work, and `python3-venv`, without which Debian makes no virtual environment."""
    (told,) = re.findall(r"sudo apt-get install (.+)", (ROOT / "README.md").read_text(encoding="utf-8"))
    makefile = (ROOT / "Makefile").read_text(encoding="utf-8")
    made = re.search(r"^RUNTIME_PACKAGES := (.+) \\$", makefile, re.MULTILINE)

    assert made
    assert {*made[1].split(), "python3-venv"} == {*told.split()}


def test_the_frame_number_of_the_readme_is_one_that_the_examples_hold_for() -> None:
    """Whoever goes on with another of them meets no stop for it."""
    (frame,) = re.findall(r"--frame-number (\S+)", (ROOT / "README.md").read_text(encoding="utf-8"))
    sources = [
        source
        for path in (ROOT / "examples" / "procedures").glob("*.toml")
        for source in tomllib.loads(path.read_text(encoding="utf-8")).get("source", {}).values()
    ]
    ranges = [source["frames"] for source in sources if "frames" in source]

    assert ranges
    assert [] == [(first, last) for first, last in ranges if not first <= frame.replace("-", "") <= last]
