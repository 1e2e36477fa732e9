"""The command `torqueaudit convert`: a torque in another unit."""

import json

import click

from torqueaudit.plugin import MOST_DIGITS
from torqueaudit.plugin.commands import unit_table


# Unknown options are taken as words so that "-5 N·m" is refused as a torque and not as an option.
@click.command(name="convert", context_settings={"ignore_unknown_options": True})
@click.argument("torque")
@click.argument("unit")
# Thirteen digits, as other sources are compared with them: decision 0029.
@click.option(
    "--digits", type=click.IntRange(1, MOST_DIGITS), default=13, show_default=True, help="Significant digits at most."
)
@click.option("--json", "as_json", is_flag=True, help="Print value and unit as JSON, the value as a decimal string.")
def convert(*, torque: str, unit: str, digits: int, as_json: bool) -> None:
    """Convert TORQUE ("80 lbf·ft", "108,5 Nm") to UNIT ("N·m").

    Exactly, to compare with other sources; --digits 4 is what a wrench can be set to.
    """
    units = unit_table()
    try:
        converted = units.parse(torque).convert(units.unit(unit))
    except ValueError as mistake:
        raise click.UsageError(str(mistake)) from mistake
    answer = {"value": converted.number(digits), "unit": converted.unit.symbol}
    click.echo(json.dumps(answer, ensure_ascii=False) if as_json else " ".join(answer.values()))
