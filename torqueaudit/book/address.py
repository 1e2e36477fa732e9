"""Where a book lies: in a file, or among the books of a chain's sites in a database of PostgreSQL."""

import os
import re
from pathlib import Path
from typing import NamedTuple, TypeAlias

from torqueaudit.book.errors import BookError

_SCHEMES = ("postgresql", "postgres")
_PASSWORD = re.compile(r"(://[^/@:]*):[^/@]*@")
_OWN = ("site", "beside")  # what of an address is ours, and not the database's


class Server(NamedTuple):
    """A site's book in a database: the address for the database's own library, the site, the folder beside it.

    `site` is "" where whoever asks works for one site alone. `folder` holds what lies beside a book: photos, papers,
    seals, drafts; None is a folder of this user's own.
    """

    database: str
    site: str
    folder: Path | None

    def __str__(self) -> str:
        """The address without a password, as it may be shown."""
        return _shown(self.named)

    @property
    def named(self) -> str:
        """The whole address, for another program."""
        from urllib.parse import quote, urlencode

        own = {"site": self.site, "beside": str(self.folder or "")}
        told = urlencode({key: value for key, value in own.items() if value}, quote_via=quote, safe="/")
        return _joined(self.database, told)

    def stand_in(self, site: str) -> Path:
        """What stands for the file of a site's book, made where it is not there yet. Raises BookError.

        Whatever lies beside the book is named after it, and belongs to whom it belongs.
        """
        path = self._beside(site)
        try:
            path.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
            if not path.exists():
                path.write_text(f"The book of {site} is in {self}.\nWhat lies beside it is here.\n", encoding="utf-8")
        except OSError as error:
            raise BookError(
                f"What lies beside the book of {site} cannot be kept at {path.parent} ({error.strerror}); name another "
                "folder in its address (beside=FOLDER)."
            ) from None
        return path

    def _beside(self, site: str) -> Path:
        from urllib.parse import urlsplit

        parts = urlsplit(self.database)
        own = f"{parts.hostname or 'here'}-{parts.path.strip('/') or 'torqueaudit'}"
        return (self.folder or _of_user() / own) / f"{site}.book"


Place: TypeAlias = Path | Server


def place_of(text: str | Path) -> Place:
    """The place that an address names: a database where it begins with "postgresql://", else a file.

    Raises BookError.
    """
    if not isinstance(text, str) or text.partition("://")[0] not in _SCHEMES or "://" not in text:
        return Path(text)
    from importlib.util import find_spec  # most books are files
    from urllib.parse import parse_qs, quote, urlencode

    if find_spec("psycopg") is None:
        raise BookError(
            "A book in a database needs what `pip install 'torqueaudit[chain]'` brings; install that first."
        )
    database, _, query = text.partition("?")
    try:
        asked = parse_qs(query, strict_parsing=True) if query else {}
    except ValueError as error:
        raise BookError(f"{_shown(text)} is no address of a database ({error}).") from None
    own = {key: asked.pop(key, [""])[-1] for key in _OWN}
    database = _joined(database, urlencode(asked, doseq=True, quote_via=quote))
    return Server(database, own["site"], Path(own["beside"]).absolute() if own["beside"] else None)


def _shown(address: str) -> str:
    return _PASSWORD.sub(r"\1@", address)


def _joined(address: str, query: str) -> str:
    """An address with something more asked for behind it."""
    return f"{address}{'&' if '?' in address else '?'}{query}" if query else address


def _of_user() -> Path:
    """Where this user's programs keep what they need. Raises BookError where there is no such place."""
    own = os.environ.get("XDG_DATA_HOME") or os.environ.get("LOCALAPPDATA")
    try:
        return (Path(own) if own else Path.home() / ".local" / "share") / "torqueaudit"
    except RuntimeError:
        raise BookError(
            "This user has no home for what lies beside the book; name a folder in its address (beside=FOLDER)."
        ) from None
