"""What the columns of a wrench's log mean, read from a TOML text (`format = 1`); docs/wrench-logs.md has every key."""

from typing import NamedTuple

from torqueaudit.model.log.told import DECIMALS, FileForm, Told, file_form, look_at_units, mapping_in, told_in, told_of
from torqueaudit.model.log.when import Moment, moment_in
from torqueaudit.model.procedure.toml.values import Table
from torqueaudit.model.torque.units import UnitTable


class LogMapping(NamedTuple):
    """What the columns of a log mean."""

    torque: Told
    decimal: str  # the sign before decimals in text, "." or ","
    unit: Told
    moment: Moment
    wrench: Told
    job: Told
    fastener: Told
    angle: Told
    final: Told  # the torque at the end of the angle
    stage: Told
    adapter: Told
    number: Told  # that the wrench itself gave the row
    file: FileForm = FileForm()

    @property
    def columns(self) -> tuple[str, ...]:
        """Every column that is read, each once."""
        told = (each.column for each in self if isinstance(each, Told))
        return tuple(dict.fromkeys(filter(None, (*told, *self.moment.columns))))


def read_mapping(text: str, units: UnitTable) -> LogMapping:
    """The mapping that a TOML text holds.

    Raises ValueError: the first error of TOML alone, else every mistake of meaning, each on a line of its own.
    """
    return mapping_in(text, lambda top: _mapping(top, units))


def _mapping(top: Table, units: UnitTable) -> LogMapping:
    torque = top.inner("torque")
    mapping = LogMapping(
        torque=told_in(torque, "torque", required=True, fixed=False),
        decimal=torque.choice("decimal", DECIMALS, "."),
        unit=told_of(top, "unit", required=True),
        moment=moment_in(top.inner("moment")),
        wrench=told_of(top, "wrench", required=True),
        job=told_of(top, "job", required=True),
        fastener=told_of(top, "fastener", required=True),
        angle=told_of(top, "angle", fixed=False),
        final=told_of(top, "final", fixed=False),
        stage=told_of(top, "stage"),
        adapter=told_of(top, "adapter"),
        number=told_of(top, "number", fixed=False),
        file=file_form(top.inner("file")),
    )
    torque.finish()
    look_at_units(top.inner("unit"), mapping.unit, units)
    return mapping
