"""Values of arguments and options that are read as people type them: numbers, and one of a few words."""

from collections.abc import Callable, Iterable

import click

from torqueaudit.read.number import read_person_number, read_vehicle_number, read_wrench_number
from torqueaudit.read.words import read_word


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
        self._reader = reader or (lambda text: read_word(text, self.choices))

    def convert(self, value: str, param: click.Parameter | None, ctx: click.Context | None) -> str:
        """The word itself. Raises a usage error with the sentence of its reader, behind the option's name."""
        try:
            return str(self._reader(value))
        except ValueError as error:
            option = f"{param.opts[0]} " if isinstance(param, click.Option) else ""
            raise click.UsageError(f"{option}{error}", ctx) from None


PERSON = Number("person", read_person_number)
VEHICLE = Number("vehicle", read_vehicle_number)
WRENCH = Number("wrench", read_wrench_number)
