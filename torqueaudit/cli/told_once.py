"""An option that holds one value and is told twice is refused; by itself click takes the last, and says nothing.

The root group asks it of every command on the way to the one that is run, also of those that plugins bring.
"""

from collections.abc import Iterator, Sequence
from copy import copy
from typing import Any

import click


class Once(click.Command):
    """A command each of whose options is told once, unless it is made to be told several times."""

    def parse_args(self, ctx: click.Context, args: list[str]) -> list[str]:
        """What click reads. Raises a usage error for an option that is told twice."""
        if not ctx.resilient_parsing:
            for says in _told_twice(self.params, ctx, args):
                raise click.UsageError(says, ctx)
        return super().parse_args(ctx, args)


class OnceGroup(Once, click.Group):
    """A group that asks it of the commands below it."""

    def resolve_command(
        self, ctx: click.Context, args: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        """The command of the first word, with the words left over."""
        name, command, rest = super().resolve_command(ctx, args)
        return name, command and told_once(command), rest


def told_once(command: click.Command) -> click.Command:
    """The command itself, whoever made it, with its own class behind `Once`."""
    if not isinstance(command, Once):
        kind = type(command)
        before = OnceGroup if isinstance(command, click.Group) else Once
        command.__class__ = type(kind.__name__, (before, kind), {})
    return command


def _told_twice(params: Sequence[click.Parameter], ctx: click.Context, args: list[str]) -> Iterator[str]:
    """A sentence for each option of one value that is told more than once."""
    if sum(word.startswith("-") for word in args) < 2:  # noqa: PLR2004 -- twice
        return
    options = [each for each in params if isinstance(each, click.Option) and not each.multiple and not each.count]
    told = _all_told(params, options, ctx, args)
    for option in options:
        values = told.get(option.name or "", [])
        if option.is_flag and len(set(values)) > 1:
            yield f"{option.opts[-1]} and {option.secondary_opts[-1]} were both told; say one of them"
        elif not option.is_flag and len(values) > 1:
            times = "twice" if len(values) == 2 else f"{len(values)} times"  # noqa: PLR2004 -- twice
            yield f"{option.opts[-1]} was told {times} ({', '.join(map(_written, values))}); say it once"


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
