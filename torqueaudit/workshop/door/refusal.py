"""How what cannot be read is refused."""

from collections.abc import Iterator, Mapping
from contextlib import contextmanager

from torqueaudit.book.errors import BookError
from torqueaudit.ledger.words import FreeWords
from torqueaudit.model.act import Refused, See, Topic
from torqueaudit.signs import require_seen


@contextmanager
def refused_if_unreadable() -> Iterator[None]:
    """What a reader raises inside becomes Refused, in the reader's own sentence."""
    try:
        yield
    except ValueError as error:
        raise Refused(str(error)) from None


def why_of(error: Exception) -> str:
    """What went wrong with something that could not be read, as it stands in brackets."""
    return error.says.rstrip(".") if isinstance(error, BookError) else f"{type(error).__name__}: {error}".rstrip(".")


def nobody(number: str) -> Refused:
    """The refusal of a number that nobody here has."""
    return Refused(f"{number}: nobody of that number works here", See(Topic.PEOPLE))


def refuse_unseen(told: object, what: str, *, lines: bool = False) -> None:
    """Refuse whatever was told with a sign that nobody sees, wherever in it. Raises Refused.

    `what` is its name where it stands in none; a text of several `lines` may have these.
    """
    if isinstance(told, FreeWords):
        told = told.text
    if isinstance(told, str):
        with refused_if_unreadable():
            require_seen(told, what.replace("_", " "), lines=lines)
    elif isinstance(told, Mapping):
        for field, item in told.items():
            refuse_unseen(str(field), what)
            refuse_unseen(item, str(field), lines=lines)
    elif isinstance(told, list | tuple):
        for item in told:
            refuse_unseen(item, what, lines=lines)
