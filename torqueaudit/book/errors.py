"""What can go wrong with a book, as sentences a person can act on."""

from torqueaudit.model.act import See, Topic, plainly


class BookError(Exception):
    """The book cannot be used or written: `says` is one sentence of what, where and what to do.

    `see` is what the sentence refers to.
    """

    def __init__(self, says: str, see: See | None = None) -> None:
        super().__init__(says, see)
        self.says = says
        self.see = see

    def __str__(self) -> str:
        """The sentence in plain words."""
        return plainly(self.says, self.see)


class IdUsed(BookError):
    """The act's id already stands in the ledger with something else said."""


class Lost(BookError):
    """The database did not answer: whether the act in hand is recorded is not known. The same act may be sent again."""


class Moved(Exception):
    """Somebody else wrote to a subject after it was read: the act starts over with what is there now."""

    def __init__(self, subject: str) -> None:
        super().__init__(f"{subject} has moved on since it was read")
        self.subject = subject


def damaged(place: object, what: str = "") -> BookError:
    """What is said of a book that is damaged: its place, what of it where that is known, and what to do."""
    return BookError(f"{place} is damaged{f' ({what})' if what else ''}", See(Topic.DAMAGE, str(place)))
