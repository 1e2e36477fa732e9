"""`read_log`: a plugin reads a file of its own form into rows, and one that breaks is told by its name."""

from collections.abc import Callable
from pathlib import Path

import pytest

from torqueaudit.model.act import Refused, Say
from torqueaudit.model.log.mapping import read_mapping
from torqueaudit.plugins import Plugins
from torqueaudit.testing import Clock, play
from torqueaudit.workshop.jobs.logs import LogLook, look_at_log
from torqueaudit.workshop.opening import open_workshop

Written = Callable[..., Plugins]
IMPORTS = "from decimal import Decimal\nfrom torqueaudit.plugin import LogRow, LogRows\n"
HOOK = f"{IMPORTS}@hookimpl\ndef read_log(source):\n    "
MAPPING = """
format = 1
moment = { column = "when", zone = "UTC" }
torque = { column = "newton metres" }
unit = { always = "N·m" }
wrench = { always = "W-2" }
job = { always = "1" }
fastener = { always = "rear-axle-nut" }
"""
ROWS = """if source.name != "log.slate":
        return None
    cells = {"when": "2031-04-02T10:05:00Z", "newton metres": Decimal("108.4")}
    return LogRows(source.columns, (LogRow(7, cells), LogRow(8, {}, "is smeared")))
"""


def looked_at(book: Path, plugins: Plugins, name: str = "log.slate") -> LogLook:
    """What comes of a file, on the evening of a day on which a job was opened."""
    with open_workshop(book, clock=Clock(), plugins=plugins) as workshop:
        play(workshop, "2031-04-02 10:00 job 1 opened axle on V-1 by P-2\n2031-04-02 17:00 clock")
        return look_at_log(workshop, name, b"chalk", read_mapping(MAPPING, workshop.plugins.units), Say("P-2"))


def test_a_plugin_reads_a_form_of_its_own(book_file: Path, written: Written) -> None:
    """Each row with its line; one that it cannot read is left out with its reason."""
    look = looked_at(book_file, written(slate=HOOK + ROWS))

    assert [(7, "entered"), (8, "left out")] == [(each.row.line, each.becomes.value) for each in look.rows]
    assert "108.4 N·m with W-2" in look.rows[0].says
    assert "is smeared" == look.rows[1].says


def test_a_file_that_no_plugin_reads_is_refused(book_file: Path, written: Written) -> None:
    """With what to look at."""
    with pytest.raises(Refused, match=r"log\.pdf: no plugin reads such a file; look at how its name ends"):
        looked_at(book_file, written(slate=HOOK + ROWS), "log.pdf")


@pytest.mark.parametrize(
    ("body", "says"),
    [
        ("raise ValueError('the chalk is smeared')", "log.slate: the chalk is smeared"),
        ("raise KeyError('chalk')", "log.slate: plugin slate could not read it (KeyError: 'chalk')"),
        ("return LogRows(('a',), (LogRow(1, {'a': 1.5}),))", "(answered with something that is no rows of a log)"),
        ("return LogRows(('a',), [LogRow(1, {})])", "(answered with something that is no rows of a log)"),
        ("return LogRows(('a',), (LogRow(1, {'a': Decimal('NaN')}),))", "that is no rows of a log)"),
    ],
)
def test_a_plugin_that_breaks_is_told(book_file: Path, written: Written, body: str, says: str) -> None:
    """What it says itself stands alone; of a fault it is told whose it is."""
    with pytest.raises(Refused) as caught:
        looked_at(book_file, written(slate=f"{HOOK}{body}\n"))

    assert says in str(caught.value)
