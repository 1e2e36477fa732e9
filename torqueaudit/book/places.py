"""What lies beside a book's file (`yard.book`), and is copied, put aside and put back with it."""

from pathlib import Path

LOGS = ("-wal", "-shm", "-journal", "-turns")  # the engine's own; a file may mean nothing without its log


def photos_of(book: Path) -> Path:
    """The folder of its photos."""
    return book.with_name(f"{book.stem}-photos")


def papers_of(book: Path) -> Path:
    """The folder of its papers."""
    return book.with_name(f"{book.name}.papers")


def seals_of(book: Path) -> Path:
    """The folder of its seals."""
    return book.with_name(f"{book.name}.seals")


def heads_of(book: Path) -> Path:
    """The file of the heads that it told."""
    return book.with_name(f"{book.name}.heads")


def folders_of(book: Path) -> tuple[Path, ...]:
    """The folders that a copy of it holds."""
    return photos_of(book), papers_of(book), seals_of(book)


def all_of(book: Path) -> tuple[Path, ...]:
    """Everything that belongs to it, the file itself first."""
    return book, *(book.with_name(book.name + end) for end in LOGS), heads_of(book), *folders_of(book)
