"""What the calculators of `torqueaudit chain` share: how they read options and how they answer."""

import json
from collections.abc import Callable
from decimal import Decimal
from fractions import Fraction
from typing import Any, NamedTuple, TypeVar

import click

from torqueaudit.plugin import MOST_IN, format_number, read_decimal
from torqueaudit_plugins.final_drive.calc.sprockets import PITCHES_MM, Drive, drive_of, pitch_of

WARNINGS = (
    "The maker's manual and the model's own limits prevail.",
    "Never turn the chain with the engine: fingers are drawn in. Turn the wheel by hand.",
)
AS_A_SET = "Chain and both sprockets are replaced together (common practice, no source)."
DIGITS = 12  # of a number in JSON
LENGTHS_MM = {  # the longer names first, for one may end like another
    "mm": Decimal(1),
    "cm": Decimal(10),
    "inches": Decimal("25.4"),
    "inch": Decimal("25.4"),
    "in": Decimal("25.4"),
    '"': Decimal("25.4"),
    "″": Decimal("25.4"),
}

Told = TypeVar("Told", bound=Callable[..., Any])


class Answer(NamedTuple):
    """The same answer twice: as JSON and as lines for a person; `warnings` come before the standing ones."""

    content: dict[str, Any]
    lines: tuple[str, ...]
    warnings: tuple[str, ...] = ()


class Calculator(click.Command):
    """A command that tells an input that cannot be used as wrong use, in one sentence."""

    def invoke(self, ctx: click.Context) -> Any:
        """Run it. Raises a usage error for every ValueError."""
        try:
            return super().invoke(ctx)
        except ValueError as mistake:
            raise click.UsageError(str(mistake), ctx) from mistake


class Number(click.ParamType[Decimal]):
    """A plain number with comma or point, and its unit behind it if one likes: "288", "288,0 mm"."""

    name = "number"

    def __init__(self, unit: str = "mm") -> None:
        self.unit = unit

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> Decimal:
        """The number. Raises a usage error with a sentence."""
        if isinstance(value, Decimal):
            return value
        try:
            return read_number(str(value), self.unit, param.opts[0] if param else "the number")
        except ValueError as mistake:
            raise click.UsageError(str(mistake), ctx) from mistake


MM = Number()


def read_number(text: str, unit: str, what: str) -> Decimal:
    """A plain number with or without its unit behind it; a length may be told in cm or inches as well.

    Raises ValueError with a sentence that begins with `what`.
    """
    written = text.strip()
    if unit == "mm":
        for other, in_mm in LENGTHS_MM.items():
            if written.endswith(other):
                number = written.removesuffix(other).rstrip()
                return read_decimal(number, what, MOST_IN[unit] / in_mm) * in_mm
    return read_decimal(written.removesuffix(unit).rstrip(), what, MOST_IN.get(unit))


def pitch_options(command: Told) -> Told:
    """The options --pitch and --chain, of which `pitch_mm` makes a pitch."""
    sizes = ", ".join(PITCHES_MM)
    chain = click.option("--chain", "size", metavar="SIZE", help=f"In place of --pitch: {sizes}.")
    return click.option("--pitch", type=MM, metavar="MM", help="Pitch of the chain.")(chain(command))


def drive_options(command: Told) -> Told:
    """The options --front, --rear and those of the pitch, of which `drive_from` makes a drive."""
    rear = click.option("--rear", type=int, required=True, metavar="TEETH", help="Teeth of the rear sprocket.")
    front = click.option("--front", type=int, required=True, metavar="TEETH", help="Teeth of the front sprocket.")
    return front(rear(pitch_options(command)))


json_option = click.option("--json", "as_json", is_flag=True, help="Print as JSON, with decimal strings.")
thread_option = click.option(
    "--adjuster-pitch", type=MM, metavar="MM", help="Thread pitch of the adjusters: say also turns and flats."
)


def pitch_mm(pitch: Decimal | None, size: str | None) -> Decimal:
    """The pitch that the options name. Raises ValueError, with a sentence, unless exactly one is given."""
    if pitch is not None and size is None:
        return pitch
    if size is None or pitch is not None:
        raise ValueError("give the chain's pitch once: --pitch 15.875, or its size, --chain 520")
    return pitch_of(size)


def drive_from(front: int, rear: int, pitch: Decimal | None, size: str | None) -> Drive:
    """The drive that the options name. Raises ValueError with a sentence."""
    return drive_of(front, rear, float(pitch_mm(pitch, size)))


def exact(number: float | Decimal | Fraction) -> str:
    """A number as it stands in JSON: up to 12 significant digits, without exponent."""
    return format_number(Fraction(number), DIGITS)


def places(number: float | Decimal | Fraction, count: int) -> str:
    """A number for a person, rounded to so many places, without zeros at the end and without a minus before zero."""
    return format_number(round(Fraction(number), count), DIGITS)


def show(answer: Answer, *, as_json: bool) -> None:
    """Print an answer, the warnings last."""
    warnings = (*answer.warnings, *WARNINGS)
    if as_json:
        click.echo(json.dumps({**answer.content, "warnings": warnings}, ensure_ascii=False))
    else:
        click.echo("\n".join((*answer.lines, *warnings)))
