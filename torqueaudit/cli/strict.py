"""What click by itself takes in silence and this program refuses.

These are an option told twice, a count in other digits, and words with a sign that nobody sees.

Of an option told twice click takes the last value, and of a whole number digits of every script, and underscores. The
root group asks every command on the way to the one that is run, also those that plugins bring.
"""

import os
import re
from collections.abc import Iterator, Sequence
from copy import copy
from pathlib import Path
from typing import Any

import click

from torqueaudit.signs import require_seen, seen

# Asked here and not in a type of our own, which an author of a plugin would have to think of.
_NUMBERS = (type(click.INT), type(click.FLOAT))


class Strict(click.Command):
    """A command that refuses what nobody can have meant."""

    def parse_args(self, ctx: click.Context, args: list[str]) -> list[str]:
        """What click reads. Raises a usage error for what click would take in silence."""
        if ctx.resilient_parsing:
            return super().parse_args(ctx, args)
        for says in (*_no_words(args), *_refused(self.params, ctx, args)):
            raise click.UsageError(says, ctx)
        rest = super().parse_args(ctx, args)
        for each in self.get_params(ctx):
            _require_seen(each, ctx.params.get(each.name or ""), ctx)
        return rest


class StrictGroup(Strict, click.Group):
    """A group that asks it of the commands below it."""

    def resolve_command(
        self, ctx: click.Context, args: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        """The command of the first word, with the words left over."""
        name, command, rest = super().resolve_command(ctx, args)
        return name, command and strict(command), rest


def strict(command: click.Command) -> click.Command:
    """The command itself, whoever made it, with its own class behind `Strict`."""
    if not isinstance(command, Strict):
        kind = type(command)
        before = StrictGroup if isinstance(command, click.Group) else Strict
        command.__class__ = type(kind.__name__, (before, kind), {})
    return command


def _require_seen(param: click.Parameter, value: object, ctx: click.Context) -> None:
    """Raise a usage error for words with a sign that nobody sees, also those of an environment variable.

    A file is named as it is named.
    """
    if isinstance(value, list | tuple):
        for each in value:
            _require_seen(param, each, ctx)
    elif isinstance(value, str | Path) and not isinstance(param.type, click.Path):
        try:
            require_seen(str(value), _name_of(param))
        except ValueError as error:
            raise click.UsageError(str(error), ctx) from None


def _no_words(args: Sequence[str]) -> Iterator[str]:
    """A sentence for what no shell hands over, and no file is named: a null, or half a character of no file's name."""
    for word in args:
        try:
            typed = b"\0" not in os.fsencode(word)
        except UnicodeEncodeError:
            typed = False
        if not typed:
            yield f"{seen(word)}: no word and no name of a file holds such a sign; write it without"


def _name_of(param: click.Parameter) -> str:
    return param.opts[-1] if isinstance(param, click.Option) else param.human_readable_name


def _refused(params: Sequence[click.Parameter], ctx: click.Context, args: list[str]) -> Iterator[str]:
    """A sentence for each option of one value that is told more than once, and each count that is not in 0 to 9."""
    once = [each for each in params if isinstance(each, click.Option) and not each.multiple and not each.count]
    counts = [each for each in params if isinstance(each.type, _NUMBERS)]
    if not counts and sum(word.startswith("-") for word in args) < 2:  # noqa: PLR2004 -- twice
        return
    told = _all_told(params, once, ctx, args)
    for option in once:
        yield from _told_twice(option, told.get(option.name or "", []))
    for each in counts:
        values = told.get(each.name or "")
        yield from _no_count(each, values if isinstance(values, list | tuple) else [values])


def _told_twice(option: click.Option, values: Sequence[Any]) -> Iterator[str]:
    if option.is_flag and len(set(values)) > 1:
        yield f"{option.opts[-1]} and {option.secondary_opts[-1]} were both told; say one of them"
    elif not option.is_flag and len(values) > 1:
        times = "twice" if len(values) == 2 else f"{len(values)} times"  # noqa: PLR2004 -- twice
        yield f"{option.opts[-1]} was told {times} ({', '.join(map(_written, values))}); say it once"


def _no_count(param: click.Parameter, values: Sequence[Any]) -> Iterator[str]:
    """A sentence for what int() and float() read, and nobody wrote as a number."""
    name = _name_of(param)
    for value in values:
        if isinstance(value, str) and (not value.isascii() or "_" in value) and re.search(r"\d", value):
            yield f"{name}: {value} is not written in the digits 0 to 9; write it like 12"


def _all_told(
    params: Sequence[click.Parameter], options: Sequence[click.Option], ctx: click.Context, args: list[str]
) -> dict[str, list[Any]]:
    """Every value told of each option; nothing where click refuses the words anyway, in its own sentence."""
    reader = click.Command(ctx.info_name, params=[_many(each) if each in options else each for each in params])
    try:
        told, _, _ = reader.make_parser(ctx).parse_args(list(args))
    except click.UsageError:
        return {}
    return dict(told)


def _many(option: click.Parameter) -> click.Parameter:
    """The same option, to be told as often as one likes."""
    many = copy(option)
    many.multiple = True
    return many


def _written(value: object) -> str:
    return " ".join(map(str, value)) if isinstance(value, tuple) else str(value)
