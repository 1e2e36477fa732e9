"""`label_stocks`: what labels are printed on, of every plugin; one that breaks is passed over and told."""

from collections.abc import Callable
from pathlib import Path

from torqueaudit.plugins import Plugins
from torqueaudit.testing import Clock
from torqueaudit.workshop.opening import open_workshop
from torqueaudit.workshop.register.printing import label_stocks
from torqueaudit_plugins.qr_labels.calc.stock import stock_names

Written = Callable[..., Plugins]
STOCKS = "from torqueaudit.plugin import LabelStock\n@hookimpl\ndef label_stocks():\n    "


def test_the_stocks_of_every_plugin_are_there_with_what_they_are(book_file: Path, written: Written) -> None:
    """A name that is there already keeps its first meaning."""
    own = STOCKS + "return [LabelStock('slate', 'a slate, 200 by 100 mm'), LabelStock('roll-62x29', 'another roll')]\n"
    with open_workshop(book_file, clock=Clock(), plugins=written(slate=own)) as workshop:
        known, broken = label_stocks(workshop)

    assert {*stock_names(), "slate"} == set(known)
    assert ("a slate, 200 by 100 mm", 1, 24) == (known["slate"].says, known["slate"].per_page, known["a4-3x8"].per_page)
    assert "62 by 29 mm" in known["roll-62x29"].says
    assert () == broken


def test_a_plugin_that_breaks_takes_no_other_stock_with_it(book_file: Path, written: Written) -> None:
    """It is told by its name."""
    with open_workshop(book_file, clock=Clock(), plugins=written(slate=STOCKS + "raise KeyError('chalk')\n")) as own:
        known, broken = label_stocks(own)

    assert stock_names() == sorted(known)
    assert ("plugin slate broke while it was asked for its label stocks: 'chalk'",) == broken
