"""`procedure_tables`: a plugin looks at its own table of a procedure before it is entered."""

from collections.abc import Callable
from pathlib import Path

import pytest

import torqueaudit.testing
from torqueaudit.model.act import Refused, Say
from torqueaudit.plugins import Plugins
from torqueaudit.testing import Clock
from torqueaudit.workshop.door.workshop import Workshop
from torqueaudit.workshop.opening import open_workshop
from torqueaudit.workshop.register.procedures import enter_procedure

Written = Callable[..., Plugins]


TABLES = """from torqueaudit.model.procedure.toml.tables import ProcedureTable
@hookimpl\ndef procedure_tables():
    return [ProcedureTable("sag", look_at)]
def look_at(table, work):
    """


def with_a_table(folder: Path, table: str) -> Path:
    """The procedure `axle` with a plugin's table at its end, from line 31 on."""
    text = Path(torqueaudit.testing.__file__).with_name("axle.toml").read_text(encoding="utf-8")
    (folder / "axle.toml").write_text(f"{text}\n[x.sag]\n{table}\n", encoding="utf-8")
    return folder / "axle.toml"


def test_procedure_tables_are_looked_at_by_their_plugin(book_file: Path, tmp_path: Path, written: Written) -> None:
    """What it notes refuses the procedure, with line and key; without a mistake the table goes in as it is written."""
    code = "table.number(work[0].key)\n    table.finish()\n"
    plugins = written(sag=TABLES + code)
    with open_workshop(book_file, clock=Clock(), plugins=plugins) as workshop:
        with pytest.raises(Refused) as refused:
            enter_procedure(workshop, with_a_table(tmp_path, "rear-axle-nut = 0\nposture = 'stand'"), Say("P-2"))
        entered = enter_procedure(workshop, with_a_table(tmp_path, "rear-axle-nut = 2.5"), Say("P-2"))

        told = str(refused.value).splitlines()
        assert "line 32, x.sag.rear-axle-nut: has to be a number above 0" in told[1]
        assert "line 33, x.sag.posture: is not known here" in told[2]
        assert {"sag": {"rear-axle-nut": "2.5"}} == workshop.procedure(entered).procedure.x


def test_a_table_that_no_plugin_looks_at_is_kept_as_it_is(workshop: Workshop, tmp_path: Path) -> None:
    """Its plugin may be installed later."""
    entered = enter_procedure(workshop, with_a_table(tmp_path, "rear-axle-nut = 'any'"), Say("P-2"))

    assert {"sag": {"rear-axle-nut": "any"}} == workshop.procedure(entered).procedure.x


@pytest.mark.parametrize(
    ("code", "says"),
    [
        (TABLES + "table.number(3 / 0)\n", "(ZeroDivisionError: division by zero)"),
        (TABLES + "raise SystemExit(0)\n", "(RuntimeError: it wanted to end the program)"),
        ("@hookimpl\ndef procedure_tables():\n    raise KeyError('sag')\n", "(KeyError: 'sag')"),
        (
            "@hookimpl\ndef procedure_tables():\n    return ['sag']\n",
            "(it gave something that is not a list of tables)",
        ),
    ],
    ids=["looking", "leaving", "asked", "answering"],
)
def test_a_plugin_that_breaks_over_a_table_enters_nothing(
    book_file: Path, tmp_path: Path, written: Written, code: str, says: str
) -> None:
    """It is named; what it would have refused is not known."""
    plugins = written(sag=code)
    expected = (
        f"the procedure was not entered: plugin sag broke while it looked at its tables {says}; mend it, or block it"
    )
    with open_workshop(book_file, clock=Clock(), plugins=plugins) as workshop:
        before = workshop.book.head()
        with pytest.raises(Refused) as refused:
            enter_procedure(workshop, with_a_table(tmp_path, "rear-axle-nut = 1"), Say("P-2"))

        assert (expected, before) == (str(refused.value), workshop.book.head())
