"""The invented workshop's figures are its own: those of this folder's check values stand nowhere else.

A drive met in practice, its chain, pins, service limit, slack and care, and the complaint that sends it to a workshop,
are common practice without a source: good to check a formula with, and no data for anybody's example, label or page.
"""

import re
from collections.abc import Iterator
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
FOLDERS = (".ci", "benchmarks", "docs", "examples", "labels", "plugins", "scripts", "tests", "torqueaudit")
HERE = "tests/reference/"
KEPT = re.compile(r"tests/ledgers/\d")  # what an earlier version wrote, never edited
SEPARATE = r"[\s\"'“”=:,(]{1,6}"
# Each with a line that it has to find. A number alone tells nothing; with what stands beside it, it does.
FIGURES = {
    "teeth in front": (rf"\b17 teeth|(?:front|teeth){SEPARATE}17\b", 'front = 17, "--front", "17" and teeth=17'),
    "teeth at the rear": (rf"\b41 teeth|(?:rear|teeth){SEPARATE}41\b", '("--rear", "41")'),
    "teeth": (r"\b17\s*/\s*41\b|\b41\s*/\s*17\b|\b17(?:, | and | to )41\b", "a ratio of 41/17"),
    "pins": (rf"\b21 pins|pins{SEPARATE}21\b|\b20 pitches", '(("pins", "21"),)'),
    "length when new": (r"\b317[.,]5\b", "317.5 mm when new"),
    "length": (rf"\b319[.,]4\b|\b323(?:[.,]0)? ?mm|length{SEPARATE}323\b", 'chain wear --length "323 mm"'),
    "slack": (r"\b[23]0 ?(?:…|\.\.|-|–|to) ?[34]0 ?mm|\b45 to 30\b", "slack 20 … 30 mm"),
    "slack that is set": (rf"from{SEPARATE}45{SEPARATE}(?:--)?to{SEPARATE}30\b", "--from 45 --to 30"),
    "care": (r"paraffin|kerosene|gear oil", "paraffin, then gear oil"),
    "complaint": (r"\bchain[- ]nois|\bnois\w+[^.\n]{0,30}\b(?:chain|drive|re-check)", "a noise from the chain"),
}
# Where the story is told, the word for its complaint stands nowhere, whatever is beside it.
STORY = (
    "README.md",
    "docs/",
    "examples/",
    "plugins/torqueaudit_plugins/demo/",
    "plugins/torqueaudit_plugins/final_drive/",
)


def texts() -> Iterator[tuple[str, str]]:
    """Every text of the tree outside this folder and the kept ledgers, with its path."""
    folders = [each for folder in FOLDERS for each in (ROOT / folder).rglob("*")]
    for path in sorted([*ROOT.glob("*"), *folders]):
        name = path.relative_to(ROOT).as_posix()
        if path.is_file() and not name.startswith(HERE) and not KEPT.match(name) and "__pycache__" not in name:
            try:
                yield name, path.read_text(encoding="utf-8")
            except UnicodeDecodeError:
                continue


def lines_with(pattern: str, beginnings: tuple[str, ...] = ("",)) -> list[str]:
    """Where a pattern is found: path, line and what stands there."""
    found = re.compile(pattern, re.IGNORECASE)
    return [
        f"{name}:{number}: {line.strip()}"
        for name, text in texts()
        if name.startswith(beginnings) and found.search(text)
        for number, line in enumerate(text.splitlines(), start=1)
        if found.search(line)
    ]


@pytest.mark.parametrize("figure", FIGURES)
def test_a_figure_met_in_practice_stands_in_this_folder_alone(figure: str) -> None:
    """In no example, demo, document, plugin, label or test beside."""
    pattern, line = FIGURES[figure]

    assert re.search(pattern, line, re.IGNORECASE)
    assert [] == lines_with(pattern)


def test_the_story_begins_with_a_complaint_of_its_own() -> None:
    """In its procedures, its cards and the documents that follow it."""
    assert [] == lines_with(r"\bnois(?:e|es|y)\b", STORY)


def test_the_whole_tree_is_looked_through() -> None:
    """Some of each room, and what lies above them."""
    names = [name for name, _ in texts()]

    assert {"README.md", "CHANGELOG.md", "docs/the-job.md", "tests/conftest.py", "tests/ledgers/story.txt"} <= set(
        names
    )
    assert set() == set(FOLDERS) - {name.partition("/")[0] for name in names}
