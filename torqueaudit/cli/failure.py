"""What is said of a command that failed: a refusal in its own words, damage of the book by its name, an answer lost.

Only where the book was looked through and found sound is an error called a fault of the program alone.
"""

import errno

import click

from torqueaudit.book.address import Place
from torqueaudit.book.errors import BookError, damaged
from torqueaudit.cli.command import refusal
from torqueaudit.cli.common import MADE, RECORDED, TOLD_AGAIN
from torqueaudit.ledger.note import NoSignatures
from torqueaudit.model.act import Refused

RECORDED_UNANSWERED = 3  # the exit code of an act that is recorded while its answer could not be given

_OF_THE_OUTPUT = {errno.ENOSPC, errno.EDQUOT, errno.EFBIG, errno.EIO, errno.EBADF, errno.EPIPE}


class Unanswered(click.ClickException):
    """An act was recorded or a file made, and the answer was lost: it says which, and under which id it is found."""

    exit_code = RECORDED_UNANSWERED


def failure(context: click.Context, error: Exception) -> Exception:
    """What to raise for an error of a command: the error itself where it says enough, else one sentence."""
    recorded = context.meta.get(RECORDED)
    told = isinstance(error, click.ClickException | click.Abort | BrokenPipeError)
    made = context.meta.get(MADE) or (recorded and f"recorded under id {recorded}")
    if not made:
        return error if told else click.ClickException(sentence_of(error))
    says = f"{made}, and only the answer failed: {_why(error)}"
    if context.meta.get(TOLD_AGAIN):
        says += f"\nThe same act told again with --id {recorded} records nothing more, and is answered."
    return Unanswered(says)


def _why(error: Exception) -> str:
    if isinstance(error, click.ClickException):
        return error.format_message()
    if isinstance(error, click.Abort):
        return "it was stopped"
    return sentence_of(error)


def sentence_of(error: Exception) -> str:
    """What a person is told of an error."""
    if isinstance(error, Refused | BookError):
        return refusal(error)
    if isinstance(error, NoSignatures):
        return str(error)
    if isinstance(error, OSError) and error.filename is None and error.errno in _OF_THE_OUTPUT:
        return f"the answer could not be written ({error.strerror})"
    name = f"{type(error).__name__}: {error}"
    place = click.get_current_context().find_root().obj
    return _of_book_or_program(place, name) if place else f"this is a fault of the program ({name})"


def _of_book_or_program(place: Place, name: str) -> str:
    """Whose fault it was, as far as looking through the book tells."""
    says = f"this is a fault of the program ({name})"
    try:
        found = _faults(place)
    except BookError as error:
        return refusal(error)
    except Exception as error:  # noqa: BLE001 -- a book that cannot even be looked through
        return f"{says}, or {refusal(damaged(place, str(error)))}"
    if found:
        return refusal(damaged(place, found[0]))
    if found is None:
        return f"{says}; `torqueaudit ledger verify` tells whether {place} is sound"
    return f"{says}; {place} was looked through and is sound, so nothing recorded is lost"


def _faults(place: Place) -> list[str] | None:
    """What is wrong with the book; None where it is too large to be looked through at once."""
    from torqueaudit.workshop.door.looked_through import damage_of
    from torqueaudit.workshop.opening import open_workshop

    with open_workshop(place) as workshop:
        return damage_of(workshop.book)
