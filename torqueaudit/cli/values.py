"""Values of arguments and options that are read as people type them: numbers, and one of a few words."""

from collections.abc import Callable, Iterable
from typing import TYPE_CHECKING, Any, TypeVar

import click

from torqueaudit.read.number import (
    read_device_number,
    read_known_number,
    read_locked_number,
    read_person_number,
    read_program_number,
    read_vehicle_number,
    read_wrench_number,
)

if TYPE_CHECKING:
    from torqueaudit.model.vehicle.instrument import Run

C = TypeVar("C", bound=Callable[..., Any])


class Number(click.ParamType[str]):
    """The number of a person, a vehicle or a wrench."""

    def __init__(self, name: str, reader: Callable[[str], str]) -> None:
        self.name = name
        self._reader = reader

    def convert(self, value: str, param: click.Parameter | None, ctx: click.Context | None) -> str:
        """The number as the book has it."""
        del param, ctx
        return self._reader(value)


class OneOf(click.Choice[str]):
    """One of a few words; `reader` knows how else people say them."""

    def __init__(self, words: Iterable[str], reader: Callable[[str], str] | None = None) -> None:
        super().__init__([str(word) for word in words])
        self._reader = reader or self._one_of

    def convert(self, value: str, param: click.Parameter | None, ctx: click.Context | None) -> str:
        """The word itself. Raises a usage error with the sentence of its reader, behind the option's name."""
        try:
            return str(self._reader(value))
        except ValueError as error:
            option = f"{param.opts[0]} " if isinstance(param, click.Option) else ""
            raise click.UsageError(f"{option}{error}", ctx) from None

    def _one_of(self, text: str) -> str:
        from torqueaudit.read.words import read_word  # where nobody types a word, none is read

        return read_word(text, self.choices)


class ReadOff(click.ParamType["Run"]):
    """What an odometer or an hour meter shows, in whole metres or minutes."""

    name = "distance"

    def convert(self, value: "str | Run", param: click.Parameter | None, ctx: click.Context | None) -> "Run":
        """The metres, or the hours. Raises a usage error with the sentence of its reader."""
        del param
        from torqueaudit.read.odometer import read_run  # few commands take one

        try:
            return read_run(value) if isinstance(value, str) else value
        except ValueError as error:
            raise click.UsageError(str(error), ctx) from None


class PrintedHead(click.ParamType[str]):
    """A head as it was printed, in any case and with spaces."""

    name = "head"

    def convert(self, value: str, param: click.Parameter | None, ctx: click.Context | None) -> str:
        """The head as the ledger writes it. Raises a usage error: exit code 1 would say that the book is damaged."""
        from torqueaudit.ledger.chain import head_of  # few commands take one

        try:
            return str(head_of(value))
        except ValueError as error:
            option = param.opts[0] if param else "a head"
            raise click.UsageError(f"{option}: {error}", ctx) from None


def odometer_option(what: str) -> Callable[[C], C]:
    """`--odometer`, and `--sure` for one that does not fit what was read off the vehicle before.

    Whether one is needed depends on the vehicle, so that the act itself asks for it.
    """

    def with_odometer(command: C) -> C:
        sure = click.option(
            "--sure", is_flag=True, help="The odometer is so, although it fits none that was read before."
        )
        return click.option("--odometer", type=ReadOff(), help=f"{what} In h by an hour meter.")(sure(command))

    return with_odometer


PERSON = Number("person", read_person_number)
HEAD = PrintedHead()
VEHICLE = Number("vehicle", read_vehicle_number)
WRENCH = Number("wrench", read_wrench_number)
DEVICE = Number("device", read_device_number)
PROGRAM = Number("program", read_program_number)
LOCKED = Number("person or device", read_locked_number)
KNOWN = Number("vehicle or person", read_known_number)
