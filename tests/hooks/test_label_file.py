"""`label_file`: the first plugin that knows a stock makes the file; one that breaks or refuses is told."""

from collections.abc import Callable
from pathlib import Path

import pytest

from torqueaudit.model.shown.label import LabelContent
from torqueaudit.plugins import Plugins
from torqueaudit.testing import Clock
from torqueaudit.workshop.opening import open_workshop
from torqueaudit.workshop.register.printing import NoLabel, label_file

Written = Callable[..., Plugins]
CONTENT = LabelContent("shelf 7", "http://yard.local/shelf/7", figure="7", token="", lines=())
GIVES = "from torqueaudit.plugin import LabelFile\n@hookimpl\ndef label_file(contents, stock):\n    "


def made(book: Path, plugins: Plugins, stock: str) -> tuple[bytes, tuple[str, ...]]:
    """What the workshop is given for one label."""
    with open_workshop(book, clock=Clock(), plugins=plugins) as workshop:
        file = label_file(workshop, (CONTENT,), stock)
        return file.data, file.says


def test_a_plugin_makes_the_files_for_a_stock_of_its_own(book_file: Path, written: Written) -> None:
    """With what it says of them; those that make none are passed over, and those after it are not asked."""
    own = GIVES + "return LabelFile(b'drawn', (contents[0].title,)) if stock == 'slate' else None\n"
    later = GIVES + "raise KeyError('asked all the same')\n"

    assert (b"drawn", ("shelf 7",)) == made(book_file, written(slate=own, yard_paper=later), "slate")


def test_the_bundled_stocks_are_made_beside_a_plugin_that_makes_none(book_file: Path, written: Written) -> None:
    """As a PDF (ISO 32000-1, 7.5.2: it begins so)."""
    data, _ = made(book_file, written(slate=GIVES + "return None\n"), "roll-62x29")

    assert b"%PDF-" == data[:5]


@pytest.mark.parametrize(
    ("body", "says"),
    [
        ("raise ValueError('the slate is wet; dry it')", "the slate is wet; dry it"),
        ("raise KeyError('chalk')", "plugin slate broke while it made the labels (KeyError: 'chalk'); repair or block"),
        ("return LabelFile('drawn')", "plugin slate broke while it made the labels (answered with something that is"),
        ("return LabelFile(b'')", "answered with something that is not a file of labels"),
        ("return LabelFile(b'drawn', 'one sentence')", "answered with something that is not a file of labels"),
        ("return LabelFile(b'drawn', (7,))", "answered with something that is not a file of labels"),
        ("return None", "slate: no plugin makes labels on such a stock"),
    ],
    ids=["refuses", "raises", "text", "empty", "one text", "numbers", "none"],
)
def test_what_is_no_file_is_told(book_file: Path, written: Written, body: str, says: str) -> None:
    """In one sentence, and nothing is printed."""
    with pytest.raises(NoLabel) as refused:
        made(book_file, written(slate=f"{GIVES}{body}\n"), "slate")

    assert says in str(refused.value)
