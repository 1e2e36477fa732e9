"""The command `torqueaudit setting`: what to set the wrench to when an adapter is fitted."""

import json
from decimal import Decimal
from typing import NamedTuple

import click

from torqueaudit.model.units import PRECISION, Torque, format_number, read_decimal
from torqueaudit_plugins.adapter_formula import Geometry, caution, factor_of, setting_for
from torqueaudit_plugins.calculators import unit_table

ALWAYS = (
    "The maker's manual prevails. Never put a pipe on the handle. "
    "Not for a wrench that was calibrated with this adapter fitted."
)


class Answer(NamedTuple):
    """What the calculator found: the setting and the applied torque, the factor between them, and what to heed."""

    setting: Torque
    applied: Torque
    factor: Decimal
    warnings: tuple[str, ...]


@click.command(name="setting", context_settings={"ignore_unknown_options": True})
@click.argument("torque")
@click.option("--length", required=True, metavar="MM", help="Lever of the wrench: drive centre to hand centre, in mm.")
@click.option("--adapter", required=True, metavar="MM", help="Adapter: drive centre to fastener centre, in mm.")
@click.option(
    "--angle",
    default="0",
    show_default=True,
    metavar="DEGREES",
    help="Between adapter and wrench: 0 straight ahead, 90 square, 180 folded back.",
)
@click.option(
    "--digits", type=click.IntRange(1, PRECISION), default=5, show_default=True, help="Significant digits at most."
)
@click.option("--json", "as_json", is_flag=True, help="Print as JSON, with decimal strings.")
def setting(*, torque: str, length: str, adapter: str, angle: str, digits: int, as_json: bool) -> None:
    """What to set the wrench to so that TORQUE ("100 N·m") reaches the fastener through an adapter."""
    try:
        answer = _work_out(torque, length, adapter, angle)
    except ValueError as mistake:
        raise click.UsageError(str(mistake)) from mistake
    click.echo(_as_json(answer, digits) if as_json else _as_text(answer, digits))


def _work_out(torque: str, length: str, adapter: str, angle: str) -> Answer:
    applied = unit_table().parse(torque)
    geometry = Geometry(
        read_decimal(length, "--length"), read_decimal(adapter, "--adapter"), read_decimal(angle, "--angle")
    )
    factor = factor_of(geometry)
    unusual = caution(factor)
    warnings = (unusual, ALWAYS) if unusual else (ALWAYS,)
    return Answer(Torque(setting_for(applied.value, *geometry), applied.unit), applied, factor, warnings)


def _as_text(answer: Answer, digits: int) -> str:
    return "\n".join((f"{format_number(answer.setting.value, digits)} {answer.setting.unit.symbol}", *answer.warnings))


def _as_json(answer: Answer, digits: int) -> str:
    content = {
        "setting": format_number(answer.setting.value, digits),
        "unit": answer.setting.unit.symbol,
        "applied_nm": format_number(answer.applied.nm, PRECISION),
        "factor": format_number(answer.factor, PRECISION),
        "warnings": answer.warnings,
    }
    return json.dumps(content, ensure_ascii=False)
