"""`torqueaudit`: the group of all commands. Hardly more than click is imported until a command runs."""

import os
import sys
from contextlib import suppress
from errno import EBADF
from functools import cache
from importlib import import_module
from io import TextIOWrapper
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from torqueaudit.cli.place import PLACE
from torqueaudit.cli.strict import StrictGroup
from torqueaudit.installed import Offered, installed
from torqueaudit.signs import seen

if TYPE_CHECKING:
    from torqueaudit.book.address import Place

ADDED = "torqueaudit.commands"  # the entry points with which plugins add commands

# Command to where it lives and what `--help` says of it, so that help imports none of them.
COMMANDS = {
    "new": ("torqueaudit.cli.new:new", "Make a book for a workshop."),
    "settings": ("torqueaudit.cli.settings:settings", "Show or change what the workshop has chosen."),
    "person": ("torqueaudit.cli.person:person", "People who record and check."),
    "device": ("torqueaudit.cli.device:device", "Phones and tablets on which people sign."),
    "program": ("torqueaudit.cli.program:program", "Other programs that read this book."),
    "vehicle": ("torqueaudit.cli.vehicle:vehicle", "Motorcycles that come in."),
    "wrench": ("torqueaudit.cli.wrench:wrench", "Torque wrenches."),
    "procedure": ("torqueaudit.cli.procedure:procedure", "Documented ways to do the work."),
    "job": ("torqueaudit.cli.job:job", "Open, list and show jobs; release, hand over, strike."),
    "fastener": ("torqueaudit.cli.fastener:fastener", "Tighten, confirm, loosen, mark a fastener."),
    "tightening": ("torqueaudit.cli.tightening:tightening", "Show what was applied, and how that is known."),
    "step": ("torqueaudit.cli.step:step", "Record a step done or looked at."),
    "measurement": ("torqueaudit.cli.measurement:measurement", "Record a dimension taken."),
    "part": ("torqueaudit.cli.part:part", "Record a part fitted."),
    "photo": ("torqueaudit.cli.photo:photo", "Keep, list and erase photos of work."),
    "check": ("torqueaudit.cli.check:check", "Record an independent check."),
    "concession": ("torqueaudit.cli.concession:concession", "Grant a permission in spite of one finding."),
    "ride": ("torqueaudit.cli.ride:ride", "Report a ride after the hand-over."),
    "recheck": ("torqueaudit.cli.recheck:recheck", "Conclude the look after the first ride."),
    "remind": ("torqueaudit.cli.remind:remind", "Send the reminders of re-checks that are due."),
    "import": ("torqueaudit.cli.import_log:import_log", "Read what an electronic torque wrench has logged."),
    "move-in": ("torqueaudit.cli.move_in:move_in", "Enter vehicles or wrenches from a list of your own."),
    "disclosures": ("torqueaudit.cli.disclosures:disclosures", "Show who was shown what is known of whom."),
    "undo": ("torqueaudit.cli.undo:undo", "Take back the last act of a job."),
    "find": ("torqueaudit.cli.find:find", "Find anything by words: plate, name, lot, remark, day."),
    "today": ("torqueaudit.cli.today:today", "Show what is to be decided now."),
    "signed": ("torqueaudit.cli.signed:signed", "Show what was signed for in some days, by whom."),
    "nightly": ("torqueaudit.cli.nightly:nightly", "Write the nightly report of what was missed."),
    "publish": ("torqueaudit.cli.publish:publish", "Write the owner's pages as plain files."),
    "serve": ("torqueaudit.cli.serve:serve", "Answer the labels' addresses with their records."),
    "install-units": ("torqueaudit.cli.install_units:install_units", "Write units of systemd, to run by itself."),
    "ledger": ("torqueaudit.cli.ledger:ledger", "Verify, prove and show the ledger."),
    "book": ("torqueaudit.cli.book:book", "Back up, put back, export the book."),
    "plugins": ("torqueaudit.cli.plugins:plugins", "List the plugins and their state."),
    "completion": ("torqueaudit.cli.completion:completion", "Print shell completion."),
}


class Lazy(StrictGroup):
    """A group that imports a command only to run it, and tells every refusal as one sentence."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        """The built-in commands in the order of the work, then those of plugins."""
        del ctx
        return [*COMMANDS, *(name for name in _added() if name not in COMMANDS)]

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        """The command of a name; None where there is none."""
        del ctx
        if cmd_name in COMMANDS:
            module, _, name = COMMANDS[cmd_name][0].partition(":")
            found = getattr(import_module(module), name)
        elif cmd_name in _added():
            found = _load(cmd_name)
        else:
            return None
        return found if isinstance(found, click.Command) else None

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        """The list of commands, without importing any."""
        rows = [
            (name, COMMANDS[name][1] if name in COMMANDS else _first_line(name)) for name in self.list_commands(ctx)
        ]
        with formatter.section("Commands"):
            formatter.write_dl(rows)

    def invoke(self, ctx: click.Context) -> Any:  # click's own signature
        """Run a command; whatever went wrong becomes a sentence on stderr, and an act that is recorded says so."""
        try:
            done = super().invoke(ctx)
        except click.exceptions.Exit as ended:
            if sys.stdout is not None or ended.exit_code:
                raise
            done = None
        except KeyboardInterrupt:
            raise _failure(ctx, click.Abort()) from None
        except Exception as error:
            raise _failure(ctx, error) from error
        if sys.stdout is None:  # it was closed before, and click passes over that in silence
            raise _failure(ctx, OSError(EBADF, "the output is closed"))
        return done


def _failure(ctx: click.Context, error: Exception) -> Exception:
    from torqueaudit.cli.failure import failure  # most commands succeed

    return failure(ctx, error)


@cache
def _added() -> dict[str, Offered]:
    """Commands that plugins add, not imported yet; the first of two with one name, in the order of their values."""
    found: dict[str, Offered] = {}
    for entry in sorted(installed(ADDED), key=lambda each: (each.name, each.value)):
        found.setdefault(entry.name, entry)
    return found


def _load(name: str) -> object:
    entry = _added()[name]
    try:
        return entry.load()
    except Exception as error:
        raise click.ClickException(f"the command {name} of {entry.value} cannot be loaded: {error}") from error


def _first_line(name: str) -> str:
    """The first line of the docstring of the module that holds a plugin's command, read without running it."""
    import ast

    try:
        text = ast.get_docstring(ast.parse(_source(_added()[name].module).read_text(encoding="utf-8")))
    except (ImportError, OSError, SyntaxError, ValueError):
        return "This plugin's command cannot be read."
    return (text or "").partition("\n")[0].partition(": ")[2].capitalize()


def _source(module: str) -> Path:
    """The file of a module, found from its top package, which is not imported. Raises OSError where there is none."""
    from importlib.util import find_spec

    top, *below = module.split(".")
    spec = find_spec(top)
    if spec and spec.origin and not below:
        return Path(spec.origin)
    places = [Path(place).joinpath(*below) for place in (spec and spec.submodule_search_locations) or ()]
    files = [file for place in places for file in (place.with_suffix(".py"), place / "__init__.py")]
    found = next((file for file in files if file.is_file()), None)
    if found is None:
        raise FileNotFoundError(module)
    return found


@click.group(cls=Lazy, context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(package_name="torqueaudit")
@click.option(
    "--book",
    "place",
    type=PLACE,
    envvar="TORQUEAUDIT_BOOK",
    help="The book's file, or postgresql://MACHINE/DATABASE?site=SITE (TORQUEAUDIT_BOOK).",
)
@click.pass_context
def cli(ctx: click.Context, place: "Place | None") -> None:
    """Torque and fastener records for a motorcycle workshop.

    The vehicle maker's manual, local rules and licensed practice come first. No specification comes from this program.
    """
    ctx.obj = place


def main() -> None:
    """Run the command line: wrong use and refusals are one sentence on stderr."""
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, TextIOWrapper):  # a sign that the terminal does not have keeps nothing from being said
            stream.reconfigure(errors="backslashreplace")
    try:
        done = cli.main(standalone_mode=False)
        code = done if isinstance(done, int) else 0
    except click.ClickException as error:
        from torqueaudit.cli.mistyped import sentence_of_use

        code = error.exit_code
        _say(seen(sentence_of_use(error), lines=True))
    except click.Abort:
        code = 1
        _say("Stopped.")
    except BrokenPipeError:  # whoever read, such as `head`, has read enough
        code = 1
    except OSError as error:  # of what click itself prints, such as the help
        code = 1
        _say(f"Error: the answer could not be written ({error.strerror}).")
    sys.exit(code if _written() else code or 1)


def _say(says: str) -> None:
    """Say it, where there is anything that takes it: the exit code tells it too."""
    with suppress(OSError):
        click.echo(says, err=True)


def _written() -> bool:
    """Whether all output was taken; what was not is put aside, for Python would say so once more at the end."""
    written = True
    for stream in (sys.stdout, sys.stderr):
        try:
            if stream is not None:
                stream.flush()
        except OSError:
            written = False
            os.dup2(os.open(os.devnull, os.O_WRONLY), stream.fileno())
    return written
