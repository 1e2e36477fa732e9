"""Whose fault it was when something failed that nobody foresaw: the book is looked through."""

from torqueaudit.book.book import Book

MOST_LOOKED_THROUGH = 50_000  # entries; some seconds


def damage_of(book: Book) -> list[str] | None:
    """Give what is wrong with a book, in sentences; None where it is too large to be looked through at once.

    Raises BookError where it is damaged so that nobody can look through it.
    """
    return book.verify() if book.head().sequence <= MOST_LOOKED_THROUGH else None
