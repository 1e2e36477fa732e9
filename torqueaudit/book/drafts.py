"""Drafts of procedures: TOML texts in a folder beside a book, each by the short name of its procedure.

They are no evidence, so no entry tells of them; whoever copies the book copies them. Who writes one says which text was
before it, so that two who write at once lose nothing.
"""

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from torqueaudit.book.errors import BookError
from torqueaudit.book.flushing import flush_folder, make_folder, write_whole
from torqueaudit.book.lock import held
from torqueaudit.book.places import drafts_of, owned_as_book

END = ".toml"


class DraftMoved(Exception):  # says what happened, not that it is an error
    """Somebody else has written the draft since it was read."""


class Drafts:
    """The drafts beside a book. Raises BookError where the disk fails."""

    def __init__(self, book: Path) -> None:
        self._book = book
        self.folder = drafts_of(book)

    def names(self) -> list[str]:
        """The short name of each draft, in the order of the alphabet."""
        return sorted(each.name.removesuffix(END) for each in self.folder.glob(f"*{END}"))

    def text(self, name: str) -> str | None:
        """The text of a draft; None where there is none of this name."""
        with _in_words(self.folder):
            try:
                return self._file(name).read_text(encoding="utf-8")
            except FileNotFoundError:
                return None
            except UnicodeDecodeError:
                raise BookError(f"{self._file(name)} is not written in UTF-8") from None

    def write(self, name: str, text: str, before: str | None) -> None:
        """Write a draft in the place of the text that was `before`, None where there was none. Raises DraftMoved."""
        with _in_words(self.folder):
            if not self.folder.exists():
                make_folder(self.folder)
                owned_as_book(self._book, self.folder)
            with held(self.folder, wait=True):
                if self.text(name) != before:
                    raise DraftMoved(name)
                write_whole(self._file(name), text.encode())
                owned_as_book(self._book, self._file(name))

    def lay(self, file: str, data: bytes) -> None:
        """Lay a picture beside the drafts, in the place of another one of its name."""
        with _in_words(self.folder):
            write_whole(self.folder / file, data)
            owned_as_book(self._book, self.folder / file)

    def remove(self, name: str, before: str) -> None:
        """Throw away a draft whose text is `before`; nothing where there is none. Raises DraftMoved for another."""
        with _in_words(self.folder), held(self.folder, wait=True):
            if self.text(name) not in (before, None):
                raise DraftMoved(name)
            self._file(name).unlink(missing_ok=True)
            flush_folder(self.folder)

    def _file(self, name: str) -> Path:
        return self.folder / f"{name}{END}"


@contextmanager
def _in_words(folder: Path) -> Iterator[None]:
    try:
        yield
    except OSError as error:
        raise BookError(f"{folder} cannot be written or read: {error.strerror}") from error
