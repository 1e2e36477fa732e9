"""How what cannot be read is refused."""

from collections.abc import Iterator
from contextlib import contextmanager

from torqueaudit.model.act import Refused


@contextmanager
def refused_if_unreadable() -> Iterator[None]:
    """What a reader raises inside becomes Refused, in the reader's own sentence."""
    try:
        yield
    except ValueError as error:
        raise Refused(str(error)) from None
