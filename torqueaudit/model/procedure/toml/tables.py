"""The tables of plugins in a procedure, `[x.NAME]`: what a plugin gives so that its own is looked at."""

from collections.abc import Callable
from typing import NamedTuple

from torqueaudit.model.procedure.procedure import Work
from torqueaudit.model.procedure.toml.values import Table


class ProcedureTable(NamedTuple):
    """A plugin's own table `[x.NAME]`, and who looks at it.

    `look_at` is given the table and the procedure's work. It reads values with the table's methods (`text`, `number`,
    `inner`, …), notes each mistake with `table.wrong(key, says)`, which finds the line, and ends with `table.finish()`,
    which notes unknown keys. It returns nothing and raises nothing; the table is kept as it is written.
    """

    name: str
    look_at: Callable[[Table, tuple[Work, ...]], None]
