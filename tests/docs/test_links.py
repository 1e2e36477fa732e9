"""Every link and every picture in the documents leads somewhere."""

import os
import re
import subprocess
import sys
from itertools import chain
from pathlib import Path

import pytest
from PIL import Image

ROOT = Path(__file__).parents[2]
FOLDERS = ("docs", "examples", "benchmarks", "tests")
DOCUMENTS = sorted([*ROOT.glob("*.md"), *chain.from_iterable((ROOT / folder).rglob("*.md") for folder in FOLDERS)])
LINK = re.compile(r"(?:\[[^\]]*\]\(|<img src=\")(?P<target>[^)\s\"]+)[)\"]")
PICTURE = re.compile(r"!\[([^\]]*)\]|<img [^>]*?alt=\"([^\"]*)\"|<img (?![^>]*alt=)[^>]*()>")
OUTSIDE = ("https://", "http://", "mailto:")


def text_of(document: Path) -> str:
    """A document without its code: what looks like a link there is none."""
    return re.sub(r"```.*?```|`[^`\n]*`", "", document.read_text(encoding="utf-8"), flags=re.DOTALL)


def anchors(document: Path) -> set[str]:
    """The headings as addresses, the way in which they are made of a Markdown file's headings."""
    headings = re.findall(r"^#+ (.+)$", document.read_text(encoding="utf-8"), re.MULTILINE)
    return {re.sub(r"[^\w\- ]", "", heading.lower()).replace(" ", "-") for heading in headings}


@pytest.mark.parametrize("document", DOCUMENTS, ids=lambda path: str(path.relative_to(ROOT)))
def test_every_link_leads_to_a_file_and_to_a_heading_in_it(document: Path) -> None:
    """Only links inside the project are followed."""
    lost = []
    for link in LINK.finditer(text_of(document)):
        name, _, heading = link["target"].partition("#")
        there = document.parent / name if name else document
        if not link["target"].startswith(OUTSIDE) and (
            not there.exists() or (heading and heading not in anchors(there))
        ):
            lost.append(link["target"])

    assert [] == lost


@pytest.mark.parametrize("document", DOCUMENTS, ids=lambda path: str(path.relative_to(ROOT)))
def test_every_picture_is_also_said_in_words(document: Path) -> None:
    """Whoever does not see it reads what it shows."""
    said = ["".join(found) for found in PICTURE.findall(text_of(document))]

    assert [] == [words for words in said if len(words.split()) < 5]


def test_the_pictures_are_small_and_wide_enough_to_read() -> None:
    """Three of them, each readable on a phone's screen, none heavy to load."""
    folder = ROOT / "docs" / "pictures"

    assert {"label.png", "night.png", "record.png"} == sizes(folder).keys()
    assert [] == [name for name, (width, _) in sizes(folder).items() if width < 700]
    assert [] == [each.name for each in folder.iterdir() if each.stat().st_size >= 120_000]


@pytest.mark.proof
@pytest.mark.skipif("TORQUEAUDIT_PROOF" not in os.environ, reason="plays the whole demo; `make proof` does")
def test_the_pictures_are_made_by_one_command(tmp_path: Path) -> None:
    """Of the demo, in the sizes of those that are kept."""
    make = [sys.executable, str(ROOT / "scripts" / "pictures.py"), str(tmp_path / "pictures")]
    subprocess.run(make, check=True, capture_output=True)

    assert sizes(ROOT / "docs" / "pictures") == sizes(tmp_path / "pictures")


def sizes(folder: Path) -> dict[str, tuple[int, int]]:
    """The size of each picture in a folder, by name."""
    found = {}
    for picture in folder.iterdir():
        with Image.open(picture) as opened:
            found[picture.name] = opened.size
    return found


def test_every_document_is_reached_from_the_readme() -> None:
    """By links alone, from one document to the next."""
    reached, ahead = set(), [ROOT / "README.md"]
    while ahead:
        document = ahead.pop()
        if document in reached or document.suffix != ".md" or not document.is_file():
            continue
        reached.add(document)
        targets = [link["target"].partition("#")[0] for link in LINK.finditer(text_of(document))]
        ahead += [(document.parent / each).resolve() for each in targets if each and not each.startswith(OUTSIDE)]

    assert [] == sorted(str(each.relative_to(ROOT)) for each in DOCUMENTS if each.resolve() not in reached)
