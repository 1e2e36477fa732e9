"""The workshop's own authority on this machine, and the certificate by which a server of it is known.

Both lie in the folder of the file of secrets, each in a file of its own with its private key, for the owner alone. An
authority serves every server whose addresses are among its own, so that phones accept it once.
"""

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import datetime
from hashlib import sha256
from ipaddress import ip_address
from pathlib import Path
from urllib.parse import urlsplit

from torqueaudit.book.flushing import make_folder, write_whole
from torqueaudit.book.lock import held
from torqueaudit.book.own_file import others_may_read
from torqueaudit.book.secrets import Secrets, default_place
from torqueaudit.web.tls.certificates import (
    SERVER_FOR,
    Certificate,
    NoCertificate,
    NoLibrary,
    new_authority,
    new_server,
    read_certificate,
    read_with_key,
)

FOLDER = "tls"  # beside the file of secrets
_FOR_OWNER, _FOLDER_FOR_OWNER = 0o600, 0o700
_LENGTH_OF_ID = 16  # characters


class NoAuthority(OSError):
    """There is no authority, or no certificate by it, to serve with; the sentence says why."""


class Authority:
    """What stands in one folder for these addresses; `clock` tells when something there has to be renewed."""

    def __init__(self, folder: Path, names: frozenset[str], clock: Callable[[], datetime]) -> None:
        self._folder, self._names, self.clock = folder, names, clock

    def find(self) -> Certificate | None:
        """The newest authority that may speak for all the addresses for a year to come, to be shown.

        Its key is not looked at. Raises NoAuthority.
        """
        return self._newest(read_certificate)

    def _newest(self, reader: Callable[[bytes], Certificate]) -> Certificate | None:
        read = [self._read(path, reader) for path in sorted(self._folder.glob("authority-*.pem"))]
        lasting = self.clock() + SERVER_FOR
        fit = [each for each in read if self._names <= each.names and each.ends >= lasting]
        return max(fit, key=lambda each: (each.begins, each.der), default=None)

    def find_or_make(self) -> Certificate:
        """The authority, made where there is none, to sign with its key. Raises NoAuthority."""
        with self._held():
            return self._newest(read_with_key) or self._kept("authority", new_authority(self._names, self.clock()))

    def server(self) -> tuple[Path, Certificate]:
        """The server's certificate and the file that holds it with its key, made anew where it is time.

        Raises NoAuthority.
        """
        authority = self.find_or_make()
        path = self._folder / f"server-{_id(authority.der + ' '.join(sorted(self._names)).encode())}.pem"
        with self._held():
            found = self._read(path, read_with_key) if path.exists() else None
            if found is None or self.clock() >= found.third_left:
                found = self._kept("server", new_server(authority, self._names, self.clock()), path)
        return path, found

    def _kept(self, what: str, made: Certificate, path: Path | None = None) -> Certificate:
        write_whole(path or self._folder / f"{what}-{_id(made.der)}.pem", made.kept, rights=_FOR_OWNER)
        return made

    def _read(self, path: Path, reader: Callable[[bytes], Certificate]) -> Certificate:
        try:
            with path.open("rb") as opened:
                others, kept = others_may_read(opened.fileno()), opened.read()
        except OSError as error:
            raise NoAuthority(f"{path} cannot be read: {error.strerror}.") from None
        if others:
            raise NoAuthority(f"Others may read {path}, which holds a private key; allow it to its owner alone.")
        try:
            return reader(kept)
        except NoLibrary as error:
            raise NoAuthority(f"No certificate can be read here: {error}.") from None
        except NoCertificate as error:
            raise NoAuthority(f"{path}: {error}; bring it back from where you keep it, or take it away.") from None

    @contextmanager
    def _held(self) -> Iterator[None]:
        """The folder, which is made where it is missing, for this program alone. Raises NoAuthority."""
        try:
            make_folder(self._folder.parent)
            self._folder.mkdir(mode=_FOLDER_FOR_OWNER, exist_ok=True)
            with held(self._folder, wait=True):
                yield
        except NoCertificate as error:
            raise NoAuthority(f"No certificate can be made here: {error}.") from None
        except NoAuthority:
            raise
        except OSError as error:
            raise NoAuthority(f"The certificates in {self._folder} cannot be kept: {error.strerror}.") from None


def authority_of(book: Path, names: frozenset[str], clock: Callable[[], datetime]) -> Authority:
    """The authority beside the file of secrets, for a server of these addresses. Raises BookError."""
    return Authority(Secrets(default_place(), book).path.parent / FOLDER, names, clock)


def names_of(base_address: str, host: str = "") -> frozenset[str]:
    """The host names and IP addresses of a book's base address and of what is listened on, in small letters."""
    told = (urlsplit(base_address).hostname or "", host)
    return frozenset(_written(each) for each in told if each)


def _written(name: str) -> str:
    """An address as it is written shortest, a name as it goes over the network. Raises NoAuthority."""
    try:
        return str(ip_address(name.partition("%")[0]))
    except ValueError:
        pass
    try:
        return name.encode("idna").decode().lower()
    except UnicodeError:
        raise NoAuthority(f"{name}: this is no name of a machine that a certificate could be made for") from None


def _id(data: bytes) -> str:
    return sha256(data).hexdigest()[:_LENGTH_OF_ID]
