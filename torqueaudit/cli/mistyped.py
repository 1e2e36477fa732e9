"""What is said of wrong use: of a command or an option that there is not, the one that was probably meant."""

import re

import click
from click.exceptions import NoSuchCommand, NoSuchOption

from torqueaudit.model.nearest import did_you_mean, near

LONGEST = 300  # signs without a space in a sentence; a path has seldom as many
SHOWN = 60  # of the first and of the last signs of a longer one


def sentence_of_use(error: click.ClickException) -> str:
    """Wrong use in one sentence, short whatever was typed."""
    return re.sub(rf"[^\s:;,]{{{LONGEST},}}", lambda found: f"{found[0][:SHOWN]}…{found[0][-SHOWN:]}", _sentence(error))


def _sentence(error: click.ClickException) -> str:
    if isinstance(error, NoSuchCommand) and error.ctx:
        return f"{error.command_name}: {_no_command(error.ctx, error.command_name)}"
    if isinstance(error, NoSuchOption) and error.ctx:
        known = [
            name for each in error.ctx.command.get_params(error.ctx) for name in (*each.opts, *each.secondary_opts)
        ]
        options = [name for name in known if name.startswith("--")]
        said = f"{error.option_name}: `{error.ctx.command_path}` has no such option"
        return f"{said}; {did_you_mean(error.option_name, options)}"
    return error.format_message()


def _no_command(context: click.Context, word: str) -> str:
    """The nearest command beside it, else those of that name elsewhere."""
    group, top = context.command, context.find_root()
    own = group.list_commands(context) if isinstance(group, click.Group) else []
    whole = _commands_below(top)
    said = f"`{context.command_path}` has no such command" if context.parent else "no such command"
    meant = near(word, [*own, *whole] if context is top else own) or [word]
    written = [f"{context.command_path} {each}" for each in meant if each in own]
    written += [f"{top.command_path} {each}" for name in meant if name not in own for each in whole.get(name, ())]
    if written:
        return f"{said}; did you mean {' or '.join(f'`{each}`' for each in written)}?"
    return f"{said}; `{context.command_path} --help` lists them"


def _commands_below(top: click.Context) -> dict[str, list[str]]:
    """Each command of a group, by its own name, with all it is typed as: "show", ["job show", "wrench show"]."""
    found: dict[str, list[str]] = {}
    group = top.command
    if not isinstance(group, click.Group):
        return found
    for name in group.list_commands(top):
        try:
            noun = group.get_command(top, name)
        except click.ClickException:  # a plugin's, and it cannot be loaded
            continue
        for own in noun.commands if isinstance(noun, click.Group) else ():
            found.setdefault(own, []).append(f"{name} {own}")
    return found
