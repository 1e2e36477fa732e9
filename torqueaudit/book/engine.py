"""What a database must do so that a book can be kept in it; decision 0059 says what else a second one has to give.

How the ledger and its indexes are laid out is the engine's own affair, so each question to it has a method here. The
lists, the words and the personal data are plain tables of one shape everywhere: other files of this room ask for them
in SQL.
"""

from collections.abc import Iterable, Mapping, Sequence
from contextlib import AbstractContextManager
from pathlib import Path
from typing import Any, NamedTuple, Protocol, TypeAlias

from torqueaudit.book.notes import Notes, Noting
from torqueaudit.ledger.chain import Head

Value: TypeAlias = str | int | None
ALL = 2**53  # no sequence is higher
FINDS, PERSONAL_FINDS = (
    "finds",
    "personal_finds",
)  # what is found by words: of entries, and of what is known of somebody


class Find(NamedTuple):
    """A row that is found by words: `about` is the vehicle of a job, and else the subject itself.

    `words` is the text as it is looked for.
    """

    number: int
    subject: str
    about: str
    field: str
    words: str


class Engine(Protocol):
    """The tables of one site. May be shared between threads; whatever a thread asks inside a transaction is part of it.

    A stored text is the canonical text of an entry, as `ledger.entry.document_of` writes it.
    """

    notes: Noting  # taken of whatever is asked here; what no notes can tell of spoils them, as every change does

    @property
    def site(self) -> str:
        """The site whose entries are written here."""

    def close(self) -> None:
        """Give everything back; nobody may be asking any more."""

    def require_room(self) -> None:
        """Raise BookError when there is too little room to write safely."""

    def changes(self) -> int | None:
        """A number that is another one once anybody, of whatever program, has changed anything of the site's tables.

        None where that cannot be known just now. Every thread gets the same number.
        """

    def holds(self, notes: Notes) -> bool:
        """Whether everything noted is answered as it was."""

    def in_words(self) -> AbstractContextManager[None]:
        """A block in which a fault of the database, or a stored text that says no entry, is a BookError.

        A fault of the program itself passes as it is.
        """

    def writing(self) -> AbstractContextManager[None]:
        """One transaction that alone writes to the site from its start, in turn: all of it is written, or nothing."""

    def snapshot(self) -> AbstractContextManager[None]:
        """One transaction in which every question sees the same state."""

    def last(self) -> tuple[int, str] | None:
        """Sequence and hash of the site's newest entry."""

    def insert(self, sequence: int, text: str, hash_: str) -> None:
        """Write the site's next entry. The database itself refuses every other, and every change of one it has."""

    def text_with_id(self, id_: str) -> str | None:
        """The stored text of the entry with this id, of whatever site."""

    def text_with_id_and_last(self, id_: str) -> tuple[str | None, tuple[int, str] | None]:
        """What `text_with_id` and `last` give, in one question: every act asks for both."""

    def texts(self, site: str, first: int, last: int) -> Iterable[tuple[str, str]]:
        """Stored texts with their hashes from one sequence to another, in order."""

    def texts_of(self, subject: str, after: int) -> Iterable[str]:
        """The stored texts of a subject's entries whose number is higher than `after`, in order."""

    def texts_striking(self, subject: str, after: int) -> Iterable[str]:
        """The stored texts of a subject's entries whose number is higher than `after` and that strike another one."""

    def texts_by_subject(self, first: str = "", until: str | None = None) -> Iterable[str]:
        """Every stored text of the site, by subject and number; or from one subject on, up to another left out."""

    def subjects(self) -> Iterable[str]:
        """Every subject of the site that has an entry, in order."""

    def subject_at(self, place: int) -> str:
        """The subject of the entry that has so many before it, by subject."""

    def stored(self, after: int = 0, last: int = ALL) -> Iterable[tuple[bytes, str]]:
        """The bytes of every stored text of the site behind a sequence, up to another, with their hashes, in order.

        Also where they are damaged.
        """

    def hash_at(self, sequence: int) -> str | None:
        """The stored hash of one of the site's entries, even where its text is damaged."""

    def highest_number(self, subject: str) -> int:
        """How many entries a subject has."""

    def highest_key(self, noun: str) -> int:
        """The highest number among a noun's subjects ("job/12", "wrench/W-12"); 0 when it has none."""

    def rows(self, sql: str, values: Sequence[Value] = ()) -> Iterable[tuple[Any, ...]]:
        """What a question gives; a value's place is a question mark."""

    def run(self, sql: str, values: Sequence[Value] = ()) -> None:
        """Change the lists, the words or the personal data; a value's place is a question mark."""

    def columns(self, table: str) -> tuple[str, ...]:
        """The names of a list's columns, in order."""

    def mentioned(self, ways: Sequence[str]) -> list[tuple[str, int]]:
        """The subjects that are written in some of these ways in `personal_written`, in order, with how many."""

    def keep_find(self, table: str, row: Find) -> None:
        """Write a row into `finds` or `personal_finds`, from where it is found by any three letters of its words."""

    def drop_finds(self, table: str, where: str, values: Sequence[Value]) -> None:
        """Take away the rows of such a table for which a condition holds."""

    def fill_finds(self, table: str, rows: Iterable[Find]) -> None:
        """Write these rows into such a table in place of all others."""

    def found(self, table: str, part: str, before: int, most: int) -> Iterable[tuple[Any, ...]]:
        """The rows of such a table whose words hold a part, the highest number first, so many at most.

        All numbers lie below `before`. The part is letters, digits and spaces, at least three of them.
        """

    def wipe(self, *tables: str) -> None:
        """Overwrite what was deleted from these tables wherever it may still stand."""

    def faults(self, *, whole: bool = True) -> list[str]:
        """What is wrong with the tables and with what they are kept in, in sentences; entries and lists left out.

        What takes the longer, the more the site has recorded, is left out where not the whole is asked for.
        """

    def copy(self, target: Path, folders: Mapping[Path, Path]) -> Head:
        """Copy everything to a new file, and each folder to its new place; the head of the copy. Raises BookError."""

    def then(self, last: int, subjects: Sequence[str], lists: Iterable[str]) -> AbstractContextManager["Engine"]:
        """The tables as they stood at an entry, for a block: the ledger up to it, and of these lists no row.

        Whoever asks writes the rows of some subjects into them, by `run`, from their entries; of all others stands what
        `wrench_cycles` and its like ask for. Nothing else is written there. What is erased since is not there.
        """
