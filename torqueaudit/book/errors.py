"""What can go wrong with a book, as sentences a person can act on."""


class BookError(Exception):
    """The book cannot be used or written; the text is one sentence: what, where, what to do."""


class IdUsed(BookError):
    """The act's id already stands in the ledger with something else said."""


class Moved(Exception):
    """Somebody else wrote to a subject after it was read: the act starts over with what is there now."""

    def __init__(self, subject: str) -> None:
        super().__init__(f"{subject} has moved on since it was read")
        self.subject = subject
