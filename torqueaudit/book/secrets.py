"""The file of secrets: the private keys that seal ledgers, the pepper of PINs, and the password for mail.

It lies outside of every book. One JSON object: `seal_keys` maps each public key to its private one, and `pin_pepper` is
what every PIN is hashed with, all in base64; `mail_password` is written there by hand. Its owner alone may read it.
"""

import json
import os
from base64 import b64decode, b64encode
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from torqueaudit.book.errors import BookError
from torqueaudit.book.flushing import write_whole
from torqueaudit.book.lock import held
from torqueaudit.book.own_file import others_may_read

KEYS, PASSWORD, PEPPER = "seal_keys", "mail_password", "pin_pepper"
LENGTH_OF_PEPPER = 32  # bytes
_FOR_OWNER = 0o600


class Secrets:
    """The secrets in the file at `path`, for the one book. Raises BookError where it lies in that book's folder.

    Also where no path is known, as of a user without a home.
    """

    def __init__(self, path: Path | None, book: Path) -> None:
        if path is None:
            raise BookError("This user has no home for a file of secrets; name a file in TORQUEAUDIT_SECRETS.")
        self.path = path.resolve()
        folder = book.resolve().parent
        if self.path.is_relative_to(folder):
            raise BookError(
                f"The file of secrets {self.path} lies in the book's own folder, where whoever copies the book takes "
                "the key along; keep the book in a folder of its own, or the secrets elsewhere."
            )

    def private_of(self, public: str) -> str | None:
        """The private key of a public one, both in base64; None where it is not there. Raises BookError."""
        found = self._read().get(KEYS, {}).get(public)
        return found if isinstance(found, str) else None

    def password(self) -> str:
        """The password for mail, "" where none is written there. Raises BookError."""
        found = self._read().get(PASSWORD)
        return "" if found is None else str(found)

    def pepper(self) -> bytes | None:
        """What PINs are hashed with; None where it is not there. Raises BookError."""
        found = self._read().get(PEPPER)
        if found is None:
            return None
        try:
            pepper = b64decode(found, validate=True)
        except (TypeError, ValueError):
            pepper = b""
        if len(pepper) != LENGTH_OF_PEPPER:
            raise self._none()
        return pepper

    def keep_pepper(self, pepper: bytes) -> bytes:
        """Keep a pepper for good, unless another program was quicker; the one that is kept. Raises BookError."""
        with self._changed() as secrets:
            if secrets.get(PEPPER) is None:  # also where somebody wrote null there: it would be kept nowhere
                secrets[PEPPER] = b64encode(pepper).decode()
        return self.pepper() or pepper

    def keep(self, public: str, private: str) -> None:
        """Keep a key for good. Raises BookError."""
        with self._changed() as secrets:
            secrets[KEYS] = {**secrets.get(KEYS, {}), public: private}

    def forget(self, public: str) -> None:
        """Take a key away for good. Raises BookError."""
        with self._changed() as secrets:
            secrets.get(KEYS, {}).pop(public, None)

    def _read(self) -> dict[str, Any]:
        try:
            with self.path.open("rb") as opened:
                if others_may_read(opened.fileno()):
                    raise BookError(f"Others may read the file of secrets {self.path}; allow it to its owner alone.")
                read = json.load(opened)
        except FileNotFoundError:
            return {}
        except OSError as error:
            raise self._fault("cannot be read", error) from None
        except (ValueError, RecursionError):
            read = None
        if not isinstance(read, dict) or not isinstance(read.get(KEYS, {}), dict):
            raise self._none()
        return read

    @contextmanager
    def _changed(self) -> Iterator[dict[str, Any]]:
        """What is there, written again as the block left it; one program at a time."""
        try:
            self.path.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
            with held(self.path.parent, wait=True):
                secrets = self._read()
                yield secrets
                text = json.dumps(secrets, indent=2, sort_keys=True) + "\n"
                write_whole(self.path, text.encode(), rights=_FOR_OWNER)
        except OSError as error:
            raise self._fault("cannot be written", error) from None

    def _none(self) -> BookError:
        return BookError(f"The file of secrets {self.path} holds no secrets; bring it back from where you keep it.")

    def _fault(self, what: str, error: OSError) -> BookError:
        return BookError(f"The file of secrets {self.path} {what}: {error.strerror}.")


def default_place() -> Path | None:
    """Where the secrets lie: the file that TORQUEAUDIT_SECRETS names, or one in the user's own configuration.

    None where the user has neither a configuration nor a home.
    """
    if named := os.environ.get("TORQUEAUDIT_SECRETS"):
        return Path(named)
    own = os.environ.get("XDG_CONFIG_HOME") or os.environ.get("APPDATA")
    try:
        return place_in(Path(own) if own else Path.home() / ".config")
    except RuntimeError:
        return None


def place_in(configuration: Path) -> Path:
    """Where the secrets lie in the configuration of a user."""
    return configuration / "torqueaudit" / "secrets.json"
