"""Several words in one sentence, decided in one place."""

import re
from pathlib import Path

import pytest

import torqueaudit_plugins
from torqueaudit.model import listed as home
from torqueaudit.model.listed import listed

ROOMS = Path(home.__file__).parents[1]


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("the tag",), "the tag"),
        (("the label", "the tag"), "the label and the tag"),
        (("the label", "the tag", "the card"), "the label, the tag and the card"),
    ],
)
def test_words_are_listed(words: tuple[str, ...], says: str) -> None:
    """Also such as come one by one."""
    assert says == listed(words) == listed(iter(words))


@pytest.mark.parametrize(
    ("written", "home"),
    [
        (r"join\(\w+\)\} and \{\w+\}", "model/listed.py"),
        (r"max\(len\(\w+\.stages\), 1\)", "model/procedure/procedure.py"),
    ],
)
def test_each_is_worked_out_in_one_place(written: str, home: str) -> None:
    """Words in a sentence, and the number of a fastener's last stage; every room asks there."""
    rooms = [*ROOMS.rglob("*.py"), *Path(torqueaudit_plugins.__path__[0]).rglob("*.py")]
    found = [each for each in rooms if re.search(written, each.read_text(encoding="utf-8"))]

    assert [ROOMS / home] == found
