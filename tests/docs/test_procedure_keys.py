"""docs/procedure-keys.md and the reader know the same keys: each is asked what it knows of every table."""

import re
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
TORQUEAUDIT = Path(sys.executable).with_name("torqueaudit")
TEXT = (ROOT / "docs" / "procedure-keys.md").read_text(encoding="utf-8")

# Where each table of the document stands in a procedure's text, and what a mistake in it begins with.
PLACES = {
    "At the top": ("", ""),
    "`[source.KEY]`": ("[source.manual]", "source.manual."),
    "`tighten`": ('[[work]]\ntighten = "nut"', "nut."),
    "`measure`": ('[[work]]\nmeasure = "slack"', "slack."),
    "`step`": ('[[work]]\nstep = "look"', "look."),
    "`fit`": ('[[work]]\nfit = "pin"', "pin."),
    "The re-check": ("[recheck]", "recheck."),
    "`[x.clamp_load.FASTENER]`": ("[x.clamp_load.nut]", "x.clamp_load.nut."),
    "`[x.final_drive]`": ("[x.final_drive]", "x.final_drive."),
    "`[[x.final_drive.care]]`": ("[[x.final_drive.care]]", "care 1."),
}
WORK = ("`tighten`", "`measure`", "`step`", "`fit`")
HAVE_A_PLACE = ("source", "work", "recheck", "x", "care", *(kind.strip("`") for kind in WORK))
NO_KEY = "zzzzzz"


def rows_under(heading: str) -> dict[str, str]:
    """The keys of the first table under a heading, each with its whole row."""
    part = re.split(rf"^#+ {re.escape(heading)}(?:: .*)?$", TEXT, flags=re.MULTILINE)[1]
    (table, *_) = re.findall(r"\| key \| \|\n\|---\|---\|\n((?:\|.*\n)+)", part)
    rows = [(row.split(" | ")[0], row) for row in table.splitlines()]
    return {key: row for keys, row in rows for key in re.findall(r"`([^`]+)`", keys)}


def documented(heading: str) -> dict[str, str]:
    """Every key that may stand in a table, with its row; a [[work]] also has its own kind and what all have."""
    if heading not in WORK:
        return rows_under(heading)
    return {**rows_under("Work"), **rows_under(heading), **{kind.strip("`"): "" for kind in WORK}}


def mistakes(tmp_path: Path, lines: dict[str, list[str]]) -> list[str]:
    """What the program says of a procedure that has these lines in each of its tables."""
    text = "\n".join(f"{place}\n" + "\n".join(lines[heading]) for heading, (place, _) in PLACES.items())
    (tmp_path / "odd.toml").write_text(text, encoding="utf-8")
    book = [str(TORQUEAUDIT), "--book", "yard.book"]
    setup = ["new", "--site", "YARD", "--zone", "Europe/Vienna", "--address", "http://127.0.0.1:8080"]
    subprocess.run([*book, *setup], cwd=tmp_path, check=True, capture_output=True)
    foreman = ["person", "add", "Foreman", "--role", "foreman", "--by", "setup"]
    subprocess.run([*book, *foreman], cwd=tmp_path, check=True, capture_output=True)
    enter = ["procedure", "enter", "odd.toml", "--by", "P-1"]
    done = subprocess.run([*book, *enter], cwd=tmp_path, check=False, capture_output=True, text=True)
    return done.stderr.splitlines()


@pytest.fixture(scope="module")
def unknown(tmp_path_factory: pytest.TempPathFactory) -> list[str]:
    """What the reader says of one key in each table that there is not."""
    return mistakes(tmp_path_factory.mktemp("unknown"), {heading: [f'{NO_KEY} = "{NO_KEY}"'] for heading in PLACES})


@pytest.mark.parametrize("heading", PLACES)
def test_the_document_has_each_key_that_the_reader_knows_and_no_other(heading: str, unknown: list[str]) -> None:
    """The mistake of an unknown key lists the known ones."""
    begin = re.escape(PLACES[heading][1])
    (known,) = (found[1] for one in unknown if (found := re.search(rf", {begin}{NO_KEY}: .* known are (.*)$", one)))

    assert sorted(known.split(", ")) == sorted(documented(heading))


def test_each_word_that_a_key_may_have_stands_in_its_row(tmp_path: Path) -> None:
    """`direction` is "right" or "left", and the document says so: each key is written with a word that it never has."""
    odd = {
        heading: [f'{key} = "{NO_KEY}"' for key in documented(heading) if key not in HAVE_A_PLACE] for heading in PLACES
    }
    told = mistakes(tmp_path, odd)
    says = re.compile(rf'^.*line \d+, (?P<key>.+): "{NO_KEY}" is not known; write (?P<words>.+)$')
    choices = [found for one in told if (found := says.match(one))]
    missing = [
        f"{found['key']}: {word}"
        for found in choices
        for heading, (_, begin) in PLACES.items()
        if begin and found["key"].startswith(begin)
        for word in found["words"].split(" or ")
        if f'"{word}"' not in documented(heading)[found["key"].removeprefix(begin)]
    ]

    assert len(choices) > 5
    assert [] == missing
