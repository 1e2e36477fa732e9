"""Write the documents that come from the code: `make docs`. With --check, say which differ and write nothing.

docs/commands.md comes from the commands themselves, docs/hooks.md from the docstrings of `torqueaudit.hooks`, and
docs/plugin-names.md from `torqueaudit.plugin`. docs/openapi.json is what a server gives at /openapi.json.
"""

import inspect
import json
import sys
from collections.abc import Iterator
from importlib import import_module
from importlib.metadata import distribution
from pathlib import Path

import click
from plugin_names import names_text

from torqueaudit import hooks
from torqueaudit.cli.main import COMMANDS, cli
from torqueaudit.web.programs.description import description

DOCS = Path(__file__).parents[1] / "docs"
OF_AN_ACT = ("by", "at", "ago", "act_id")
LEFT_OUT = {"help", "version", "as_json", *OF_AN_ACT}

COMMANDS_HEAD = """# Commands

Written from the code by `make docs`; a test holds it to the code.

Every command takes `--help`. The book's file is named with `torqueaudit --book FILE COMMAND` or in `TORQUEAUDIT_BOOK`.
Words in capitals are yours. "An act" is a command that records something. Every act takes these:

{acts}
Where it says "JSON", `--json` prints data in place of sentences. The keys of each answer are held as text by a test
(`tests/cli/test_json_keys.py`), so one goes or changes only with an entry in the changelog.

Exit code 0: done. 1: the workshop refused it (also a value that only it can judge, such as a torque in the unit of a
plugin, or a time zone), something is damaged or was missed. 2: what was typed cannot be read as it stands, or it could
not be audited. An act that ends with 1 or 2 recorded nothing, but for `import`, which has entered the rows that it did
not leave out. 3: **recorded, and only the answer was lost**; the same act told again with the `--id` that is named
records nothing more, and is answered.

**No specification comes from this program.** What it works out, it works out of the torque in your procedure.
"""

HOOKS_HEAD = """# Hooks

Written from the code by `make docs`; a test holds it to the code. [write-a-plugin.md](write-a-plugin.md) builds a whole
plugin with some of these.

A plugin is a module that an entry point of the group `torqueaudit` names. A hook is a function that a plugin may have,
marked with `@hookimpl`. Every hook is called with its arguments by name, and a plugin takes only those that it uses.
Each plugin is asked alone: one that raises is shown as trouble, and it stops the jobs concerned.

A plugin imports `torqueaudit.plugin`, its commands `torqueaudit.plugin.commands` and its tests `torqueaudit.testing`;
nothing else of torqueaudit is promised to stay. [plugin-names.md](plugin-names.md) says what there is. With
`REQUIRES = 1` in its module a plugin says for which version of them (`API_VERSION`) it was written: another version
does not load it.

A plugin may also add commands: entry points of the group `torqueaudit.commands`, imported only when they run.
"""


def own_commands() -> list[str]:
    """The commands of this project, in the order of the work; those of other installed plugins are theirs."""
    added = distribution("torqueaudit").entry_points.select(group="torqueaudit.commands")
    return [*COMMANDS, *sorted(each.name for each in added)]


def commands_text() -> str:
    """Every command: how it is used, what it does, and its options."""
    root = click.Context(cli, info_name="torqueaudit", terminal_width=1000)
    found = ((name, cli.get_command(root, name)) for name in own_commands())
    lines = [line for name, command in found if command for line in _command(command, name, root, 2)]
    return COMMANDS_HEAD.format(acts="\n".join(_acts(root)) + "\n") + "\n".join(lines) + "\n"


def _acts(root: click.Context) -> Iterator[str]:
    """The options of every act, as one of them has them."""
    group = cli.get_command(root, "fastener")
    act = group.get_command(root, "tighten") if isinstance(group, click.Group) else None
    if act is None:
        raise LookupError("there is no command to take the options of an act from")
    yield from _options(act, root, set(OF_AN_ACT))


def _command(command: click.Command, name: str, above: click.Context, depth: int) -> Iterator[str]:
    here = click.Context(command, info_name=name, parent=above, terminal_width=1000)
    arguments = "" if isinstance(command, click.Group) else " ".join(_arguments(command, here))
    yield f"\n{'#' * depth} `{here.command_path}`\n"
    if arguments:
        yield f"`{here.command_path} {arguments}`\n"
    yield _help(command)
    names = {each.name or "" for each in command.params}
    kinds = [word for word, has in (("An act.", names.issuperset(OF_AN_ACT)), ("JSON.", "as_json" in names)) if has]
    if kinds:
        yield f"\n{' '.join(kinds)}"
    options = list(_options(command, here, names - LEFT_OUT))
    if options:
        yield "\n" + "\n".join(options)
    if isinstance(command, click.Group):
        for inner in command.list_commands(here):
            found = command.get_command(here, inner)
            if found:
                yield from _command(found, inner, here, depth + 1)


def _arguments(command: click.Command, here: click.Context) -> Iterator[str]:
    return (word for each in command.params if isinstance(each, click.Argument) for word in each.get_usage_pieces(here))


def _help(command: click.Command) -> str:
    """A command's own words, one line for each paragraph."""
    paragraphs = inspect.cleandoc(command.help or "").split("\n\n")
    return "\n\n".join(" ".join(each.split()) for each in paragraphs)


def _options(command: click.Command, here: click.Context, names: set[str]) -> Iterator[str]:
    for each in command.params:
        told = each.get_help_record(here) if each.name in names and isinstance(each, click.Option) else None
        if told:
            yield " ".join(f"- `{told[0]}` {told[1]}".split())


def hooks_text() -> str:
    """Every hook: its arguments and answer, what its docstring says, and which bundled plugins have it."""
    parts = [_hook(name, function) for name, function in vars(hooks).items() if hasattr(function, "torqueaudit_spec")]
    return HOOKS_HEAD + "".join(parts)


def _hook(name: str, function: object) -> str:
    if not inspect.isfunction(function):
        raise TypeError(f"{name} is no function")
    signature = inspect.signature(function)
    told = ", ".join(f"{each.name}: {_type(each.annotation)}" for each in signature.parameters.values())
    users = ", ".join(f"`{each}`" for each in _users(name)) or "none"
    says = inspect.cleandoc(function.__doc__ or "")
    heading = f"\n## {name}({', '.join(signature.parameters)})\n"
    return f"{heading}\n`{name}({told}) -> {_type(signature.return_annotation)}`\n\n{says}\n\nBundled: {users}.\n"


def _type(annotation: object) -> str:
    return annotation if isinstance(annotation, str) else inspect.formatannotation(annotation)


def _users(hook: str) -> Iterator[str]:
    for each in sorted(
        distribution("torqueaudit").entry_points.select(group="torqueaudit"), key=lambda point: point.name
    ):
        if hasattr(getattr(import_module(each.value), hook, None), "torqueaudit_impl"):
            yield each.name


def main() -> None:
    """Write each document, or say which are not as the code has them."""
    differ = False
    documents = {
        "commands.md": commands_text(),
        "hooks.md": hooks_text(),
        "plugin-names.md": names_text(),
        "openapi.json": f"{json.dumps(description(), indent=1)}\n",
    }
    for name, text in documents.items():
        path = DOCS / name
        if path.exists() and path.read_text(encoding="utf-8") == text:
            continue
        differ = True
        if "--check" in sys.argv[1:]:
            click.echo(f"docs/{name} does not say what the code says; run `make docs` and look at what changed.")
        else:
            path.write_text(text, encoding="utf-8")
            click.echo(f"docs/{name} written")
    sys.exit(differ and "--check" in sys.argv[1:])


if __name__ == "__main__":
    main()
