"""What a page says that failed and nobody foresaw it: that the book is damaged, or that the program has a fault."""

from threading import Lock
from time import monotonic

from torqueaudit.book.book import Book
from torqueaudit.book.errors import BookError
from torqueaudit.web.told import Told
from torqueaudit.workshop.door.looked_through import damage_of

KEPT = 60  # seconds; a page that fails is asked for again and again


_ASK = "Tell the workshop which label it was, and ask what is due."
DAMAGED = Told("The book is damaged", f"What it holds of this label cannot be shown. {_ASK}", 503)
FAULT = Told("A fault of the program", f"Nothing was changed, and what was recorded is safe. {_ASK}", 500)
EITHER = Told("A fault of the program, or of the book", f"Nothing was changed, and nobody has looked yet. {_ASK}", 500)


class WhoseFault:
    """Tells which of the three it is, and looks through the book once a minute at most."""

    def __init__(self, book: Book) -> None:
        self._book = book
        self._one_by_one = Lock()
        self._told, self._until = EITHER, 0.0

    def told(self) -> Told:
        """Give what is to be said now."""
        with self._one_by_one:
            if monotonic() >= self._until:
                self._told = self._look()
                self._until = monotonic() + KEPT
            return self._told

    def _look(self) -> Told:
        try:
            found = damage_of(self._book)
        except BookError:
            return DAMAGED
        except Exception:  # noqa: BLE001  # whatever failed before may fail here too
            return EITHER
        if found is None:
            return EITHER
        return DAMAGED if found else FAULT
