"""PINs at the command line: asked without showing them, or read from a file that its owner alone may read."""

import os
import sys
from pathlib import Path

import click

from torqueaudit.book.own_file import others_may_read
from torqueaudit.workshop.door.workshop import Workshop
from torqueaudit.workshop.signing.pins import require_good, require_pin

PIN_FILE = "TORQUEAUDIT_PIN_FILE"
_LONGEST = 64  # bytes of such a file


def prove(workshop: Workshop, by: str) -> None:
    """Ask for the PIN of whoever speaks. Raises Refused, and a usage error where none can be asked."""
    named = os.environ.get(PIN_FILE)
    require_pin(workshop, "", by, pin_in(Path(named)) if named else _asked(f"PIN of {by}", f"that {PIN_FILE} names"))


def new_pin(person: str) -> str:
    """A new PIN, asked for twice. Raises Refused for what is none, and a usage error where none can be asked."""
    told = _asked(f"New PIN of {person}, six digits", "that --pin-file names")
    require_good(told)
    if _asked("The same once more", "") != told:
        raise click.UsageError("the two are not the same; nothing was set")
    return told


def pin_in(file: Path) -> str:
    """The PIN in a file. Raises a usage error for one that others may read, or that cannot be read."""
    try:
        with file.open("rb") as opened:
            if others_may_read(opened.fileno()):
                raise click.UsageError(f"others may read {file}, which holds a PIN; allow it to its owner alone")
            return opened.read(_LONGEST).decode("ascii", "replace").strip()
    except OSError as error:
        raise click.UsageError(f"{file} cannot be read: {error.strerror}") from None


def _asked(what: str, file: str) -> str:
    if not sys.stdin or not sys.stdin.isatty():
        raise click.UsageError(f"{what}: it is asked for at a terminal; a script gives it in a file {file}")
    return str(click.prompt(what, hide_input=True, err=True))
