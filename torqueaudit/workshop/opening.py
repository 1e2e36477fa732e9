"""Making a book and opening it as a workshop."""

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import UTC, datetime
from random import Random, SystemRandom
from typing import Any

from torqueaudit.book.address import Place
from torqueaudit.book.book import Book
from torqueaudit.book.places import check_unused
from torqueaudit.model.act import UNSAID, Came, Say
from torqueaudit.plugins import Plugins, load_plugins
from torqueaudit.workshop.door.workshop import Workshop, settings_of

# The hooks that say what is shown of a job, and what a wrench is set to on the page that is kept for tightening.
SHOWN = ("review_job", "review_procedure", "record_panels", "correct_setting")


def now() -> datetime:
    """The real clock, to the second, as entries hold it."""
    return datetime.now(UTC).replace(microsecond=0)


@contextmanager
def open_workshop(
    place: Place,
    *,
    clock: Callable[[], datetime] = now,
    chance: Random | None = None,
    plugins: Plugins | None = None,
) -> Iterator[Workshop]:
    """A book opened as a workshop, with the plugins it does not block, and closed after. Raises BookError."""
    chance = chance or SystemRandom()
    with Book.open(place, clock, chance) as book:
        yield Workshop(book, plugins or load_plugins(settings_of(book).blocked_plugins), clock, chance)


def new_workshop(
    place: Place,
    site: str,
    settings: dict[str, Any],
    *,
    clock: Callable[[], datetime] = now,
    chance: Random | None = None,
    came: Came = UNSAID,
) -> None:
    """Make a book for one site and record its first settings, with the plugins it expects from now on.

    Raises BookError or Refused; nothing is left behind then.
    """
    from torqueaudit.workshop.register.settings import settle

    chance = chance or SystemRandom()
    plugins = load_plugins()
    expected = sorted(name for name, state in plugins.states.items() if state.state == "loaded")
    with Book.new(place, site, clock, chance) as book:
        workshop = Workshop(book, plugins, clock, chance)
        try:
            check_unused(book.path)
            settle(workshop, {**settings, "expected_plugins": expected}, Say("setup", came=came))
        except BaseException:
            book.close()
            Book.unmake(place, site)
            raise


def keep_works(workshop: Workshop) -> None:
    """Let a workshop keep what it judges for many questions, as a server does.

    Not where a plugin may say something new although nothing was recorded: then everything is judged anew each time.
    """
    from torqueaudit.workshop.door.kept import Works  # a command asks once

    workshop.kept = None if workshop.plugins.unsteady(*SHOWN) else Works(workshop.book, workshop.clock)
